//! What is measured on the golfer, and what no body can measure.
//!
//! Knuckle height and wrist height are taken in the same shoes, stature and hand without them. The knuckle
//! is the middle one of the middle finger of the lead hand, the centre of the bony knob seen from the side.

use crate::FittingError;
use quantity::{InchStep, Length};

/// Whether shoes were worn for knuckle and wrist height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shoes {
    /// In shoes.
    On,
    /// Barefoot or in socks.
    Off,
}

impl Shoes {
    /// Says how it was measured.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::On => "in shoes",
            Self::Off => "without shoes",
        }
    }
}

/// Sex, used only to judge whether a reading can be believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sex {
    /// A man.
    Man,
    /// A woman.
    Woman,
    /// Not said.
    #[default]
    NotSaid,
}

/// The readings of one visit.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyReadings {
    /// Floor to middle knuckle of the lead hand; one or more readings.
    pub knuckle_height: Vec<Length>,
    /// Shoes for knuckle and wrist height.
    pub shoes: Shoes,
    /// Stature, barefoot.
    pub stature: Option<Length>,
    /// Floor to wrist crease of the lead hand, arm hanging.
    pub wrist_height: Option<Length>,
    /// Wrist crease to tip of the middle finger.
    pub hand_length: Option<Length>,
    /// Root to tip of the middle finger.
    pub middle_finger: Option<Length>,
    /// Sex, for believability only.
    pub sex: Sex,
    /// Age in whole years.
    pub age_years: Option<i16>,
}

/// Most readings taken of one measure in a visit.
const MOST_READINGS: usize = 12;

/// A measure and the range any body, child or giant, can have. Kind: definition of what the tool takes.
struct Range {
    what: &'static str,
    inches: (f64, f64),
}

const KNUCKLE: Range = Range { what: "knuckle height", inches: (12.0, 40.0) };
const STATURE: Range = Range { what: "stature", inches: (36.0, 90.0) };
const WRIST: Range = Range { what: "wrist height", inches: (14.0, 46.0) };
const HAND: Range = Range { what: "hand length", inches: (4.0, 11.0) };
const FINGER: Range = Range { what: "middle finger", inches: (1.5, 6.0) };

impl BodyReadings {
    /// Makes readings from knuckle heights alone.
    #[must_use]
    pub fn of_knuckle(knuckle_height: Vec<Length>, shoes: Shoes) -> Self {
        Self {
            knuckle_height,
            shoes,
            stature: None,
            wrist_height: None,
            hand_length: None,
            middle_finger: None,
            sex: Sex::NotSaid,
            age_years: None,
        }
    }

    /// Refuses readings no body has, naming the unit that was probably meant.
    ///
    /// # Errors
    /// The field, as in `knuckle_height`, with [`FittingError::OutOfRange`],
    /// [`FittingError::NoKnuckleHeight`] or [`FittingError::TooManyReadings`]; all that are wrong.
    pub fn check(&self) -> Result<(), Vec<(&'static str, FittingError)>> {
        let mut problems = Vec::new();
        if self.knuckle_height.is_empty() {
            problems.push(("knuckle_height", FittingError::NoKnuckleHeight));
        }
        if self.knuckle_height.len() > MOST_READINGS {
            let found = self.knuckle_height.len();
            problems.push(("knuckle_height", FittingError::TooManyReadings { found, most: MOST_READINGS }));
        }
        let knuckles = self.knuckle_height.iter().map(|height| ("knuckle_height", &KNUCKLE, Some(*height)));
        let others = [
            ("stature", &STATURE, self.stature),
            ("wrist_height", &WRIST, self.wrist_height),
            ("hand_length", &HAND, self.hand_length),
            ("middle_finger", &FINGER, self.middle_finger),
        ];
        for (field, range, value) in knuckles.chain(others) {
            if let Some(Err(error)) = value.map(|value| range.check(value)) {
                problems.push((field, error));
            }
        }
        if problems.is_empty() { Ok(()) } else { Err(problems) }
    }

    /// Returns the mean knuckle height.
    #[must_use]
    pub fn mean_knuckle_height(&self) -> Length {
        self.knuckle_height.iter().copied().sum::<Length>() / self.count()
    }

    /// Returns the sample standard deviation of the knuckle readings; zero for a single one.
    #[must_use]
    pub fn knuckle_height_sd(&self) -> Length {
        if self.knuckle_height.len() < 2 {
            return Length::ZERO;
        }
        let mean = self.mean_knuckle_height();
        let squares: f64 =
            self.knuckle_height.iter().map(|height| (*height - mean).as_inches().powi(2)).sum();
        Length::inches((squares / (self.count() - 1.0)).sqrt())
    }

