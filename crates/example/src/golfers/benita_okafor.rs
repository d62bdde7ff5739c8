//! Benita Okafor, short, with men's clubs passed on: cut, weighted and ready to hand over.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, JobState};

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Loft, Field::Mass, Field::Swingweight],
    rows: &[
        ("6 iron", &["37 1/2 in", "61.5 deg", "29 deg", "420 g", "D0.5"]),
        ("7 iron", &["37 in", "62 deg", "33 deg", "427 g", "D0.5"]),
        ("8 iron", &["36 1/2 in", "62.5 deg", "37 deg", "434 g", "D0.5"]),
        ("9 iron", &["36 in", "63 deg", "41 deg", "441 g", "D0.5"]),
        ("pitching wedge", &["35 1/2 in", "63.5 deg", "46 deg", "447 g", "C9.5"]),
    ],
    each: &[
        (Field::HeadConstruction, "cast 431"),
        (Field::ShaftMaterial, "steel"),
        (Field::GripMass, "50 g"),
        (Field::GripCore, "0.600 in"),
    ],
};
const HYBRID: Table = Table { columns: &[Field::ClubLength], rows: &[("5 hybrid", &["39 in"])], each: &[] };

const FINISHED: Table = Table {
    columns: &[Field::ClubLength, Field::Mass, Field::Swingweight, Field::Lie],
    rows: &[
        ("6 iron", &["36 3/8 in", "432 g", "D0.5", "61.5 deg"]),
        ("7 iron", &["35 7/8 in", "440 g", "D0.5", "62 deg"]),
        ("8 iron", &["35 3/8 in", "449 g", "D0.5", "62.5 deg"]),
        ("9 iron", &["34 7/8 in", "455 g", "D0.5", "63 deg"]),
        ("pitching wedge", &["34 3/8 in", "460 g", "C9", "63.5 deg"]),
    ],
    each: &[],
};

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(20, 140);
    let mut benita = Folder::open(shop, 3, visit, ("Benita Okafor", Handedness::Right), |golfer| {
        golfer.contact = Some("07700 900 152".to_owned());
        golfer.sex = Sex::Woman;
        golfer.born = Some(shop.clock.born(65, 88));
    });
    let body = [
        (Field::KnuckleHeight, "25 1/4 in"),
        (Field::KnuckleHeight, "25 3/8 in"),
        (Field::Stature, "5 ft 1 in"),
        (Field::WristHeight, "30 1/4 in"),
        (Field::HandLength, "6 1/2 in"),
    ];
    benita.came(visit.later(5), "Plays clubs passed on by her brother");
    benita.measure(visit.later(15), Shoes::On, &body);
    benita.write_down(visit.later(45), &IRONS);
    benita.write_down(visit.later(48), &HYBRID);
    let decided = shop.clock.ago(16, 75);
    benita.keep_target(decided);
    benita.make_job(decided.later(10), 3);
    benita.move_job(decided.later(15), JobState::Agreed, None);
    let bench = shop.clock.ago(9, 230);
    benita.move_job(bench, JobState::OnTheBench, None);
    let before = [("Read it as it came", "37 in, 427 g, D0.5"), ("Weigh the off-cut", "4.0 g")];
    benita.tick_through(bench.later(80), "Head off", &before);
    benita.move_job(bench.later(85), JobState::Curing, None);
    let bench = shop.clock.ago(7, 180);
    benita.move_job(bench, JobState::OnTheBench, None);
    let after = [
        ("Length on the 60° plate", "35 7/8 in"),
        ("Mass", "440 g"),
        ("Swingweight", "D0.5"),
        ("Lie last", "62 deg"),
    ];
    benita.tick_through(bench.later(60), "Ten half shots", &after);
    benita.check_all(bench.later(90), &FINISHED);
    benita.move_job(bench.later(120), JobState::Checked, None);
    let why = "Rang her: she fetches them after her next lesson.";
    benita.move_job(shop.clock.ago(5, 30), JobState::Ready, Some(why));
    benita.into_acts()
}
