//! Frequencies of clamped beams and clubs against numbers worked out elsewhere and closed forms.
#![expect(clippy::unwrap_used, reason = "a case that cannot be read fails its test")]

use club::shaft::{
    Alteration, BenchBeam, ClampedClub, Mounting, Profile, Section, TipHead, Tube, UniformBeam, calibrate,
    characteristic, head_stand_in_half_width,
};
use quantity::{Estimate, Frequency, Inertia, Length, Mass};
use serde_json::Value;

fn cases() -> Value {
    serde_json::from_str(include_str!("reference/beam.json")).unwrap()
}

fn case(id: &str) -> Value {
    cases()["cases"].as_array().unwrap().iter().find(|case| case["id"] == id).unwrap().clone()
}

fn number(inputs: &Value, name: &str) -> f64 {
    inputs[name].as_f64().unwrap_or_else(|| panic!("input {name}"))
}

fn head(inputs: &Value, [mass, inertia, centre]: [&str; 3]) -> TipHead {
    TipHead {
        mass: Mass::kilograms(number(inputs, mass)),
        inertia: Inertia::kg_m2(number(inputs, inertia)),
        centre_beyond_tip: Length::metres(number(inputs, centre)),
    }
}

fn uniform(beam: &UniformBeam, head: TipHead) -> ClampedClub {
    let section = Section { stiffness_n_m2: beam.stiffness_n_m2, mass_per_m_kg: beam.mass_per_m_kg };
    ClampedClub {
        profile: Profile::even(beam.length, section, section).unwrap(),
        mounting: Mounting::uncut(Length::ZERO, Length::ZERO),
        head,
    }
}

fn assert_near(case: &Value, name: &str, found: f64) {
    let worked = number(&case["outputs"], name);
    let within = number(case, "tol_rel");
    assert!((found / worked - 1.0).abs() <= within, "{} {name}: {found}, worked {worked}", case["id"]);
}

fn steel_five_iron() -> ClampedClub {
    let inputs = &case("B08")["inputs"];
    let metres = |name: &str| Length::metres(number(inputs, name));
    let tube = Tube {
        raw_length: metres("raw_len"),
        butt_diameter: metres("D_butt"),
        tip_diameter: metres("D_tip"),
        butt_wall: metres("t_butt"),
        tip_wall: metres("t_tip"),
        modulus_pa: number(inputs, "E"),
        density_kg_m3: number(inputs, "rho"),
    };
    let by_mass = tube.density_for_mass(Mass::kilograms(number(inputs, "raw_mass")));
    assert!((by_mass / tube.density_kg_m3 - 1.0).abs() < 1e-9, "{by_mass}");
    ClampedClub {
        profile: Profile::of_tube(tube).unwrap(),
        mounting: Mounting::uncut(metres("clamp"), Length::inches(1.25)),
        head: head(inputs, ["M", "J", "c"]),
    }
}

/// The profile stands in the case's text: 62 to 22 N m² and 60 to 48 g a metre.
fn graphite_driver() -> ClampedClub {
    let inputs = &case("B15")["inputs"];
    let metres = |name: &str| Length::metres(number(inputs, name));
    let section = |stiffness_n_m2, mass_per_m_kg| Section { stiffness_n_m2, mass_per_m_kg };
    ClampedClub {
        profile: Profile::even(metres("raw_len"), section(62.0, 0.060), section(22.0, 0.048)).unwrap(),
        mounting: Mounting {
            butt_cut: metres("butt_cut"),
            ..Mounting::uncut(metres("clamp"), Length::inches(1.5))
        },
        head: head(inputs, ["M", "J", "c"]),
    }
}

