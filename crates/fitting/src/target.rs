//! The target of a set: the length of every iron and wedge, how sure it is, and what speaks against it.

use crate::junior::GROWN_AT_YEARS;
use crate::{
    Belief, BodyReadings, FittingError, GripAdvice, JuniorChart, Opinion, Repeat, Shoes, StaticRule,
    TrialSays,
};
use crate::{SHOE_SOLE, measure_to_repeat};
use club::ClubKind;
use quantity::{Estimate, InchStep, Length};

/// Least knuckle height the rule is used for. House choice: the lowest row of the adult charts is a hand
/// near 23 3/4 in; at 21 in the rule would give a child of 51 in a club five inches over the junior chart.
const RULE_FROM: Length = Length::inches(21.0);
/// Knuckle heights between which nearly all adults lie. Derived: the survey's first percentile of women
/// and 99th of men, 589 and 803 mm barefoot (`docs/derivations/body.md`), rounded outward in shoes.
const ADULT_RANGE: (Length, Length) = (Length::inches(23.0), Length::inches(32.75));
/// Readings farther apart than this ask for one more. Trade practice.
const READINGS_AGREE: Length = Length::inches(0.25);

/// Beyond these a reading is taken again before any work: five standard deviations from the mean of women below
/// and of men above. Derived: `docs/derivations/body.md`.
const NO_ADULT: (Length, Length) = (Length::inches(20.0), Length::inches(36.5));
/// Readings this far apart are not of one posture: nothing is built on them. House choice.
const READINGS_CANNOT_MEAN: Length = Length::inches(0.5);
/// Below this stature or knuckle height a golfer whose age is not said is taken to be growing. Derived: under
/// the survey's first percentile of women.
const CHILD_BELOW: (Length, Length) = (Length::inches(57.0), Length::inches(22.5));
/// Share of stature at which any body's knuckle hangs. Derived: 0.41, wide about it since no children were
/// in the survey.
const KNUCKLE_SHARE: (f64, f64) = (0.35, 0.47);

/// Something to know before acting on a target.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    /// The knuckle height is hard to believe beside the other measures: to be measured again.
    HardToBelieve(Belief),
    /// The readings are farther apart than a careful pair.
    ReadingsApart {
        /// Distance between the highest and the lowest.
        spread: Length,
    },
    /// The hand is lower or higher than nearly all adults'.
    OutsideAdults {
        /// The mean reading.
        knuckle_height: Length,
    },
    /// The knuckle height and the stature do not belong to one body: to be measured again.
    OutOfProportion {
        /// Knuckle height as a share of stature, shoes taken off.
        share: f64,
    },
    /// The golfer is growing.
    Growing {
        /// Whether that was only concluded from the height, the age not being said.
        is_presumed: bool,
        /// What the junior chart says, where stature was measured.
        chart: Option<JuniorChart>,
        /// The seven-iron by the rule, to hold beside it.
        seven_iron: Length,
    },
    /// Measured without shoes.
    WithoutShoes,
    /// A strike trial moved the length from the rule's.
    MovedByTrial {
        /// The six-iron by the rule.
        six_iron: Length,
        /// What the trial said.
        trial: TrialSays,
    },
}

impl Warning {
    /// Tells whether work should wait for a new reading.
    #[must_use]
    pub fn asks_to_measure_again(&self) -> bool {
        match self {
            Self::HardToBelieve(_) | Self::OutOfProportion { .. } => true,
            Self::ReadingsApart { spread } => *spread > READINGS_CANNOT_MEAN,
            Self::OutsideAdults { knuckle_height } => {
                *knuckle_height < NO_ADULT.0 || *knuckle_height > NO_ADULT.1
            }
            Self::Growing { .. } | Self::WithoutShoes | Self::MovedByTrial { .. } => false,
        }
    }
}

