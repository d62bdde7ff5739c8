//! Edwin Achterberg came in the season before: cut, handed over, seen again, closed.

use crate::Act;
use crate::folder::{Folder, Striker};
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, JobState, TrialReason};
use trial::Plan;

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Loft, Field::Mass, Field::Swingweight],
    rows: &[
        ("6 iron", &["37 1/2 in", "61.5 deg", "28 deg", "391 g", "C8"]),
        ("7 iron", &["37 in", "62 deg", "32 deg", "398 g", "C8"]),
        ("8 iron", &["36 1/2 in", "62.5 deg", "36 deg", "405 g", "C8"]),
        ("9 iron", &["36 in", "63 deg", "41 deg", "412 g", "C8"]),
    ],
    each: &[
        (Field::HeadConstruction, "cast"),
        (Field::ShaftMaterial, "graphite"),
        (Field::GripMass, "52 g"),
        (Field::GripCore, "0.600 in"),
    ],
};

const FINISHED: Table = Table {
    columns: &[Field::ClubLength, Field::Mass, Field::Swingweight, Field::Lie],
    rows: &[
        ("6 iron", &["36 7/8 in", "398 g", "C8", "61.5 deg"]),
        ("7 iron", &["36 3/8 in", "407 g", "C8", "62 deg"]),
        ("8 iron", &["35 7/8 in", "413 g", "C8", "62.5 deg"]),
        ("9 iron", &["35 3/8 in", "420 g", "C8", "63 deg"]),
    ],
    each: &[],
};

/// Makes up a third of a change of length, and the built length suits.
const STRIKER: Striker =
    Striker { level: [0.8, -0.4], slope: [-8.0, 15.0], ball: [7.5, 5.5], day: [2.5, 2.0] };

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(92, 170);
    let mut edwin = Folder::open(shop, 1, visit, ("Edwin Achterberg", Handedness::Right), |golfer| {
        golfer.contact = Some("edwin.achterberg@example.org".to_owned());
        golfer.sex = Sex::Man;
        golfer.born = Some(shop.clock.born(72, 19));
    });
    let body = [
        (Field::KnuckleHeight, "27 1/2 in"),
        (Field::KnuckleHeight, "27 3/4 in"),
        (Field::Stature, "5 ft 6 in"),
        (Field::HandLength, "7 1/4 in"),
    ];
    edwin.came(visit.later(5), "Irons from his brother; they feel long");
    edwin.measure(visit.later(15), Shoes::On, &body);
    edwin.write_down(visit.later(45), &IRONS);
    let decided = shop.clock.ago(85, 60);
    edwin.keep_target(decided);
    edwin.make_job(decided.later(10), 1);
    edwin.move_job(decided.later(15), JobState::Agreed, None);
    let bench = shop.clock.ago(78, 190);
    edwin.move_job(bench, JobState::OnTheBench, None);
    let before = [("Read it as it came", "37 in, 398 g, C8"), ("Weigh the off-cut", "1.3 g")];
    edwin.tick_through(bench.later(60), "Head off", &before);
    edwin.move_job(bench.later(65), JobState::Curing, None);
    let bench = shop.clock.ago(76, 170);
    edwin.move_job(bench, JobState::OnTheBench, None);
    let after = [
        ("Length on the 60° plate", "36 3/8 in"),
        ("Mass", "407 g"),
        ("Swingweight", "C8"),
        ("Lie last", "62 deg"),
    ];
    edwin.tick_through(bench.later(40), "Ten half shots", &after);
    edwin.check_all(bench.later(60), &FINISHED);
    edwin.move_job(bench.later(85), JobState::Checked, None);
    edwin.move_job(bench.later(90), JobState::Ready, None);
    let handed_over = shop.clock.ago(74, 45);
    edwin.move_job(handed_over, JobState::HandedOver, None);
    edwin.see_again(
        handed_over.later(3),
        shop.house.follow_up_days(),
        "Strikes with the 7 iron, and the lie once he has settled.",
    );
    let again = shop.clock.ago(45, 95);
    edwin.seen_again(
        again,
        "Marks back in the middle of the face, sole marks even. Joints tight. Stays as it is.",
    );
    edwin.move_job(again.later(5), JobState::Closed, None);
    edwin.plan_trial(again.later(10), "7 iron", Plan::quick, TrialReason::AfterJob);
    for (visit, days) in (1..).zip([44, 37, 30, 23]) {
        edwin.hit_visit(shop.clock.ago(days, 90), visit, &STRIKER);
    }
    edwin.open_code(shop.clock.ago(23, 60), "cannot tell");
    edwin.into_acts()
}
