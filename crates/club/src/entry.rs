//! From what a fitter entered to a club the bench can reckon with.
//!
//! Every reading is optional but name and length. What is missing is taken from common practice and
//! listed as assumed; what cannot be meant is refused, all of it at once, each with its field.

use crate::alter::OnBench;
use crate::bench_model::{self, FERRULE_AND_GLUE, InferredParts, Reading};
use crate::range::{self, club_length, degrees_within, length_within, mass_within};
use crate::record::{Assumption, Club, Condition, Construction, Grip, Head, Plug, Shaft, ShaftMaterial};
use crate::typical::{self, typical};
use crate::{ClubError, ClubKind, MassMoments, Swingweight};
use quantity::{Angle, Frequency, Length, Mass};

/// A club as entered: what the bench has read so far.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ClubEntry {
    /// The golfer's name for it, which says which club it is.
    pub name: String,
    /// Playing length on a 60 degree plate.
    pub length: Option<Length>,
    /// Lie angle.
    pub lie: Option<Angle>,
    /// Loft.
    pub loft: Option<Angle>,
    /// Total mass.
    pub mass: Option<Mass>,
    /// Balance point from the grip end.
    pub balance: Option<Length>,
    /// Swingweight, instead of the balance point or to be held against it.
    pub swingweight: Option<Swingweight>,
    /// Frequency.
    pub frequency: Option<Frequency>,
    /// How the head was made.
    pub construction: Option<Construction>,
    /// Groove pitch of the head.
    pub groove_pitch: Option<Length>,
    /// Head mass, where the head was weighed.
    pub head_mass: Option<Mass>,
    /// Shaft material.
    pub shaft_material: Option<ShaftMaterial>,
    /// Mass of an inch of shaft at the grip end.
    pub butt_mass_per_inch: Option<Mass>,
    /// Outside diameter of the butt.
    pub butt_diameter: Option<Length>,
    /// Wall thickness at the butt.
    pub butt_wall: Option<Length>,
    /// Grip mass.
    pub grip_mass: Option<Mass>,
    /// Inside diameter of the grip.
    pub grip_core: Option<Length>,
    /// Mass of an inch of the piece that would extend it.
    pub plug_mass_per_inch: Option<Mass>,
    /// How deep that piece would sit.
    pub plug_seated: Option<Length>,
    /// What a close look found.
    pub conditions: Vec<Condition>,
}

/// What is wrong with one field of an entry.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryProblem {
    /// The field, as in `head.mass`.
    pub field: &'static str,
    /// What is wrong with it.
    pub error: ClubError,
}

/// Takes a field if it lies in its range; a field that does not is a problem and counts as missing.
struct Fields {
    problems: Vec<EntryProblem>,
    assumed: Vec<Assumption>,
}

impl Fields {
    fn check<T: Copy>(
        &mut self,
        field: &'static str,
        value: Option<T>,
        check: impl Fn(T) -> Result<T, ClubError>,
    ) -> Option<T> {
        match check(value?) {
            Ok(value) => Some(value),
            Err(error) => {
                self.problems.push(EntryProblem { field, error });
                None
            }
        }
    }

    fn or_assume<T: Copy>(
        &mut self,
        value: Option<T>,
        what: &'static str,
        usual: T,
        show: impl Fn(T) -> String,
    ) -> T {
        value.unwrap_or_else(|| {
            self.assumed.push(Assumption { what, value: show(usual) });
            usual
        })
    }
}