impl std::fmt::Display for Warning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let step = InchStep::Eighth;
        match self {
            Self::HardToBelieve(belief) => write!(
                f,
                "Measure again: from {} a knuckle height near {} is expected; this reading is {:.1} standard \
                 deviations {} that.",
                belief.predictor.words(),
                belief.predicted.with_metric(step),
                belief.z.abs(),
                if belief.z > 0.0 { "above" } else { "below" }
            ),
            Self::ReadingsApart { spread } => write!(
                f,
                "The readings are {} apart; step away, stand tall and take one more.",
                spread.with_metric(step)
            ),
            Self::OutsideAdults { knuckle_height } => write!(
                f,
                "A knuckle height of {} is outside nearly all adults ({} to {}): the rule is being stretched, let \
                 strikes decide.",
                knuckle_height.with_metric(step),
                ADULT_RANGE.0.to_step(step),
                ADULT_RANGE.1.to_step(step)
            ),
            Self::OutOfProportion { share } => write!(
                f,
                "Measure again: a knuckle height of {:.0} % of the stature belongs to no body (about 41 %).",
                share * 100.0
            ),
            Self::Growing { is_presumed, chart, seven_iron } => {
                if *is_presumed {
                    f.write_str("By the height a child; add born to the card. ")?;
                }
                write!(
                    f,
                    "A growing golfer: the rule is made for adults and would give a seven-iron of {}, which is no \
                     target here. ",
                    seven_iron.to_step(step)
                )?;
                if let Some(chart) = chart {
                    write!(f, "{} ", chart.sentence())?;
                }
                f.write_str(
                    "Light before long, too short beats too long, grip down first. Measure again every three to \
                     six months; a parent or guardian agrees in writing.",
                )
            }
            Self::MovedByTrial { six_iron, trial } => write!(
                f,
                "The rule gives a six-iron of {}; a strike trial, {}, moved it by {:+}. The set is built as it was tried.",
                six_iron.to_step(step),
                trial.on,
                trial.offset.to_step(step)
            ),
            Self::WithoutShoes => write!(
                f,
                "Measured without shoes. The rule does not say which; golf is played in shoes, and a sole of {} \
                 moves the six-iron by about 1/4 in. Keep to one way.",
                SHOE_SOLE.with_metric(step)
            ),
        }
    }
}

/// What the readings say about the set.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// The rule used.
    pub rule: StaticRule,
    /// Mean knuckle height.
    pub knuckle_height: Length,
    /// How many readings it is the mean of.
    pub readings: usize,
    /// Six-iron length with its interval, not rounded.
    pub six_iron: Estimate<Length>,
    /// The part of its standard deviation that comes from the readings; the rest is the rule's own spread.
    pub sd_from_readings: Length,
    /// How the knuckle height stands to stature and wrist height, where they were measured.
    pub belief: Option<Belief>,
    /// What the other measures say.
    pub opinions: Vec<Opinion>,
    /// What to measure again because of them.
    pub repeat: Option<Repeat>,
    /// What a junior chart says, for a growing golfer whose stature was measured.
    pub junior: Option<JuniorChart>,
    /// What the hand says about the grip.
    pub grip: Option<GripAdvice>,
    /// What to know before acting.
    pub warnings: Vec<Warning>,
}

impl Target {
    /// Returns the length this club should be, not rounded; `None` outside the rule.
    #[must_use]
    pub fn length_of(&self, kind: ClubKind) -> Option<Length> {
        self.rule.above_six_iron(kind).map(|above| self.six_iron.value + above)
    }

    /// Returns the length to build: the six-iron rounded to the house's step, the set's steps from there,
    /// so that the set stays even.
    #[must_use]
    pub fn build_length_of(&self, kind: ClubKind, step: InchStep) -> Option<Length> {
        self.rule
            .above_six_iron(kind)
            .map(|above| (self.six_iron.value.rounded_to(step) + above).rounded_to(step))
    }

    /// Returns the range a junior chart gives this club, in the rule's steps from its seven-iron; `None` for adults
    /// and without a stature.
    #[must_use]
    pub fn junior_range_of(&self, kind: ClubKind) -> Option<(Length, Length)> {
        let (least, most) = self.junior?.seven_iron;
        let step = self.rule.above_six_iron(kind)? - self.rule.above_six_iron(ClubKind::Iron(7))?;
        Some((least + step, most + step))
    }

    /// Returns the target moved by what a strike trial said; of a growing golfer a trial decides nothing.
    #[must_use]
    pub fn moved_by(mut self, trial: TrialSays) -> Self {
        if !self.is_for_a_growing_golfer() {
            let six_iron = self.six_iron.value;
            self.six_iron.value = six_iron + trial.offset;
            self.six_iron.half_width = trial.half_width;
            self.warnings.push(Warning::MovedByTrial { six_iron, trial });
        }
        self
    }

