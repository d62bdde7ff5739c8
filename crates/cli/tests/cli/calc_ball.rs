//! Strikes and flights, through `lengthwise calc impact|flight|carry`.

use crate::common::{calc, lengthwise, out};
use serde_json::{Value, json};

const FLIGHT: &str = include_str!("../../../ball/tests/data/flight.json");
const SHOTS: &str = include_str!("../../../ball/tests/data/strike_to_carry.json");
const IMPACT: &str = include_str!("../../../ball/tests/data/impact.json");

/// A question of `impact.json` with the units at its keys.
fn with_units(inputs: &Value) -> Value {
    let mut question = inputs.clone();
    let keys = question.as_object_mut().unwrap();
    for (bare, unit) in [("speed", "speed_mps"), ("extra_mass", "extra_mass_kg")] {
        if let Some(value) = keys.remove(bare) {
            keys.insert(unit.to_owned(), value);
        }
    }
    question
}

/// Compares every output of a strike computed elsewhere with the answer.
fn assert_struck(case: &Value, answer: &Value) {
    for (name, worked) in case["outputs"].as_object().unwrap() {
        // the file's names without a unit, and the command's
        let key = match name.as_str() {
            "vn" => "vn_mps",
            "momentum_err" => "momentum_err_Ns",
            other => other,
        };
        let within = case["tol"][name].as_f64().unwrap_or(1e-3);
        let each = |value: &Value| value.as_array().cloned().unwrap_or_else(|| vec![value.clone()]);
        let (worked, found) = (each(worked), each(&answer[key]));
        assert_eq!(worked.len(), found.len(), "{} {key}", case["id"]);
        for (worked, found) in worked.iter().zip(&found) {
            match worked.as_f64() {
                Some(number) => {
                    let found = found.as_f64().unwrap_or_else(|| panic!("{} gives no {key}", case["id"]));
                    assert!((found - number).abs() <= within, "{} {key}: {found}, {number}", case["id"]);
                }
                None => assert_eq!(found, worked, "{} {key}", case["id"]),
            }
        }
    }
}

#[test]
fn strikes_through_impact() {
    let file: Value = serde_json::from_str(IMPACT).unwrap();
    let cases = file["cases"].as_array().unwrap();
    for case in cases {
        assert_struck(case, &calc("impact", &with_units(&case["inputs"])));
        // the same head by its numbers, the keys as the file has them
        let mut by_numbers = case["inputs"].clone();
        by_numbers["head"] = file["heads"][case["inputs"]["head"].as_str().unwrap()].clone();
        assert_struck(case, &calc("impact", &by_numbers));
    }
    assert_eq!(cases.len(), 14);
}

#[test]
fn a_left_handers_ball_is_the_mirror_of_a_right_handers() {
    let right = json!({ "head": "iron7", "speed_mps": 36, "dyn_loft_deg": 25, "roll_deg": 2, "toe_mm": 8, "face_deg": 1 });
    let mut left = right.clone();
    left["plays"] = json!("left-handed");
    let (right, left) = (calc("impact", &right), calc("impact", &left));
    for sideways in ["azim_right_deg", "side_rpm_right", "axis_tilt_deg", "rifle_rpm"] {
        let (one, other) = (right[sideways].as_f64().unwrap(), left[sideways].as_f64().unwrap());
        assert!(one != 0.0 && one.to_bits() == (-other).to_bits(), "{sideways}: {one} {other}");
    }
    for kept in ["ball_mps", "launch_deg", "back_rpm", "start_turned_by_lie_deg", "m_eff_g"] {
        assert_eq!(right[kept], left[kept], "{kept}");
    }
    // two degrees upright start either golfer's ball toward the lead side
    assert!(left["start_turned_by_lie_deg"].as_f64().unwrap() > 0.5);
}

