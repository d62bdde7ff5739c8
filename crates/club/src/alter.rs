//! What an alteration does to a club on the bench: extend, cut, grip down, regrip, another shaft.
//!
//! The club is held as two bodies, the grip and everything else, because an alteration at the grip end
//! moves the one and not the other. Distances run from the grip end of the club they belong to: the old
//! one before an alteration, the new one after it.

use crate::bench_model::{InferredParts, shaft_length};
use crate::{ClubError, MassMoments, Swingweight, bench_model};
use quantity::{Inertia, Length, Mass};

/// A club on the bench: its length, its grip and all the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnBench {
    /// Playing length.
    pub length: Length,
    /// The grip, about the grip end.
    pub grip: MassMoments,
    /// Everything but the grip, about the grip end.
    pub rest: MassMoments,
}

/// An extension piece: its whole mass and where that sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlugPiece {
    /// Mass, the seated part included.
    pub mass: Mass,
    /// Distance of its middle from the new grip end.
    pub centre: Length,
    /// Its whole length.
    pub length: Length,
}

/// A shaft in a club: mass and balance point from the club's grip end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedShaft {
    /// Mass as cut.
    pub mass: Mass,
    /// Balance point from the grip end of the club.
    pub balance: Length,
}

impl OnBench {
    /// Takes over the parts inferred from a reading.
    #[must_use]
    pub fn from_parts(length: Length, parts: &InferredParts) -> Self {
        Self { length, grip: parts.grip, rest: parts.rest }
    }

    /// Returns the whole club's moments about its grip end.
    #[must_use]
    pub fn whole(&self) -> MassMoments {
        self.grip + self.rest
    }

    /// Reads the scale.
    #[must_use]
    pub fn swingweight(&self) -> Swingweight {
        Swingweight::of(&self.whole())
    }

    /// Returns the inertia about the grip end.
    #[must_use]
    pub fn inertia(&self) -> Inertia {
        self.whole().second
    }

    /// Extends the club at the grip end; the same grip, or one like it, goes back on.
    ///
    /// # Source
    /// Derived (`docs/derivations/statics.md`): everything but the grip moves by the extension, and the
    /// piece joins with its own mass and centre.
    #[must_use]
    pub fn extended(&self, by: Length, plug: PlugPiece) -> Self {
        Self {
            length: self.length + by,
            grip: self.grip,
            rest: self.rest.moved(by) + MassMoments::rod_about(plug.mass, plug.centre, plug.length),
        }
    }

    /// Cuts the club at the grip end; grip and cap go back whole.
    ///
    /// # Errors
    /// [`ClubError::NothingLeft`] when the cut is negative or reaches into the lower half of the club.
    ///
    /// # Source
    /// Derived (`docs/derivations/statics.md`): the off-cut is a piece of shaft from under the cap.
    pub fn cut(&self, by: Length, shaft_mass_per_inch: Mass, cap: Length) -> Result<Self, ClubError> {
        if by < Length::ZERO || by > self.length / 2.0 {
            return Err(ClubError::NothingLeft {
                amount_in: by.as_inches(),
                length_in: self.length.as_inches(),
            });
        }
        let off_cut = MassMoments::rod_about(off_cut_mass(by, shaft_mass_per_inch), cap + by / 2.0, by);
        Ok(Self { length: self.length - by, grip: self.grip, rest: (self.rest - off_cut).moved(-by) })
    }

    /// Returns the club as the hands feel it when gripped down: the same masses, measured from the hands.
    #[must_use]
    pub fn as_held(&self, grip_down: Length) -> MassMoments {
        self.whole().moved(-grip_down)
    }

    /// Returns the club with every distance measured from hands that hold it `grip_down` below its end.
    #[must_use]
    pub fn from_the_hands(&self, grip_down: Length) -> Self {
        Self {
            length: self.length - grip_down,
            grip: self.grip.moved(-grip_down),
            rest: self.rest.moved(-grip_down),
        }
    }