impl ClubEntry {
    /// Completes the entry from common practice.
    ///
    /// # Errors
    /// Every field that cannot be meant, with its name; [`ClubError::ReadingsDisagree`] and
    /// [`ClubError::TwoBalances`] when the readings do not make one club.
    pub fn complete(&self) -> Result<Club, Vec<EntryProblem>> {
        let kind = ClubKind::from_name(&self.name);
        let mut fields = Fields { problems: Vec::new(), assumed: Vec::new() };
        let kind = fields.check("name", Some(()), |()| kind.clone().map(|_| ())).and(kind.ok());
        let length = fields.check("length", self.length, club_length);
        if self.length.is_none() {
            fields.problems.push(EntryProblem { field: "length", error: missing_length() });
        }
        self.check_ranges(&mut fields);
        let (Some(kind), Some(length), true) = (kind, length, fields.problems.is_empty()) else {
            return Err(fields.problems);
        };
        let usual = typical(kind);

        let lie = fields.or_assume(self.lie, "lie", usual.lie, |lie| degrees(lie, 2));
        let loft = self.loft.or_else(|| kind.loft_in_name(&self.name));
        let loft = fields.or_assume(loft, "loft", usual.loft, |loft| degrees(loft, 1));
        let build = self.build(kind, &mut fields);
        let usual_parts = UsualParts {
            length,
            head: self.head_mass.unwrap_or(usual.head_mass),
            shaft: typical::shaft_mass(build.material, kind),
            grip: bench_model::grip(build.grip.mass),
        };
        let parts = self
            .parts(&usual_parts, &mut fields)
            .map_err(|error| vec![EntryProblem { field: self.doubtful_field(), error }])?;
        Ok(Club {
            name: self.name.trim().to_owned(),
            kind,
            lie,
            loft,
            frequency: self.frequency,
            head: Head {
                construction: build.construction,
                groove_pitch: build.groove_pitch,
                mass: parts.head,
            },
            shaft: Shaft {
                material: build.material,
                butt_mass_per_inch: build.butt_mass_per_inch,
                butt_diameter: build.butt_diameter,
                butt_wall: self.butt_wall,
                mass: parts.shaft,
            },
            grip: build.grip,
            plug: build.plug,
            conditions: self.conditions.clone(),
            on_bench: OnBench::from_parts(length, &parts),
            is_weighed: self.mass.is_some() && (self.balance.is_some() || self.swingweight.is_some()),
            is_grip_known: self.grip_mass.is_some(),
            is_grip_size_known: self.grip_core.is_some() && self.butt_diameter.is_some(),
            assumed: fields.assumed,
        })
    }

