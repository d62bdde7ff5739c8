//! Coefficients, bounces and flights as computed elsewhere: `data/flight.json`.
#![expect(clippy::unwrap_used, reason = "a case that cannot be read fails its test")]

use ball::flight::{
    Aerodynamics, Air, Ball, Bounce, Conditions, Ground, Launch, RUN_KNOWN_WITHIN_SHARE, Weather, Wind,
    bounce, fly, run_out,
};
use serde_json::Value;
use std::f64::consts::PI;

const YARD_M: f64 = 0.9144;

fn file() -> Value {
    serde_json::from_str(include_str!("data/flight.json")).unwrap()
}

fn number(row: &Value, name: &str) -> f64 {
    row[name].as_f64().unwrap_or_else(|| panic!("{name} of {row}"))
}

fn near(what: &str, found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{what}: {found}, expected {expected} within {within}");
}

fn launch(inputs: &Value) -> Launch {
    let or_zero = |name: &str| inputs[name].as_f64().unwrap_or(0.0);
    Launch {
        speed_mps: number(inputs, "speed"),
        launch_angle_deg: number(inputs, "launch_deg"),
        azimuth_left_deg: or_zero("azim_deg"),
        spin_rpm: number(inputs, "spin_rpm"),
        axis_tilt_right_deg: or_zero("tilt_deg"),
    }
}

fn conditions(inputs: &Value) -> Conditions {
    let mut conditions = Conditions::default();
    if let Some(temperature_c) = inputs["temp_c"].as_f64() {
        conditions.air = Air::of(Weather { temperature_c, ..Weather::default() }).unwrap();
    }
    if let Some(wind) = inputs["wind"].as_array() {
        conditions.wind = Wind {
            toward_target_mps: wind[0].as_f64().unwrap(),
            to_left_mps: wind[1].as_f64().unwrap(),
            shear_exponent: None,
        };
    }
    if inputs["model"] == "all coefficients 0" {
        conditions.aerodynamics = Aerodynamics::NONE;
    }
    conditions
}

fn ground(row: &Value) -> Ground {
    Ground {
        friction: number(row, "mu"),
        lean_share: number(row, "tilt"),
        rolling_resistance: number(row, "roll_mu"),
    }
}

/// The cases of the file with that id.
fn case(id: &str) -> Value {
    file()["cases"].as_array().unwrap().iter().find(|case| case["id"] == id).unwrap().clone()
}

#[test]
fn the_constants_are_those_the_cases_were_computed_with() {
    let (file, fitted, ball) = (file(), Aerodynamics::FITTED, Ball::default());
    for (name, value) in [
        ("cd0", fitted.drag_least),
        ("kd", fitted.drag_of_lift),
        ("cdr", fitted.drag_below_crisis),
        ("rc", fitted.crisis_at),
        ("rw", fitted.crisis_width),
        ("clm", fitted.lift_most),
        ("sh", fitted.lift_half_at),
        ("spin_k", fitted.spin_decay),
    ] {
        near(name, value, number(&file["params"], name), 0.0);
    }
    near("mass", ball.mass_kg, number(&file["ball"], "mass_kg"), 0.0);
    near("diameter", ball.diameter_m, number(&file["ball"], "diameter_m"), 0.0);
    near("density", Air::default().density_kg_m3, number(&file["air_default"], "rho"), 1e-15);
    near("viscosity", Air::default().viscosity_pa_s, number(&file["air_default"], "mu"), 1e-19);
}

#[test]
fn coefficients_of_drag_and_lift() {
    let rows = file()["aero_table"].as_array().unwrap().clone();
    for row in &rows {
        let lift = Aerodynamics::FITTED.lift_coefficient(number(row, "S"));
        near("CL", lift, number(row, "CL"), 1e-12);
        near("CD", Aerodynamics::FITTED.drag_coefficient(number(row, "Re"), lift), number(row, "CD"), 1e-12);
    }
    assert_eq!(rows.len(), 15);
}

#[test]
fn single_bounces() {
    let rows = file()["bounces"].as_array().unwrap().clone();
    for row in &rows {
        let arriving = Bounce {
            forward_mps: number(row, "vx"),
            up_mps: number(row, "vz"),
            backspin_rad_s: number(row, "backspin_rpm") * PI / 30.0,
        };
        let ground = Ground { friction: number(row, "mu"), lean_share: number(row, "tilt"), ..Ground::GREEN };
        let after = bounce(&arriving, Ball::default().radius_m(), &ground).unwrap();
        near("forward", after.ball.forward_mps, number(row, "out_vx"), 1e-9);
        near("up", after.ball.up_mps, number(row, "out_vz"), 1e-9);
        near("spin", after.ball.backspin_rad_s * 30.0 / PI, number(row, "out_backspin_rpm"), 1e-9);
        near("restitution", after.restitution, number(row, "e"), 1e-9);
        near("lean", after.lean_deg, number(row, "theta_c_deg"), 1e-9);
        near("friction to roll", after.friction_to_roll, number(row, "mu_c"), 1e-9);
        assert_eq!(after.slides, row["slides"].as_bool().unwrap(), "{row}");
    }
    assert_eq!(rows.len(), 9);
}

