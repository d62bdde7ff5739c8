//! The worked bench cases and the assembled clubs, through `lengthwise calc`.

use crate::common::{calc, lengthwise, out};
use serde_json::{Value, json};

const BENCH: &str = include_str!("../../../club/tests/reference/bench.json");
const STATICS: &str = include_str!("../../../club/tests/reference/club_statics.json");
const BEAM: &str = include_str!("../../../club/tests/reference/beam.json");

fn case(id: &str) -> Value {
    let file: Value = serde_json::from_str(BENCH).unwrap();
    file["cases"].as_array().unwrap().iter().find(|case| case["id"] == id).unwrap().clone()
}

/// Points above A0 of a label such as `D0.9`.
fn points(label: &str) -> f64 {
    let letter = label.chars().next().unwrap();
    let tens = f64::from(u32::from(letter) - u32::from('A')) * 10.0;
    tens + label[1..].parse::<f64>().unwrap()
}

/// The tolerance of an output: the case's own where it has one, else half the last printed digit.
fn tolerance(case: &Value, name: &str) -> f64 {
    let own = |key: &str| case["tolerance"][key].as_f64();
    let found = if name.ends_with("_pts") {
        own("swingweight_pts")
    } else if name.contains("balance_") && name.ends_with("_in") && !name.contains("keep") {
        own("balance_in")
    } else if name.starts_with("tape_in") {
        Some(0.2)
    } else if name.contains("lie") || name.contains("keep") || name.contains("upright") {
        own("lie_deg")
    } else if name.contains("direction") {
        own("direction_deg")
    } else if name.contains("offline") {
        own("yd")
    } else if name.contains("_cpm") {
        own("cpm")
    } else if name.starts_with("degrees") {
        own("deg")
    } else if name.ends_with("_g") {
        own("mass_g")
    } else {
        None
    };
    found.unwrap_or(0.005)
}

/// Compares every worked output of a case with the answer, by name.
fn assert_worked(case: &Value, answer: &Value, left_out: &[&str]) {
    let mut compared = 0;
    for (name, worked) in case["outputs"].as_object().unwrap() {
        if left_out.contains(&name.as_str()) {
            continue;
        }
        let found = &answer[name];
        compared += 1;
        match worked {
            Value::Number(worked) => {
                let (worked, within) = (worked.as_f64().unwrap(), tolerance(case, name));
                let found =
                    found.as_f64().unwrap_or_else(|| panic!("{} gives no {name}: {answer}", case["id"]));
                assert!((found - worked).abs() <= within, "{} {name}: {found}, worked {worked}", case["id"]);
            }
            Value::String(label) => {
                let found = found.as_str().unwrap_or_else(|| panic!("{} gives no {name}", case["id"]));
                assert!(
                    (points(found) - points(label)).abs() <= 0.1 + 1e-9,
                    "{name}: {found}, worked {label}"
                );
            }
            other => panic!("an output of a kind not foreseen: {other}"),
        }
    }
    assert!(compared > 3, "{} compares nothing", case["id"]);
}

#[test]
fn b01_to_b05_through_alter() {
    // the flag's wording is the tool's own
    let left_out = ["flag"];
    for id in ["B01", "B02", "B03", "B04", "B05"] {
        let case = case(id);
        let answer = calc("alter", &case["inputs"]);
        assert_worked(&case, &answer, &left_out);
        assert_eq!(answer["flag"].is_string(), case["outputs"]["flag"].is_string(), "{id} {answer}");
    }
}

#[test]
fn b06_through_lie() {
    let case = case("B06");
    assert_worked(&case, &calc("lie", &case["inputs"]), &[]);
    let contract = json!({ "length_in": 37, "lie_deg": 62, "change_in": 0.5, "grip_down_in": 5 });
    let kept = calc("lie", &contract)["lie_keep_hand_height_deg"].as_f64().unwrap();
    assert!((kept - 60.38).abs() < 0.05);
}

