//! Answers are held against trying every combination; weighed pieces, limits and empty shelves against what a person would
//! say.

use super::candidate::{Candidate, Candidates, Goal, candidates};
use super::narrow::narrow;
use super::{Aim, AimedNumber, BuildError, BuildRules, ClubToBuild, ShelfPart, build_set, pick};
use crate::{House, PartKind, Way, WayKind, WishedClub, plan};
use club::{Club, ClubEntry, Swingweight};
use fitting::{BodyReadings, Golfer, Handedness, Shoes};
use quantity::{Inertia, Length, Mass};

/// A club as the plan completes it from its readings.
fn club(name: &str, length_in: f64, mass_g: f64, balance_in: f64) -> Club {
    let golfer = Golfer {
        name: "Ines Falk".to_owned(),
        plays: Handedness::Right,
        readings: BodyReadings::of_knuckle(vec![Length::inches(28.0)], Shoes::On),
        head_speed: None,
        trial: None,
        overruled: None,
    };
    let entry = ClubEntry {
        name: name.to_owned(),
        length: Some(Length::inches(length_in)),
        mass: Some(Mass::grams(mass_g)),
        balance: Some(Length::inches(balance_in)),
        grip_mass: Some(Mass::grams(50.0)),
        ..ClubEntry::default()
    };
    plan(&golfer, &[WishedClub { entry, wish: None }], &House::default()).unwrap().clubs.remove(0).club
}

fn part(kind: PartKind, name: &str, mass_g: f64, cost_cents: i64, at_hand: u32) -> ShelfPart {
    ShelfPart {
        name: name.to_owned(),
        kind,
        mass: Mass::grams(mass_g),
        cost_cents,
        at_hand,
        diameter: None,
        length: None,
    }
}

fn aim(length_in: f64, scale: Swingweight, within_points: f64) -> Aim {
    Aim {
        length: (Length::inches(length_in), Length::inches(1.0 / 16.0)),
        number: AimedNumber::Swingweight(scale, within_points),
        mass: None,
        frequency: None,
    }
}

fn house() -> House {
    House { most_tape: Length::inches(1.5), ..House::default() }
}

fn rules(house: &House) -> BuildRules<'_> {
    BuildRules { house, is_growing: false, cents_a_minute: 40 }
}

/// Numbers that are alike on every run: a linear congruence modulo 2^31 (Knuth's multiplier of MINSTD).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        self.0 % end
    }
}

/// Tries every combination: the scores of those the shelf allows, least first.
fn every_score(choices: &[Vec<Candidate>], shelf: &[ShelfPart]) -> Vec<f64> {
    let mut scores = Vec::new();
    let mut places = vec![0; choices.len()];
    if choices.iter().any(Vec::is_empty) {
        return scores;
    }
    loop {
        let picked = || choices.iter().zip(&places).map(|(club, place)| &club[*place]);
        let is_there = shelf.iter().enumerate().all(|(part, of)| {
            let taken: u32 = picked()
                .flat_map(|candidate| &candidate.uses)
                .filter(|(used, _)| *used == part)
                .map(|(_, count)| count)
                .sum();
            taken <= of.at_hand
        });
        if is_there {
            scores.push(picked().map(|candidate| candidate.score).sum());
        }
        let Some(turn) = (0..places.len()).find(|at| places[*at] + 1 < choices[*at].len()) else { break };
        places[turn] += 1;
        places[..turn].fill(0);
    }
    scores.sort_by(f64::total_cmp);
    scores
}

