//! Planning whole sets: which way is taken, what stops it, and what the job says.
#![expect(clippy::unwrap_used, reason = "a plan that cannot be made fails its test")]

use bench::{Fix, Hold, House, SetPlan, Standing, WayKind, Where, WishedClub, plan};
use club::hold::Held;
use club::{ClubEntry, Condition, ShaftMaterial};
use fitting::{BodyReadings, Golfer, Handedness, Shoes};
use proptest::prelude::*;
use quantity::{InchStep, Length, Mass};

fn golfer(knuckle_in: f64, plays: Handedness) -> Golfer {
    Golfer {
        name: "Ines Falk".to_owned(),
        plays,
        readings: BodyReadings::of_knuckle(vec![Length::inches(knuckle_in)], Shoes::On),
        head_speed: None,
        overruled: None,
    }
}

fn weighed(name: &str, length: f64) -> WishedClub {
    let entry = ClubEntry {
        name: name.to_owned(),
        length: Some(Length::inches(length)),
        mass: Some(Mass::grams(426.0)),
        balance: Some(Length::inches(length * 28.25 / 37.0)),
        grip_mass: Some(Mass::grams(50.0)),
        ..ClubEntry::default()
    };
    WishedClub { entry, wish: None }
}

fn planned(knuckle_in: f64, clubs: &[WishedClub]) -> SetPlan {
    plan(&golfer(knuckle_in, Handedness::Right), clubs, &House::default()).unwrap()
}

fn chosen(set: &SetPlan, index: usize) -> WayKind {
    set.clubs[index].chosen().unwrap().way.kind()
}

fn standing(set: &SetPlan, kind: WayKind) -> Standing {
    set.clubs[0].ways.iter().find(|outcome| outcome.way.kind() == kind).unwrap().standing.clone()
}

#[test]
fn a_club_at_its_target_is_left() {
    // 28 in: the six-iron is 37 in, the seven 36 1/2; two people read a club an eighth apart
    let set = planned(28.0, &[weighed("7 iron", 36.625)]);
    assert_eq!(chosen(&set, 0), WayKind::Leave);
    assert!(set.job.is_empty());
    assert!((set.clubs[0].gap().unwrap().as_inches() + 0.125).abs() < 1e-9);
}

#[test]
fn too_long_inside_the_targets_own_uncertainty_is_gripped_down_not_cut() {
    let set = planned(28.0, &[weighed("7 iron", 36.875)]);
    assert_eq!(chosen(&set, 0), WayKind::GripDown);
    let choice = set.clubs[0].choice.as_ref().unwrap();
    assert!(choice.why.contains("inside the target's own uncertainty"), "{}", choice.why);
    assert_eq!(set.clubs[0].runner_up().unwrap().way.kind(), WayKind::Cut);
    assert!(choice.why_not.contains("not before the length is proved"), "{}", choice.why_not);
    assert!(set.job.parts.is_empty(), "gripping down needs nothing");
}

#[test]
fn too_long_beyond_it_is_cut_with_gripping_down_as_the_trial() {
    let set = planned(28.0, &[weighed("7 iron", 37.125)]);
    assert_eq!(chosen(&set, 0), WayKind::Cut);
    assert_eq!(set.clubs[0].runner_up().unwrap().way.kind(), WayKind::GripDown);
    let finished = set.clubs[0].chosen().unwrap().finished(set.house.hold);
    let before = set.clubs[0].chosen().unwrap().before;
    assert!((finished.length.as_inches() - 36.5).abs() < 1e-9);
    assert!(finished.swingweight.points_above(before.swingweight).abs() <= 0.5, "the number is held");
}

#[test]
fn extensions_meet_the_houses_limits_one_after_the_other() {
    let too_short_by = |inches: f64| planned(28.0, &[weighed("7 iron", 36.5 - inches)]);
    assert_eq!(standing(&too_short_by(0.5), WayKind::Extend), Standing::Plain);
    assert!(matches!(standing(&too_short_by(0.625), WayKind::Extend), Standing::Caution(_)));
    assert!(matches!(standing(&too_short_by(1.0), WayKind::Extend), Standing::Caution(_)));
    assert!(matches!(standing(&too_short_by(1.125), WayKind::Extend), Standing::NeedsAcceptance(_)));
    assert!(matches!(standing(&too_short_by(2.125), WayKind::Extend), Standing::Refused(_)));
    assert_eq!(chosen(&too_short_by(0.5), 0), WayKind::Extend);
    assert_eq!(chosen(&too_short_by(1.5), 0), WayKind::OtherShaft);
}

