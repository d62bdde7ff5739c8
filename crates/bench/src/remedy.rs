//! What brings swingweight or inertia back after a change of length: weights, tape, or nothing.
//!
//! Both answers are worked out, because the fitter chooses which number to hold. A butt weight moves the
//! scale alone; the inertia stays where the length put it, and that is said beside it.

use crate::parts::PartLine;
use crate::{House, State};
use club::alter::OnBench;
use club::{hold, tape};
use hold::Held;
use quantity::{Length, Mass};

/// A change this small is left: half a point on the scale, or its like in inertia. Trade practice: a set is
/// even within half a point.
const LEFT_ALONE_POINTS: f64 = 0.5;
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
    /// The club with that done.
    pub state: State,
}

impl Remedy {
    /// Works out how to bring `after` back to `before`'s number; `down` is how far it is gripped down.
    pub(crate) fn of(held: Held, before: &State, after: &OnBench, down: Length, house: &House) -> Self {
        let in_hands = after.from_the_hands(down);
        let (head_mass, is_left_alone) = match held {
            Held::Swingweight => (
                hold::head_mass_for_swingweight(&in_hands, before.as_held),
                in_hands.swingweight().points_above(before.as_held).abs() <= LEFT_ALONE_POINTS,
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
            butt_weight.and_then(|weight| hold::nearest_weight(&house.butt_weights, weight));
        let heavier_grip_by = off_the_head
            .then(|| hold::grip_mass_for_swingweight(after, before.swingweight))
            .filter(|mass| *mass > Mass::ZERO);
        let fix = if is_left_alone {
            Fix::Nothing
        } else if wants_more {
            add_to_head(head_mass, tip_weight, house)
        } else {
            shelf_butt_weight
                .filter(|weight| *weight <= house.most_butt_weight)
                .map_or(Fix::LighterHead(-head_mass), Fix::ButtWeight)
        };
        let state = State::held_down(&fix.applied(after, house), down);
        Self {
            held,
            head_mass,
            tapes,
            tip_weight,
            butt_weight,
            shelf_butt_weight,
            heavier_grip_by,
            fix,
            state,
        }
    }
}

/// Tape while it stays short, since the head then stays on; else a weight in the tip, and tape for the rest.
fn add_to_head(wanted: Mass, tip_weight: Option<Mass>, house: &House) -> Fix {
    let short_tape = |mass: Mass| shortest_tape(mass, house).filter(|tape| tape.length <= house.most_tape);
    if let Some(tape) = short_tape(wanted) {
        return Fix::Tape(tape);
    }
    match tip_weight {
        Some(weight) => {
            let rest = Some(wanted - weight).filter(|rest| *rest > WORTH_TAPE);
            Fix::TipWeight { weight, tape: rest.and_then(short_tape) }
        }
        None => shortest_tape(wanted, house).map_or(Fix::Nothing, Fix::Tape),
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
            Self::Nothing | Self::LighterHead(_) => *club,
            Self::Tape(tape) => club.with_head_mass(tape.mass()),
            Self::TipWeight { weight, tape } => {
                club.with_head_mass(*weight + tape.as_ref().map_or(Mass::ZERO, TapeLength::mass))
            }
            Self::ButtWeight(mass) => club.with_butt_weight(*mass, house.butt_weight_at),
        }
    }

    /// Lists the parts it needs.
    pub(crate) fn parts(&self) -> Vec<PartLine> {
        match self {
            Self::Nothing | Self::LighterHead(_) => Vec::new(),
            Self::Tape(tape) => vec![PartLine::lead_tape(tape.length, tape.mass_per_inch)],
            Self::TipWeight { weight, tape } => {
                let taped = tape.map(|tape| PartLine::lead_tape(tape.length, tape.mass_per_inch));
                let parts = [PartLine::tip_weight(*weight), PartLine::glue(), PartLine::ferrule()];
                parts.into_iter().chain(taped).collect()
            }
            Self::ButtWeight(mass) => vec![PartLine::butt_weight(*mass)],
        }
    }

    /// Names it for a narrow column; `None` when nothing is done.
    #[must_use]
    pub fn short(&self) -> Option<String> {
        use quantity::InchStep::Quarter;
        match self {
            Self::Nothing => None,
            Self::Tape(tape) => Some(format!("tape {}", tape.length.to_step(Quarter))),
            Self::TipWeight { weight, tape: None } => Some(format!("tip {}", weight.grams_printed(0))),
            Self::TipWeight { weight, tape: Some(tape) } => {
                Some(format!("tip {}, tape {}", weight.grams_printed(0), tape.length.to_step(Quarter)))
            }
            Self::ButtWeight(mass) => Some(format!("butt {}", mass.grams_printed(0))),
            Self::LighterHead(_) => Some("accept it".to_owned()),
        }
    }

    /// Says it in a few words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Nothing => "nothing to add".to_owned(),
            Self::Tape(tape) => format!("{} on the head", tape.words()),
            Self::TipWeight { weight, tape: None } => format!("tip weight of {}", weight.grams_printed(0)),
            Self::TipWeight { weight, tape: Some(tape) } => {
                format!("tip weight of {} and {} on the head", weight.grams_printed(0), tape.words())
            }
            Self::ButtWeight(mass) => {
                format!("butt weight of {}; the inertia stays", mass.grams_printed(0))
            }
            Self::LighterHead(mass) => {
                format!(
                    "{} would have to come off the head; accept it, or another shaft",
                    mass.grams_printed(1)
                )
            }
        }
    }
}