    /// The reading to look at first when the readings do not make one club.
    fn doubtful_field(&self) -> &'static str {
        match (self.head_mass, self.balance, self.swingweight) {
            (Some(_), ..) => "head.mass",
            (None, Some(_), _) => "balance",
            (None, None, Some(_)) => "swingweight",
            (None, None, None) => "mass",
        }
    }

    /// How the club is made, as read or as is usual.
    fn build(&self, kind: ClubKind, fields: &mut Fields) -> Build {
        let usual = typical::shaft_material(kind);
        let material =
            fields.or_assume(self.shaft_material, "shaft material", usual, |made| made.to_string());
        Build {
            material,
            butt_mass_per_inch: fields.or_assume(
                self.butt_mass_per_inch,
                "mass of an inch of shaft at the grip end",
                typical::butt_mass_per_inch(material),
                grams,
            ),
            butt_diameter: fields.or_assume(
                self.butt_diameter,
                "butt diameter",
                typical::BUTT_DIAMETER,
                |butt| inches(butt, 3),
            ),
            construction: fields.or_assume(
                self.construction,
                "head construction",
                Construction::Cast,
                |made| made.to_string(),
            ),
            groove_pitch: fields.or_assume(
                self.groove_pitch,
                "groove pitch",
                typical::GROOVE_PITCH,
                |pitch| inches(pitch, 3),
            ),
            grip: Grip {
                mass: fields.or_assume(self.grip_mass, "grip mass", typical::GRIP_MASS, grams),
                core: fields
                    .or_assume(self.grip_core, "grip core", typical::BUTT_DIAMETER, |core| inches(core, 3)),
            },
            plug: Plug {
                mass_per_inch: fields.or_assume(
                    self.plug_mass_per_inch,
                    "mass of an inch of plug",
                    typical::PLUG_MASS_PER_INCH,
                    grams,
                ),
                seated: fields.or_assume(
                    self.plug_seated,
                    "seated length of a plug",
                    typical::PLUG_SEAT,
                    |seat| inches(seat, 2),
                ),
            },
        }
    }

    /// Refuses what no club has; see [`crate::range`] for the kind of the ranges.
    fn check_ranges(&self, fields: &mut Fields) {
        let lie = |angle| degrees_within("lie", angle, 45.0, 80.0);
        let loft = |angle| degrees_within("loft", angle, -5.0, 75.0);
        fields.check("lie", self.lie, lie);
        fields.check("loft", self.loft, loft);
        fields.check("mass", self.mass, |mass| mass_within("mass", mass, 150.0, 800.0));
        fields.check("head.mass", self.head_mass, |mass| mass_within("head mass", mass, 100.0, 600.0));
        fields.check("grip.mass", self.grip_mass, |mass| mass_within("grip mass", mass, 10.0, 200.0));
        fields.check("balance", self.balance, |at| length_within("balance point", at, 10.0, 50.0));
        fields.check("frequency", self.frequency, range::frequency);
        fields.check("head.groove_pitch", self.groove_pitch, |pitch| {
            length_within("groove pitch", pitch, 0.075, 0.25)
        });
        fields.check("shaft.butt_mass_per_inch", self.butt_mass_per_inch, |mass| {
            mass_within("mass of an inch of shaft", mass, 0.5, 10.0)
        });
        fields.check("shaft.butt_diameter", self.butt_diameter, |butt| {
            length_within("butt diameter", butt, 0.4, 1.2)
        });
        // a wall leaves a bore: less than half of the butt's radius
        let butt = self.butt_diameter.unwrap_or(typical::BUTT_DIAMETER).as_inches();
        fields.check("shaft.butt_wall", self.butt_wall, |wall| {
            length_within("butt wall", wall, 0.005, butt / 4.0)
        });
        fields.check("grip.core", self.grip_core, |core| length_within("grip core", core, 0.4, 1.2));
        fields.check("plug.mass_per_inch", self.plug_mass_per_inch, |mass| {
            mass_within("mass of an inch of plug", mass, 0.5, 15.0)
        });
        fields.check("plug.seated", self.plug_seated, |seat| length_within("seated length", seat, 1.0, 8.0));
    }

    /// Splits the club into head and shaft from whatever the scale and the edge have read.
    fn parts(&self, usual: &UsualParts, fields: &mut Fields) -> Result<InferredParts, ClubError> {
        let mass = fields.or_assume(self.mass, "mass", usual.whole().mass, grams);
        let from_scale = self.swingweight.map(|reading| reading.balance_at(mass));
        if let (Some(balance), Some(given)) = (self.balance, self.swingweight) {
            agree(mass, balance, given)?;
        }
        let usual_balance = usual.with_total(mass).whole().balance();
        let balance =
            fields.or_assume(self.balance.or(from_scale), "balance point", usual_balance, |at| inches(at, 2));
        let reading = Reading { length: usual.length, mass, balance };
        match self.head_mass {
            Some(head_mass) => reading.parts_with_head(usual.grip, head_mass),
            None => reading.parts(usual.grip),
        }
    }
}

/// How a club is made.
struct Build {
    material: ShaftMaterial,
    butt_mass_per_inch: Mass,
    butt_diameter: Length,
    construction: Construction,
    groove_pitch: Length,
    grip: Grip,
    plug: Plug,
}

/// The parts a club usually has, to stand in for readings not taken.
struct UsualParts {
    length: Length,
    head: Mass,
    shaft: Mass,
    grip: MassMoments,
}

impl UsualParts {
    fn whole(&self) -> MassMoments {
        bench_model::head(self.head, self.length)
            + bench_model::shaft(self.shaft, self.length)
            + bench_model::ferrule_and_glue(FERRULE_AND_GLUE, self.length)
            + self.grip
    }