    /// Returns the distance between the highest and the lowest knuckle reading.
    #[must_use]
    pub fn knuckle_height_spread(&self) -> Length {
        let Some(first) = self.knuckle_height.first().copied() else {
            return Length::ZERO;
        };
        let high = self.knuckle_height.iter().copied().fold(first, Length::max);
        let low = self.knuckle_height.iter().copied().fold(first, Length::min);
        high - low
    }

    /// Returns how many knuckle readings there are, as the statistics want it.
    pub(crate) fn count(&self) -> f64 {
        u32::try_from(self.knuckle_height.len()).map_or(f64::INFINITY, f64::from)
    }
}

impl Range {
    fn holds(&self, length: Length) -> bool {
        let dust = 1e-9; // a length is kept in metres: 12 in comes back as 12 to the last digit or two
        (self.inches.0 - dust..=self.inches.1 + dust).contains(&length.as_inches())
    }

    fn check(&self, found: Length) -> Result<(), FittingError> {
        if self.holds(found) {
            return Ok(());
        }
        Err(FittingError::OutOfRange {
            what: self.what,
            found,
            least: Length::inches(self.inches.0),
            most: Length::inches(self.inches.1),
            meant: self.other_unit(found),
        })
    }

    /// Finds the unit under which the same digits would make sense.
    fn other_unit(&self, found: Length) -> Option<(String, String)> {
        let (as_inches, as_mm) = (found.as_inches(), found.as_mm());
        let inches = |number: f64| Length::inches(number);
        let centimetres = |number: f64| Length::mm(number * 10.0);
        [
            (as_inches, "mm", Length::mm(as_inches)),
            (as_inches, "cm", centimetres(as_inches)),
            (as_mm, "in", inches(as_mm)),
            (as_mm / 10.0, "in", inches(as_mm / 10.0)),
            (as_mm / 10.0, "mm", Length::mm(as_mm / 10.0)),
            (as_mm, "cm", centimetres(as_mm)),
        ]
        .into_iter()
        .find(|(number, _, length)| looks_typed(*number) && self.holds(*length))
        .map(|(number, unit, length)| {
            (format!("{} {unit}", rounded(number)), length.with_metric(InchStep::Eighth))
        })
    }
}

/// Tells whether a person may have typed this number: hundredths or thirty-seconds, not a converted value.
fn looks_typed(number: f64) -> bool {
    [100.0, 32.0].into_iter().any(|parts| (number * parts - (number * parts).round()).abs() < 1e-6)
}

/// Prints the digits as they were typed, without the dust of a unit conversion.
fn rounded(number: f64) -> String {
    format!("{}", (number * 1000.0).round() / 1000.0)
}

#[cfg(test)]
mod tests {
    use super::{BodyReadings, Shoes};
    use quantity::Length;

    fn problem(typed: &str) -> String {
        let readings = BodyReadings::of_knuckle(vec![Length::parse(typed).unwrap()], Shoes::On);
        let problems = readings.check().unwrap_err();
        format!("{}. {}", problems[0].1, problems[0].1.hint().unwrap())
    }

    #[test]
    fn inches_typed_as_millimetres_are_named_and_the_reverse() {
        assert_eq!(
            problem("28 mm"),
            "knuckle height 1 1/8 in (28 mm) is outside 12 in (305 mm) to 40 in (1016 mm). 28 in? That would \
             be 28 in (711 mm). Write the unit with the number."
        );
        assert!(problem("356 in").contains("356 mm? That would be 14 in (356 mm)."));
        assert!(problem("71.1").contains("71.1 cm? That would be 28 in (711 mm)."));
        assert!(problem("28 cm").contains("28 in?"));
        for slip in ["762", "716 in", "860"] {
            assert!(problem(slip).contains(" mm? That would be"), "{}", problem(slip));
        }
        let at_the_end =
            BodyReadings::of_knuckle(vec![Length::inches(12.0), Length::inches(40.0)], Shoes::On);
        assert!(at_the_end.check().is_ok());
        assert!(problem("2 m").ends_with("Measure again, and write the unit with the number."));
    }

    #[test]
    fn readings_give_mean_sd_and_spread() {
        // 29.25, 29.125, 29.25: mean 29.2083, sd sqrt((2 * 0.0417² + 0.0833²) / 2) = 0.0722
        let heights = [29.25, 29.125, 29.25].map(Length::inches).to_vec();
        let readings = BodyReadings::of_knuckle(heights, Shoes::On);
        assert!((readings.mean_knuckle_height().as_inches() - 29.208_333).abs() < 1e-6);
        assert!((readings.knuckle_height_sd().as_inches() - 0.072_169).abs() < 1e-6);
        assert!((readings.knuckle_height_spread().as_inches() - 0.125).abs() < 1e-12);
    }

    #[test]
    fn no_reading_and_too_many_are_refused() {
        assert!(BodyReadings::of_knuckle(Vec::new(), Shoes::On).check().is_err());
        assert!(BodyReadings::of_knuckle(vec![Length::inches(28.0); 13], Shoes::On).check().is_err());
    }
}