#[test]
fn uniform_beams_worked_out_elsewhere() {
    let mut compared = 0;
    for case in cases()["cases"].as_array().unwrap() {
        let inputs = &case["inputs"];
        if inputs["EI"].is_null() {
            continue;
        }
        let beam = UniformBeam {
            stiffness_n_m2: number(inputs, "EI"),
            mass_per_m_kg: number(inputs, "mass_per_m"),
            length: Length::metres(number(inputs, "L")),
            tip_mass: Mass::kilograms(number(inputs, "tip_mass")),
        };
        let mode = usize::try_from(inputs["mode"].as_u64().unwrap()).unwrap();
        let found =
            uniform(&beam, head(inputs, ["tip_mass", "tip_J", "tip_c"])).mode(mode).unwrap().frequency;
        assert_near(case, "f_hz", found.as_hertz());
        assert_near(case, "cpm", found.as_cpm());
        assert_near(case, "beta", beam.beta(found));
        if case["outputs"]["rayleigh_cpm"].is_number() {
            assert_near(case, "rayleigh_cpm", beam.rayleigh().as_cpm());
            assert!(beam.rayleigh() > found, "a bound from above");
        }
        compared += 1;
    }
    assert_eq!(compared, 5);
}

#[test]
fn tapered_clubs_worked_out_elsewhere() {
    for (id, club) in [("B08", steel_five_iron()), ("B15", graphite_driver())] {
        let case = case(id);
        let span = club.mounting.free_span(&club.profile).unwrap();
        assert!((span.length().as_metres() - number(&case["inputs"], "free_len")).abs() < 1e-12, "{id}");
        assert_near(&case, "f_hz", club.frequency().unwrap().as_hertz());
        assert_near(&case, "cpm", club.mode(1).unwrap().frequency.as_cpm());
        assert_near(&case, "EI_clamp", club.profile.at(span.clamp_edge).stiffness_n_m2);
        assert_near(&case, "EI_tip", club.profile.at(span.hosel_top).stiffness_n_m2);
    }
}

fn bare_beam(mass_ratio: f64) -> UniformBeam {
    UniformBeam {
        stiffness_n_m2: 50.0,
        mass_per_m_kg: 0.1,
        length: Length::metres(0.8),
        tip_mass: Mass::kilograms(0.08 * mass_ratio),
    }
}

#[test]
fn roots_of_the_closed_form_for_mass_ratios_from_none_to_ten() {
    let (mut worst, mut last) = (0.0_f64, [f64::INFINITY; 2]);
    for mass_ratio in [0.0, 0.1, 0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.5, 10.0] {
        let beam = bare_beam(mass_ratio);
        let club = uniform(&beam, TipHead { mass: beam.tip_mass, ..TipHead::default() });
        for mode in [1, 2] {
            let beta = beam.beta(club.mode(mode).unwrap().frequency);
            // a root lies where the sign turns, and here within a ten-millionth on either side
            let (below, above) = (beta * (1.0 - 1e-7), beta * (1.0 + 1e-7));
            let turns = characteristic(below, mass_ratio) * characteristic(above, mass_ratio);
            assert!(turns < 0.0, "ratio {mass_ratio}, mode {mode}: {beta}");
            // the first root lies below 1.88 and the second between 3.9 and 4.7, for every ratio
            let between = if mode == 1 { 0.7..1.88 } else { 3.92..4.70 };
            assert!(between.contains(&beta) && beta < last[mode - 1], "{beta}");
            last[mode - 1] = beta;
        }
        let rayleigh = beam.rayleigh() / club.frequency().unwrap() - 1.0;
        assert!((0.0..0.016).contains(&rayleigh), "ratio {mass_ratio}: {rayleigh}");
        worst = worst.max(rayleigh);
    }
    assert!(worst > 0.014, "Rayleigh's formula is 1.5 % high for a bare beam: {worst}");
}

#[test]
fn the_table_of_roots() {
    for row in cases()["beta_table"].as_array().unwrap() {
        let beam = bare_beam(number(row, "mu"));
        let club = uniform(&beam, TipHead { mass: beam.tip_mass, ..TipHead::default() });
        let found = beam.beta(club.frequency().unwrap());
        assert!((found / number(row, "beta") - 1.0).abs() < 1e-9, "{row}: {found}");
        assert!((beam.beta(beam.rayleigh()) / number(row, "rayleigh_beta") - 1.0).abs() < 1e-9);
    }
}