    /// Puts another grip on.
    #[must_use]
    pub fn regripped(&self, grip: MassMoments) -> Self {
        Self { grip, ..*self }
    }

    /// Adds mass at the head (takes it off when negative).
    #[must_use]
    pub fn with_head_mass(&self, added: Mass) -> Self {
        Self { rest: self.rest + bench_model::head(added, self.length), ..*self }
    }

    /// Adds a weight inside the butt.
    #[must_use]
    pub fn with_butt_weight(&self, added: Mass, at: Length) -> Self {
        Self { rest: self.rest + MassMoments::point(added, at), ..*self }
    }

    /// Fits another shaft, so that the club comes out `longer` than it was (shorter when negative).
    ///
    /// Head, ferrule and glue move with the length; the grip goes back on.
    ///
    /// # Errors
    /// [`ClubError::ReadingsDisagree`] when the old shaft weighs more than the club without its grip.
    pub fn reshafted(&self, longer: Length, old: FittedShaft, new: FittedShaft) -> Result<Self, ClubError> {
        if old.mass >= self.rest.mass {
            return Err(ClubError::ReadingsDisagree {
                head_g: (self.rest.mass - old.mass).as_grams(),
                shaft_g: old.mass.as_grams(),
            });
        }
        let length = self.length + longer;
        let rod =
            |shaft: FittedShaft, club| MassMoments::rod_about(shaft.mass, shaft.balance, shaft_length(club));
        let rest = (self.rest - rod(old, self.length)).moved(longer) + rod(new, length);
        Ok(Self { length, grip: self.grip, rest })
    }
}

/// Returns the mass of a piece cut from the grip end.
#[must_use]
pub fn off_cut_mass(cut: Length, shaft_mass_per_inch: Mass) -> Mass {
    shaft_mass_per_inch * cut.as_inches()
}

#[cfg(test)]
mod tests {
    use super::{OnBench, PlugPiece};
    use crate::bench_model::{CAP, Reading, grip};
    use quantity::{Length, Mass};

    fn seven_iron() -> OnBench {
        let length = Length::inches(37.0);
        let reading = Reading { length, mass: Mass::grams(426.0), balance: Length::inches(28.25) };
        OnBench::from_parts(length, &reading.parts(grip(Mass::grams(50.0))).unwrap())
    }

    #[test]
    fn a_heavy_plug_takes_swingweight_off_though_the_club_grows() {
        // 6 g an inch over 3 in is 18 g, centred 1.5 in down:
        // (376 g * 0.5 in - 18 g * 12.5 in) / 49.61 g in a point = -0.75
        let plug =
            PlugPiece { mass: Mass::grams(18.0), centre: Length::inches(1.5), length: Length::inches(3.0) };
        let after = seven_iron().extended(Length::inches(0.5), plug);
        let change = after.swingweight().points_above(seven_iron().swingweight());
        assert!((change + 0.75).abs() < 0.01, "{change}");
    }

    #[test]
    fn a_butt_weight_resets_the_scale_and_leaves_the_inertia() {
        let weighted = seven_iron().with_butt_weight(Mass::grams(10.0), Length::inches(1.0));
        // 10 g * 13 in / 49.61 = 2.62 points; 10 g at one inch is 0.065 kg cm²
        assert!((seven_iron().swingweight().points_above(weighted.swingweight()) - 2.62).abs() < 0.01);
        assert!(((weighted.inertia() - seven_iron().inertia()).as_kg_cm2() - 0.0645).abs() < 0.001);
    }

    #[test]
    fn more_than_half_a_club_cannot_be_cut_away() {
        let cut = |inches| seven_iron().cut(Length::inches(inches), Mass::grams(3.0), CAP);
        assert!(cut(19.0).is_err() && cut(-0.5).is_err() && cut(0.5).is_ok());
    }
}
