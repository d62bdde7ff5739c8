//! Marta Lindqvist, tall, with a set off the rack: on the bench. The first club is gripped again and reads heavier
//! on the scale than it should.

use crate::Act;
use crate::folder::Folder;
use crate::shop::Shop;
use crate::table::Table;
use fitting::{Handedness, Sex, Shoes};
use studio::{Field, JobState};

const WOODS: Table = Table {
    columns: &[Field::ClubLength, Field::Mass, Field::Swingweight],
    rows: &[
        ("driver", &["44 1/2 in", "309 g", "D1"]),
        ("3 wood", &["43 in", "324 g", "D1"]),
        ("5 wood", &["42 in", "331 g", "D0"]),
    ],
    each: &[(Field::GripMass, "49 g")],
};
const IRONS: Table = Table {
    columns: &[Field::ClubLength, Field::Lie, Field::Loft, Field::Mass, Field::Swingweight],
    rows: &[
        ("4 iron", &["38 1/2 in", "60.5 deg", "23 deg", "408 g", "D2"]),
        ("5 iron", &["37 7/8 in", "61 deg", "26 deg", "414 g", "D0.5"]),
        ("6 iron", &["37 1/4 in", "61.5 deg", "30 deg", "420 g", "C9.5"]),
        ("7 iron", &["36 3/4 in", "62 deg", "34 deg", "426 g", "D0"]),
        ("8 iron", &["36 1/4 in", "62.5 deg", "38 deg", "432 g", "D0"]),
        ("9 iron", &["36 in", "63 deg", "42 deg", "438 g", "D0.5"]),
        ("pitching wedge", &["35 3/4 in", "63.5 deg", "46 deg", "445 g", "D2"]),
    ],
    each: &[
        (Field::HeadConstruction, "forged"),
        (Field::GroovePitch, "0.140 in"),
        (Field::ShaftMaterial, "steel"),
        (Field::ButtMassPerInch, "3.2 g"),
        (Field::ButtDiameter, "0.600 in"),
        (Field::ButtWall, "0.020 in"),
        (Field::GripMass, "50 g"),
        (Field::GripCore, "0.600 in"),
        (Field::PlugMassPerInch, "2.6 g"),
        (Field::PlugSeated, "2 1/2 in"),
    ],
};
const PUTTER: Table = Table { columns: &[Field::ClubLength], rows: &[("putter", &["34 in"])], each: &[] };

/// The first club as it was read: its swingweight is off by more than half a point.
const FINISHED: Table = Table {
    columns: &[Field::ClubLength, Field::Mass, Field::Swingweight, Field::Lie],
    rows: &[("7 iron", &["37 1/4 in", "441 g", "D1", "62 deg"])],
    each: &[],
};

/// Tells what happened.
pub(crate) fn story(shop: &Shop) -> Vec<Act> {
    let visit = shop.clock.ago(11, 210);
    let mut marta = Folder::open(shop, 6, visit, ("Marta Lindqvist", Handedness::Right), |golfer| {
        golfer.contact = Some("marta.lindqvist@example.org".to_owned());
        golfer.sex = Sex::Woman;
        golfer.born = Some(shop.clock.born(44, 250));
    });
    let body = [
        (Field::KnuckleHeight, "31 1/8 in"),
        (Field::KnuckleHeight, "31 in"),
        (Field::KnuckleHeight, "31 1/4 in"),
        (Field::Stature, "6 ft 1 in"),
        (Field::WristHeight, "36 1/4 in"),
        (Field::HandLength, "7 5/8 in"),
        (Field::MiddleFinger, "3 1/4 in"),
        (Field::HeadSpeed, "74 mph"),
    ];
    marta.came(visit.later(6), "The whole bag looked at");
    marta.measure(visit.later(20), Shoes::On, &body);
    marta.write_down(visit.later(60), &WOODS);
    marta.write_down(visit.later(85), &IRONS);
    marta.write_down(visit.later(88), &PUTTER);
    marta
        .remark(visit.later(95), "Wants to stand up to the ball. Plays twice a week, next match in a month.");
    let decided = shop.clock.ago(8, 240);
    marta.keep_target(decided);
    marta.make_job(decided.later(10), 5);
    marta.move_job(decided.later(30), JobState::Agreed, None);
    let bench = shop.clock.ago(3, 200);
    marta.move_job(bench, JobState::OnTheBench, None);
    let before = [
        ("Read it as it came", "36 3/4 in, 426 g, D0"),
        ("Look inside the butt", "0.600 in outside, 0.560 in inside, clean"),
        ("Cut the plug", "7.8 g"),
    ];
    marta.tick_through(bench.later(50), "Roughen both", &before);
    marta.move_job(bench.later(52), JobState::Curing, None);
    let bench = shop.clock.ago(0, 110);
    marta.move_job(bench, JobState::OnTheBench, None);
    let after = [
        ("Length on the plate, bare", "37 1/8 in"),
        ("Length on the 60° plate", "37 1/4 in"),
        ("Mass", "441 g"),
        ("Swingweight", "D1"),
    ];
    marta.tick_through(bench.later(40), "Swingweight", &after);
    marta.check(bench.later(45), "7 iron", &FINISHED);
    marta.remark(
        bench.later(50),
        "The 7 iron reads D1: look whether the weight slid down before the others are glued.",
    );
    marta.into_acts()
}
