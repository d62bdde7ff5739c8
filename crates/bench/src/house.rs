//! The shop's own limits and habits. Every default is common practice (no source) and is the owner's to
//! set; none of them is a rule of the game.

use crate::BenchError;
use club::hold::{BUTT_WEIGHT_AT, Held};
use club::{Construction, ShaftMaterial, bench_model};
use fitting::StaticRule;
use quantity::{Angle, InchStep, Length, Mass};

/// Which number the bench holds when a length changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// Bring one number back to what it was.
    Number(Held),
    /// Leave both where they fall.
    Neither,
}

/// How far a lie or loft may be bent from the maker's figure, by how the head was made. Trade practice:
/// forged 4 degrees, alloy 431 2 to 3, other castings 1 to 2, the rest not at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BendLimits {
    /// Forged carbon steel.
    pub forged: Angle,
    /// Castings of alloy 431.
    pub cast_431: Angle,
    /// Other castings.
    pub cast: Angle,
}

impl BendLimits {
    /// Returns the limit of a head made this way.
    #[must_use]
    pub fn of(&self, construction: Construction) -> Angle {
        match construction {
            Construction::Forged => self.forged,
            Construction::Cast431 => self.cast_431,
            Construction::Cast => self.cast,
            Construction::NotBent => Angle::ZERO,
        }
    }
}

/// Limits and habits of one shop.
#[derive(Debug, Clone, PartialEq)]
pub struct House {
    /// The length rule and the steps of the set.
    pub rule: StaticRule,
    /// Step to which lengths are built.
    pub round_to: InchStep,
    /// A club this near its target is left alone. Two people read one club 1/8 in apart.
    pub leave_within: Length,
    /// Extensions up to here need no word.
    pub plain_extension: Length,
    /// Extensions up to here are made with a caution.
    pub caution_extension: Length,
    /// Extensions up to here are made on written acceptance only, none beyond.
    pub most_extension: Length,
    /// Cuts up to here need no word.
    pub plain_cut: Length,
    /// Most a club is cut at all. House choice.
    pub most_cut: Length,
    /// Most a grip is held down.
    pub most_grip_down: Length,
    /// Steel shafts lighter than this have butts too thin to extend.
    pub least_steel_shaft: Mass,
    /// Graphite shafts lighter than this have butts too thin to extend.
    pub least_graphite_shaft: Mass,
    /// How far heads are bent.
    pub bend: BendLimits,
    /// Thickness of a grip's cap.
    pub cap: Length,
    /// Head weights on the shelf.
    pub tip_weights: Vec<Mass>,
    /// Tapes on the shelf, by their mass per inch.
    pub tapes: Vec<Mass>,
    /// Most tape put on one head before a weight is neater.
    pub most_tape: Length,
    /// Butt weights on the shelf.
    pub butt_weights: Vec<Mass>,
    /// Where a butt weight sits.
    pub butt_weight_at: Length,
    /// Butt weights above this add too much dead mass: they are not put in, and what is left is said.
    pub most_butt_weight: Mass,
    /// Mass of the grip that would go on; `None` takes one like the old.
    pub new_grip_mass: Option<Mass>,
    /// Which number is held.
    pub hold: Hold,
    /// Hours the glue cures at 20 degrees C.
    pub cure_hours: u32,
}

impl Default for House {
    fn default() -> Self {
        Self {
            rule: StaticRule::default(),
            round_to: InchStep::Eighth,
            leave_within: Length::inches(0.125),
            plain_extension: Length::inches(0.5),
            caution_extension: Length::inches(1.0),
            most_extension: Length::inches(2.0),
            plain_cut: Length::inches(1.0),
            most_cut: Length::inches(3.0),
            most_grip_down: Length::inches(1.0),
            least_steel_shaft: Mass::grams(90.0),
            least_graphite_shaft: Mass::grams(60.0),
            bend: BendLimits {
                forged: Angle::degrees(4.0),
                cast_431: Angle::degrees(2.0),
                cast: Angle::degrees(1.0),
            },
            cap: bench_model::CAP,
            tip_weights: [2.0, 4.0, 6.0, 8.0, 9.0, 10.0].into_iter().map(Mass::grams).collect(),
            tapes: [0.45, 1.0].into_iter().map(Mass::grams).collect(),
            most_tape: Length::inches(8.0),
            butt_weights: [4.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0].into_iter().map(Mass::grams).collect(),
            butt_weight_at: BUTT_WEIGHT_AT,
            most_butt_weight: Mass::grams(20.0),
            new_grip_mass: None,
            hold: Hold::Number(Held::Swingweight),
            cure_hours: 24,
        }
    }
}

impl House {
    /// Refuses limits that contradict each other, or go beyond what is usually done.
    ///
    /// # Errors
    /// Every limit that cannot stand, with its key in the card.
    pub fn check(&self) -> Result<(), Vec<(&'static str, BenchError)>> {
        let none = Length::ZERO;
        // the house may be stricter than the ceilings usually quoted, not laxer: 2 in out, 1 1/2 in down
        let lengths = [
            ("most_extension", self.most_extension, none, Length::inches(2.0)),
            ("caution_extension", self.caution_extension, none, self.most_extension),
            ("plain_extension", self.plain_extension, none, self.caution_extension),
            ("most_grip_down", self.most_grip_down, none, Length::inches(1.5)),
            ("most_cut", self.most_cut, none, Length::inches(4.0)),
            ("plain_cut", self.plain_cut, none, self.most_cut),
            ("leave_within", self.leave_within, none, Length::inches(1.0)),
            ("cap", self.cap, none, Length::inches(0.5)),
            ("butt_weight_at", self.butt_weight_at, none, Length::inches(8.0)),
            ("most_tape", self.most_tape, none, Length::inches(40.0)),
        ];
        let masses = [
            ("least_steel_shaft", self.least_steel_shaft),
            ("least_graphite_shaft", self.least_graphite_shaft),
            ("most_butt_weight", self.most_butt_weight),
        ];
        let dust = Length::mm(1e-6);
        let lengths = lengths.into_iter().filter_map(|(what, found, least, most)| {
            let fits = least - dust <= found && found <= most + dust;
            (!fits).then_some((what, BenchError::HouseLimit { what, found, least, most }))
        });
        let masses = masses.into_iter().filter_map(|(what, found)| {
            let fits = (0.0..=200.0).contains(&found.as_grams());
            (!fits).then_some((what, BenchError::HouseMass { what, found }))
        });
        let problems: Vec<_> = lengths.chain(masses).collect();
        if problems.is_empty() { Ok(()) } else { Err(problems) }
    }

    /// Returns the least shaft mass that is extended.
    #[must_use]
    pub fn least_shaft(&self, material: ShaftMaterial) -> Mass {
        match material {
            ShaftMaterial::Steel => self.least_steel_shaft,
            ShaftMaterial::Graphite => self.least_graphite_shaft,
        }
    }
}