#[test]
fn whole_flights_with_their_runs() {
    let cases = file()["cases"].as_array().unwrap().clone();
    let mut compared = 0;
    for case in &cases {
        let (out, tol) = (&case["outputs"], &case["tol"]);
        let flown = fly(&launch(&case["inputs"]), &conditions(&case["inputs"])).unwrap();
        let (apex, landing) = (flown.apex, flown.landing);
        let mut found = vec![
            ("carry_m", landing.carry_m),
            ("side_left_m", landing.left_m),
            ("apex_m", apex.height_m),
            ("time_s", landing.time_s),
            ("land_angle_deg", landing.angle_deg),
            ("land_spin_rpm", landing.spin_rpm),
        ];
        if case["ground"].is_object() {
            let run = run_out(&landing, &Ball::default(), &ground(&case["ground"])).unwrap();
            found.push(("run_m", run.run_m()));
            assert_eq!(u64::from(run.bounces), out["bounces"].as_u64().unwrap(), "{}", case["id"]);
        }
        for (name, found) in found {
            if let Some(within) = tol[name].as_f64() {
                near(&format!("{} {name}", case["id"]), found, number(out, name), within);
                compared += 1;
            }
        }
        // no tolerance of its own in the file: that of carry and of the angle
        if out["apex_x_m"].is_number() {
            near("apex_x_m", apex.x_m, number(out, "apex_x_m"), 0.05);
            near("land_speed_mps", landing.speed_mps(), number(out, "land_speed_mps"), 0.05);
        }
    }
    assert_eq!((cases.len(), compared), (15, 92), "every open case, every output with a tolerance");
}

#[test]
fn a_finer_tolerance_moves_no_carry_by_a_millimetre() {
    let mut worst: f64 = 0.0;
    for case in file()["cases"].as_array().unwrap() {
        let at = |tolerance: Option<f64>| {
            let mut conditions = conditions(&case["inputs"]);
            if let Some(tolerance) = tolerance {
                conditions.accuracy.relative = tolerance;
                conditions.accuracy.absolute = tolerance;
            }
            fly(&launch(&case["inputs"]), &conditions).unwrap().landing.carry_m
        };
        let exact = at(Some(1e-12));
        worst = worst.max((at(None) - exact).abs());
        assert!((at(Some(1e-10)) - exact).abs() < 1e-6, "{}", case["id"]);
        // at the finest the only thing left between the two programs is rounding
        near("carry", exact, number(&case["outputs"], "carry_m"), 1e-8);
    }
    assert!(worst < 1e-3, "{worst}");
}

#[test]
fn the_standards_shot_ends_at_the_standards_limit() {
    // standard: Overall Distance Standard, 317 yd and 3 more, carry and roll. Its conditions are F01's. The fairway's lean
    // was tuned on this very shot, so this holds the tuning, and says nothing of other shots
    let case = case("F01");
    let landing = fly(&launch(&case["inputs"]), &conditions(&case["inputs"])).unwrap().landing;
    let run = run_out(&landing, &Ball::default(), &Ground::FAIRWAY).unwrap();
    let total_yd = (landing.carry_m + run.run_m()) / YARD_M;
    near("total", total_yd, 317.0, 3.0);
    // the conditions announced for later must take the same ball past today's limit
    let case = self::case("F02");
    let landing = fly(&launch(&case["inputs"]), &conditions(&case["inputs"])).unwrap().landing;
    let run = run_out(&landing, &Ball::default(), &Ground::FAIRWAY).unwrap();
    assert!((landing.carry_m + run.run_m()) / YARD_M > 320.0);
}

#[test]
fn the_run_hangs_on_the_lean_of_the_ground_as_much_as_its_bounds_say() {
    // the lean is the number nobody can know of a fairway: a tenth of it, about its tuned value, moves the standard's run by
    // a good quarter, which is what the 30 in 100 of a run stand for
    let landing = fly(&launch(&case("F01")["inputs"]), &Conditions::default()).unwrap().landing;
    let run_yd = |lean_share| {
        let ground = Ground { lean_share, ..Ground::FAIRWAY };
        run_out(&landing, &Ball::default(), &ground).unwrap().run_m() / YARD_M
    };
    // derived: worked out with the cases, to the whole yard
    near("run at nine tenths", run_yd(0.90), 34.0, 0.5);
    near("run at the whole lean", run_yd(1.00), 26.0, 0.5);
    let moved = (run_yd(0.90) - run_yd(1.00)) / run_yd(Ground::FAIRWAY.lean_share);
    assert!((0.2..=RUN_KNOWN_WITHIN_SHARE).contains(&moved), "{moved}");
}

#[test]
fn tour_averages_lie_within_bands_of_sanity() {
    // sanity only: averages from memory, not re-read, on which the model was fitted; 7 yd, 4 yd and 5 degrees are the bands
    // the fit's own misses suggest (3.5 yd, 1.6 yd and 2.1 degrees rms over 22 clubs). The longest iron misses most
    let mut compared = 0;
    for case in file()["cases"].as_array().unwrap() {
        let published = &case["published"];
        let Some(carry_yd) = published["carry_yd"].as_f64() else { continue };
        let flown = fly(&launch(&case["inputs"]), &conditions(&case["inputs"])).unwrap();
        near("carry", flown.landing.carry_m / YARD_M, carry_yd, 7.0);
        near("apex", flown.apex.height_m / YARD_M, number(published, "apex_yd"), 4.0);
        near("angle", flown.landing.angle_deg, number(published, "land_deg"), 5.0);
        compared += 1;
    }
    assert_eq!(compared, 5);
}
