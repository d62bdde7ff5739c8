//! The build of a golfer's set from the shelf: every club to its target, all to one number.

use crate::{Shelf, StockedPart};
use bench::{
    Aim, AimedNumber, Build, BuildError, BuildRules, ClubPlan, ClubToBuild, Hold, SetPlan, ShelfPart, State,
    build_set,
};
use club::Swingweight;
use club::hold::Held;
use quantity::{Inertia, Length, Mass, Moment};

/// A set is even within this of one number, on either side. Trade practice: half a point, or 5 kg cm².
const POINTS_WITHIN: f64 = 0.5;
/// The same of the inertia.
const INERTIA_WITHIN: Inertia = Inertia::kg_cm2(5.0);
/// A finished length passes within this. Trade practice.
const LENGTH_WITHIN: Length = Length::inches(1.0 / 16.0);

/// A set's build and the parts its numbers point at.
#[derive(Debug, Clone)]
pub struct SetBuild {
    /// What every club is brought to, in words.
    pub number: String,
    /// The parts that were offered, in the order the answers count them.
    pub parts: Vec<ShelfPart>,
    /// The answers.
    pub build: Build,
}

/// Works out how to build a plan's clubs from what is free on the shelf, all to the set's middle number.
///
/// # Errors
/// [`BuildError`] for a set without clubs to build or with one that nobody weighed.
pub fn build_from_shelf(plan: &SetPlan, shelf: &Shelf, cents_a_minute: i64) -> Result<SetBuild, BuildError> {
    let clubs: Vec<&ClubPlan> = plan.clubs.iter().filter(|club| club.target.is_some()).collect();
    let (number, words) = middle_number(plan.house.hold, &clubs);
    let to_build: Vec<ClubToBuild<'_>> = clubs
        .iter()
        .map(|club| ClubToBuild {
            club: &club.club,
            aim: Aim {
                length: (club.club.length() + club.change, LENGTH_WITHIN),
                number,
                mass: None,
                frequency: None,
            },
        })
        .collect();
    let parts = offered(shelf);
    let is_growing = plan.target.is_for_a_growing_golfer();
    let rules = BuildRules { house: &plan.house, is_growing, cents_a_minute };
    Ok(SetBuild { number: words, build: build_set(&to_build, &parts, &rules)?, parts })
}

/// The middle of what the chosen ways alone leave: the fewest clubs then have far to go.
fn middle_number(hold: Hold, clubs: &[&ClubPlan]) -> (AimedNumber, String) {
    let middle = |of: &dyn Fn(&State) -> f64| {
        let after = clubs.iter().map(|club| match club.chosen() {
            Some(outcome) => of(&outcome.after),
            None => of(&State::of(&club.club.on_bench)),
        });
        let mut values: Vec<f64> = after.collect();
        values.sort_by(f64::total_cmp);
        values.get(values.len() / 2).copied().unwrap_or_default()
    };
    if hold == Hold::Number(Held::Inertia) {
        let inertia = Inertia::kg_m2(middle(&|state| state.inertia.as_kg_m2()));
        let words = format!("inertia {:.0} kg cm² ± 5", inertia.as_kg_cm2());
        return (AimedNumber::Inertia(inertia, INERTIA_WITHIN), words);
    }
    let moment = Moment::kilogram_metres(middle(&|state| state.swingweight.moment().as_kilogram_metres()));
    let scale = Swingweight::from_moment(moment);
    (AimedNumber::Swingweight(scale, POINTS_WITHIN), format!("swingweight {scale} ± 1/2 point"))
}

/// What is free, weighed pieces each for themselves.
fn offered(shelf: &Shelf) -> Vec<ShelfPart> {
    let mut offered = Vec::new();
    for part in shelf.on_it().into_iter().map(|kept| &kept.record) {
        let mut left = shelf.free(&part.id).max(0);
        let mut offer = |mass: Mass, count: i64| {
            let at_hand = u32::try_from(count.min(left)).unwrap_or_default();
            left -= i64::from(at_hand);
            offered.push(as_offered(part, mass, at_hand));
        };
        for (piece_mg, count) in shelf.pieces(&part.id) {
            #[expect(clippy::cast_precision_loss, reason = "a mass under a kilogram")]
            offer(Mass::grams(piece_mg as f64 / 1000.0), count);
        }
        let unweighed = shelf.counts.get(&(part.id.clone(), None)).copied().unwrap_or(0);
        if unweighed > 0 {
            offer(Mass::kilograms(part.mass_kg.unwrap_or(0.0)), unweighed);
        }
    }
    offered
}

fn as_offered(part: &StockedPart, mass: Mass, at_hand: u32) -> ShelfPart {
    ShelfPart {
        name: part.name.clone(),
        kind: part.kind,
        mass,
        cost_cents: part.cost.map_or(0, crate::Money::as_cents),
        at_hand,
        diameter: part.diameter_m.map(Length::metres),
        length: part.length_m.filter(|length| *length > 0.0).map(Length::metres),
    }
}
