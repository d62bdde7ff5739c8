//! What brings swingweight or inertia back after a change of length: weights, tape, or nothing.
//!
//! Both answers are worked out, because the fitter chooses which number to hold. A butt weight moves the
//! scale alone; the inertia stays where the length put it, and that is said beside it.

use crate::parts::{PartLine, weight as weight_printed};
use crate::way::WayKind;
use crate::{House, State};
use club::alter::OnBench;
use club::{hold, tape};
use hold::Held;
use quantity::{Length, Mass, Printed};

/// A change this small is left: half a point on the scale. Trade practice: a set is even within half a point.
const LEFT_ALONE_POINTS: f64 = 0.5;
/// A club that reads heavier by no more than this gets no butt weight: most do not feel one point (trade
/// practice), and the weight is dead mass.
const NOT_WORTH_DEAD_MASS_POINTS: f64 = 1.0;
/// What a fix may leave without a word, in points and in kg·cm². Trade practice: one point is not felt by most.
const NOT_WORTH_A_WORD: (f64, f64) = (1.0, 15.0);
/// More than this at the head draws its balance toward the heel. Trade practice.
const MUCH_AT_THE_HEAD: Mass = Mass::grams(10.0);
/// A change of inertia this small is left, kg·cm². Trade practice: a set is even within 5.
const LEFT_ALONE_KG_CM2: f64 = 5.0;

/// Less than this is not taped beside a tip weight: under half a point. Trade practice.
const WORTH_TAPE: Mass = Mass::grams(1.0);

/// A length of one of the shelf's tapes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapeLength {
    /// Mass of an inch of it.
    pub mass_per_inch: Mass,
    /// How much of it.
    pub length: Length,
}

impl TapeLength {
    /// Returns what it weighs.
    #[must_use]
    pub fn mass(&self) -> Mass {
        self.mass_per_inch * self.length.as_inches()
    }

    /// Says it: `5 1/2 in of tape at 1.00 g/in`.
    #[must_use]
    pub fn words(&self) -> String {
        let length = self.length.to_step(quantity::InchStep::Quarter);
        format!("{length} of tape at {}/in", self.mass_per_inch.grams_printed(2))
    }
}

/// What the bench does to hold the number.
#[derive(Debug, Clone, PartialEq)]
pub enum Fix {
    /// Nothing: the change is within what a set varies.
    Nothing,
    /// Lead tape on the back of the head.
    Tape(TapeLength),
    /// A weight in the tip, with the head off, and tape for what it leaves.
    TipWeight {
        /// The weight from the shelf.
        weight: Mass,
        /// Tape for the rest, when the rest is worth it.
        tape: Option<TapeLength>,
    },
    /// A weight in the butt; the inertia stays.
    ButtWeight(Mass),
    /// Mass would have to come off the head, and nothing on the shelf does that.
    LighterHead(Mass),
    /// Mass would have to be added at the head, and nothing on the shelf does that.
    NothingOnTheShelf(Mass),
}

/// How one number is held after a change.
#[derive(Debug, Clone, PartialEq)]
pub struct Remedy {
    /// The number held.
    pub held: Held,
    /// Head mass that would hold it exactly; negative is mass to take off.
    pub head_mass: Mass,
    /// That mass in each of the shelf's tapes, when mass is to be added.
    pub tapes: Vec<TapeLength>,
    /// The shelf's nearest head weight, when mass is to be added.
    pub tip_weight: Option<Mass>,
    /// The butt weight that holds the scale exactly, when mass is to be taken off the head.
    pub butt_weight: Option<Mass>,
    /// The shelf's nearest to it.
    pub shelf_butt_weight: Option<Mass>,
    /// Mass the grip would have to gain to hold the scale, when mass is to be taken off the head.
    pub heavier_grip_by: Option<Mass>,
    /// What the bench would do.
    pub fix: Fix,
    /// What that leaves, when it is worth a word: `leaves it 3.5 points light`.
    pub left_over: Option<String>,
    /// The club with that done.
    pub state: State,
}

/// A club after the change of length, as far as holding a number asks.
pub(crate) struct Work {
    /// Its masses.
    pub(crate) club: OnBench,
    /// How far it is gripped down.
    pub(crate) down: Length,
    /// Whether the head is off anyway, so that a tip weight costs no heat.
    pub(crate) head_is_off: bool,
}