#[test]
fn b07_through_sole() {
    let case = case("B07");
    let answer = calc("sole", &case["inputs"]);
    assert_worked(&case, &answer, &["meaning"]);
    assert_eq!(answer["bend"], "upright");
    let se = answer["by_radius"][1]["standard_error_deg"].as_f64().unwrap();
    assert!((se - 0.23).abs() < 0.005);
}

#[test]
fn b08_through_match() {
    let case = case("B08");
    let answer = calc("match", &case["inputs"]);
    let worked = case["outputs"]["rows"].as_array().unwrap();
    assert_eq!(answer["rows"].as_array().unwrap().len(), worked.len());
    for (found, worked) in answer["rows"].as_array().unwrap().iter().zip(worked) {
        assert_eq!(found["club"], worked["club"]);
        for (name, within) in [
            ("head_g", 0.2),
            ("shaft_g", 0.2),
            ("mass_g", 0.2),
            ("balance_in", 0.01),
            ("inertia_butt_kgcm2", 0.5),
        ] {
            let (found, worked) = (found[name].as_f64().unwrap(), worked[name].as_f64().unwrap());
            assert!((found - worked).abs() <= within, "{name}: {found}, worked {worked}");
        }
        let label = found["swingweight"].as_str().unwrap();
        assert!((points(label) - points(worked["swingweight"].as_str().unwrap())).abs() <= 0.05 + 1e-9);
    }
    for (found, worked) in answer["head_step_g"]
        .as_array()
        .unwrap()
        .iter()
        .zip(case["outputs"]["head_step_g"].as_array().unwrap())
    {
        assert!((found.as_f64().unwrap() - worked.as_f64().unwrap()).abs() <= 0.1);
    }
}

#[test]
fn assembled_clubs_through_statics() {
    let file: Value = serde_json::from_str(STATICS).unwrap();
    let names = [
        ("length", "length_in"),
        ("head", "head_g"),
        ("shaft", "shaft_g"),
        ("grip", "grip_g"),
        ("head_back", "head_back_in"),
        ("head_perp", "head_perp_in"),
        ("ext", "extension_in"),
        ("ext_mass", "extension_g"),
    ];
    let cases = file["cases"].as_array().unwrap();
    let questions: Vec<Value> = cases
        .iter()
        .map(|case| {
            let mut question = json!({});
            for (from, to) in names {
                if let Some(value) = case["inputs"].get(from) {
                    question[to] = value.clone();
                }
            }
            let extra = case["inputs"]["extra"].as_array().into_iter().flatten();
            question["extra"] = extra.map(|part| json!({ "mass_g": part[1], "at_in": part[2] })).collect();
            question
        })
        .collect();
    let answers = calc("statics", &Value::Array(questions));
    for (case, answer) in cases.iter().zip(answers.as_array().unwrap()) {
        for (worked, name) in [
            ("total_g", "mass_g"),
            ("balance_in", "balance_in"),
            ("moment_in_oz", "moment_in_oz"),
            ("sw_points", "swingweight_points"),
            ("moi_butt_kgcm2", "inertia_butt_kgcm2"),
            ("moi_cg_kgcm2", "inertia_cg_kgcm2"),
        ] {
            let (found, worked) = (answer[name].as_f64().unwrap(), case["outputs"][worked].as_f64().unwrap());
            assert!((found - worked).abs() <= 1e-9, "{} {name}: {found}, worked {worked}", case["id"]);
        }
        assert_eq!(answer["swingweight"], case["outputs"]["sw"]);
    }
}

#[test]
fn lie_tables_through_lie() {
    let file: Value = serde_json::from_str(STATICS).unwrap();
    for row in file["lie_direction"].as_array().unwrap() {
        let question =
            json!({ "loft_deg": row["loft"], "lie_error_deg": row["lie_err_upright"], "carry_yd": 150 });
        let answer = calc("lie", &question);
        for (name, worked) in [
            ("start_direction_deg", "azimuth_left_deg"),
            ("vertical_loft_deg", "vertical_loft"),
            ("offline_yd", "offline_yd_at_150"),
        ] {
            let (found, worked) = (answer[name].as_f64().unwrap(), row[worked].as_f64().unwrap());
            assert!((found - worked).abs() <= 1e-9, "{name} of {row}: {found}");
        }
    }
    for row in file["lie_vs_length"].as_array().unwrap() {
        let question = json!({
            "length_in": row["length"], "lie_deg": row["lie"], "change_in": row["dL"],
            "grip_down_in": row["grip_down_in"],
        });
        let found = calc("lie", &question)["lie_keep_hand_height_deg"].as_f64().unwrap();
        assert!((found - row["new_lie"].as_f64().unwrap()).abs() <= 1e-9, "{row}: {found}");
    }
}