    /// The usual club with head and shaft so heavy, in proportion, that the whole weighs what the scale read.
    fn with_total(&self, mass: Mass) -> Self {
        let loose = self.grip.mass + FERRULE_AND_GLUE;
        let share = (mass - loose) / (self.whole().mass - loose);
        Self { head: self.head * share, shaft: self.shaft * share, ..*self }
    }
}

/// How far swingweight and balance may disagree before both are doubted, in points. Trade practice: 1/16 in
/// and half a gram make half a point, a scale reads to half a point.
const BALANCES_AGREE_POINTS: f64 = 1.5;

fn agree(mass: Mass, balance: Length, given: Swingweight) -> Result<(), ClubError> {
    let reckoned = Swingweight::of(&MassMoments::point(mass, balance));
    if reckoned.points_above(given).abs() <= BALANCES_AGREE_POINTS {
        return Ok(());
    }
    Err(ClubError::TwoBalances {
        mass_g: mass.as_grams(),
        balance_in: balance.as_inches(),
        reckoned: reckoned.to_string(),
        given: given.to_string(),
    })
}

fn missing_length() -> ClubError {
    ClubError::OutOfRange {
        what: "length",
        found: "missing".to_owned(),
        expected: "a length such as \"37 in\", measured on the 60 degree plate to the top of the grip"
            .to_owned(),
    }
}

fn degrees(angle: Angle, decimals: usize) -> String {
    angle.degrees_printed(decimals).to_string()
}

fn grams(mass: Mass) -> String {
    mass.grams_printed(1).to_string()
}

fn inches(length: Length, decimals: usize) -> String {
    length.decimal_inches(decimals).to_string()
}

#[cfg(test)]
mod tests {
    use super::ClubEntry;
    use crate::{ClubError, Swingweight};
    use quantity::{Length, Mass};

    fn named(name: &str) -> ClubEntry {
        ClubEntry { name: name.to_owned(), length: Some(Length::inches(37.0)), ..ClubEntry::default() }
    }

    #[test]
    fn a_name_and_a_length_make_a_usual_club_with_everything_listed_as_assumed() {
        let club = named("7 iron").complete().unwrap();
        assert!(!club.is_weighed);
        assert!((club.head.mass.value.as_grams() - 268.0).abs() < 0.01);
        let assumed: Vec<_> = club.assumed.iter().map(|assumption| assumption.what).collect();
        for what in ["lie", "loft", "mass", "balance point", "grip mass", "groove pitch"] {
            assert!(assumed.contains(&what), "{what} of {assumed:?}");
        }
    }

    #[test]
    fn what_was_read_is_not_assumed() {
        let entry = ClubEntry {
            mass: Some(Mass::grams(426.0)),
            swingweight: Some(Swingweight::from_points(30.5)),
            grip_mass: Some(Mass::grams(50.0)),
            ..named("7 iron")
        };
        let club = entry.complete().unwrap();
        assert!(club.is_weighed);
        assert!((club.swingweight().points() - 30.5).abs() < 1e-9);
        assert!(!club.assumed.iter().any(|a| ["mass", "balance point", "grip mass"].contains(&a.what)));
    }

    #[test]
    fn every_field_that_cannot_be_meant_is_named_at_once() {
        let entry = ClubEntry {
            mass: Some(Mass::grams(-426.0)),
            grip_mass: Some(Mass::grams(5000.0)),
            length: Some(Length::inches(370.0)),
            ..named("7 irn")
        };
        let fields: Vec<_> = entry.complete().unwrap_err().iter().map(|problem| problem.field).collect();
        assert_eq!(fields, ["name", "length", "mass", "grip.mass"]);
    }

    #[test]
    fn a_balance_and_a_swingweight_that_disagree_are_both_doubted() {
        let entry = ClubEntry {
            mass: Some(Mass::grams(426.0)),
            balance: Some(Length::inches(28.25)),
            swingweight: Some(Swingweight::from_points(37.0)),
            ..named("7 iron")
        };
        let problems = entry.complete().unwrap_err();
        assert!(matches!(problems[0].error, ClubError::TwoBalances { .. }), "{problems:?}");
    }
}