impl Remedy {
    /// Works out how to bring a club back to the number it had `before`.
    pub(crate) fn of(held: Held, before: &State, work: &Work, house: &House) -> Self {
        let (after, down) = (&work.club, work.down);
        let in_hands = after.from_the_hands(down);
        let (head_mass, is_left_alone) = match held {
            Held::Swingweight => (
                hold::head_mass_for_swingweight(&in_hands, before.as_held),
                (-LEFT_ALONE_POINTS..=NOT_WORTH_DEAD_MASS_POINTS)
                    .contains(&in_hands.swingweight().points_above(before.as_held)),
            ),
            Held::Inertia => (
                hold::head_mass_for_inertia(&in_hands, before.inertia),
                (in_hands.inertia() - before.inertia).abs().as_kg_cm2() <= LEFT_ALONE_KG_CM2,
            ),
        };
        let wants_more = head_mass > Mass::ZERO;
        let tapes: Vec<TapeLength> = house
            .tapes
            .iter()
            .filter(|_| wants_more)
            .filter_map(|&mass_per_inch| {
                let length = tape::length_of_tape(head_mass, mass_per_inch).ok()?;
                Some(TapeLength { mass_per_inch, length })
            })
            .collect();
        let tip_weight = hold::nearest_weight(&house.tip_weights, head_mass).filter(|_| wants_more);
        let off_the_head = !wants_more && held == Held::Swingweight;
        let butt_weight = hold::butt_weight_for_swingweight(after, before.swingweight, house.butt_weight_at)
            .filter(|_| off_the_head);
        let shelf_butt_weight =
            butt_weight.and_then(|weight| hold::nearest_weight(&usual_butt_weights(house), weight));
        let heavier_grip_by = off_the_head
            .then(|| hold::grip_mass_for_swingweight(after, before.swingweight))
            .filter(|mass| *mass > Mass::ZERO);
        let fix = if is_left_alone {
            Fix::Nothing
        } else if wants_more {
            add_to_head(head_mass, tip_weight, work.head_is_off, house)
        } else {
            shelf_butt_weight.map_or(Fix::LighterHead(-head_mass), Fix::ButtWeight)
        };
        let state = State::held_down(&fix.applied(after, house), down);
        let left_over = left_over(held, before, &state).filter(|_| !is_left_alone);
        Self {
            held,
            head_mass,
            tapes,
            tip_weight,
            butt_weight,
            shelf_butt_weight,
            heavier_grip_by,
            fix,
            left_over,
            state,
        }
    }

    /// Says what the bench does and what that leaves.
    #[must_use]
    pub fn words(&self) -> String {
        let left_over = self.left_over.as_ref().map(|left| format!("; {left}")).unwrap_or_default();
        format!("{}{left_over}", self.fix.words())
    }
}

/// How far the finished club is from the number held, when that is worth a word.
fn left_over(held: Held, before: &State, finished: &State) -> Option<String> {
    let (missing, worth, unit, names) = match held {
        Held::Swingweight => {
            (finished.as_held.points_above(before.as_held), NOT_WORTH_A_WORD.0, "points", ("heavy", "light"))
        }
        Held::Inertia => {
            ((finished.inertia - before.inertia).as_kg_cm2(), NOT_WORTH_A_WORD.1, "kg cm²", ("over", "short"))
        }
    };
    let name = if missing > 0.0 { names.0 } else { names.1 };
    (missing.abs() > worth).then(|| format!("leaves it {} {name}", Printed::new(missing.abs(), 1, unit)))
}

/// The butt weights of the shelf that are put in without another word.
fn usual_butt_weights(house: &House) -> Vec<Mass> {
    house.butt_weights.iter().copied().filter(|weight| *weight <= house.most_butt_weight).collect()
}

/// Tape while it stays short and the head is on; else a weight in the tip, and tape for the rest as
/// far as it stays short.
fn add_to_head(wanted: Mass, tip_weight: Option<Mass>, head_is_off: bool, house: &House) -> Fix {
    let as_much_tape = |mass: Mass| {
        shortest_tape(mass, house)
            .map(|tape| TapeLength { length: tape.length.min(house.most_tape), ..tape })
            .filter(|tape| tape.length > Length::ZERO)
    };
    let whole_in_tape = shortest_tape(wanted, house).filter(|tape| tape.length <= house.most_tape);
    match (whole_in_tape, tip_weight) {
        (Some(tape), None) => Fix::Tape(tape),
        (Some(tape), Some(_)) if !head_is_off => Fix::Tape(tape),
        (_, Some(weight)) => {
            let rest = Some(wanted - weight).filter(|rest| *rest > WORTH_TAPE);
            Fix::TipWeight { weight, tape: rest.and_then(as_much_tape) }
        }
        (None, None) => as_much_tape(wanted).map_or(Fix::NothingOnTheShelf(wanted), Fix::Tape),
    }
}