#[test]
fn the_length_rule_through_length() {
    // common practice, no source: 28 in makes 37 in, an inch of hand a quarter inch of club
    let answer = calc("length", &json!({ "knuckle_height_in": [30, 30.25, 29.75] }));
    assert!((answer["six_iron_length_in"].as_f64().unwrap() - 37.5).abs() < 1e-9);
    let clubs = answer["clubs"].as_array().unwrap();
    let of =
        |name: &str| clubs.iter().find(|club| club["club"] == name).unwrap()["length_in"].as_f64().unwrap();
    assert!((of("4 iron") - 38.5).abs() < 1e-9);
    assert!((of("pitching wedge") - 35.5).abs() < 1e-9);
    assert!((of("lob wedge") - 34.75).abs() < 1e-9);
    let doubtful =
        calc("length", &json!({ "knuckle_height_in": 33, "stature_in": 68, "sex": "man", "shoes": "off" }));
    assert!(doubtful["warnings"][0].as_str().unwrap().starts_with("Measure again"));
}

#[test]
fn tape_and_grip_follow_the_trades_figures() {
    // 1.75 in oz over 23 in is 2.157 g a point at 37 in; 3 points of 0.45 g/in tape are 14.38 in
    let tape = calc("tape", &json!({ "length_in": 37, "want_points": 3, "tape_g_per_in": [0.45, 1.0] }));
    assert!((tape["mass_g"].as_f64().unwrap() - 6.471).abs() < 0.001);
    assert!((tape["inches"][0].as_f64().unwrap() - 14.38).abs() < 0.01);
    // a .580 core on a .600 butt comes out .015 to .020 thicker; two layers add .020 (common practice, no source)
    let grip =
        json!({ "core_in": 0.58, "butt_in": 0.6, "nominal_in": 0.9, "layers": 2, "per_layer_in": 0.01 });
    let size = calc("grip", &grip);
    assert!((size["range_in"][0].as_f64().unwrap() - 0.935).abs() < 1e-9);
    assert!((size["range_in"][1].as_f64().unwrap() - 0.940).abs() < 1e-9);
}

#[test]
fn another_shaft_through_alter() {
    let question = json!({
        "length_in": 37, "mass_g": 426, "balance_in": 28.26, "grip_g": 50, "longer_in": 0.5,
        "old_shaft_cut_g": 105, "old_shaft_cg_in": 17.345, "new_shaft_cut_g": 80,
        "new_shaft_cg_fraction": 0.48, "bore_to_ground_in": 1.0, "cap_in": 0.125,
    });
    let answer = calc("alter", &question);
    // worked in the club crate's own test: 11759.835 g in over 401 g
    assert!((answer["mass_after_g"].as_f64().unwrap() - 401.0).abs() < 1e-9);
    assert!((answer["balance_after_in"].as_f64().unwrap() - 11_759.835 / 401.0).abs() < 1e-6);
}

#[test]
fn a_bad_element_leaves_the_others_answered() {
    let questions = json!([
        { "length_in": 37, "mass_g": 426, "balance_in": 28.25 },
        { "length_in": 37, "mas_g": 426, "balance_in": 28.25 },
        { "length_in": 370, "mass_g": 426, "balance_in": 28.25 },
        "a text",
    ]);
    let output = lengthwise(&["calc", "statics"], questions.to_string().as_bytes());
    assert_eq!(output.status.code(), Some(2));
    let answers: Value = serde_json::from_str(&out(&output)).unwrap();
    assert!(answers[0]["swingweight"].is_string());
    assert_eq!(answers[1]["error"]["kind"], "bad_input");
    assert_eq!(answers[1]["error"]["field"], "mas_g");
    assert_eq!(answers[1]["error"]["hint"], "Did you mean \"mass_g\"?");
    assert!(answers[2]["error"]["message"].as_str().unwrap().contains("370.00 in is outside"));
    assert!(answers[3]["error"]["message"].is_string());
}

