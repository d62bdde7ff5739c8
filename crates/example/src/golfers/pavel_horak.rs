//! Pavel Horák, twelve, with his mother's consent: the rule for adults moves nothing, a junior chart stands beside.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Shoes};
use studio::{Consent, Field};

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Mass, Field::Balance],
    rows: &[
        ("5 iron", &["34 in", "310 g", "27 15/16 in"]),
        ("7 iron", &["33 in", "320 g", "27 5/16 in"]),
        ("9 iron", &["32 in", "331 g", "26 11/16 in"]),
    ],
    each: &[(Field::ShaftMaterial, "graphite"), (Field::GripMass, "32 g"), (Field::GripCore, "0.560 in")],
};
const PUTTER: Table = Table { columns: &[Field::ClubLength], rows: &[("putter", &["31 in"])], each: &[] };

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(4, 150);
    let mut pavel = Folder::open(shop, 9, visit, ("Pavel Horák", Handedness::Right), |golfer| {
        golfer.contact = Some("Lenka Horáková, mother, 07700 900 275".to_owned());
        golfer.born = Some(shop.clock.born(12, 150));
        golfer.consent = Some(Consent {
            by: "Lenka Horáková, mother".to_owned(),
            day: visit.day,
            how: "in person, signed at the first visit".to_owned(),
        });
    });
    let body = [
        (Field::KnuckleHeight, "24 3/4 in"),
        (Field::KnuckleHeight, "24 7/8 in"),
        (Field::Stature, "60 1/2 in"),
        (Field::WristHeight, "29 in"),
        (Field::HandLength, "6 1/4 in"),
    ];
    pavel.came(visit.later(4), "Outgrew his clubs, his mother says");
    pavel.measure(visit.later(12), Shoes::On, &body);
    pavel.write_down(visit.later(30), &IRONS);
    pavel.write_down(visit.later(34), &PUTTER);
    pavel.remark(visit.later(45), "Grew an inch since spring, his mother says.");
    pavel.see_again(visit.later(48), 182, "Measure again: he is growing.");
    pavel.into_acts()
}
