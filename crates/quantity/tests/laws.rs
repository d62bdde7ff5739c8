//! Laws of printing and reading: what the bench prints, it reads back to the step.

use proptest::prelude::*;
use quantity::{Angle, Frequency, InchStep, Inertia, Length, Mass, Moment, Speed};

fn any_step() -> impl Strategy<Value = InchStep> {
    prop_oneof![
        Just(InchStep::Quarter),
        Just(InchStep::Eighth),
        Just(InchStep::Sixteenth),
        Just(InchStep::ThirtySecond)
    ]
}

/// Lengths with whole inches, exact fractions and values near them over-weighted: there the rounding turns.
fn any_length() -> impl Strategy<Value = Length> {
    prop_oneof![
        -390.0..390.0f64,
        (-100i32..100).prop_map(f64::from),
        (-4000i32..4000).prop_map(|n| f64::from(n) / 32.0),
        (-4000i32..4000, -1e-9..1e-9f64).prop_map(|(n, off)| f64::from(n) / 64.0 + off),
    ]
    .prop_map(Length::inches)
}

proptest! {
    #[test]
    fn a_printed_length_reads_back_to_the_step(length in any_length(), step in any_step()) {
        let read = Length::parse(&length.to_step(step).to_string()).unwrap();
        prop_assert!((read - length.rounded_to(step)).abs() < Length::inches(1e-9));
        prop_assert!((read - length).abs() <= step.length() * 0.5 + Length::inches(1e-9));
    }

    #[test]
    fn a_printed_change_reads_back_with_its_sign(length in any_length(), step in any_step()) {
        let read = Length::parse(&format!("{:+}", length.to_step(step))).unwrap();
        prop_assert!((read - length.rounded_to(step)).abs() < Length::inches(1e-9));
    }

    #[test]
    fn printing_twice_changes_nothing(length in any_length(), step in any_step()) {
        let once = length.to_step(step);
        prop_assert_eq!(Length::parse(&once.to_string()).unwrap().to_step(step), once);
    }

    #[test]
    fn millimetres_read_back_to_the_tenth(length in any_length()) {
        let read = Length::parse(&length.mm_printed(1).to_string()).unwrap();
        prop_assert!((read - length).abs() <= Length::mm(0.05 + 1e-9));
    }

    #[test]
    fn masses_angles_inertias_and_moments_read_back(value in 0.0..6000.0f64) {
        let near = |read: f64, half_digit: f64| (read - value).abs() <= half_digit * (1.0 + 1e-9);
        prop_assert!(near(Mass::parse(&Mass::grams(value).grams_printed(1).to_string()).unwrap().as_grams(), 0.05));
        prop_assert!(near(
            Inertia::parse(&Inertia::kg_cm2(value).kg_cm2_printed(0).to_string()).unwrap().as_kg_cm2(),
            0.5
        ));
        prop_assert!(near(
            Moment::parse(&Moment::inch_ounces(value).inch_ounces_printed(2).to_string()).unwrap().as_inch_ounces(),
            0.005
        ));
        let degrees = value / 20.0;
        let read = Angle::parse(&Angle::degrees(degrees).degrees_printed(2).to_string()).unwrap();
        prop_assert!((read.as_degrees() - degrees).abs() <= 0.005 * (1.0 + 1e-9));
    }

    #[test]
    fn a_speed_or_frequency_means_the_same_in_every_unit(value in 0.0..100.0f64) {
        let metric = Speed::parse(&format!("{value} m/s")).unwrap();
        let imperial = Speed::parse(&format!("{} mph", metric.as_mph())).unwrap();
        prop_assert!((metric - imperial).abs() < Speed::metres_per_second(1e-9));
        let hertz = Frequency::parse(&format!("{value} Hz")).unwrap();
        prop_assert!((hertz.as_cpm() - value * 60.0).abs() < 1e-9);
    }

    /// Anything at all may be pasted into a field: the parser answers, it does not fall over.
    #[test]
    fn any_text_is_answered(text in "\\PC{0,80}") {
        let said = |error: quantity::QuantityError| error.to_string();
        prop_assert!(!Length::parse(&text).map_or_else(said, |length| length.as_mm().to_string()).is_empty());
        prop_assert!(!Mass::parse(&text).map_or_else(said, |mass| mass.as_grams().to_string()).is_empty());
    }

    /// Texts made of the parser's own pieces reach its corners far more often than random ones.
    #[test]
    fn what_is_accepted_is_finite(text in "[-+]?[0-9]{0,3}[ -]?[0-9/.'\",½]{0,6} ?(in|ft|mm|cm|m|\"|')?[0-9 /]{0,4}") {
        if let Ok(length) = Length::parse(&text) {
            prop_assert!(length.as_metres().is_finite() && length.as_metres().abs() <= 100.0, "{}", text);
        }
    }
}