#[test]
fn hostile_json_is_answered_with_an_error_document() {
    let deep = "[".repeat(100_000);
    let cases: Vec<&[u8]> = vec![
        b"",
        b"   ",
        b"null",
        b"{",
        b"{\"length_in\": NaN}",
        b"{\"length_in\": 1e999}",
        b"{\"length_in\": 37, \"length_in\": 38}",
        b"\xff\xfe",
        deep.as_bytes(),
        b"[{\"length_in\": 37},",
        b"{\"length_in\": \"37\", \"mass_g\": 1, \"balance_in\": 1}",
        b"{\"length_in\": 37, \"mass_g\": 1e308, \"balance_in\": 28}",
    ];
    for what in [
        "statics", "alter", "length", "lie", "sole", "match", "pendulum", "tape", "grip", "impact", "flight",
        "carry", "shaft",
    ] {
        for input in &cases {
            let output = lengthwise(&["calc", what], input);
            let shown = String::from_utf8_lossy(&input[..input.len().min(40)]).into_owned();
            assert_eq!(output.status.code(), Some(2), "{what} {shown}: {}", out(&output));
            let document: Value = serde_json::from_str(&out(&output)).unwrap();
            assert!(document["error"]["message"].is_string(), "{what} {shown}: {document}");
        }
    }
}

#[test]
fn every_question_has_a_schema_for_input_and_output() {
    for what in [
        "statics", "alter", "length", "lie", "sole", "match", "pendulum", "tape", "grip", "impact", "flight",
        "carry", "shaft",
    ] {
        let output = lengthwise(&["calc", what, "--schema"], b"");
        let schema: Value = serde_json::from_str(&out(&output)).unwrap();
        let keys = schema["input"]["properties"].as_object().unwrap();
        assert!(keys.len() >= 3, "{what}");
        assert!(schema["output"]["properties"].as_object().unwrap().len() >= 2, "{what}");
    }
}