#[test]
fn an_impact_that_cannot_be_is_refused_with_what_to_do() {
    let refused = |question: Value| {
        let output = lengthwise(&["calc", "impact"], question.to_string().as_bytes());
        assert_eq!(output.status.code(), Some(2), "{question}");
        serde_json::from_str::<Value>(&out(&output)).unwrap()["error"].clone()
    };
    let off = refused(json!({ "head": "iron7", "speed_mps": 36, "dyn_loft_deg": 25, "toe_mm": 55 }));
    assert!(off["message"].as_str().unwrap().contains("found 55 mm toward the toe"), "{off}");
    assert!(off["hint"].is_string());
    let unknown = refused(json!({ "head": "putter", "speed_mps": 36, "dyn_loft_deg": 25 }));
    assert_eq!(unknown["field"], "head");
    assert!(unknown["message"].as_str().unwrap().contains("iron_blade5"), "{unknown}");
    let fast = refused(json!({ "head": "iron7", "speed_mps": 360, "dyn_loft_deg": 25 }));
    assert!(fast["message"].as_str().unwrap().contains("0.5 to 80 m/s"), "{fast}");
    refused(json!({ "head": "iron7", "speed_mps": 36, "dyn_loft_deg": 25, "toe": 5 }));
}

#[test]
fn a_head_is_found_by_its_club_and_says_what_it_rests_on() {
    let ask = |head: Value| calc("impact", &json!({ "head": head, "speed_mps": 36, "dyn_loft_deg": 25 }));
    let six = ask(json!({ "club": "6 iron", "head_g": 262 }));
    assert_eq!(six["head_like"], json!(["iron5", "iron7"]));
    assert!((six["head_g"].as_f64().unwrap() - 262.0).abs() < 1e-9);
    assert_eq!(six["head_rests_on"]["mass"], "read from this head");
    assert_eq!(six["head_rests_on"]["centre_of_mass"], "assumed");
    let seven = ask(json!({ "club": "7 iron" }));
    assert_eq!(seven["head_rests_on"]["mass"], "trade practice, no source");
    assert_eq!(seven["head_rests_on"]["tangential_restitution"], "calibrated");
    let bare = calc("impact", &json!({ "head": "iron7", "speed_mps": 36, "dyn_loft_deg": 25, "mu": 0.2 }));
    assert_eq!(bare["head_rests_on"]["tangential_restitution"], "left out, 0");
    assert_eq!(bare["head_rests_on"]["friction"], "as asked");
    // a club comes with what was calibrated, a name with the bare body
    let by_name = |e_t: f64, extra_mass_kg: f64| {
        let asked = json!({ "head": "iron7", "speed_mps": 36, "dyn_loft_deg": 25, "e_t": e_t, "extra_mass_kg": extra_mass_kg });
        calc("impact", &asked)["spin_rpm"].as_f64().unwrap()
    };
    let spin = seven["spin_rpm"].as_f64().unwrap();
    // 2 g of head lie between the table's seven-iron and the usual one
    assert!((spin - by_name(0.25, 0.003)).abs() < 10.0, "{spin}");
    assert!(spin > by_name(0.0, 0.0) * 1.15, "{spin}");
    let output = lengthwise(
        &["calc", "impact"],
        json!({ "head": { "club": "putter" }, "speed_mps": 2, "dyn_loft_deg": 3 }).to_string().as_bytes(),
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(out(&output).contains("found a putter"), "{}", out(&output));
}

#[test]
fn the_help_of_calc_says_the_signs_of_impact() {
    let help = out(&lengthwise(&["calc", "--help"], b""));
    let words = help.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in
        ["the toe points to -y", "start, side spin and tilt are + to the right", "left-handed", "z up"]
    {
        assert!(words.contains(said), "{said}: {help}");
    }
}

/// Compares the outputs of a case that the answer has with the answer, within what the file allows.
fn assert_flown(case: &Value, worked: &Value, answer: &Value, within: impl Fn(&str) -> f64) {
    for (name, number) in worked.as_object().unwrap() {
        let Some(number) = number.as_f64() else { continue };
        let found = answer[name].as_f64().unwrap_or_else(|| panic!("{case} gives no {name}: {answer}"));
        assert!((found - number).abs() <= within(name), "{case} {name}: {found}, {number}");
    }
}

#[test]
fn flights_computed_elsewhere_through_flight() {
    let file: Value = serde_json::from_str(FLIGHT).unwrap();
    let mut flown = 0;
    for case in file["cases"].as_array().unwrap() {
        let mut question = case["inputs"].clone();
        // a ball without air is no question of a bench
        if question["model"].is_string() {
            continue;
        }
        if case["outputs"]["run_m"].is_number() {
            let is_green = case["ground"]["roll_mu"].as_f64() == Some(0.06);
            question["ground"] = if is_green { "green" } else { "fairway" }.into();
        }
        question["tolerance"] = 1e-10.into();
        let answer = calc("flight", &question);
        assert_flown(case, &case["outputs"], &answer, |name| case["tol"][name].as_f64().unwrap_or(1e-6));
        flown += 1;
    }
    assert!(flown >= 14, "{flown}");
}

#[test]
fn strikes_computed_elsewhere_through_carry() {
    let file: Value = serde_json::from_str(SHOTS).unwrap();
    for case in file["cases"].as_array().unwrap() {
        let answer = calc("carry", &json!({ "strike": with_units(&case["inputs"]) }));
        let mut worked = case.clone();
        worked.as_object_mut().unwrap().remove("inputs");
        assert_flown(case, &worked, &answer, |name| match name {
            "ball_mps" | "launch_deg" => 1e-6,
            "back_rpm" | "side_rpm_right" => 1e-3,
            _ => 0.05,
        });
        let (from, to) = (answer["carry_from_m"].as_f64().unwrap(), answer["carry_to_m"].as_f64().unwrap());
        assert!(from < answer["carry_m"].as_f64().unwrap() && to - from > 8.0, "{answer}");
    }
}

#[test]
fn a_left_handers_carry_is_the_mirror_of_a_right_handers() {
    let strike = |plays: &str| {
        json!({ "strike": {
            "head": { "club": "7 iron" }, "speed_mps": 36, "dyn_loft_deg": 25, "roll_deg": 2, "toe_mm": 8, "plays": plays,
        }, "ground": "green" })
    };
    let (right, left) = (calc("carry", &strike("right-handed")), calc("carry", &strike("left-handed")));
    for (name, sign) in [
        ("carry_m", 1.0),
        ("carry_loss_m", 1.0),
        ("side_left_m", -1.0),
        ("azim_right_deg", -1.0),
        ("rest_left_m", -1.0),
    ] {
        let of = |answer: &Value| answer[name].as_f64().unwrap_or_else(|| panic!("{answer}"));
        assert!((of(&right) - sign * of(&left)).abs() < 1e-9, "{name}");
    }
    assert!(right["side_left_m"].as_f64().unwrap() > 1.0, "upright goes left for a right-hander: {right}");
}

#[test]
fn a_ball_that_cannot_fly_is_refused_with_its_range() {
    let driver = json!({ "speed_mps": 70, "launch_deg": 11, "spin_rpm": 2600 });
    for (key, value, expected) in [
        ("speed_mps", json!(0), "ball speed of 1 to 120 m/s"),
        ("speed_mps", json!(500), "ball speed"),
        ("spin_rpm", json!(1e6), "spin rate"),
        ("launch_deg", json!(95), "launch angle"),
        ("launch_deg", json!(-5), "rises"),
        ("azim_deg", json!(120), "azimuth"),
        ("humidity", json!(50), "relative humidity"),
        ("temp_c", json!(297), "temperature"),
        ("wind_mps", json!([90, 0]), "wind"),
        ("landing_height_m", json!(80), "apex"),
        ("points", json!(1), "points"),
        ("spin", json!(3000), "unknown"),
    ] {
        let mut question = driver.clone();
        question[key] = value;
        let output = lengthwise(&["calc", "flight"], question.to_string().as_bytes());
        assert_eq!(output.status.code(), Some(2), "{question}: {}", out(&output));
        let answer: Value = serde_json::from_str(&out(&output)).unwrap();
        let said = answer["error"]["message"].as_str().unwrap_or_else(|| panic!("{answer}"));
        assert!(said.contains(expected), "{question}: {said}");
    }
    let both =
        json!({ "speed_mps": 70, "launch_deg": 11, "spin_rpm": 2600, "pressure_pa": 1e5, "altitude_m": 200 });
    let output = lengthwise(&["calc", "flight"], both.to_string().as_bytes());
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn a_flight_says_what_carry_and_run_are_worth() {
    let crooked = json!({
        "speed_mps": 70, "launch_deg": 11, "spin_rpm": 2600, "azim_deg": 3, "tilt_deg": 12, "ground": "fairway",
    });
    let answer = calc("flight", &crooked);
    let of = |name: &str| answer[name].as_f64().unwrap_or_else(|| panic!("{name}: {answer}"));
    assert_eq!(
        answer["carry_caution"],
        "Balls differ in drag: one that nobody has measured may carry 5 yd more or less at a full shot."
    );
    // definition of the yard, and Pythagoras
    assert!((of("carry_known_within_m") - 4.572).abs() < 1e-12);
    let distance_m = (of("carry_m").powi(2) + of("side_left_m").powi(2)).sqrt();
    assert!((of("distance_m") - distance_m).abs() < 1e-9);
    assert!(of("distance_m") > of("carry_m"));
    assert!((of("run_from_m") - 0.7 * of("run_m")).abs() < 1e-9);
    assert!((of("run_to_m") - 1.3 * of("run_m")).abs() < 1e-9);
    // the points of a way are asked for apart, and change nothing else
    let mut with_way = crooked.clone();
    with_way["points"] = 5.into();
    let mut with_way = calc("flight", &with_way);
    assert!(with_way.as_object_mut().unwrap().remove("points").is_some());
    assert_eq!(with_way, answer);
}

#[test]
fn thin_air_and_a_target_below_carry_farther_and_the_way_can_be_asked_for() {
    let driver = |more: Value| {
        let mut question = json!({ "speed_mps": 70, "launch_deg": 11, "spin_rpm": 2600 });
        question.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        calc("flight", &question)
    };
    let carry = |more: Value| driver(more)["carry_m"].as_f64().unwrap();
    let usual = carry(json!({}));
    assert!(carry(json!({ "altitude_m": 1500 })) > usual + 5.0);
    assert!(carry(json!({ "landing_height_m": -20 })) > usual + 5.0);
    assert!(carry(json!({ "wind_mps": [-6, 0] })) < usual - 5.0);
    let way = driver(json!({ "points": 21 }));
    let points = way["points"].as_array().unwrap();
    assert_eq!(points.len(), 21);
    assert!((points[20][1].as_f64().unwrap() - usual).abs() < 1e-6);
}

#[test]
fn a_strike_that_cannot_fly_is_refused_with_its_range_and_the_rest_of_a_list_is_answered() {
    let strike = |key: &str, value: Value| {
        let mut strike = json!({ "head": { "club": "7 iron" }, "speed_mps": 36, "dyn_loft_deg": 25 });
        strike[key] = value;
        json!({ "strike": strike })
    };
    let refused = |what: &str, question: &Value| {
        let output = lengthwise(&["calc", what], question.to_string().as_bytes());
        assert_eq!(output.status.code(), Some(2), "{question}: {}", out(&output));
        out(&output)
    };
    for (key, value, expected) in [
        ("speed_mps", json!(0), "0.5 to 80 m/s"),
        ("speed_mps", json!(500), "0.5 to 80 m/s"),
        ("dyn_loft_deg", json!(95), "-15 to 80 deg"),
        ("toe_mm", json!(200), "face"),
        ("head", json!({ "club": "putter" }), "putter"),
        ("head", json!("a hammer"), "iron7"),
    ] {
        let said = refused("carry", &strike(key, value));
        assert!(said.contains(expected), "{key}: {said}");
    }
    let good = json!({ "speed_mps": 70, "launch_deg": 11, "spin_rpm": 2600 });
    let heavy = json!({ "speed_mps": 70, "launch_deg": 11, "spin_rpm": 2600, "ball_g": 500 });
    let large = json!({ "speed_mps": 70, "launch_deg": 11, "spin_rpm": 2600, "ball_mm": 4 });
    assert!(refused("flight", &heavy).contains("mass of the ball"));
    assert!(refused("flight", &large).contains("diameter of the ball"));
    // downward to a target below the tee: it lands there
    let down = json!({ "speed_mps": 40, "launch_deg": -5, "spin_rpm": 1000, "landing_height_m": -20 });
    assert!(calc("flight", &down)["carry_m"].as_f64().unwrap() > 40.0);
    let list: Value = serde_json::from_str(&refused("flight", &json!([good, heavy, good]))).unwrap();
    assert!(list[0]["carry_m"].is_number() && list[1]["error"]["message"].is_string());
    assert_eq!(list[0], list[2]);
    let output =
        lengthwise(&["calc", "flight"], br#"{"speed_mps": 1e999, "launch_deg": 11, "spin_rpm": 2600}"#);
    assert_eq!(output.status.code(), Some(2), "{}", out(&output));
}
