//! The build of a golfer's set from the shelf: every club to its target, all to one number.

use crate::finished::{FEWEST_ON_A_LINE, OFF_THE_LINE};
use crate::{Shelf, StockedPart};
use bench::{
    Aim, AimedNumber, Build, BuildError, BuildRules, ClubPlan, ClubToBuild, Hold, SetPlan, ShelfPart, State,
    build_set,
};
use club::hold::Held;
use club::shaft::{ClubOnLine, FrequencyLine, set_line};
use club::{StraightLine, Swingweight};
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
    /// Slope of the frequency line they are brought to, cycles a minute for each inch shorter, where every club's frequency
    /// was read.
    pub slope_cpm_per_in: Option<f64>,
    /// How near the set's own line of masses every club is brought, where mass is held.
    pub mass_within: Option<Mass>,
    /// The parts that were offered, in the order the answers count them.
    pub parts: Vec<ShelfPart>,
    /// The answers.
    pub build: Build,
}

/// Works out how to build a plan's clubs from what is free on the shelf, all to the set's middle number; with `mass_within`
/// also to the line through the masses that the chosen ways alone leave.
///
/// # Errors
/// [`BuildError`] for a set without clubs to build or with one that nobody weighed.
pub fn build_from_shelf(
    plan: &SetPlan,
    shelf: &Shelf,
    cents_a_minute: i64,
    mass_within: Option<Mass>,
) -> Result<SetBuild, BuildError> {
    let clubs: Vec<&ClubPlan> = plan.clubs.iter().filter(|club| club.target.is_some()).collect();
    let (number, words) = middle_number(plan.house.hold, &clubs);
    let line = line_of(&clubs);
    let masses = line_of_masses(&masses_after(&clubs));
    let to_build: Vec<ClubToBuild<'_>> = clubs
        .iter()
        .map(|club| ClubToBuild {
            club: &club.club,
            aim: {
                let length = club.club.length() + club.change;
                let frequency = line.as_ref().map(|line| (line.at(length), OFF_THE_LINE));
                let mass = mass_within
                    .zip(masses)
                    .map(|(within, line)| (Mass::grams(line.at(length.as_inches())), within));
                Aim { length: (length, LENGTH_WITHIN), number, mass, frequency }
            },
        })
        .collect();
    let parts = offered(shelf);
    let is_growing = plan.target.is_for_a_growing_golfer();
    let rules = BuildRules { house: &plan.house, is_growing, cents_a_minute };
    let slope = line.map(|line| line.slope_cpm_per_in_shorter);
    Ok(SetBuild {
        number: words,
        slope_cpm_per_in: slope,
        mass_within,
        build: build_set(&to_build, &parts, &rules)?,
        parts,
    })
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

/// The line through the set as it is read: the one to stay on. Nothing where a club's frequency was not read, or with two
/// clubs, which lie on any line.
fn line_of(clubs: &[&ClubPlan]) -> Option<FrequencyLine> {
    let on_line: Vec<ClubOnLine> = clubs
        .iter()
        .filter_map(|club| Some(ClubOnLine { length: club.club.length(), frequency: club.club.frequency? }))
        .collect();
    if on_line.len() < clubs.len() || clubs.len() < FEWEST_ON_A_LINE {
        return None;
    }
    set_line(&on_line).ok()
}

/// What the chosen ways alone leave: each club's length and mass.
fn masses_after(clubs: &[&ClubPlan]) -> Vec<(Length, Mass)> {
    let after = clubs.iter().map(|club| {
        let mass = match club.chosen() {
            Some(outcome) => outcome.after.mass,
            None => State::of(&club.club.on_bench).mass,
        };
        (club.club.length() + club.change, mass)
    });
    after.collect()
}

/// The line through a set's masses, grams over inches.
fn line_of_masses(masses: &[(Length, Mass)]) -> Option<StraightLine> {
    let points: Vec<(f64, f64)> =
        masses.iter().map(|(length, mass)| (length.as_inches(), mass.as_grams())).collect();
    StraightLine::through(&points)
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

#[cfg(test)]
mod tests {
    use super::{build_from_shelf, line_of_masses, masses_after, offered};
    use crate::{Id, Kept, Shelf, StockedPart};
    use bench::{House, PartKind, SetPlan, WishedClub, plan};
    use club::ClubEntry;
    use fitting::{BodyReadings, Golfer, Handedness, Shoes};
    use quantity::{Frequency, Length, Mass};

    fn set(with_frequencies: bool) -> SetPlan {
        let golfer = Golfer {
            name: "Ines Falk".to_owned(),
            plays: Handedness::Right,
            readings: BodyReadings::of_knuckle(vec![Length::inches(30.0)], Shoes::On),
            head_speed: None,
            trial: None,
            overruled: None,
        };
        let clubs: Vec<WishedClub> = [("6 iron", 37.0), ("7 iron", 36.5), ("8 iron", 36.0)]
            .iter()
            .map(|(name, length)| {
                let entry = ClubEntry {
                    name: (*name).to_owned(),
                    length: Some(Length::inches(*length)),
                    mass: Some(Mass::grams(420.0 + (37.0 - length) * 14.0)),
                    balance: Some(Length::inches(length * 28.25 / 37.0)),
                    grip_mass: Some(Mass::grams(50.0)),
                    frequency: with_frequencies.then(|| Frequency::cpm(294.0 + (37.0 - length) * 8.0)),
                    ..ClubEntry::default()
                };
                WishedClub { entry, wish: None }
            })
            .collect();
        plan(&golfer, &clubs, &House::default()).unwrap()
    }

    fn shelf() -> Shelf {
        let part = |last: char, kind, name: &str, mass_kg| StockedPart {
            id: Id::parse(&format!("01938a6e-1b2c-7def-8123-45678900000{last}")).unwrap(),
            kind,
            name: name.to_owned(),
            diameter_m: None,
            length_m: None,
            mass_kg: Some(mass_kg),
            cost: Some(crate::Money::cents(400)),
            low_at: 0,
            note: None,
            removed: false,
        };
        let parts = [
            part('1', PartKind::Grip, "grip", 0.050),
            part('2', PartKind::Plug, "rod", 0.013),
            part('3', PartKind::TipWeight, "brass", 0.004),
            part('4', PartKind::HeadTape, "tape", 0.000_45),
            part('5', PartKind::ButtWeight, "small butt weight", 0.005),
            part('6', PartKind::ButtWeight, "butt weight", 0.010),
        ];
        let counts = parts.iter().map(|part| ((part.id.clone(), None), 60));
        Shelf {
            counts: counts.chain([((parts[2].id.clone(), Some(3_900)), 2)]).collect(),
            parts: parts.iter().cloned().map(|record| Kept { record, revision: 1 }).collect(),
            ..Shelf::default()
        }
    }

    #[test]
    fn a_set_is_built_to_its_target_and_to_one_number() {
        let built = build_from_shelf(&set(false), &shelf(), 60, None).unwrap();
        assert!(built.build.because.is_empty(), "{:?}", built.build.because);
        assert_eq!(built.slope_cpm_per_in, None);
        let best = &built.build.answers[0];
        let lengths: Vec<f64> = best.clubs.iter().map(|club| club.state.length.as_inches()).collect();
        // 30 in at the knuckle: the six-iron is 37 1/2
        let wanted = [37.5, 37.0, 36.5];
        assert!(
            lengths.iter().zip(wanted).all(|(found, wanted)| (found - wanted).abs() < 0.07),
            "{lengths:?}"
        );
        let first = best.clubs[1].state.swingweight;
        assert!(best.clubs.iter().all(|club| club.state.swingweight.points_above(first).abs() < 1.001));
    }

    /// What an answer says of a frequency is what the line says of it.
    #[test]
    fn where_frequencies_were_read_the_sets_line_is_kept() {
        let built = build_from_shelf(&set(true), &shelf(), 60, None).unwrap();
        assert!((built.slope_cpm_per_in.unwrap() - 8.0).abs() < 1e-9);
        let clubs = &built.build.answers[0].clubs;
        assert_eq!(clubs.iter().filter(|club| club.frequency.is_some()).count(), 3);
        for club in clubs {
            let line = 294.0 + (37.0 - club.state.length.as_inches()) * 8.0;
            let off = club.frequency.unwrap().as_cpm() - line;
            let is_said = club.misses.iter().any(|miss| miss.contains("the line"));
            assert_eq!(off.abs() > 2.0 + 1e-6, is_said, "{off} {:?}", club.misses);
        }
    }

    /// On a line of 14 g an inch, and with the middle one 6 g over: by hand the line then passes 2 g over the others.
    #[test]
    fn the_line_of_masses_is_that_of_least_squares() {
        for (over, beside) in [(0.0, [0.0, 0.0, 0.0]), (6.0, [2.0, -4.0, 2.0])] {
            let masses = [(37.0, 420.0), (36.5, 427.0 + over), (36.0, 434.0)];
            let line =
                line_of_masses(&masses.map(|(length, mass)| (Length::inches(length), Mass::grams(mass))));
            for ((length, mass), wanted) in masses.into_iter().zip(beside) {
                assert!((line.unwrap().at(length) - mass - wanted).abs() < 1e-9, "{over} {wanted}");
            }
        }
    }

    #[test]
    fn what_is_off_the_line_of_masses_is_said_and_nothing_else() {
        let plan = set(false);
        let within = Mass::grams(2.0);
        let built = build_from_shelf(&plan, &shelf(), 60, Some(within)).unwrap();
        let clubs: Vec<_> = plan.clubs.iter().collect();
        let line = line_of_masses(&masses_after(&clubs)).unwrap();
        let answer = &built.build.answers[0];
        assert_eq!(answer.clubs.len(), 3);
        for (club, planned) in answer.clubs.iter().zip(&plan.clubs) {
            let length = planned.club.length() + planned.change;
            let aim = Mass::grams(line.at(length.as_inches()));
            let is_off = (club.state.mass - aim).abs() > within * (1.0 + 1e-6);
            let is_said = club.misses.iter().any(|miss| miss.contains(" g too "));
            assert_eq!(is_off, is_said, "{} {:?}", club.name, club.misses);
        }
    }

    #[test]
    fn weighed_pieces_are_offered_each_for_themselves() {
        let offered = offered(&shelf());
        let of = |kind| offered.iter().filter(move |part| part.kind == kind);
        let brass: Vec<(f64, u32)> =
            of(PartKind::TipWeight).map(|part| (part.mass.as_grams(), part.at_hand)).collect();
        assert_eq!(brass.len(), 2);
        assert!((brass[0].0 - 3.9).abs() < 1e-9 && brass[0].1 == 2 && brass[1].1 == 60);
    }
}