#[test]
fn questions_that_no_club_asks_are_refused_with_their_field() {
    let club = json!({ "length_in": 37, "mass_g": 426, "balance_in": 28.25, "grip_g": 50 });
    let with = |more: Value| {
        let mut question = club.clone();
        for (key, value) in more.as_object().unwrap() {
            question[key] = value.clone();
        }
        question
    };
    for (what, question, field) in [
        ("statics", json!({ "length_in": 37, "head_g": 0, "shaft_g": 0, "grip_g": 0 }), "head_g"),
        (
            "statics",
            json!({ "length_in": 37, "head_g": 270, "shaft_g": 100, "grip_g": 50, "shaft_length_in": -36 }),
            "shaft_length_in",
        ),
        (
            "statics",
            json!({ "length_in": 37, "head_g": 270, "shaft_g": 100, "grip_g": 50, "extension_in": 100 }),
            "extension_in",
        ),
        ("statics", with(json!({ "extension_in": 1 })), "mass_g"),
        ("alter", with(json!({ "cut_in": 0.5, "butt_shaft_g_per_in": 5000 })), "butt_shaft_g_per_in"),
        (
            "alter",
            with(json!({ "extend_in": 0.5, "plug_g": 8, "plug_cg_from_new_butt_in": -300 })),
            "plug_cg_from_new_butt_in",
        ),
        (
            "alter",
            with(json!({ "extend_in": -0.5, "plug_g": 8, "plug_cg_from_new_butt_in": 1.6 })),
            "extend_in",
        ),
        ("alter", with(json!({ "longer_in": -100 })), "longer_in"),
        (
            "match",
            json!({ "lengths_in": [37], "seven_iron": { "length_in": 37, "head_g": 268, "shaft_g": 105, "shaft_len_in": -36, "grip_g": 50 } }),
            "shaft_len_in",
        ),
        ("tape", json!({ "length_in": 15, "want_points": 3, "tape_g_per_in": [0.45] }), "length_in"),
        (
            "sole",
            json!({ "mark_offset_in": 0.1, "toward": "toe", "sole_radius_in": 7, "marks_counted": 0 }),
            "marks_counted",
        ),
        ("sole", json!({ "mark_offset_in": 0.1, "toward": "Toe", "sole_radius_in": 7 }), "toward"),
        ("sole", json!({ "mark_offset_in": 0.1, "toward": "toe", "sole_radius_in": [] }), "sole_radius_in"),
        ("lie", json!({ "loft_deg": 34, "lie_error_deg": 2, "carry_yd": 1e9 }), "carry_yd"),
        ("lie", json!({ "loft_deg": 90, "lie_error_deg": 2 }), "loft_deg"),
        (
            "statics",
            json!({ "length_in": 37, "head_g": 270, "shaft_g": 100, "grip_g": 50, "extra": [{ "mass_g": 2, "at_in": 40 }] }),
            "extra",
        ),
        ("length", json!({ "knuckle_height_in": "28 in" }), "knuckle_height_in"),
        ("length", json!({ "knuckle_height_in": 762 }), "knuckle_height_in"),
        (
            "pendulum",
            json!({ "mass_g": 426, "balance_in": 28, "pivot_from_butt_in": 28, "period_s": 1.7 }),
            "",
        ),
    ] {
        let output = lengthwise(&["calc", what], question.to_string().as_bytes());
        assert_eq!(output.status.code(), Some(2), "{what} {question}: {}", out(&output));
        let document: Value = serde_json::from_str(&out(&output)).unwrap();
        assert!(document["error"]["message"].as_str().unwrap().len() > 10, "{document}");
        if !field.is_empty() {
            assert_eq!(document["error"]["field"], field, "{what} {document}");
        }
    }
}

#[test]
fn a_mean_mark_within_its_own_error_asks_for_no_bend() {
    let marks = json!({
        "mark_offset_in": 0.01, "toward": "heel", "sole_radius_in": 7, "marks_sd_in": 0.15, "marks_counted": 3,
    });
    assert_eq!(calc("sole", &marks)["bend"], "none");
}

#[test]
fn beams_worked_out_elsewhere_through_shaft() {
    let file: Value = serde_json::from_str(BEAM).unwrap();
    let mut compared = 0;
    for case in file["cases"].as_array().unwrap() {
        let mut question = case["inputs"].clone();
        if case["id"] == "B15" {
            // its profile stands in its text
            question["profile"] = json!([
                { "at_m": 0, "EI_Nm2": 62, "mass_per_m_kg": 0.060 },
                { "at_m": question["raw_len"], "EI_Nm2": 22, "mass_per_m_kg": 0.048 },
            ]);
            question.as_object_mut().unwrap().remove("raw_len");
        }
        let answer = calc("shaft", &question);
        for (name, worked) in case["outputs"].as_object().unwrap() {
            let Some(worked) = worked.as_f64() else { continue };
            let key = if name.starts_with("EI") { format!("{name}_Nm2") } else { name.clone() };
            let found = answer[&key].as_f64().unwrap_or_else(|| panic!("{} gives no {key}", case["id"]));
            let within = case["tol_rel"].as_f64().unwrap();
            assert!((found / worked - 1.0).abs() <= within, "{} {key}: {found}, {worked}", case["id"]);
            compared += 1;
        }
    }
    assert!(compared >= 25, "{compared}");
}

