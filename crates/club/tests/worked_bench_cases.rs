//! The eight worked bench cases of `reference/bench.json`, through the library.
#![expect(clippy::unwrap_used, reason = "a case that cannot be read fails its test")]

use club::alter::{FittedShaft, OnBench, PlugPiece};
use club::bench_model::{self, CAP, Reading};
use club::lie::{FaceDelivery, lie_wanted};
use club::set_match::{ReferenceClub, heads};
use club::sole_mark::{Bend, MarkSide, SoleMarks};
use club::{MassMoments, Swingweight, hold, tape};
use quantity::{Angle, Length, Mass};
use serde_json::Value;

fn case(id: &str) -> Value {
    let file: Value = serde_json::from_str(include_str!("reference/bench.json")).unwrap();
    file["cases"].as_array().unwrap().iter().find(|case| case["id"] == id).unwrap().clone()
}

/// One worked case: inputs by name, outputs asserted by name within the case's own tolerance.
struct Worked(Value);

impl Worked {
    fn input(&self, name: &str) -> f64 {
        self.0["inputs"][name].as_f64().unwrap_or_else(|| panic!("input {name}"))
    }

    fn inches(&self, name: &str) -> Length {
        Length::inches(self.input(name))
    }

    fn grams(&self, name: &str) -> Mass {
        Mass::grams(self.input(name))
    }

    fn grip(&self, mass: &str) -> MassMoments {
        let centre = self.0["inputs"]["grip_cg_in"].as_f64().unwrap_or(4.0);
        MassMoments::rod_about(self.grams(mass), Length::inches(centre), bench_model::GRIP_LENGTH)
    }

    fn club(&self, grip: &str) -> OnBench {
        let reading = Reading {
            length: self.inches("length_in"),
            mass: self.grams("mass_g"),
            balance: self.inches("balance_in"),
        };
        OnBench::from_parts(reading.length, &reading.parts(self.grip(grip)).unwrap())
    }

    fn is(&self, name: &str, found: f64, tolerance: &str) {
        let within =
            self.0["tolerance"][tolerance].as_f64().unwrap_or_else(|| panic!("tolerance {tolerance}"));
        self.is_within(name, found, within);
    }

    fn is_within(&self, name: &str, found: f64, within: f64) {
        let expected = self.0["outputs"][name].as_f64().unwrap_or_else(|| panic!("output {name}"));
        assert!((found - expected).abs() <= within, "{name}: {found}, worked {expected} within {within}");
    }

    fn reads(&self, name: &str, found: Swingweight) {
        let worked = Swingweight::parse(self.0["outputs"][name].as_str().unwrap()).unwrap();
        let within = self.0["tolerance"]["swingweight_pts"].as_f64().unwrap();
        assert!(found.points_above(worked).abs() <= within, "{name}: {found}, worked {worked}");
    }
}

fn plug(mass: Mass, centre: Length) -> PlugPiece {
    PlugPiece { mass, centre, length: centre * 2.0 }
}

#[test]
fn b01_extending_half_an_inch_with_an_eight_gram_plug() {
    let b = Worked(case("B01"));
    let before = b.club("grip_g");
    let after =
        before.extended(b.inches("extend_in"), plug(b.grams("plug_g"), b.inches("plug_cg_from_new_butt_in")));
    b.reads("swingweight_before", before.swingweight());
    b.reads("swingweight_after", after.swingweight());
    b.is("change_pts", after.swingweight().points_above(before.swingweight()), "swingweight_pts");
    b.is("mass_after_g", after.whole().mass.as_grams(), "mass_g");
    b.is("balance_after_in", after.whole().balance().as_inches(), "balance_in");
    b.is_within("length_after_in", after.length.as_inches(), 1e-9);

    let wanted = before.swingweight();
    let off_the_head = -hold::head_mass_for_swingweight(&after, wanted);
    b.is("head_mass_to_remove_to_hold_g", off_the_head.as_grams(), "mass_g");
    let at = b.inches("counterweight_at_in");
    let weight = hold::butt_weight_for_swingweight(&after, wanted, at).unwrap();
    b.is("or_counterweight_g", weight.as_grams(), "mass_g");
    let weighted = after.with_butt_weight(weight, at);
    b.is("mass_with_counterweight_g", weighted.whole().mass.as_grams(), "mass_g");
    assert!(weighted.swingweight().points_above(wanted).abs() < 1e-9, "held exactly");

    let lie =
        lie_wanted(before.length, Angle::degrees(b.input("lie_deg")), b.inches("extend_in"), Length::ZERO)
            .unwrap();
    b.is("lie_to_keep_hand_height_deg", lie.keeping_hand_height.as_degrees(), "lie_deg");
    b.is("lie_to_keep_ball_distance_deg", lie.keeping_ball_distance.as_degrees(), "lie_deg");
}

