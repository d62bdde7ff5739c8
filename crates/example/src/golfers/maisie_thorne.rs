//! Maisie Thorne, ten: one knuckle reading, no clubs, and her father's consent is still to come.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use fitting::{Handedness, Shoes};
use studio::Field;

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(1, 20);
    let mut maisie = Folder::open(shop, 11, visit, ("Maisie Thorne", Handedness::Right), |golfer| {
        golfer.contact = Some("Peter Thorne, father, 07700 900 418".to_owned());
        golfer.born = Some(shop.clock.born(10, 100));
    });
    maisie.came(visit.later(2), "First clubs of her own");
    maisie.measure(visit.later(6), Shoes::On, &[(Field::KnuckleHeight, "23 in")]);
    maisie.remark(
        visit.later(15),
        "Came along to her father's lesson. He will bring the form, and her own clubs.",
    );
    maisie.into_acts()
}
