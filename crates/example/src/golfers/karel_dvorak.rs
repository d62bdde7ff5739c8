//! Karel Dvořák, tall: four irons get a plug, the fifth was extended before and gets a new shaft, which is on order.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, JobState};

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Loft, Field::Mass, Field::Balance, Field::Condition],
    rows: &[
        ("5 iron", &["37 3/4 in", "61 deg", "26 deg", "406 g", "28 3/4 in"]),
        ("6 iron", &["37 1/4 in", "61.5 deg", "29 deg", "413 g", "28 1/2 in"]),
        ("7 iron", &["36 3/4 in", "62 deg", "33 deg", "426 g", "27 15/16 in", "already extended"]),
        ("8 iron", &["36 1/4 in", "62.5 deg", "37 deg", "428 g", "28 1/16 in"]),
        ("9 iron", &["35 3/4 in", "63 deg", "41 deg", "435 g", "27 13/16 in"]),
    ],
    each: &[
        (Field::HeadConstruction, "cast 17-4"),
        (Field::ButtDiameter, "0.600 in"),
        (Field::GripMass, "50 g"),
        (Field::GripCore, "0.600 in"),
    ],
};

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(12, 180);
    let mut karel = Folder::open(shop, 5, visit, ("Karel Dvořák", Handedness::Right), |golfer| {
        golfer.contact = Some("07700 900 633".to_owned());
        golfer.sex = Sex::Man;
        golfer.born = Some(shop.clock.born(67, 33));
    });
    let body = [
        (Field::KnuckleHeight, "31 1/8 in"),
        (Field::KnuckleHeight, "31 in"),
        (Field::Stature, "6 ft 2 in"),
        (Field::HandLength, "7 7/8 in"),
    ];
    karel.came(visit.later(5), "Bought a set second-hand; is it his length?");
    karel.measure(visit.later(15), Shoes::On, &body);
    karel.write_down(visit.later(50), &IRONS);
    karel.remark(visit.later(55), "Somebody extended the 7 iron years ago; he does not know with what.");
    let decided = shop.clock.ago(10, 60);
    karel.keep_target(decided);
    karel.make_job(decided.later(8), 4);
    karel.move_job(decided.later(25), JobState::Agreed, None);
    let ordered = shop.clock.ago(9, 20);
    let why = "One shaft for the 7 iron and four plugs for a 0.600 in butt are on order.";
    karel.move_job(ordered, JobState::WaitingForParts, Some(why));
    karel.into_acts()
}
