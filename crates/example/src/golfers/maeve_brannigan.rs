//! Maeve Brannigan had three irons lengthened a month ago: handed over, and to be seen again two days ago.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, JobState};

const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Loft, Field::Mass, Field::Swingweight],
    rows: &[
        ("7 iron", &["36 1/4 in", "62 deg", "32 deg", "384 g", "C0.5"]),
        ("8 iron", &["35 3/4 in", "62.5 deg", "36 deg", "391 g", "C0.5"]),
        ("9 iron", &["35 1/4 in", "63 deg", "41 deg", "398 g", "C0.5"]),
    ],
    each: &[
        (Field::HeadConstruction, "cast 431"),
        (Field::ShaftMaterial, "graphite"),
        (Field::ButtDiameter, "0.580 in"),
        (Field::GripMass, "46 g"),
        (Field::GripCore, "0.580 in"),
        (Field::PlugMassPerInch, "3.1 g"),
    ],
};

const FINISHED: Table = Table {
    columns: &[Field::ClubLength, Field::Mass, Field::Swingweight, Field::Lie],
    rows: &[
        ("7 iron", &["36 7/8 in", "402 g", "C0.5", "62 deg"]),
        ("8 iron", &["36 3/8 in", "410 g", "C0.5", "62.5 deg"]),
        ("9 iron", &["35 7/8 in", "416 g", "C0.5", "63 deg"]),
    ],
    each: &[],
};

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(52, 130);
    let mut maeve = Folder::open(shop, 2, visit, ("Maeve Brannigan", Handedness::Right), |golfer| {
        golfer.contact = Some("maeve.brannigan@example.org".to_owned());
        golfer.sex = Sex::Woman;
        golfer.born = Some(shop.clock.born(58, 300));
    });
    let body = [
        (Field::KnuckleHeight, "29 3/4 in"),
        (Field::KnuckleHeight, "29 1/2 in"),
        (Field::Stature, "5 ft 9 in"),
        (Field::HandLength, "7 in"),
    ];
    maeve.came(visit.later(5), "Wants to stand taller to the ball");
    maeve.measure(visit.later(15), Shoes::On, &body);
    maeve.write_down(visit.later(40), &IRONS);
    maeve.health_remark(
        visit.later(45),
        "Stiff lower back in the morning; asked to stand taller to the ball.",
    );
    let decided = shop.clock.ago(48, 50);
    maeve.keep_target(decided);
    maeve.make_job(decided.later(10), 2);
    maeve.move_job(decided.later(20), JobState::Agreed, None);
    let bench = shop.clock.ago(40, 220);
    maeve.move_job(bench, JobState::OnTheBench, None);
    let before = [
        ("Read it as it came", "36 1/4 in, 384 g, C0.5"),
        ("Look inside the butt", "0.580 in outside, 0.522 in inside, clean"),
        ("Cut the plug", "9.6 g"),
    ];
    maeve.tick_through(bench.later(70), "Roughen both", &before);
    maeve.move_job(bench.later(75), JobState::Curing, None);
    let bench = shop.clock.ago(38, 160);
    maeve.move_job(bench, JobState::OnTheBench, None);
    let after = [
        ("Length on the plate, bare", "36 3/4 in"),
        ("Length on the 60° plate", "36 7/8 in"),
        ("Mass", "402 g"),
        ("Swingweight", "C0.5"),
        ("Lie last", "62 deg"),
    ];
    maeve.tick_through(bench.later(45), "Ten half shots", &after);
    maeve.check_all(bench.later(60), &FINISHED);
    maeve.move_job(bench.later(80), JobState::Checked, None);
    maeve.found_after(bench.later(82), &["7 iron", "8 iron", "9 iron"], "already extended");
    maeve.move_job(bench.later(85), JobState::Ready, None);
    let handed_over = shop.clock.ago(30, 35);
    maeve.move_job(handed_over, JobState::HandedOver, None);
    maeve.see_again(
        handed_over.later(4),
        shop.house.follow_up_days(),
        "Strikes, lie by sole marks, and whether the joints are still tight.",
    );
    maeve.into_acts()
}