#[test]
fn a_thin_cracked_or_already_extended_shaft_is_not_extended() {
    let with = |change: fn(&mut ClubEntry)| {
        let mut club = weighed("7 iron", 36.0);
        change(&mut club.entry);
        planned(28.0, &[club])
    };
    for set in [
        with(|entry| {
            // 50 g grip, 268 g head: 391 g leaves 70 g of steel
            entry.mass = Some(Mass::grams(391.0));
            entry.balance = Some(Length::inches(28.95));
        }),
        with(|entry| entry.conditions = vec![Condition::Cracked]),
        with(|entry| entry.conditions = vec![Condition::AlreadyExtended]),
    ] {
        assert!(matches!(standing(&set, WayKind::Extend), Standing::Refused(_)));
        assert_eq!(chosen(&set, 0), WayKind::OtherShaft);
    }
    let graphite = with(|entry| {
        entry.shaft_material = Some(ShaftMaterial::Graphite);
        entry.mass = Some(Mass::grams(391.0));
        entry.balance = Some(Length::inches(28.95));
    });
    assert_eq!(chosen(&graphite, 0), WayKind::Extend, "70 g of graphite is not thin");
}

#[test]
fn a_cracked_shaft_is_never_left_or_gripped_down() {
    let mut club = weighed("7 iron", 36.5);
    club.entry.conditions = vec![Condition::Cracked];
    let set = planned(28.0, &[club]);
    assert_eq!(chosen(&set, 0), WayKind::OtherShaft);
    assert!(matches!(standing(&set, WayKind::Leave), Standing::Refused(_)));
}

#[test]
fn woods_and_putters_are_shown_and_left_alone() {
    let set = planned(31.0, &[weighed("driver", 45.0), weighed("putter", 34.0), weighed("7 iron", 37.25)]);
    for index in [0, 2] {
        let club = &set.clubs[index];
        assert!(club.target.is_none() && club.ways.is_empty() && club.choice.is_none());
        assert!(club.club.swingweight().points() > 0.0, "its numbers are still shown");
    }
}

#[test]
fn a_fitter_may_wish_for_another_way_but_not_for_one_that_is_refused() {
    let mut club = weighed("7 iron", 36.875);
    club.wish = Some(WayKind::Cut);
    let set = planned(28.0, &[club.clone()]);
    assert_eq!(chosen(&set, 0), WayKind::Cut);
    assert!(set.clubs[0].choice.as_ref().unwrap().why.starts_with("Chosen by the fitter."));
    club.wish = Some(WayKind::Extend);
    let problems = plan(&golfer(28.0, Handedness::Right), &[club], &House::default()).unwrap_err();
    assert_eq!((problems[0].place, problems[0].field), (Where::Club(0), "way"));
    assert_eq!(
        problems[0].error.hint().unwrap(),
        "Open to it: leave, grip down, cut, regrip. Or leave `way` out."
    );
}

#[test]
fn every_problem_of_a_set_is_reported_at_once() {
    let mut heavy = weighed("7 iron", 36.5);
    heavy.entry.mass = Some(Mass::grams(-1.0));
    let clubs = [weighed("6 iron", 37.0), heavy, weighed("6i", 37.0), weighed("what", 37.0)];
    let house = House { plain_extension: Length::inches(1.5), ..House::default() };
    let problems = plan(&golfer(3.0, Handedness::Right), &clubs, &house).unwrap_err();
    let places: Vec<_> = problems.iter().map(|problem| (problem.place, problem.field)).collect();
    assert_eq!(
        places,
        [
            (Where::House, "house"),
            (Where::Golfer, "knuckle_height"),
            (Where::Club(1), "mass"),
            (Where::Club(3), "name"),
            (Where::Club(2), "name"),
        ]
    );
}

#[test]
fn the_job_does_length_before_lie_and_one_club_before_the_rest() {
    let set = planned(30.0, &[weighed("5 iron", 37.5), weighed("7 iron", 36.5), weighed("9 iron", 35.5)]);
    assert_eq!(set.job.first_club.as_deref(), Some("7 iron"));
    let section = &set.job.sections[0];
    assert_eq!(section.kind, WayKind::Extend);
    assert_eq!(section.clubs[0].name, "7 iron");
    let at = |word: &str| {
        section
            .operations
            .iter()
            .position(|step| step.what.starts_with(word))
            .unwrap_or_else(|| panic!("{word}"))
    };
    assert!(at("Read it") < at("Slit"));
    assert!(at("Dry-fit") < at("Roughen"));
    assert!(at("Length on") < at("Swingweight"));
    assert!(at("Swingweight") < at("Lie last"));
    assert!(at("Lie last") < at("Ten half shots"));
    assert!(section.operations[at("Roughen")].caution.unwrap().contains("Gloves"));
    assert_eq!(set.job.cure_hours, 24);
    let plugs = set.job.parts.iter().find(|part| part.what.starts_with("Plug")).unwrap();
    assert_eq!((plugs.needed, plugs.spare), (3, 1));
}

