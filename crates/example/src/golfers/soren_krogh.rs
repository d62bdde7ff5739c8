//! Søren Krogh, left-handed, measured in millimetres: half of his clubs are written down, the rest is in his car.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::Field;

const CLUBS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Mass, Field::Balance],
    rows: &[
        ("5 iron", &["960 mm", "61 deg", "414 g", "729 mm"]),
        ("6 iron", &["947 mm", "61.5 deg", "421 g", "723 mm"]),
        ("7 iron", &["935 mm", "62 deg", "428 g", "717 mm"]),
        ("8 iron", &[]),
        ("9 iron", &[]),
        ("pitching wedge", &[]),
    ],
    each: &[],
};

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(3, 120);
    let mut soren = Folder::open(shop, 10, visit, ("Søren Krogh", Handedness::Left), |golfer| {
        golfer.contact = Some("soren.krogh@example.org".to_owned());
        golfer.sex = Sex::Man;
        golfer.born = Some(shop.clock.born(38, 210));
    });
    let body = [
        (Field::KnuckleHeight, "738 mm"),
        (Field::KnuckleHeight, "741 mm"),
        (Field::Stature, "181 cm"),
        (Field::HandLength, "195 mm"),
    ];
    soren.came(visit.later(3), "Two clubs that never feel alike");
    soren.measure(visit.later(10), Shoes::Off, &body);
    soren.write_down(visit.later(35), &CLUBS);
    soren.remark(visit.later(40), "Had only three irons with him; brings the others on Friday.");
    soren.into_acts()
}