#[test]
fn a_read_shaft_is_worked_on_and_a_set_has_its_line() {
    let club = json!({
        "profile": [
            { "at_m": 0, "EI_Nm2": 68, "mass_per_m_kg": 0.11 }, { "at_m": 0.965, "EI_Nm2": 24, "mass_per_m_kg": 0.09 },
        ],
        "hosel_m": 0.03175, "tip_mass_kg": 0.256, "tip_J_kgm2": 2.6e-4, "tip_c_m": 0.010,
        "measured_cpm": 310, "measured_half_width_cpm": 2,
        "work": [{ "butt_cut_in": 0.5 }, { "extend_in": 1, "plug_seated_in": 4.5 }],
    });
    let answer = calc("shaft", &club);
    assert!((answer["cpm"].as_f64().unwrap() - 310.0).abs() < 1e-6, "{answer}");
    let change = |index: usize| answer["work"][index]["change_cpm"].as_f64().unwrap();
    assert!((4.0..8.0).contains(&change(0)) && (-14.0..-9.0).contains(&change(1)), "{answer}");
    assert!(answer["work"][0]["warning"].is_null());
    assert!(answer["work"][1]["warning"].as_str().unwrap().contains("outside the clamp"));

    let mut set = json!({ "clubs": [
        { "length_in": 38, "frequency_cpm": 300 }, { "length_in": 37, "frequency_cpm": 312 },
        { "length_in": 36, "frequency_cpm": 318 },
    ] });
    let slope = calc("shaft", &set)["slope_cpm_per_in_shorter"].as_f64().unwrap();
    assert!((slope - 9.0).abs() < 1e-9, "{slope}");
    set["slope_cpm_per_in_shorter"] = 8.6.into();
    let above = calc("shaft", &set)["above_line_cpm"][2].as_f64().unwrap();
    assert!((above - 0.8).abs() < 1e-9, "{above}");
}

#[test]
fn shafts_that_cannot_be_are_refused_with_their_range() {
    let beam = json!({ "EI_Nm2": 54, "mass_per_m_kg": 0.1, "L_m": 0.84, "tip_mass_kg": 0.256 });
    for (key, value, said) in [
        ("EI_Nm2", json!(-54), "0.1 to 10000 N m²"),
        ("mass_per_m_kg", json!(0), "0.001 to 5 kg"),
        ("clamp_m", json!(0.8), "0 to 20 in"),
        ("tip_trim_m", json!(0.8), "outside 6 to 60 in"),
        ("tip_mass_kg", json!(-1), "0 to 2000 g"),
        ("mode", json!(4), "1 to 3"),
        ("measured_cpm", json!(30), "100 to 500 cpm"),
        ("D_butt_m", json!(0.015), "one form of question"),
        ("work", json!([{ "extend_in": 1 }]), "0 to 0 in"),
    ] {
        let mut question = beam.clone();
        question[key] = value;
        let output = lengthwise(&["calc", "shaft"], question.to_string().as_bytes());
        assert_eq!(output.status.code(), Some(2), "{question}: {}", out(&output));
        let answer: Value = serde_json::from_str(&out(&output)).unwrap();
        let message = answer["error"]["message"].as_str().unwrap_or_else(|| panic!("{answer}"));
        assert!(message.contains(said), "{question}: {message}");
    }
}

#[test]
fn keys_of_two_forms_of_shaft_are_refused_and_none_goes_unread() {
    let even = json!({ "EI_Nm2": 54, "mass_per_m_kg": 0.1, "L_m": 0.84 });
    for (key, value) in [
        ("raw_len_m", json!(1.0)),
        (
            "profile",
            json!([{ "at_m": 0, "EI_Nm2": 60, "mass_per_m_kg": 0.1 }, { "at_m": 1, "EI_Nm2": 20, "mass_per_m_kg": 0.1 }]),
        ),
        ("clubs", json!([{ "length_in": 37, "frequency_cpm": 300 }])),
        ("slope_cpm_per_in_shorter", json!(8.6)),
    ] {
        let mut question = even.clone();
        question[key] = value;
        let output = lengthwise(&["calc", "shaft"], question.to_string().as_bytes());
        assert_eq!(output.status.code(), Some(2), "{question}: {}", out(&output));
        assert!(out(&output).contains("expected one form of question"), "{}", out(&output));
    }
    assert!(calc("shaft", &even)["cpm"].is_number());
}
