//! A set in yards: what it rests on, what is left out, and what is said when it cannot be said.
#![expect(clippy::unwrap_used, reason = "a set that cannot be planned fails its test")]

use bench::{House, NoYards, SetPlan, WishedClub, plan};
use club::{ClubEntry, ClubKind, Construction};
use fitting::{BodyReadings, Golfer, Handedness, HeadSpeed, Shoes};
use quantity::{Angle, Length, Mass, Speed};

const SEVEN_AT_80_MPH: HeadSpeed = HeadSpeed { club: ClubKind::Iron(7), speed: Speed::mph(80.0) };

fn club(name: &str, length_in: f64, loft_deg: f64) -> WishedClub {
    let entry = ClubEntry {
        name: name.to_owned(),
        length: Some(Length::inches(length_in)),
        loft: Some(Angle::degrees(loft_deg)),
        mass: Some(Mass::grams(426.0)),
        balance: Some(Length::inches(length_in * 28.25 / 37.0)),
        construction: Some(Construction::Forged),
        ..ClubEntry::default()
    };
    WishedClub { entry, wish: None }
}

fn planned(clubs: &[WishedClub], head_speed: Option<HeadSpeed>) -> SetPlan {
    let golfer = Golfer {
        name: "Ines Falk".to_owned(),
        plays: Handedness::Right,
        readings: BodyReadings::of_knuckle(vec![Length::inches(29.0)], Shoes::On),
        head_speed,
        trial: None,
        overruled: None,
    };
    plan(&golfer, clubs, &House::default()).unwrap()
}

fn set() -> Vec<WishedClub> {
    vec![
        club("5 iron", 38.0, 26.0),
        club("6 iron", 37.5, 30.5),
        club("7 iron", 37.0, 34.0),
        club("8 iron", 36.5, 39.0),
        club("9 iron", 36.0, 42.0),
        club("PW", 35.5, 46.0),
    ]
}

#[test]
fn less_loft_and_more_length_carry_farther_all_the_way() {
    let yards = planned(&set(), Some(SEVEN_AT_80_MPH)).yards().unwrap();
    assert_eq!(yards.clubs.len(), 6);
    assert!(yards.gaps().iter().all(|gap| gap.metres > 0.0 && gap.spread.sd > 0.0));
    // a seven-iron at 80 mph, dynamic loft 25, attack -4: 132.4 m from the middle of the face by another program; the sweet
    // spot lies 2 mm lower and the head here is as heavy as the scale has it
    let seven = yards.club("7 iron").unwrap();
    assert!((seven.carried.carry_m() - 132.4).abs() < 2.0, "{}", seven.carried.carry_m());
}

#[test]
fn the_head_speed_of_a_club_that_is_not_in_the_set_serves_by_its_usual_length() {
    let without_seven: Vec<WishedClub> =
        set().into_iter().filter(|club| club.entry.name != "7 iron").collect();
    let (with, without) = (
        planned(&set(), Some(SEVEN_AT_80_MPH)).yards().unwrap(),
        planned(&without_seven, Some(SEVEN_AT_80_MPH)).yards().unwrap(),
    );
    // 37 in is the usual seven-iron and the one in this set
    let of_nine = |yards: &bench::Yards| yards.club("9 iron").unwrap().carried.carry_m();
    assert!((of_nine(&with) - of_nine(&without)).abs() < 1e-9);
}

#[test]
fn what_cannot_be_said_says_why() {
    assert!(matches!(planned(&set(), None).yards(), Err(NoYards::NoHeadSpeed)));
    let putter = [club("putter", 34.0, 3.0)];
    assert!(matches!(planned(&putter, Some(SEVEN_AT_80_MPH)).yards(), Err(NoYards::NoClub)));
    let mut with_putter = set();
    with_putter.push(club("putter", 34.0, 3.0));
    assert_eq!(planned(&with_putter, Some(SEVEN_AT_80_MPH)).yards().unwrap().left_out, ["putter"]);
    // what the card would refuse as a speed the model refuses too, by its range
    let absurd = HeadSpeed { speed: Speed::mph(300.0), ..SEVEN_AT_80_MPH };
    let refused = planned(&set(), Some(absurd)).yards().unwrap_err();
    assert!(refused.to_string().contains("0.5 to 80 m/s"), "{refused}");
}

#[test]
fn only_irons_and_wedges_whose_making_is_known_are_bent_and_never_beyond_the_house() {
    let yards = planned(&set(), Some(SEVEN_AT_80_MPH)).yards().unwrap();
    let evened = yards.evened().unwrap().unwrap();
    assert_eq!(evened.places.len(), 6);
    assert!(evened.bent.iter().any(|bent| bent.bend_deg.abs() > 0.0));
    assert!(evened.bent.iter().all(|bent| bent.bend_deg.abs() <= 4.0 + 1e-9), "forged: 4 degrees");
    let mut unknown = set();
    for club in &mut unknown {
        club.entry.construction = None;
    }
    assert!(planned(&unknown, Some(SEVEN_AT_80_MPH)).yards().unwrap().evened().unwrap().is_none());
}

/// Published: four inches more on a driver, 1.8 m/s more ball speed and 4.3 m more carry, which was not told from none (Kenny,
/// Wallace & Otto 2008, Sports Biomechanics 7(3), 322-332; abstract read; seven golfers). A range, for golfers differ.
#[test]
fn four_inches_on_a_driver_gain_some_ball_speed_and_little_carry() {
    let driver = HeadSpeed { club: ClubKind::Driver, speed: Speed::mph(110.0) };
    let yards = planned(&[club("driver", 46.0, 10.5)], Some(driver)).yards().unwrap();
    let longer = yards.clubs[0].lengthened(Length::inches(4.0)).unwrap();
    let ball = |carried: &ball::carried::Carried| carried.shot.impact.ball_speed_mps;
    let faster = ball(&longer.carried) - ball(&yards.clubs[0].carried);
    assert!((0.9..=2.7).contains(&faster), "{faster} m/s");
    let gained = longer.gained;
    assert!((0.0..=11.0).contains(&gained.metres), "{gained:?}");
    assert!(gained.spread.sd > 0.5 * gained.metres, "golfers differ by as much: {gained:?}");
    // and shorter loses what longer gains
    let shorter = yards.clubs[0].lengthened(Length::inches(-4.0)).unwrap();
    assert!(shorter.gained.metres < 0.0);
}
