//! Assembled clubs, the scale, and lie against direction and length: `reference/club_statics.json`.
#![expect(clippy::unwrap_used, reason = "a case that cannot be read fails its test")]

use club::assembly::{Assembly, Extension, PointPart};
use club::lie::{FaceDelivery, lie_wanted};
use club::{MassMoments, Swingweight};
use quantity::{Angle, Length, Mass, Moment};
use serde_json::Value;

fn file() -> Value {
    serde_json::from_str(include_str!("reference/club_statics.json")).unwrap()
}

fn rows(name: &str) -> Vec<Value> {
    file()[name].as_array().unwrap().clone()
}

fn number(row: &Value, name: &str) -> f64 {
    row[name].as_f64().unwrap_or_else(|| panic!("{name} of {row}"))
}

fn near(what: &str, found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{what}: {found}, expected {expected} within {within}");
}

fn assembled(inputs: &Value) -> MassMoments {
    let part = |name: &str| Mass::grams(number(inputs, name));
    let mut club =
        Assembly::iron(Length::inches(number(inputs, "length")), part("head"), part("shaft"), part("grip"));
    if let Some(back) = inputs["head_back"].as_f64() {
        club.head.back = Length::inches(back);
        club.head.off_line = Length::inches(number(inputs, "head_perp"));
    }
    if let Some(by) = inputs["ext"].as_f64() {
        club.extension = Some(Extension { length: Length::inches(by), mass: part("ext_mass") });
    }
    for extra in inputs["extra"].as_array().into_iter().flatten() {
        club.points.push(PointPart {
            mass: Mass::grams(extra[1].as_f64().unwrap()),
            at: Length::inches(extra[2].as_f64().unwrap()),
        });
    }
    club.moments().unwrap()
}

#[test]
fn assembled_clubs_weigh_balance_and_turn_as_computed_elsewhere() {
    let cases = rows("cases");
    let base = assembled(&cases[0]["inputs"]);
    for case in &cases {
        let (club, out) = (assembled(&case["inputs"]), &case["outputs"]);
        let within = number(&case["tol"], "sw_points");
        near("mass", club.mass.as_grams(), number(out, "total_g"), 1e-9);
        near("balance", club.balance().as_inches(), number(out, "balance_in"), 1e-9);
        let scale = Swingweight::of(&club);
        near("moment", scale.moment().as_inch_ounces(), number(out, "moment_in_oz"), 1e-9);
        near("points", scale.points(), number(out, "sw_points"), within);
        assert_eq!(scale.label(2), out["sw"].as_str().unwrap());
        near("inertia about the grip end", club.second.as_kg_cm2(), number(out, "moi_butt_kgcm2"), within);
        near(
            "about the balance",
            club.inertia_about_balance().as_kg_cm2(),
            number(out, "moi_cg_kgcm2"),
            1e-9,
        );
        let five_down = club.inertia_about(Length::inches(5.0));
        near("about 5 in", five_down.as_kg_cm2(), number(out, "moi_5in_kgcm2"), 1e-9);
        if let Some(change) = out["delta_points"].as_f64() {
            near("change", scale.points_above(Swingweight::of(&base)), change, 1e-9);
            near("change", (club.second - base.second).as_kg_cm2(), number(out, "delta_moi_butt"), 1e-9);
        }
    }
    assert_eq!(cases.len(), 7);
}

#[test]
fn rules_of_thumb_are_worth_what_the_exact_club_makes_them() {
    for (row, (length, head, shaft)) in
        rows("sensitivities").iter().zip([(37.0, 270.0, 120.0), (35.5, 294.0, 122.0)])
    {
        let club = |length: f64, head: f64, grip: f64| {
            Assembly::iron(Length::inches(length), Mass::grams(head), Mass::grams(shaft), Mass::grams(grip))
                .moments()
                .unwrap()
        };
        let points = |body: &MassMoments| Swingweight::of(body).points();
        let base = club(length, head, 50.0);
        let heavier_head = club(length, head + 1.0, 50.0);
        near("head", 1.0 / (points(&heavier_head) - points(&base)), number(row, "head_g_per_point"), 1e-9);
        let heavier_grip = club(length, head, 51.0);
        near("grip", 1.0 / (points(&base) - points(&heavier_grip)), number(row, "grip_g_per_point"), 1e-9);
        // half an inch without a plug: head and shaft move out, the grip stays
        let grip =
            MassMoments::tapered_rod(Mass::grams(50.0), Length::ZERO, Length::inches(10.5), 0.42).unwrap();
        let longer = (base - grip).moved(Length::inches(0.5)) + grip;
        near(
            "half inch",
            points(&longer) - points(&base),
            number(row, "butt_half_inch_points_no_plug"),
            1e-9,
        );
        let per_gram = (heavier_head.second - base.second).as_kg_cm2();
        near("inertia of a gram", per_gram, number(row, "moi_per_head_g_kgcm2"), 1e-9);
        let per_half_inch = (longer.second - base.second).as_kg_cm2();
        near("inertia of half an inch", per_half_inch, number(row, "moi_per_half_inch_kgcm2"), 1e-9);
    }
}

#[test]
fn the_scale_reads_its_own_marks() {
    for row in rows("scale") {
        let reading = Swingweight::from_moment(Moment::inch_ounces(number(&row, "moment")));
        near("points", reading.points(), number(&row, "points"), 1e-9);
        assert_eq!(reading.label(2), row["label"].as_str().unwrap());
    }
}

#[test]
fn a_wrong_lie_turns_the_face_as_the_exact_formula_says() {
    let all = rows("lie_direction");
    for row in &all {
        let face = FaceDelivery {
            loft: Angle::degrees(number(row, "loft")),
            lie_error: Angle::degrees(number(row, "lie_err_upright")),
            ..FaceDelivery::default()
        }
        .pointing();
        near("direction", face.toward_lead.as_degrees(), number(row, "azimuth_left_deg"), 1e-9);
        near("loft", face.vertical_loft.as_degrees(), number(row, "vertical_loft"), 1e-9);
        let offline = face.offline_at(Length::inches(150.0 * 36.0)).as_inches() / 36.0;
        near("offline", offline, number(row, "offline_yd_at_150"), 1e-9);
    }
    for row in rows("general_face") {
        let face = FaceDelivery {
            loft: Angle::degrees(number(&row, "loft")),
            lie_error: Angle::degrees(number(&row, "lie_err")),
            lean: Angle::degrees(number(&row, "lean")),
            face_open: Angle::degrees(number(&row, "face_open")),
        }
        .pointing();
        near("direction", -face.toward_lead.as_degrees(), number(&row, "azimuth_right_deg"), 1e-9);
        near("loft", face.vertical_loft.as_degrees(), number(&row, "vertical_loft"), 1e-9);
    }
    assert_eq!(all.len(), 15);
}

#[test]
fn a_change_of_length_asks_for_the_lie_that_keeps_the_hands() {
    for row in rows("lie_vs_length") {
        let wanted = lie_wanted(
            Length::inches(number(&row, "length")),
            Angle::degrees(number(&row, "lie")),
            Length::inches(number(&row, "dL")),
            Length::inches(number(&row, "grip_down_in")),
        )
        .unwrap();
        near("lie", wanted.keeping_hand_height.as_degrees(), number(&row, "new_lie"), 1e-9);
    }
}