/// Small shelves of chance: the programme's answers are the best of all combinations, or there are none.
#[test]
fn answers_are_the_best_of_all_combinations() {
    let clubs = [
        club("6 iron", 37.0, 419.0, 28.35),
        club("7 iron", 36.5, 426.0, 27.95),
        club("8 iron", 36.0, 434.0, 27.5),
    ];
    let house = house();
    let mut numbers = Numbers(20_261_127);
    let (mut met, mut unmet, mut tried) = (0, 0, 0_usize);
    for _ in 0..120 {
        let mut some = |kind, name: &str, masses: &[f64]| {
            let mass = masses[usize::try_from(numbers.below(masses.len() as u64)).unwrap()];
            let (cost, count) = (50 + 25 * numbers.below(12), numbers.below(5));
            part(kind, name, mass, i64::try_from(cost).unwrap(), u32::try_from(count).unwrap())
        };
        let shelf = [
            some(PartKind::Grip, "grip one", &[44.0, 50.0, 52.0]),
            some(PartKind::Grip, "grip two", &[48.0, 50.0, 60.0]),
            some(PartKind::Plug, "plug one", &[6.0, 9.0, 14.0]),
            some(PartKind::Plug, "plug two", &[4.0, 8.0, 12.0]),
            some(PartKind::TipWeight, "tip", &[2.0, 4.0, 6.0]),
            some(PartKind::ButtWeight, "butt", &[4.0, 8.0]),
            some(PartKind::HeadTape, "tape", &[0.5, 1.0]),
            some(PartKind::Glue, "glue", &[1.0]),
        ];
        let to_build: Vec<ClubToBuild<'_>> = clubs
            .iter()
            .map(|club| ClubToBuild {
                club,
                aim: aim(club.length().as_inches() + 0.5, club.swingweight(), 2.5),
            })
            .collect();
        let goal = |goal| -> Vec<Vec<Candidate>> {
            to_build.iter().map(|club| candidates(club, &shelf, &rules(&house), goal).list).collect()
        };
        let (all, build) = (goal(Goal::Within), build_set(&to_build, &shelf, &rules(&house)).unwrap());
        let scores = every_score(&all, &shelf);
        tried += all.iter().map(Vec::len).product::<usize>();
        assert_eq!(scores.is_empty(), !build.answers[0].is_within());
        let wanted: Vec<f64> = if scores.is_empty() {
            unmet += 1;
            assert!(!build.because.is_empty());
            let mut nearest = goal(Goal::Nearest);
            // only the nearest hundred of each club: the whole product is millions
            for club in &mut nearest {
                club.sort_by(|a, b| a.score.total_cmp(&b.score));
                club.truncate(100);
            }
            every_score(&nearest, &shelf).into_iter().take(1).collect()
        } else {
            met += 1;
            assert!(build.because.is_empty());
            scores.into_iter().take(3).collect()
        };
        assert_eq!(build.answers.len(), wanted.len());
        // the same scores, by the programme on what narrowing left
        let scarce: Vec<bool> = shelf.iter().map(|part| part.is_scarce_for(3)).collect();
        let kind = if build.because.is_empty() { Goal::Within } else { Goal::Nearest };
        let kept: Vec<_> = goal(kind)
            .into_iter()
            .map(|list| narrow(Candidates { list, left_out_from: None }, &scarce))
            .collect();
        let choices: Vec<&[Candidate]> = kept.iter().map(|club| club.kept.as_slice()).collect();
        let (picked, is_proved) = pick::best(&choices, &shelf, wanted.len()).unwrap();
        assert!(is_proved && !build.is_narrowed);
        for ((answer, picked), wanted) in build.answers.iter().zip(&picked).zip(&wanted) {
            let score: f64 = choices.iter().zip(picked).map(|(club, place)| club[*place].score).sum();
            assert!((score - wanted).abs() < 1e-6, "{score} {wanted}");
            // no part beyond its count, and the cents add up
            for (place, part) in shelf.iter().enumerate() {
                let taken: u32 = answer
                    .clubs
                    .iter()
                    .flat_map(|club| &club.parts)
                    .filter(|(used, _)| *used == place)
                    .map(|(_, count)| count)
                    .sum();
                assert!(taken <= part.at_hand, "{}", part.name);
            }
            let cents: i64 = answer
                .clubs
                .iter()
                .flat_map(|club| &club.parts)
                .map(|(used, count)| shelf[*used].cost_cents * i64::from(*count))
                .sum();
            assert_eq!(answer.cents, cents + 40 * i64::from(answer.minutes()));
        }
        assert!(build.answers.windows(2).all(|pair| pair[0].cents <= pair[1].cents && pair[0] != pair[1]));
    }
    assert!(met > 20 && unmet > 20, "{met} met, {unmet} not");
    assert!(tried > 10_000, "{tried} combinations");
}