/// The shelf's tape that makes this mass in the fewest inches.
fn shortest_tape(mass: Mass, house: &House) -> Option<TapeLength> {
    house
        .tapes
        .iter()
        .filter_map(|&mass_per_inch| {
            let length = tape::length_of_tape(mass, mass_per_inch).ok()?;
            Some(TapeLength { mass_per_inch, length })
        })
        .min_by(|a, b| a.length.compare(&b.length))
}

impl Fix {
    /// Returns the club with the fix made.
    pub(crate) fn applied(&self, club: &OnBench, house: &House) -> OnBench {
        match self {
            Self::Nothing | Self::LighterHead(_) | Self::NothingOnTheShelf(_) => *club,
            Self::Tape(_) | Self::TipWeight { .. } => club.with_head_mass(self.head_mass()),
            Self::ButtWeight(mass) => club.with_butt_weight(*mass, house.butt_weight_at),
        }
    }

    /// Lists the parts it needs in a job of this way, glue and ferrule only where the job has none of its own.
    pub(crate) fn parts(&self, kind: WayKind, is_growing: bool) -> Vec<PartLine> {
        let tape_line = |tape: &TapeLength| PartLine::head_tape(tape.length, tape.mass_per_inch, is_growing);
        match self {
            Self::Nothing | Self::LighterHead(_) | Self::NothingOnTheShelf(_) => Vec::new(),
            Self::Tape(tape) => vec![tape_line(tape)],
            Self::TipWeight { weight, tape } => {
                let mut parts = vec![PartLine::tip_weight(*weight)];
                if kind != WayKind::OtherShaft {
                    parts.extend([PartLine::glue(), PartLine::ferrule()]);
                }
                parts.extend(tape.as_ref().map(tape_line));
                parts
            }
            Self::ButtWeight(mass) => {
                let glue = (kind != WayKind::Extend).then(PartLine::glue);
                std::iter::once(PartLine::butt_weight(*mass)).chain(glue).collect()
            }
        }
    }

    /// Names it for a narrow column; `None` when nothing is done.
    #[must_use]
    pub fn short(&self) -> Option<String> {
        use quantity::InchStep::Quarter;
        match self {
            Self::Nothing => None,
            Self::Tape(tape) => Some(format!("tape {}", tape.length.to_step(Quarter))),
            Self::TipWeight { weight, tape: None } => Some(format!("tip {}", weight_printed(*weight))),
            Self::TipWeight { weight, tape: Some(tape) } => {
                Some(format!("tip {}, tape {}", weight_printed(*weight), tape.length.to_step(Quarter)))
            }
            Self::ButtWeight(mass) => Some(format!("butt {}", weight_printed(*mass))),
            Self::LighterHead(_) | Self::NothingOnTheShelf(_) => Some("accept it".to_owned()),
        }
    }

    /// Returns what it adds at the head.
    #[must_use]
    pub fn head_mass(&self) -> Mass {
        match self {
            Self::Tape(tape) => tape.mass(),
            Self::TipWeight { weight, tape } => *weight + tape.as_ref().map_or(Mass::ZERO, TapeLength::mass),
            Self::Nothing | Self::ButtWeight(_) | Self::LighterHead(_) | Self::NothingOnTheShelf(_) => {
                Mass::ZERO
            }
        }
    }

    /// Says what to watch with it, if anything.
    #[must_use]
    pub fn caution(&self) -> Option<&'static str> {
        (self.head_mass() > MUCH_AT_THE_HEAD).then_some(
            "More than 10 g at the head draws its balance toward the heel: say so, or leave part of it.",
        )
    }

    /// Minutes it takes. Trade practice: tape a few, a butt weight five, a head off and on again 25.
    pub(crate) fn minutes(&self, head_is_off: bool) -> u32 {
        match self {
            Self::Nothing | Self::LighterHead(_) | Self::NothingOnTheShelf(_) => 0,
            Self::Tape(_) => 3,
            Self::ButtWeight(_) => 5,
            Self::TipWeight { .. } => {
                if head_is_off {
                    5
                } else {
                    25
                }
            }
        }
    }

    /// Says it in a few words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::NothingOnTheShelf(mass) => {
                format!("{} wanted at the head, nothing on the shelf makes it", mass.grams_printed(1))
            }
            Self::Nothing => "nothing to add".to_owned(),
            Self::Tape(tape) => format!("{} on the head", tape.words()),
            Self::TipWeight { weight, tape: None } => format!("tip weight of {}", weight_printed(*weight)),
            Self::TipWeight { weight, tape: Some(tape) } => {
                format!("tip weight of {} and {} on the head", weight_printed(*weight), tape.words())
            }
            Self::ButtWeight(mass) => {
                format!("butt weight of {}; the inertia stays", weight_printed(*mass))
            }
            Self::LighterHead(mass) => {
                format!("{} would have to come off the head: accept it", mass.grams_printed(1))
            }
        }
    }
}
