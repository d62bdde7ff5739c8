//! Joost Vermeer, left-handed and metric: a rusted and a cracked club, inertia held instead of the swingweight. The
//! target is kept; the job is not made yet.

use crate::Act;
use crate::folder::{Folder, Striker};
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, TrialReason};
use trial::Plan;

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Mass, Field::Balance, Field::Lie, Field::Loft, Field::Condition],
    rows: &[
        ("4 iron", &["990 mm", "409 g", "740 mm", "60 deg", "22 deg", "rusted"]),
        ("6 iron", &["965 mm", "419 g", "729 mm", "61 deg", "28 deg"]),
        ("8 iron", &["940 mm", "431 g", "717 mm", "62 deg", "36 deg"]),
        ("pitching wedge", &["906 mm", "446 g", "701 mm", "63.5 deg", "46 deg", "cracked"]),
    ],
    each: &[
        (Field::HeadConstruction, "forged"),
        (Field::GroovePitch, "3.6 mm"),
        (Field::GripMass, "52 g"),
        (Field::GripCore, "15.2 mm"),
    ],
};

/// Makes up half of a change of length; a quarter inch more than the rule would suit.
const STRIKER: Striker =
    Striker { level: [1.4, -2.9], slope: [-5.8, 11.5], ball: [8.5, 6.5], day: [3.0, 2.5] };

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(15, 200);
    let mut joost = Folder::open(shop, 4, visit, ("Joost Vermeer", Handedness::Left), |golfer| {
        golfer.contact = Some("joost.vermeer@example.org".to_owned());
        golfer.sex = Sex::Man;
        golfer.hold = Some("inertia".to_owned());
    });
    let body = [
        (Field::KnuckleHeight, "70.5 cm"),
        (Field::KnuckleHeight, "70.8 cm"),
        (Field::KnuckleHeight, "70.6 cm"),
        (Field::Stature, "178 cm"),
        (Field::WristHeight, "84.6 cm"),
        (Field::HandLength, "19.4 cm"),
        (Field::MiddleFinger, "8.2 cm"),
        (Field::HeadSpeed, "80 mph"),
    ];
    joost.came(visit.later(5), "Clubs from the attic: are they worth the work?");
    joost.measure(visit.later(15), Shoes::Off, &body);
    joost.write_down(visit.later(55), &IRONS);
    joost.remark(
        visit.later(60),
        "The wedge stays here, marked and not swung: a crack from the butt, an inch long.",
    );
    let later = shop.clock.ago(6, 40);
    joost.wish(later, "8 iron", "cut");
    joost.keep_target(later.later(5));
    joost.plan_trial(later.later(12), "6 iron", Plan::lessons, TrialReason::Everyone);
    for (visit, days) in (1..).zip([5, 2]) {
        joost.hit_visit(shop.clock.ago(days, 240), visit, &STRIKER);
    }
    joost.into_acts()
}