/// Heads that came 2 and 3 g off: each weighed piece goes to the club that wants it, although two could do with one.
#[test]
fn weighed_pieces_go_to_the_clubs_that_want_them() {
    let clubs = [
        club("6 iron", 37.0, 420.0, 28.3),
        club("7 iron", 37.0, 418.0, 28.2),
        club("8 iron", 37.0, 417.0, 28.15),
    ];
    let house = house();
    let heaviest = clubs[0].swingweight();
    // what each head is short of, by the scale: about 1 point in 2.2 g at 37 in
    let short = |club: &Club| heaviest.points_above(club.swingweight()) * 2.16;
    let pieces: Vec<ShelfPart> = [short(&clubs[1]), short(&clubs[2])]
        .iter()
        .map(|mass| part(PartKind::TipWeight, "weighed piece", *mass, 80, 1))
        .collect();
    assert!(pieces[0].mass.as_grams() > 2.0 && pieces[1].mass > pieces[0].mass + Mass::grams(1.0));
    let to_build: Vec<ClubToBuild<'_>> =
        clubs.iter().map(|club| ClubToBuild { club, aim: aim(37.0, heaviest, 0.3) }).collect();
    let build = build_set(&to_build, &pieces, &rules(&house)).unwrap();
    let taken: Vec<Vec<(usize, u32)>> =
        build.answers[0].clubs.iter().map(|club| club.parts.clone()).collect();
    assert_eq!(taken, [vec![], vec![(0, 1)], vec![(1, 1)]]);
    assert!(build.answers[0].is_within());
}

#[test]
fn too_few_of_a_part_are_named_and_one_more_of_what_binds_is_worth_what_it_saves() {
    let clubs = [club("6 iron", 37.0, 420.0, 28.3), club("7 iron", 36.5, 427.0, 27.95)];
    let house = House { most_tape: Length::ZERO, ..House::default() };
    let to_build: Vec<ClubToBuild<'_>> = clubs
        .iter()
        .map(|club| ClubToBuild { club, aim: aim(club.length().as_inches() + 0.5, club.swingweight(), 4.0) })
        .collect();
    let shelf = |cheap: u32, dear: u32| {
        [
            part(PartKind::Grip, "cheap grip", 50.0, 400, cheap),
            part(PartKind::Grip, "dear grip", 50.0, 650, dear),
            part(PartKind::Plug, "rod", 8.0, 120, 9),
        ]
    };
    let short = build_set(&to_build, &shelf(1, 0), &rules(&house)).unwrap();
    assert_eq!(short.because, ["cheap grip: 2 needed, 1 at hand"]);
    assert!(!short.answers[0].is_within(), "the nearest is shown all the same");
    let binds = build_set(&to_build, &shelf(1, 5), &rules(&house)).unwrap();
    assert_eq!(binds.binds.len(), 1);
    assert_eq!((binds.binds[0].part, binds.binds[0].saves_cents), (0, 250));
    assert!(build_set(&to_build, &shelf(2, 5), &rules(&house)).unwrap().binds.is_empty());
}

#[test]
fn a_limit_of_the_house_is_the_reason_and_the_nearest_is_named() {
    let seven = club("7 iron", 34.0, 426.0, 26.2);
    let house = house();
    let to_build = [ClubToBuild { club: &seven, aim: aim(36.5, seven.swingweight(), 2.0) }];
    let shelf = [part(PartKind::Grip, "grip", 50.0, 400, 9), part(PartKind::Plug, "rod", 8.0, 120, 9)];
    let build = build_set(&to_build, &shelf, &rules(&house)).unwrap();
    assert_eq!(build.because, ["7 iron: extend: over the house's limit of 2 in"]);
    assert!(build.answers[0].clubs[0].misses[0].contains("2 1/2 in too short"), "{:?}", build.answers[0]);
    let empty = build_set(&to_build, &[], &rules(&house)).unwrap();
    assert_eq!(empty.answers[0].clubs[0].way, Way::Leave, "an empty shelf leaves the club as it is");
}