#[test]
fn b02_extending_a_graphite_iron_by_an_inch() {
    let b = Worked(case("B02"));
    let before = b.club("grip_g");
    let after =
        before.extended(b.inches("extend_in"), plug(b.grams("plug_g"), b.inches("plug_cg_from_new_butt_in")));
    b.reads("swingweight_before", before.swingweight());
    b.reads("swingweight_after", after.swingweight());
    b.is("change_pts", after.swingweight().points_above(before.swingweight()), "swingweight_pts");
    b.is("mass_after_g", after.whole().mass.as_grams(), "mass_g");
    b.is("balance_after_in", after.whole().balance().as_inches(), "balance_in");
    let weight =
        hold::butt_weight_for_swingweight(&after, before.swingweight(), b.inches("counterweight_at_in"))
            .unwrap();
    b.is("counterweight_to_hold_g", weight.as_grams(), "mass_g");
    let lie =
        lie_wanted(before.length, Angle::degrees(b.input("lie_deg")), b.inches("extend_in"), Length::ZERO)
            .unwrap();
    b.is("lie_to_keep_hand_height_deg", lie.keeping_hand_height.as_degrees(), "lie_deg");
}

#[test]
fn b03_cutting_half_an_inch_and_coming_back_with_a_tip_weight() {
    let b = Worked(case("B03"));
    let before = b.club("grip_g");
    let after = before.cut(b.inches("cut_in"), b.grams("butt_shaft_g_per_in"), b.inches("cap_in")).unwrap();
    b.reads("swingweight_before", before.swingweight());
    b.reads("swingweight_after_cut", after.swingweight());
    b.is("change_pts", after.swingweight().points_above(before.swingweight()), "swingweight_pts");
    let wanted = hold::head_mass_for_swingweight(&after, before.swingweight());
    b.is("head_mass_to_add_g", wanted.as_grams(), "mass_g");
    let shelf: Vec<Mass> = b.0["inputs"]["tip_weights_g"]
        .as_array()
        .unwrap()
        .iter()
        .map(|grams| Mass::grams(grams.as_f64().unwrap()))
        .collect();
    let chosen = hold::nearest_weight(&shelf, wanted).unwrap();
    b.is_within("chosen_weight_g", chosen.as_grams(), 1e-9);
    let finished = after.with_head_mass(chosen);
    b.reads("swingweight_final", finished.swingweight());
    b.is("mass_final_g", finished.whole().mass.as_grams(), "mass_g");
}

#[test]
fn b04_gripping_down_is_not_cutting() {
    let b = Worked(case("B04"));
    let before = b.club("grip_g");
    let amount = b.inches("amount_in");
    let held = before.as_held(amount);
    b.reads("as_held_before", before.swingweight());
    b.reads("gripped_down_as_held", Swingweight::of(&held));
    b.is(
        "gripped_down_change_pts",
        Swingweight::of(&held).points_above(before.swingweight()),
        "swingweight_pts",
    );
    b.is("mass_gripped_down_g", held.mass.as_grams(), "mass_g");
    b.reads("scale_reading_when_gripped_down", before.swingweight());
    let cut = before.cut(amount, b.grams("butt_shaft_g_per_in"), b.inches("cap_in")).unwrap();
    b.reads("after_cut", cut.swingweight());
    b.is("cut_change_pts", cut.swingweight().points_above(before.swingweight()), "swingweight_pts");
    b.is("mass_after_cut_g", cut.whole().mass.as_grams(), "mass_g");
}

