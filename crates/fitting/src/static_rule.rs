//! The length rule: knuckle height to six-iron length, and from there to every iron and wedge.
//!
//! Common practice, no source: at a knuckle height of 28 in the six-iron is 37 in, and each inch of
//! knuckle height moves it a quarter inch. The rule is to be used and to be tested: its own spread is
//! most of the target's uncertainty, and that spread is an assumption until a studio has learnt its own.

use crate::{BodyReadings, FittingError};
use club::{ClubKind, Wedge};
use quantity::{Estimate, Length, Z_80};

/// The rule and the steps of the set, with the numbers a studio may set for itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StaticRule {
    /// Knuckle height at which the rule is anchored. Common practice, no source: 28 in.
    pub anchor_knuckle_height: Length,
    /// Six-iron length there. Common practice, no source: 37 in.
    pub anchor_six_iron: Length,
    /// Six-iron length per length of knuckle height. Common practice, no source: a quarter.
    pub slope: f64,
    /// Step from one iron to the next. Common practice, no source: 1/2 in.
    pub iron_step: Length,
    /// Step from the nine-iron to the pitching wedge. House habit: 1/2 in.
    pub first_wedge_step: Length,
    /// Step from one wedge to the next. House habit: 1/4 in.
    pub wedge_step: Length,
    /// Standard deviation of what suits a golfer about what the rule says. Assumption: 0.35 in.
    pub spread_sd: Length,
    /// Least standard deviation of one knuckle reading. Trade practice: a reading repeats to 1/4 in.
    pub reading_sd: Length,
}

impl Default for StaticRule {
    fn default() -> Self {
        Self {
            anchor_knuckle_height: Length::inches(28.0),
            anchor_six_iron: Length::inches(37.0),
            slope: 0.25,
            iron_step: Length::inches(0.5),
            first_wedge_step: Length::inches(0.5),
            wedge_step: Length::inches(0.25),
            spread_sd: Length::inches(0.35),
            reading_sd: Length::inches(0.25),
        }
    }
}

/// The irons and wedges of a usual set, longest first.
pub const USUAL_CLUBS: [ClubKind; 11] = [
    ClubKind::Iron(3),
    ClubKind::Iron(4),
    ClubKind::Iron(5),
    ClubKind::Iron(6),
    ClubKind::Iron(7),
    ClubKind::Iron(8),
    ClubKind::Iron(9),
    ClubKind::Wedge(Wedge::Pitching),
    ClubKind::Wedge(Wedge::Gap),
    ClubKind::Wedge(Wedge::Sand),
    ClubKind::Wedge(Wedge::Lob),
];

impl StaticRule {
    /// Refuses a rule that cannot be meant.
    ///
    /// # Errors
    /// [`FittingError::BadRule`] for a step or spread outside what a set can have.
    pub fn check(&self) -> Result<(), FittingError> {
        let within = |what, found: Length, least: f64, most: f64, expected| {
            if (least..=most).contains(&found.as_inches()) {
                return Ok(());
            }
            Err(FittingError::BadRule { what, found: found.decimal_inches(3).to_string(), expected })
        };
        within("iron_step", self.iron_step, 0.0, 1.0, "0 to 1 in")?;
        within("first_wedge_step", self.first_wedge_step, 0.0, 1.0, "0 to 1 in")?;
        within("wedge_step", self.wedge_step, 0.0, 1.0, "0 to 1 in")?;
        within("spread", self.spread_sd, 0.05, 2.0, "0.05 to 2 in: no rule fits every golfer")
    }

    /// Returns the six-iron length for these readings, with the interval that holds it 80 times in 100.
    ///
    /// Two things make it uncertain: how well the knuckle height repeats (its own standard deviation, but
    /// at least [`Self::reading_sd`] a reading), and how far golfers stray from the rule
    /// ([`Self::spread_sd`]).
    #[must_use]
    pub fn six_iron(&self, readings: &BodyReadings) -> Estimate<Length> {
        let sd = self.sd_from_readings(readings).as_inches().hypot(self.spread_sd.as_inches());
        Estimate {
            value: self.anchor_six_iron
                + (readings.mean_knuckle_height() - self.anchor_knuckle_height) * self.slope,
            half_width: Length::inches(sd * Z_80),
            level_percent: 80,
        }
    }