/// Effects worked out elsewhere with 14 terms and with finite elements, to their printed digit.
#[test]
fn what_the_bench_does_to_a_frequency() {
    let inches = Length::inches;
    let is = Alteration::default();
    let extended = Alteration { extension: inches(1.0), plug_seated: inches(2.5), ..is };
    for (club, work, cpm) in [
        (steel_five_iron(), Alteration { butt_cut: inches(0.5), ..is }, 6.1),
        (steel_five_iron(), Alteration { butt_cut: inches(1.0), ..is }, 12.4),
        (steel_five_iron(), Alteration { tip_trim: inches(0.5), ..is }, 8.4),
        (steel_five_iron(), Alteration { head_added: Mass::grams(7.0), ..is }, -4.0),
        (steel_five_iron(), Alteration { clamp: Some(inches(7.0)), ..is }, 25.7),
        (steel_five_iron(), extended, -11.5),
        (graphite_driver(), Alteration { butt_cut: inches(1.0), ..is }, 8.3),
        (graphite_driver(), Alteration { head_added: Mass::grams(8.0), ..is }, -4.6),
    ] {
        let after = club.altered(&work).unwrap();
        let change = (after.frequency().unwrap() - club.frequency().unwrap()).as_cpm();
        assert!((change - cpm).abs() <= 0.05, "{work:?}: {change}, worked {cpm}");
        assert_eq!(after.plug_beyond_clamp(), None);
    }
    let long_plug = Alteration { plug_seated: inches(4.5), ..extended };
    let warned = steel_five_iron().altered(&long_plug).unwrap().plug_beyond_clamp().unwrap();
    assert!(warned.to_string().contains("5.50 in") && warned.to_string().contains("higher"), "{warned}");
}

#[test]
fn a_reading_scales_the_profile_and_carries_its_own_error() {
    let reading =
        Estimate { value: Frequency::cpm(310.0), half_width: Frequency::cpm(2.0), level_percent: 80 };
    let club = steel_five_iron();
    let calibrated = calibrate(&club, reading).unwrap();
    assert!((calibrated.club.frequency().unwrap() - reading.value).abs() < Frequency::cpm(1e-6));
    let factor = calibrated.stiffness_factor;
    assert!((factor.value - (310.0 / 317.647_150_957_652_06_f64).powi(2)).abs() < 1e-4, "{factor:?}");
    // the factors that give 308 and 312 lie that far on either side
    let at = |cpm: f64| {
        calibrate(&club, Estimate { value: Frequency::cpm(cpm), ..reading }).unwrap().stiffness_factor.value
    };
    assert!(((at(312.0) - at(308.0)) / 2.0 - factor.half_width).abs() < 1e-9);

    let cut = Alteration { butt_cut: Length::inches(0.5), ..Alteration::default() };
    let after = calibrated.after(&calibrated.club.altered(&cut).unwrap()).unwrap();
    assert!((after.value.as_cpm() - 310.0 * (1.0 + 6.1 / 317.6)).abs() < 0.1, "{after:?}");
    assert!(after.half_width > reading.half_width && after.half_width < Frequency::cpm(2.1));

    // the head's centre, a stand-in, moves a frequency by some 8 cpm and a change by little
    let off = head_stand_in_half_width(&club, ClampedClub::frequency).unwrap().as_cpm();
    let change = |club: &ClampedClub| Ok(club.altered(&cut)?.frequency()? - club.frequency()?);
    let change_off = head_stand_in_half_width(&club, change).unwrap().as_cpm();
    assert!((7.0..9.0).contains(&off) && change_off < 0.3, "{off} and {change_off}");

    for (value, half_width) in [(f64::NAN, 2.0), (30.0, 2.0), (310.0, -1.0), (310.0, 100.0)] {
        let bad = Estimate {
            value: Frequency::cpm(value),
            half_width: Frequency::cpm(half_width),
            level_percent: 80,
        };
        assert!(calibrate(&club, bad).is_err(), "{bad:?}");
    }
}