#[test]
fn b05_a_heavier_grip_at_the_same_length() {
    let b = Worked(case("B05"));
    let before = b.club("old_grip_g");
    let after = before.regripped(b.grip("new_grip_g"));
    b.reads("swingweight_before", before.swingweight());
    b.reads("swingweight_after", after.swingweight());
    b.is("change_pts", after.swingweight().points_above(before.swingweight()), "swingweight_pts");
    b.is("mass_after_g", after.whole().mass.as_grams(), "mass_g");
    b.is("balance_after_in", after.whole().balance().as_inches(), "balance_in");
    let wanted = hold::head_mass_for_swingweight(&after, before.swingweight());
    b.is("head_mass_to_hold_g", wanted.as_grams(), "mass_g");
    for (name, row) in [("tape_in_light", 0), ("tape_in_dense", 1)] {
        let per_inch = Mass::grams(b.0["inputs"]["tape_g_per_in"][row].as_f64().unwrap());
        b.is_within(name, tape::length_of_tape(wanted, per_inch).unwrap().as_inches(), 0.2);
    }
    let moved = after.inertia() / before.inertia() - 1.0;
    assert!(moved.abs() < 0.005, "the inertia hardly changes: {moved}");
}

#[test]
fn b06_what_half_an_inch_asks_of_the_lie() {
    let b = Worked(case("B06"));
    let lie = Angle::degrees(b.input("lie_deg"));
    let wanted =
        |down| lie_wanted(b.inches("length_in"), lie, b.inches("extend_in"), Length::inches(down)).unwrap();
    let whole = wanted(0.0);
    b.is("keep_height_butt_deg", whole.keeping_hand_height.as_degrees(), "lie_deg");
    b.is("keep_ball_distance_butt_deg", whole.keeping_ball_distance.as_degrees(), "lie_deg");
    b.is("keep_height_hand_centre_5in_down_deg", wanted(5.0).keeping_hand_height.as_degrees(), "lie_deg");
    b.is_within("trade_rule_deg", (lie - whole.by_trade_rule).as_degrees(), 1e-9);
    let too_upright = lie - whole.keeping_hand_height;
    b.is("effective_upright_if_height_kept_deg", too_upright.as_degrees(), "lie_deg");
    let face = FaceDelivery {
        loft: Angle::degrees(b.input("loft_deg")),
        lie_error: too_upright,
        ..FaceDelivery::default()
    }
    .pointing();
    b.is("start_direction_deg_if_not_bent", face.toward_lead.as_degrees(), "direction_deg");
    let offline = face.offline_at(Length::inches(b.input("carry_yd") * 36.0));
    b.is("start_offline_yd_at_150", offline.as_inches() / 36.0, "yd");
}

#[test]
fn b07_a_sole_mark_is_worth_what_the_soles_curve_makes_it() {
    let b = Worked(case("B07"));
    let marks = SoleMarks {
        offset: b.inches("mark_offset_in"),
        toward: MarkSide::Toe,
        sd: b.inches("marks_sd_in"),
        counted: 7,
    };
    assert_eq!(marks.bend(), Bend::Upright);
    assert_eq!(SoleMarks { toward: MarkSide::Heel, ..marks }.bend(), Bend::Flat);
    b.is_within("se_of_mean_in", marks.standard_error().as_inches(), 0.0005);
    for (radius, degrees, error) in [
        (7.2, "degrees_if_sole_radius_7.2_in", "se_deg_if_radius_7_2"),
        (14.3, "degrees_if_sole_radius_14.3_in", "se_deg_if_radius_14_3"),
    ] {
        let lie = marks.lie_error(Length::inches(radius)).unwrap();
        b.is(degrees, lie.degrees.as_degrees(), "deg");
        b.is_within(error, lie.standard_error.as_degrees(), 0.005);
    }
    assert!(marks.lie_error(Length::inches(0.3)).is_err(), "the mark lies beyond so small a sole");
}

