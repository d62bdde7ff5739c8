//! Whole shots, strike to landing, worked out elsewhere: `data/strike_to_carry.json`.
#![expect(clippy::unwrap_used, reason = "a case that cannot be read fails its test")]

use ball::flight::Conditions;
use ball::impact::{Delivery, Head, RepresentativeHead, StrikePlace};
use ball::shot::{Shot, hit};
use serde_json::Value;

fn number(row: &Value, name: &str) -> f64 {
    row[name].as_f64().unwrap_or_else(|| panic!("{name} of {row}"))
}

fn near(what: &str, found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{what}: {found}, expected {expected} within {within}");
}

fn shot(inputs: &Value, place: StrikePlace) -> Shot {
    let head = RepresentativeHead::named(inputs["head"].as_str().unwrap()).unwrap().head;
    let head = Head {
        tangential_restitution: number(inputs, "e_t"),
        ..head.with_shaft_share(number(inputs, "extra_mass"))
    };
    let delivery = Delivery {
        head_speed_mps: number(inputs, "speed"),
        dynamic_loft_deg: number(inputs, "dyn_loft_deg"),
        attack_deg: number(inputs, "attack_deg"),
        place,
        ..Delivery::default()
    };
    hit(&head, &delivery, &Conditions::default()).unwrap()
}

#[test]
fn strikes_worked_out_elsewhere_land_where_they_did_there() {
    let file: Value = serde_json::from_str(include_str!("data/strike_to_carry.json")).unwrap();
    let cases = file["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 14);
    for case in cases {
        let inputs = &case["inputs"];
        let place = StrikePlace { toe_mm: number(inputs, "toe_mm"), high_mm: number(inputs, "high_mm") };
        let shot_there = shot(inputs, place);
        let what = |output: &str| format!("{} {place:?} {output}", case["club"]);
        let impact = &shot_there.impact;
        near(&what("ball_mps"), impact.ball_speed_mps, number(case, "ball_mps"), 1e-6);
        near(&what("launch_deg"), impact.launch_deg, number(case, "launch_deg"), 1e-6);
        near(&what("back_rpm"), impact.back_spin_rpm, number(case, "back_rpm"), 1e-3);
        near(&what("side_rpm_right"), impact.side_spin_right_rpm, number(case, "side_rpm_right"), 1e-3);
        near(&what("carry_m"), shot_there.carry_m(), number(case, "carry_m"), 0.05);
        near(&what("side_left_m"), -shot_there.right_m(), number(case, "side_left_m"), 0.05);
        let centred = shot(inputs, StrikePlace::default());
        let lost = centred.carry_m() - shot_there.carry_m();
        near(&what("carry_loss_m"), lost, number(case, "carry_loss_m"), 0.05);
    }
}