#[test]
fn a_worked_extension_of_a_club_whose_profile_nobody_knows() {
    let beam = BenchBeam {
        length: Length::inches(37.0),
        head: Mass::grams(270.0),
        shaft: Mass::grams(425.0 - 50.0 - 270.0),
        clamp: Length::inches(5.0),
        frequency: Frequency::cpm(300.0),
    };
    let after = beam.lengthened(Length::inches(0.5)).unwrap();
    assert!((after.butt_four_times_tip.as_cpm() - 294.39).abs() < 0.01, "{after:?}");
    assert!((after.uniform.as_cpm() - 292.93).abs() < 0.01, "{after:?}");
    let cut = beam.lengthened(Length::inches(-0.5)).unwrap();
    assert!(cut.uniform > cut.butt_four_times_tip && cut.butt_four_times_tip > beam.frequency);
}

#[test]
fn clubs_that_cannot_be_are_refused_with_their_range() {
    let good = steel_five_iron();
    let mounted = |change: &dyn Fn(&mut Mounting)| {
        let mut club = good.clone();
        change(&mut club.mounting);
        club
    };
    let headed = |head: TipHead| ClampedClub { head, ..good.clone() };
    let is = good.head;
    for (club, said) in [
        (mounted(&|m| m.clamp = Length::inches(50.0)), "0 to 20 in"),
        (mounted(&|m| m.clamp = Length::metres(f64::NAN)), "0 to 20 in"),
        (mounted(&|m| m.tip_trim = Length::inches(35.0)), "outside 6 to 60 in"),
        (mounted(&|m| m.butt_cut = Length::inches(-1.0)), "0 to 40 in"),
        (mounted(&|m| m.extension = Length::inches(6.0)), "0 to 5 in"),
        (headed(TipHead { mass: Mass::grams(-1.0), ..is }), "0 to 2000 g"),
        (headed(TipHead { mass: Mass::grams(f64::NAN), ..is }), "0 to 2000 g"),
        (headed(TipHead { inertia: Inertia::kg_m2(-1e-4), ..is }), "0 to 200 kg cm²"),
        (headed(TipHead { centre_beyond_tip: Length::metres(f64::INFINITY), ..is }), "-50 to 150 mm"),
    ] {
        let error = club.frequency().unwrap_err();
        assert!(error.to_string().contains(said), "{error}");
        assert!(error.hint().is_some());
    }
    assert!(good.mode(0).is_err() && good.mode(4).is_err() && good.mode(3).is_ok());
    let off = Alteration { head_added: Mass::grams(-300.0), ..Alteration::default() };
    assert!(good.altered(&off).unwrap_err().to_string().contains("0 to 2000 g"));
}

/// With a head on, the second mode's still place moves into the head, beyond the shaft; so a bare beam.
#[test]
fn a_bare_beam_stands_still_where_the_closed_form_says() {
    let beam = bare_beam(0.0);
    let club = uniform(&beam, TipHead::default());
    for (mode, still) in [(1, 0), (2, 1), (3, 2)] {
        let found = club.mode(mode).unwrap();
        let shape = &found.shape;
        assert!(shape[0].1.abs() < 1e-12, "{:?}", shape[0]);
        assert!((shape[shape.len() - 1].0 - beam.length).abs() < Length::mm(1e-9));
        let turns = shape[1..].windows(2).filter(|pair| pair[0].1 * pair[1].1 < 0.0).count();
        assert_eq!(turns, still, "mode {mode}");
        // w = cosh bx - cos bx - s (sinh bx - sin bx), s = (cosh b + cos b) / (sinh b + sin b)
        let beta = beam.beta(found.frequency);
        let s = (beta.cosh() + beta.cos()) / (beta.sinh() + beta.sin());
        let swing =
            |x: f64| (beta * x).cosh() - (beta * x).cos() - s * ((beta * x).sinh() - (beta * x).sin());
        for (place, found) in shape {
            let exact = swing(*place / beam.length) / swing(1.0);
            assert!((found - exact).abs() < 1e-4, "mode {mode} at {place:?}: {found}, {exact}");
        }
    }
}
