//! How long the build of a set of thirteen clubs takes from a shelf of three hundred parts.
//!
//! `cargo bench -p bench`; one core.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]

use bench::{
    Aim, AimedNumber, BuildRules, ClubToBuild, House, PartKind, ShelfPart, WishedClub, build_set, plan,
};
use club::{Club, ClubEntry};
use divan::{Bencher, black_box};
use fitting::{BodyReadings, Golfer, Handedness, Shoes};
use quantity::{Length, Mass};

fn main() {
    divan::main();
}

/// Thirteen clubs, half an inch apart, each a gram or two off the last.
fn thirteen_clubs() -> Vec<Club> {
    let golfer = Golfer {
        name: "Ines Falk".to_owned(),
        plays: Handedness::Right,
        readings: BodyReadings::of_knuckle(vec![Length::inches(30.0)], Shoes::On),
        head_speed: None,
        trial: None,
        overruled: None,
    };
    let wished: Vec<WishedClub> = (0..13_u32)
        .map(|place| {
            let step = f64::from(place);
            let length = 39.5 - 0.35 * step;
            let entry = ClubEntry {
                name: ["3 iron", "4 iron", "5 iron", "6 iron", "7 iron", "8 iron", "9 iron"]
                    .get(place as usize)
                    .map_or_else(|| format!("{} deg wedge", 44 + 2 * (place - 7)), ToString::to_string),
                length: Some(Length::inches(length)),
                mass: Some(Mass::grams(402.0 + 6.5 * step + f64::from(place * 7 % 5) - 2.0)),
                balance: Some(Length::inches(length * 28.25 / 37.0)),
                grip_mass: Some(Mass::grams(50.0)),
                ..ClubEntry::default()
            };
            WishedClub { entry, wish: None }
        })
        .collect();
    let set = plan(&golfer, &wished, &House::default()).unwrap();
    set.clubs.into_iter().map(|plan| plan.club).collect()
}

/// Three hundred parts; `is_scarce` has one or two of each, so that every part ties clubs together.
fn three_hundred_parts(is_scarce: bool) -> Vec<ShelfPart> {
    let kinds = [
        (PartKind::Grip, 70, 42.0, 0.4),
        (PartKind::Plug, 60, 4.0, 0.2),
        (PartKind::TipWeight, 60, 1.0, 0.15),
        (PartKind::ButtWeight, 40, 3.0, 0.4),
        (PartKind::Shaft, 50, 90.0, 0.8),
        (PartKind::HeadTape, 4, 0.45, 0.2),
        (PartKind::GripTape, 4, 3.5, 0.0),
        (PartKind::Glue, 4, 1.0, 0.0),
        (PartKind::Ferrule, 8, 1.0, 0.05),
    ];
    let parts = kinds.iter().flat_map(|(kind, count, first, step)| {
        (0..*count).map(move |place: u32| {
            let is_consumed =
                matches!(kind, PartKind::GripTape | PartKind::Glue | PartKind::HeadTape | PartKind::Ferrule);
            ShelfPart {
                name: format!("{} {place}", kind.words()),
                kind: *kind,
                mass: Mass::grams(first + step * f64::from(place)),
                cost_cents: i64::from(100 + place * 37 % 400),
                at_hand: if is_scarce && !is_consumed { 1 + place % 2 } else { 200 },
                diameter: None,
                length: None,
            }
        })
    });
    parts.collect()
}

fn build(bencher: Bencher<'_, '_>, is_scarce: bool) {
    let clubs = thirteen_clubs();
    let house = House::default();
    let shelf = three_hundred_parts(is_scarce);
    assert_eq!((clubs.len(), shelf.len()), (13, 300));
    let to_build: Vec<ClubToBuild<'_>> = clubs
        .iter()
        .map(|club| {
            let aim = Aim {
                length: (club.length() + Length::inches(0.5), Length::inches(1.0 / 16.0)),
                number: AimedNumber::Swingweight(clubs[4].swingweight(), 0.5),
                mass: None,
                frequency: None,
            };
            ClubToBuild { club, aim }
        })
        .collect();
    let rules = BuildRules { house: &house, is_growing: false, cents_a_minute: 60 };
    let first = build_set(&to_build, &shelf, &rules).unwrap();
    assert!(first.answers[0].is_within(), "{:?}", first.because);
    bencher.bench(|| build_set(black_box(&to_build), black_box(&shelf), &rules).unwrap());
}

/// Of every part there is plenty.
#[divan::bench]
fn thirteen_clubs_from_a_full_shelf(bencher: Bencher<'_, '_>) {
    build(bencher, false);
}

/// Of grips, plugs, weights and shafts there is one or two each.
#[divan::bench(sample_count = 10)]
fn thirteen_clubs_from_single_pieces(bencher: Bencher<'_, '_>) {
    build(bencher, true);
}