    /// Tells whether a strike trial moved it from the rule's.
    #[must_use]
    pub fn is_moved_by_trial(&self) -> bool {
        self.warnings.iter().any(|warning| matches!(warning, Warning::MovedByTrial { .. }))
    }

    /// Tells whether the golfer is still growing, so that the rule alone decides nothing.
    #[must_use]
    pub fn is_for_a_growing_golfer(&self) -> bool {
        self.warnings.iter().any(|warning| matches!(warning, Warning::Growing { .. }))
    }

    /// Tells whether a reading is to be taken again before any work.
    #[must_use]
    pub fn asks_to_measure_again(&self) -> bool {
        self.warnings.iter().any(Warning::asks_to_measure_again)
    }
}

/// Works out the target of a set from the body readings.
///
/// # Errors
/// The field and what is wrong with it: readings no body has, a rule that cannot be meant (field `house`),
/// or a hand lower than the rule can mean.
pub fn target(
    readings: &BodyReadings,
    rule: &StaticRule,
) -> Result<Target, Vec<(&'static str, FittingError)>> {
    readings.check()?;
    rule.check().map_err(|error| vec![("house", error)])?;
    let knuckle_height = readings.mean_knuckle_height();
    if knuckle_height < RULE_FROM {
        let junior = readings.stature.and_then(JuniorChart::of).map(|chart| chart.sentence());
        let error = FittingError::BelowTheRule { found: knuckle_height, least: RULE_FROM, junior };
        return Err(vec![("knuckle_height", error)]);
    }
    let six_iron = rule.six_iron(readings);
    // charts and survey are of adults: of a growing golfer they say nothing
    let is_adult = !is_growing(readings);
    let opinions = if is_adult { Opinion::all(readings, six_iron.value) } else { Vec::new() };
    let belief = Belief::of(readings).filter(|_| is_adult);
    Ok(Target {
        rule: *rule,
        knuckle_height,
        readings: readings.knuckle_height.len(),
        six_iron,
        sd_from_readings: rule.sd_from_readings(readings),
        belief,
        repeat: measure_to_repeat(&opinions),
        opinions,
        grip: readings.hand_length.map(|hand| GripAdvice::of(hand, readings.middle_finger)),
        junior: readings.stature.filter(|_| is_growing(readings)).and_then(JuniorChart::of),
        warnings: warnings(readings, rule, six_iron.value, belief),
    })
}

fn is_growing(readings: &BodyReadings) -> bool {
    match readings.age_years {
        Some(age) => age < GROWN_AT_YEARS,
        None => {
            readings.stature.is_some_and(|stature| stature < CHILD_BELOW.0)
                || readings.mean_knuckle_height() < CHILD_BELOW.1
        }
    }
}

fn out_of_proportion(readings: &BodyReadings) -> Option<Warning> {
    let sole = if readings.shoes == Shoes::On { SHOE_SOLE } else { Length::ZERO };
    let share = (readings.mean_knuckle_height() - sole) / readings.stature?;
    let is_possible = (KNUCKLE_SHARE.0..=KNUCKLE_SHARE.1).contains(&share);
    (!is_possible).then_some(Warning::OutOfProportion { share })
}

