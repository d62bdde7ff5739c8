//! Łukasz Wróbel had agreed to his job when he was measured once more: the new reading is not believable beside his
//! stature, so nothing is built on it.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, JobState};

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Loft, Field::Mass, Field::Balance],
    rows: &[
        ("5 iron", &["37 1/2 in", "61 deg", "27 deg", "421 g", "28 3/16 in"]),
        ("6 iron", &["37 in", "61.5 deg", "31 deg", "428 g", "28 in"]),
        ("7 iron", &["36 1/2 in", "62 deg", "35 deg", "435 g", "27 3/4 in"]),
        ("8 iron", &["36 in", "62.5 deg", "39 deg", "443 g", "27 9/16 in"]),
        ("9 iron", &["35 1/2 in", "63 deg", "43 deg", "450 g", "27 5/16 in"]),
        ("pitching wedge", &["35 1/4 in", "63.5 deg", "47 deg", "456 g", "27 3/16 in"]),
    ],
    each: &[
        (Field::HeadConstruction, "forged"),
        (Field::ShaftMaterial, "steel"),
        (Field::ButtDiameter, "0.600 in"),
        (Field::GripMass, "50 g"),
        (Field::GripCore, "0.600 in"),
    ],
};

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(8, 120);
    let mut lukasz = Folder::open(shop, 8, visit, ("Łukasz Wróbel", Handedness::Right), |golfer| {
        golfer.contact = Some("07700 900 506".to_owned());
        golfer.sex = Sex::Man;
        golfer.born = Some(shop.clock.born(35, 140));
    });
    let body = [
        (Field::KnuckleHeight, "30 in"),
        (Field::KnuckleHeight, "29 7/8 in"),
        (Field::Stature, "5 ft 11 1/4 in"),
        (Field::HandLength, "7 5/8 in"),
    ];
    lukasz.came(visit.later(5), "Stands bent over the ball and tires");
    lukasz.measure(visit.later(15), Shoes::On, &body);
    lukasz.write_down(visit.later(50), &IRONS);
    let decided = shop.clock.ago(5, 110);
    lukasz.keep_target(decided);
    lukasz.make_job(decided.later(10), 7);
    lukasz.move_job(decided.later(20), JobState::Agreed, None);
    let lesson = shop.clock.ago(1, 200);
    lukasz.measure(lesson, Shoes::On, &[(Field::KnuckleHeight, "33 3/4 in")]);
    lukasz.remark(
        lesson.later(3),
        "Read at the end of the lesson, perhaps the wrist: take it again before the bench.",
    );
    lukasz.into_acts()
}