#[test]
fn holding_the_inertia_takes_mass_off_and_no_butt_weight_pretends_to() {
    let mut club = weighed("7 iron", 36.5);
    club.entry.plug_mass_per_inch = Some(Mass::grams(1.0));
    let house = House { hold: Hold::Number(Held::Inertia), ..House::default() };
    let set = plan(&golfer(30.0, Handedness::Right), &[club], &house).unwrap();
    let outcome = set.clubs[0].chosen().unwrap();
    assert!(outcome.hold_inertia.head_mass < Mass::ZERO);
    assert_eq!(outcome.hold_inertia.butt_weight, None);
    assert!(matches!(outcome.hold_inertia.fix, Fix::LighterHead(_)));
    assert!(matches!(outcome.hold_swingweight.fix, Fix::ButtWeight(_)));
    assert!(outcome.hold_swingweight.state.inertia >= outcome.after.inertia, "the inertia stays");
}

#[test]
fn a_doubtful_reading_holds_the_job_until_it_is_overruled() {
    let mut golfer = golfer(33.0, Handedness::Right);
    golfer.readings.stature = Some(Length::inches(68.0));
    let clubs = [weighed("7 iron", 36.5)];
    assert!(plan(&golfer, &clubs, &House::default()).unwrap().job.waits_for.is_some());
    golfer.overruled = Some("taken twice, by two people".to_owned());
    assert!(plan(&golfer, &clubs, &House::default()).unwrap().job.waits_for.is_none());
}

const NAMES: [&str; 7] = ["driver", "5 iron", "6 iron", "7 iron", "9 iron", "pw", "putter"];

proptest! {
    #[test]
    fn the_order_of_the_clubs_changes_nothing(
        order in Just((0..NAMES.len()).collect::<Vec<_>>()).prop_shuffle(), knuckle in 25.0..32.0f64,
    ) {
        let clubs: Vec<WishedClub> =
            NAMES.iter().zip([45.0, 38.0, 37.5, 37.0, 36.0, 35.5, 34.0]).map(|(name, at)| weighed(name, at)).collect();
        let shuffled: Vec<WishedClub> = order.iter().map(|&at| clubs[at].clone()).collect();
        prop_assert_eq!(planned(knuckle, &clubs), planned(knuckle, &shuffled));
    }

    #[test]
    fn a_left_handers_set_has_the_same_lengths_and_the_other_side(knuckle in 25.0..32.0f64) {
        let clubs = [weighed("6 iron", 37.5), weighed("8 iron", 36.5)];
        let house = House::default();
        let right = plan(&golfer(knuckle, Handedness::Right), &clubs, &house).unwrap();
        let left = plan(&golfer(knuckle, Handedness::Left), &clubs, &house).unwrap();
        prop_assert_eq!(&right.clubs, &left.clubs);
        prop_assert_ne!(right.golfer.plays.lead_side(), left.golfer.plays.lead_side());
    }

    #[test]
    fn the_chosen_way_is_never_refused_and_reaches_or_explains(knuckle in 22.0..39.0f64, length in 30.0..42.0f64) {
        let set = planned(knuckle, &[weighed("7 iron", length)]);
        let club = &set.clubs[0];
        let outcome = club.chosen().unwrap();
        prop_assert!(!matches!(outcome.standing, Standing::Refused(_)), "{:?}", outcome.standing);
        prop_assert!(outcome.remaining.abs() < Length::mm(0.01), "{:?}", outcome.remaining);
        prop_assert!(club.change == Length::ZERO || outcome.way.kind() != WayKind::Leave);
    }

    #[test]
    fn a_set_is_built_even(knuckle in 22.0..38.0f64) {
        let clubs: Vec<_> = ["4 iron", "5 iron", "6 iron", "7 iron"].map(|name| weighed(name, 37.0)).into();
        let set = planned(knuckle, &clubs);
        for pair in set.clubs.windows(2) {
            let (longer, shorter) = (pair[0].target.unwrap().build, pair[1].target.unwrap().build);
            prop_assert!(((longer - shorter).as_inches() - 0.5).abs() < 1e-9);
            prop_assert!((longer - longer.rounded_to(InchStep::Eighth)).abs() < Length::mm(1e-6));
        }
    }
}
