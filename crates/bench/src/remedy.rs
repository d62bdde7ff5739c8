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

/// A length of one of the shelf's tapes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapeLength {
    /// Mass of an inch of it.
    pub mass_per_inch: Mass,
    /// How much of it.
    pub length: Length,
}

/// What the bench does to hold the number.
#[derive(Debug, Clone, PartialEq)]
pub enum Fix {
    /// Nothing: the change is within what a set varies.
    Nothing,
    /// Lead tape on the back of the head.
    Tape(TapeLength),
    /// A weight in the tip, with the head off.
    TipWeight(Mass),
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
            add_to_head(&tapes, tip_weight, house)
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

/// Tape while it stays short, since the head then stays on; else a weight in the tip.
fn add_to_head(tapes: &[TapeLength], tip_weight: Option<Mass>, house: &House) -> Fix {
    let shortest = tapes.iter().min_by(|a, b| a.length.compare(&b.length));
    match (shortest, tip_weight) {
        (Some(tape), _) if tape.length <= house.most_tape => Fix::Tape(*tape),
        (_, Some(weight)) => Fix::TipWeight(weight),
        (Some(tape), None) => Fix::Tape(*tape),
        (None, None) => Fix::Nothing,
    }
}

impl Fix {
    /// Returns the club with the fix made.
    pub(crate) fn applied(&self, club: &OnBench, house: &House) -> OnBench {
        match self {
            Self::Nothing | Self::LighterHead(_) => *club,
            Self::Tape(tape) => club.with_head_mass(tape.mass_per_inch * tape.length.as_inches()),
            Self::TipWeight(mass) => club.with_head_mass(*mass),
            Self::ButtWeight(mass) => club.with_butt_weight(*mass, house.butt_weight_at),
        }
    }

    /// Lists the parts it needs.
    pub(crate) fn parts(&self) -> Vec<PartLine> {
        match self {
            Self::Nothing | Self::LighterHead(_) => Vec::new(),
            Self::Tape(tape) => vec![PartLine::lead_tape(tape.length, tape.mass_per_inch)],
            Self::TipWeight(mass) => {
                vec![PartLine::tip_weight(*mass), PartLine::glue(), PartLine::ferrule()]
            }
            Self::ButtWeight(mass) => vec![PartLine::butt_weight(*mass)],
        }
    }

    /// Says it in a few words.
    #[must_use]
    pub fn words(&self) -> String {
        use quantity::InchStep::Quarter;
        match self {
            Self::Nothing => "nothing to add".to_owned(),
            Self::Tape(tape) => format!(
                "{} of tape at {}/in on the head",
                tape.length.to_step(Quarter),
                tape.mass_per_inch.grams_printed(2)
            ),
            Self::TipWeight(mass) => format!("tip weight of {}", mass.grams_printed(0)),
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