/// The sums are those of the plan: the same plug and grip give the numbers the plan's own way has.
#[test]
fn a_built_club_has_the_numbers_the_plan_gives_it() {
    let golfer = Golfer {
        name: "Ines Falk".to_owned(),
        plays: Handedness::Right,
        readings: BodyReadings::of_knuckle(vec![Length::inches(30.0)], Shoes::On),
        head_speed: None,
        trial: None,
        overruled: None,
    };
    let entry = ClubEntry {
        name: "7 iron".to_owned(),
        length: Some(Length::inches(36.5)),
        mass: Some(Mass::grams(426.0)),
        balance: Some(Length::inches(27.9)),
        grip_mass: Some(Mass::grams(50.0)),
        ..ClubEntry::default()
    };
    let set = plan(&golfer, &[WishedClub { entry, wish: None }], &House::default()).unwrap();
    let outcome = set.clubs[0].ways.iter().find(|outcome| outcome.way.kind() == WayKind::Extend).unwrap();
    let Way::Extend(by, plug) = outcome.way else { unreachable!("looked for") };
    let seven = &set.clubs[0].club;
    let shelf = [
        part(PartKind::Grip, "grip", 50.0, 400, 1),
        part(PartKind::Plug, "plug", plug.mass.as_grams(), 100, 1),
    ];
    let aim = Aim {
        number: AimedNumber::Inertia(outcome.after.inertia, Inertia::kg_cm2(1.0)),
        ..aim((seven.length() + by).as_inches(), seven.swingweight(), 1.0)
    };
    let build = build_set(&[ClubToBuild { club: seven, aim }], &shelf, &rules(&set.house)).unwrap();
    let built = &build.answers[0].clubs[0].state;
    assert!((built.mass - outcome.after.mass).abs() < Mass::grams(1e-9));
    assert!((built.balance - outcome.after.balance).abs() < Length::mm(1e-9));
    assert!((built.inertia - outcome.after.inertia).abs() < Inertia::kg_cm2(1e-9));
}

#[test]
fn what_cannot_be_is_refused() {
    let seven = club("7 iron", 36.5, 426.0, 27.9);
    let house = house();
    let good = ClubToBuild { club: &seven, aim: aim(36.5, seven.swingweight(), 1.0) };
    let grip = |mass_g, cost| [part(PartKind::Grip, "grip", mass_g, cost, 1)];
    let refused =
        |clubs: &[ClubToBuild<'_>], shelf: &[ShelfPart]| build_set(clubs, shelf, &rules(&house)).unwrap_err();
    assert!(matches!(refused(&[], &[]), BuildError::Count { found: 0, .. }));
    assert!(matches!(refused(&[good; 21], &[]), BuildError::Count { found: 21, .. }));
    assert!(matches!(refused(&[good], &grip(50.0, -1)), BuildError::Price { found: -1, .. }));
    assert!(matches!(refused(&[good], &grip(f64::NAN, 1)), BuildError::Size { .. }));
    assert!(matches!(refused(&[good], &grip(1e9, 1)), BuildError::Size { .. }));
    let nothing_within = ClubToBuild { aim: aim(36.5, seven.swingweight(), 0.0), ..good };
    assert!(matches!(refused(&[nothing_within], &[]), BuildError::Size { .. }));
    let nowhere = ClubToBuild { aim: aim(f64::NAN, seven.swingweight(), 1.0), ..good };
    assert!(matches!(refused(&[nowhere], &[]), BuildError::Size { .. }));
    let unread = Club { is_weighed: false, ..seven.clone() };
    assert!(matches!(refused(&[ClubToBuild { club: &unread, ..good }], &[]), BuildError::NotWeighed(_)));
}