    /// Returns the part of a target's standard deviation that comes from the readings.
    #[must_use]
    pub fn sd_from_readings(&self, readings: &BodyReadings) -> Length {
        readings.knuckle_height_sd().max(self.reading_sd) / readings.count().sqrt() * self.slope
    }

    /// Returns how much longer than the six-iron this club is; `None` outside the rule (woods, hybrids,
    /// putter).
    #[must_use]
    pub fn above_six_iron(&self, kind: ClubKind) -> Option<Length> {
        let nine_iron = -(self.iron_step * 3.0);
        match kind {
            ClubKind::Iron(number) => Some(self.iron_step * (6.0 - f64::from(number))),
            ClubKind::Wedge(wedge) => {
                let after_pitching = match wedge {
                    Wedge::Pitching => 0.0,
                    Wedge::Gap => 1.0,
                    Wedge::Sand => 2.0,
                    Wedge::Lob => 3.0,
                };
                Some(nine_iron - self.first_wedge_step - self.wedge_step * after_pitching)
            }
            ClubKind::Driver | ClubKind::Wood(_) | ClubKind::Hybrid(_) | ClubKind::Putter => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::StaticRule;
    use crate::{BodyReadings, Shoes};
    use club::{ClubKind, Wedge};
    use quantity::Length;

    fn six_iron(heights: &[f64]) -> quantity::Estimate<Length> {
        let heights = heights.iter().copied().map(Length::inches).collect();
        StaticRule::default().six_iron(&BodyReadings::of_knuckle(heights, Shoes::On))
    }

    #[test]
    fn the_rule_is_anchored_at_28_and_moves_a_quarter_an_inch() {
        // common practice, no source
        assert!((six_iron(&[28.0]).value.as_inches() - 37.0).abs() < 1e-12);
        assert!((six_iron(&[30.0]).value.as_inches() - 37.5).abs() < 1e-12);
        assert!((six_iron(&[26.0]).value.as_inches() - 36.5).abs() < 1e-12);
    }

    #[test]
    fn the_interval_holds_reading_and_rule() {
        // one reading: 1.28155 * sqrt((0.25 * 0.25)² + 0.35²) = 0.45564; four alike: 0.44998
        assert!((six_iron(&[28.0]).half_width.as_inches() - 0.455_64).abs() < 1e-5);
        assert!((six_iron(&[28.0; 4]).half_width.as_inches() - 0.450_33).abs() < 1e-5);
        // readings 2 in apart: sd 1.41421, over two of them 1, times 0.25; sqrt(0.25² + 0.35²) * 1.28155
        assert!((six_iron(&[27.0, 29.0]).half_width.as_inches() - 0.551_22).abs() < 1e-5);
    }

    #[test]
    fn the_set_steps_half_an_inch_and_the_wedges_by_house_habit() {
        let above = |kind| {
            let above = StaticRule::default().above_six_iron(kind)?;
            Some((above.as_inches() * 4.0).round() / 4.0)
        };
        assert_eq!(above(ClubKind::Iron(4)), Some(1.0));
        assert_eq!(above(ClubKind::Iron(9)), Some(-1.5));
        assert_eq!(above(ClubKind::Wedge(Wedge::Pitching)), Some(-2.0));
        assert_eq!(above(ClubKind::Wedge(Wedge::Lob)), Some(-2.75));
        assert_eq!(above(ClubKind::Putter), None);
        assert_eq!(above(ClubKind::Hybrid(4)), None);
    }

    #[test]
    fn a_house_rule_that_cannot_be_meant_is_refused() {
        assert!(StaticRule::default().check().is_ok());
        let spread = StaticRule { spread_sd: Length::inches(-0.1), ..StaticRule::default() };
        assert!(spread.check().is_err());
    }
}