#[test]
fn b08_head_masses_for_one_swingweight() {
    let b = Worked(case("B08"));
    let iron = &b.0["inputs"]["seven_iron"];
    let grams = |name: &str| Mass::grams(iron[name].as_f64().unwrap());
    let reference = ReferenceClub {
        length: Length::inches(iron["length_in"].as_f64().unwrap()),
        head: grams("head_g"),
        shaft: grams("shaft_g"),
        shaft_length: Some(Length::inches(iron["shaft_len_in"].as_f64().unwrap())),
        grip: grams("grip_g"),
        ferrule_and_glue: grams("ferrule_epoxy_g"),
    };
    let rows = b.0["outputs"]["rows"].as_array().unwrap();
    let lengths: Vec<Length> =
        rows.iter().map(|row| Length::inches(row["length_in"].as_f64().unwrap())).collect();
    let set = heads(&reference, &lengths, hold::Held::Swingweight).unwrap();
    for (matched, row) in set.iter().zip(rows) {
        let near = |name: &str, found: f64, within: f64| {
            let worked = row[name].as_f64().unwrap();
            assert!((found - worked).abs() <= within, "{} {name}: {found}, worked {worked}", row["club"]);
        };
        near("shaft_g", matched.shaft.as_grams(), 0.2);
        near("head_g", matched.head.as_grams(), 0.2);
        near("mass_g", matched.whole.mass.as_grams(), 0.2);
        near("balance_in", matched.whole.balance().as_inches(), 0.01);
        near("inertia_butt_kgcm2", matched.inertia().as_kg_cm2(), 0.5);
        let worked = Swingweight::parse(row["swingweight"].as_str().unwrap()).unwrap();
        assert!(matched.swingweight().points_above(worked).abs() <= 0.05);
    }
    for (pair, step) in set.windows(2).zip(b.0["outputs"]["head_step_g"].as_array().unwrap()) {
        let found = (pair[1].head - pair[0].head).as_grams();
        assert!((found - step.as_f64().unwrap()).abs() <= 0.1, "{found} for {step}");
    }
    let by_inertia = heads(&reference, &lengths, hold::Held::Inertia).unwrap();
    let spread = |inertia: f64| (inertia - by_inertia[2].inertia().as_kg_cm2()).abs();
    assert!(by_inertia.iter().all(|matched| spread(matched.inertia().as_kg_cm2()) < 1e-6));
}

#[test]
fn another_shaft_changes_mass_and_balance_by_its_own() {
    // 105 g at 17.345 in out; 80 g at 0.125 + 0.48 * 36.375 = 17.585 in goes in at half an inch longer.
    // First moment: 426 * 28.26 - 50 * 4 = 11838.76 without the grip; less 105 * 17.345 is 10017.535 on
    // 271 g; moved half an inch 10153.035; plus 80 * 17.585 = 1406.8 and the grip's 200: 11759.835 over 401 g.
    let length = Length::inches(37.0);
    let reading = Reading { length, mass: Mass::grams(426.0), balance: Length::inches(28.26) };
    let club = OnBench::from_parts(length, &reading.parts(bench_model::grip(Mass::grams(50.0))).unwrap());
    let old = FittedShaft { mass: Mass::grams(105.0), balance: Length::inches(17.345) };
    let new = FittedShaft { mass: Mass::grams(80.0), balance: Length::inches(17.585) };
    let after = club.reshafted(Length::inches(0.5), old, new).unwrap();
    assert!((after.whole().mass.as_grams() - 401.0).abs() < 1e-9);
    assert!((after.whole().balance().as_inches() - 11_759.835 / 401.0).abs() < 1e-6);
    let all_of_it = FittedShaft { mass: Mass::grams(400.0), ..old };
    assert!(club.reshafted(Length::inches(0.5), all_of_it, new).is_err());
    let held = club.cut(Length::inches(0.5), Mass::grams(3.0), CAP).unwrap();
    assert!(held.whole().mass < club.whole().mass);
}
