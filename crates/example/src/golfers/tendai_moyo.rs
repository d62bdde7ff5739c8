//! Tendai Moyo, very tall: the plugs were glued in yesterday, and the glue has just cured.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, JobState};

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Loft, Field::Mass, Field::Balance],
    rows: &[
        ("5 iron", &["37 3/4 in", "61 deg", "25 deg", "427 g", "28 1/4 in"]),
        ("6 iron", &["37 1/4 in", "61.5 deg", "28 deg", "434 g", "28 in"]),
        ("7 iron", &["36 3/4 in", "62 deg", "32 deg", "441 g", "27 13/16 in"]),
        ("8 iron", &["36 1/4 in", "62.5 deg", "36 deg", "448 g", "27 9/16 in"]),
        ("9 iron", &["35 3/4 in", "63 deg", "41 deg", "455 g", "27 5/16 in"]),
    ],
    each: &[
        (Field::HeadConstruction, "cast 431"),
        (Field::ShaftMaterial, "steel"),
        (Field::ButtDiameter, "0.600 in"),
        (Field::ButtWall, "0.021 in"),
        (Field::GripMass, "50 g"),
        (Field::GripCore, "0.600 in"),
        (Field::PlugMassPerInch, "4.3 g"),
    ],
};

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(10, 160);
    let mut tendai = Folder::open(shop, 7, visit, ("Tendai Moyo", Handedness::Right), |golfer| {
        golfer.contact = Some("07700 900 871".to_owned());
        golfer.sex = Sex::Man;
        golfer.born = Some(shop.clock.born(29, 12));
    });
    let body = [
        (Field::KnuckleHeight, "31 3/4 in"),
        (Field::KnuckleHeight, "31 5/8 in"),
        (Field::KnuckleHeight, "31 3/4 in"),
        (Field::Stature, "6 ft 3 in"),
        (Field::HandLength, "8 1/8 in"),
        (Field::HeadSpeed, "91 mph"),
    ];
    tendai.came(visit.later(5), "Grew since school; same clubs");
    tendai.measure(visit.later(15), Shoes::On, &body);
    tendai.write_down(visit.later(50), &IRONS);
    let decided = shop.clock.ago(7, 40);
    tendai.keep_target(decided);
    tendai.make_job(decided.later(10), 6);
    tendai.move_job(decided.later(20), JobState::Agreed, None);
    let bench = shop.clock.ago(1, 130);
    tendai.move_job(bench, JobState::OnTheBench, None);
    let before = [
        ("Read it as it came", "36 3/4 in, 441 g, 27 13/16 in"),
        ("Look inside the butt", "0.600 in outside, 0.558 in inside, clean"),
        ("Cut the plug", "13.3 g"),
    ];
    tendai.tick_through(bench.later(90), "Roughen both", &before);
    // the house cures for 24 hours: over half an hour ago
    tendai.move_job(shop.clock.ago(1, 30), JobState::Curing, None);
    tendai.into_acts()
}
