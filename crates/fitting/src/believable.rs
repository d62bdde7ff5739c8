//! Can this reading be believed? Knuckle height against what stature and wrist height predict.
//!
//! The prediction is a regression over people measured barefoot; the tool carries its coefficients alone
//! (`hand_height_regression.csv`, which says where they come from). Two people of one height can differ by
//! three inches at the knuckle, so the check finds slips of the tape, never the right length.

use crate::chart::table_rows;
use crate::{BodyReadings, Sex, Shoes};
use quantity::Length;

/// The regressions; their head says source and kind.
const TABLE: &str = include_str!("hand_height_regression.csv");

/// What a sole adds to a height measured in shoes. From memory: a common allowance of 25 mm.
pub const SHOE_SOLE: Length = Length::mm(25.0);
/// Standard uncertainty of the stand-in for knuckle height in the survey, mm. Derived from the spread of
/// hand proportions and the guessed bend of the hooked hand (`docs/derivations/body.md`).
const STAND_IN_SD_MM: f64 = 8.0;
/// Beyond so many standard deviations the reading is to be taken again. House choice.
const DOUBT_BEYOND: f64 = 2.5;

/// What a prediction rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Predictor {
    /// Stature alone.
    Stature,
    /// Wrist height alone.
    WristHeight,
    /// Stature and wrist height together.
    Both,
}

impl Predictor {
    /// Names the measures in a sentence.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Stature => "stature",
            Self::WristHeight => "wrist height",
            Self::Both => "stature and wrist height",
        }
    }
}

/// How a knuckle height stands to what the other measures predict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// What the prediction rests on.
    pub predictor: Predictor,
    /// The knuckle height predicted, in the same shoes as the reading.
    pub predicted: Length,
    /// Standard deviation of people about the prediction.
    pub sd: Length,
    /// How many of those the reading lies above (below, when negative).
    pub z: f64,
}

impl Belief {
    /// Judges the mean reading, if stature or wrist height was measured.
    #[must_use]
    pub fn of(readings: &BodyReadings) -> Option<Self> {
        let shoe = match readings.shoes {
            Shoes::On => SHOE_SOLE,
            Shoes::Off => Length::ZERO,
        };
        let wrist_barefoot = readings.wrist_height.map(|height| height - shoe);
        let predictor = match (readings.stature, wrist_barefoot) {
            (Some(_), Some(_)) => Predictor::Both,
            (Some(_), None) => Predictor::Stature,
            (None, Some(_)) => Predictor::WristHeight,
            (None, None) => return None,
        };
        let row = Regression::find(readings.sex, predictor);
        let barefoot = Length::mm(
            row.intercept_mm
                + row.per_stature.unwrap_or(0.0) * readings.stature.unwrap_or_default().as_mm()
                + row.per_wrist_height.unwrap_or(0.0) * wrist_barefoot.unwrap_or_default().as_mm(),
        );
        let predicted = barefoot + shoe;
        let sd = Length::mm(row.residual_sd_mm.hypot(STAND_IN_SD_MM));
        Some(Self { predictor, predicted, sd, z: (readings.mean_knuckle_height() - predicted) / sd })
    }

    /// Says that it is believable, and how near it lies to what is expected.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!(
            "Believable beside {}: {:.1} standard deviations from what that predicts.",
            self.predictor.words(),
            self.z.abs()
        )
    }

    /// Tells whether the measure should be taken again.
    #[must_use]
    pub fn asks_to_measure_again(&self) -> bool {
        self.z.abs() > DOUBT_BEYOND
    }
}

/// One row of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Regression {
    sex: Sex,
    intercept_mm: f64,
    per_stature: Option<f64>,
    per_wrist_height: Option<f64>,
    residual_sd_mm: f64,
}

impl Regression {
    fn find(sex: Sex, predictor: Predictor) -> Self {
        let wanted = match predictor {
            Predictor::Stature => (true, false),
            Predictor::WristHeight => (false, true),
            Predictor::Both => (true, true),
        };
        rows()
            .find(|row| {
                row.sex == sex && (row.per_stature.is_some(), row.per_wrist_height.is_some()) == wanted
            })
            .expect("the table is compiled in and a test finds all nine rows")
    }
}