fn warnings(
    readings: &BodyReadings,
    rule: &StaticRule,
    six_iron: Length,
    belief: Option<Belief>,
) -> Vec<Warning> {
    let knuckle_height = readings.mean_knuckle_height();
    let spread = readings.knuckle_height_spread();
    let is_growing = is_growing(readings);
    let is_outside = !(ADULT_RANGE.0..=ADULT_RANGE.1).contains(&knuckle_height);
    [
        belief.filter(Belief::asks_to_measure_again).map(Warning::HardToBelieve),
        out_of_proportion(readings).filter(|_| is_growing),
        (spread > READINGS_AGREE + Length::inches(1e-9)).then_some(Warning::ReadingsApart { spread }),
        is_growing.then(|| Warning::Growing {
            is_presumed: readings.age_years.is_none(),
            chart: readings.stature.and_then(JuniorChart::of),
            seven_iron: six_iron - rule.iron_step,
        }),
        (is_outside && !is_growing).then_some(Warning::OutsideAdults { knuckle_height }),
        (readings.shoes == Shoes::Off).then_some(Warning::WithoutShoes),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[cfg(test)]
mod tests {
    use super::{Warning, target};
    use crate::{BodyReadings, FittingError, Sex, Shoes, StaticRule};
    use club::ClubKind;
    use quantity::{InchStep, Length};

    fn readings(knuckle: f64) -> BodyReadings {
        BodyReadings::of_knuckle(vec![Length::inches(knuckle)], Shoes::On)
    }

    #[test]
    fn the_build_length_is_rounded_once_and_the_set_stays_even() {
        // 31 1/8 in: 37 + 0.25 * 3.125 = 37.78, built at 37 3/4; the seven-iron half an inch under
        let target = target(&readings(31.125), &StaticRule::default()).unwrap();
        let build = |kind| target.build_length_of(kind, InchStep::Eighth).unwrap().as_inches();
        assert!((target.six_iron.value.as_inches() - 37.781_25).abs() < 1e-9);
        assert!((build(ClubKind::Iron(6)) - 37.75).abs() < 1e-9);
        assert!((build(ClubKind::Iron(7)) - 37.25).abs() < 1e-9);
        assert!(target.build_length_of(ClubKind::Driver, InchStep::Eighth).is_none());
    }

    #[test]
    fn a_hand_too_low_for_the_rule_is_refused_with_the_junior_chart() {
        let child = BodyReadings { stature: Some(Length::inches(47.0)), ..readings(19.0) };
        let problems = target(&child, &StaticRule::default()).unwrap_err();
        assert!(matches!(problems[0].1, FittingError::BelowTheRule { .. }));
        assert!(problems[0].1.hint().unwrap().contains("26 1/2 in to 28 in"));
    }

    #[test]
    fn a_junior_gets_a_target_with_a_plain_warning() {
        let junior =
            BodyReadings { stature: Some(Length::inches(58.0)), age_years: Some(11), ..readings(24.0) };
        let target = target(&junior, &StaticRule::default()).unwrap();
        let text = target.warnings[0].to_string();
        assert!(text.contains("seven-iron of 35 1/2 in, which is no target here"), "{text}");
        assert!(text.contains("32 in to 33 in"), "{text}");
        assert!(target.opinions.is_empty() && target.belief.is_none(), "adult charts say nothing of a child");
    }

    #[test]
    fn a_childs_height_without_an_age_is_taken_for_a_childs() {
        let small = BodyReadings { stature: Some(Length::inches(50.0)), ..readings(21.25) };
        let text = target(&small, &StaticRule::default()).unwrap().warnings[0].to_string();
        assert!(text.starts_with("By the height a child; add born to the card."), "{text}");
    }

    #[test]
    fn a_childs_knuckle_that_fits_no_body_is_measured_again() {
        let child =
            BodyReadings { stature: Some(Length::inches(56.0)), age_years: Some(10), ..readings(29.0) };
        let target = target(&child, &StaticRule::default()).unwrap();
        assert!(target.asks_to_measure_again());
        assert!(matches!(target.warnings[0], Warning::OutOfProportion { .. }));
    }

    #[test]
    fn readings_of_two_postures_hold_the_work() {
        let heights = vec![Length::inches(26.0), Length::inches(29.0)];
        let apart = target(&BodyReadings::of_knuckle(heights, Shoes::On), &StaticRule::default()).unwrap();
        assert!(apart.asks_to_measure_again());
    }

    #[test]
    fn a_reading_far_from_stature_asks_to_be_taken_again() {
        let doubtful = BodyReadings { stature: Some(Length::inches(70.0)), sex: Sex::Man, ..readings(33.0) };
        let target = target(&doubtful, &StaticRule::default()).unwrap();
        assert!(target.asks_to_measure_again());
        assert!(matches!(target.warnings[0], Warning::HardToBelieve(_)));
    }

    #[test]
    fn readings_half_an_inch_apart_ask_for_one_more() {
        let heights = vec![Length::inches(28.0), Length::inches(28.5)];
        let target = target(&BodyReadings::of_knuckle(heights, Shoes::Off), &StaticRule::default()).unwrap();
        assert!(matches!(target.warnings[0], Warning::ReadingsApart { .. }));
        assert!(matches!(target.warnings[1], Warning::WithoutShoes));
    }
}