fn rows() -> impl Iterator<Item = Regression> {
    table_rows(TABLE).filter_map(row)
}

fn row(line: &str) -> Option<Regression> {
    let mut cells = line.split(',');
    let sex = match cells.next()? {
        "man" => Sex::Man,
        "woman" => Sex::Woman,
        "unknown" => Sex::NotSaid,
        _ => return None,
    };
    let intercept_mm = cells.next()?.parse().ok()?;
    let mut slope = || match cells.next()? {
        "" => Some(None),
        cell => cell.parse().ok().map(Some),
    };
    let (per_stature, per_wrist_height) = (slope()?, slope()?);
    let residual_sd_mm = cells.next()?.parse().ok()?;
    Some(Regression { sex, intercept_mm, per_stature, per_wrist_height, residual_sd_mm })
}

#[cfg(test)]
mod tests {
    use super::{Belief, Predictor, Regression, rows};
    use crate::{BodyReadings, Sex, Shoes};
    use quantity::Length;

    fn readings(knuckle_mm: f64, stature_mm: f64, sex: Sex) -> BodyReadings {
        BodyReadings {
            stature: Some(Length::mm(stature_mm)),
            sex,
            ..BodyReadings::of_knuckle(vec![Length::mm(knuckle_mm)], Shoes::Off)
        }
    }

    #[test]
    fn every_sex_and_predictor_has_its_row() {
        assert_eq!(rows().count(), 9);
        for sex in [Sex::Man, Sex::Woman, Sex::NotSaid] {
            for predictor in [Predictor::Stature, Predictor::WristHeight, Predictor::Both] {
                assert!(Regression::find(sex, predictor).residual_sd_mm > 0.0);
            }
        }
    }

    /// Check values computed from the survey file outside this program (see `reference/`), to 0.02 mm.
    #[test]
    fn predictions_agree_with_values_computed_from_the_survey() {
        for (sex, stature, wrist, knuckle) in [
            (Sex::Man, 1778.0, None, 722.06),
            (Sex::Man, 1778.0, Some(860.0), 723.25),
            (Sex::Woman, 1651.0, None, 677.28),
            (Sex::Woman, 1651.0, Some(800.0), 671.28),
            (Sex::Man, 1829.0, None, 745.11),
            (Sex::Woman, 1575.0, None, 644.04),
        ] {
            let readings =
                BodyReadings { wrist_height: wrist.map(Length::mm), ..readings(700.0, stature, sex) };
            let predicted = Belief::of(&readings).unwrap().predicted.as_mm();
            assert!((predicted - knuckle).abs() < 0.02, "{sex:?} {stature} {wrist:?}: {predicted}");
        }
    }

    #[test]
    fn a_reading_far_off_the_line_asks_to_be_taken_again() {
        // sd 24.17 mm about 722.06: 60.4 mm off is 2.5 of them
        assert!(!Belief::of(&readings(780.0, 1778.0, Sex::Man)).unwrap().asks_to_measure_again());
        assert!(Belief::of(&readings(784.0, 1778.0, Sex::Man)).unwrap().asks_to_measure_again());
        assert!(Belief::of(&readings(660.0, 1778.0, Sex::Man)).unwrap().asks_to_measure_again());
    }

    #[test]
    fn shoes_lift_the_prediction_by_their_sole() {
        let off = readings(722.0, 1778.0, Sex::Man);
        let on = BodyReadings { shoes: Shoes::On, ..off.clone() };
        let lift = Belief::of(&on).unwrap().predicted - Belief::of(&off).unwrap().predicted;
        assert!((lift.as_mm() - 25.0).abs() < 1e-9);
    }

    #[test]
    fn without_stature_or_wrist_height_nothing_is_judged() {
        assert!(Belief::of(&BodyReadings::of_knuckle(vec![Length::inches(28.0)], Shoes::On)).is_none());
    }
}
