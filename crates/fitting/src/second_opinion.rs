//! Second opinions: what other measures of common practice say, beside the target, never blended into it.
//!
//! The charts give a change from "standard men's irons". There is no one standard, so the opinion is a
//! range: from the six-iron of the older tables to that of today's, each with the chart's change.

use crate::BodyReadings;
use crate::chart::look_up;
use quantity::{InchStep, Length};

const WRIST: &str = include_str!("wrist_chart.csv");
const STATURE: &str = include_str!("stature_chart.csv");
/// A man's six-iron in older tables and in today's, steel. Trade practice, no source.
const STANDARD_SIX_IRON: (Length, Length) = (Length::inches(37.0), Length::inches(37.5));
/// How far target and opinion may be apart before it is said. House choice: the repeatability of a reading.
const AGREES_WITHIN: Length = Length::inches(0.25);

/// Which measure an opinion rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Guide {
    /// Wrist crease to floor.
    WristToFloor,
    /// Stature.
    Stature,
}

impl Guide {
    /// Names the measure.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::WristToFloor => "Wrist to floor",
            Self::Stature => "Stature",
        }
    }
}

/// A six-iron length by another measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opinion {
    /// The measure.
    pub guide: Guide,
    /// Least and most six-iron length it stands for.
    pub six_iron: (Length, Length),
    /// How far the target lies above the range (below: negative; inside: zero).
    pub target_beyond: Length,
}

impl Opinion {
    /// Collects the opinions of all measures taken.
    #[must_use]
    pub fn all(readings: &BodyReadings, target: Length) -> Vec<Self> {
        [(Guide::WristToFloor, WRIST, readings.wrist_height), (Guide::Stature, STATURE, readings.stature)]
            .into_iter()
            .filter_map(|(guide, chart, measure)| {
                let (least, most) = look_up(chart, measure?)?;
                let six_iron = (STANDARD_SIX_IRON.0 + least, STANDARD_SIX_IRON.1 + most);
                let above = (target - six_iron.1).max(Length::ZERO);
                let below = (six_iron.0 - target).max(Length::ZERO);
                Some(Self { guide, six_iron, target_beyond: above - below })
            })
            .collect()
    }

    /// Tells whether it disagrees with the target by more than a reading's own repeatability.
    #[must_use]
    pub fn disagrees(&self) -> bool {
        self.target_beyond.abs() > AGREES_WITHIN + Length::inches(1e-9)
    }

    /// Says it in a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let step = InchStep::Eighth;
        let (least, most) = self.six_iron;
        let range = format!("{} to {}", least.to_step(step), most.to_step(step));
        let says = format!("{} stands for a six-iron of {range}", self.guide.words());
        if !self.disagrees() {
            return format!("{says}: it agrees.");
        }
        let side = if self.target_beyond > Length::ZERO { "above" } else { "below" };
        format!("{says}: the target lies {} {side} that.", self.target_beyond.abs().to_step(step))
    }
}

/// What to measure again when opinions and target part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Repeat {
    /// Knuckle height: the others agree with each other against it.
    KnuckleHeight,
    /// Wrist height: it stands alone.
    WristHeight,
    /// Knuckle and wrist height: they part, and nothing tells which is wrong.
    BothHeights,
    /// Knuckle and wrist height: only stature was there to compare, and stature decides nothing.
    KnuckleAndWristHeight,
}

impl Repeat {
    /// Says what to do and why.
    #[must_use]
    pub fn sentence(self) -> &'static str {
        match self {
            Self::KnuckleHeight => {
                "Measure the knuckle height again: the other measures agree with each other and not with it."
            }
            Self::WristHeight => "Measure the wrist height again: it stands alone.",
            Self::BothHeights => "Measure knuckle height and wrist height again: they do not agree.",
            Self::KnuckleAndWristHeight => {
                "Measure knuckle height and wrist height again. Stature alone settles nothing: two people of one \
                 height can differ by three inches at the knuckle."
            }
        }
    }
}

/// Decides which measure to repeat; `None` when nothing disagrees.
#[must_use]
pub fn measure_to_repeat(opinions: &[Opinion]) -> Option<Repeat> {
    let of = |guide| opinions.iter().find(|opinion| opinion.guide == guide);
    // how the target parts from a measure: above it, below it, or not at all
    let side =
        |guide| of(guide).map(|opinion| opinion.disagrees().then_some(opinion.target_beyond > Length::ZERO));
    match (side(Guide::WristToFloor), side(Guide::Stature)) {
        (Some(Some(wrist)), Some(Some(stature))) if wrist == stature => Some(Repeat::KnuckleHeight),
        (Some(Some(_)), Some(Some(_)) | None) => Some(Repeat::BothHeights),
        (Some(Some(_)), Some(None)) => Some(Repeat::WristHeight),
        (_, Some(Some(_))) => Some(Repeat::KnuckleAndWristHeight),
        (Some(None) | None, Some(None) | None) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{Opinion, Repeat, measure_to_repeat};
    use crate::{BodyReadings, Shoes};
    use quantity::Length;

    fn opinions(wrist: Option<f64>, stature: Option<f64>, target: f64) -> Vec<Opinion> {
        let readings = BodyReadings {
            wrist_height: wrist.map(Length::inches),
            stature: stature.map(Length::inches),
            ..BodyReadings::of_knuckle(vec![Length::inches(28.0)], Shoes::On)
        };
        Opinion::all(&readings, Length::inches(target))
    }

    #[test]
    fn an_average_body_agrees_on_every_measure() {
        let all = opinions(Some(34.5), Some(69.0), 37.0);
        assert_eq!(all.len(), 2);
        assert!(all.iter().all(|opinion| !opinion.disagrees()));
        assert_eq!(
            all[0].sentence(),
            "Wrist to floor stands for a six-iron of 37 in to 37 1/2 in: it agrees."
        );
        assert_eq!(measure_to_repeat(&all), None);
    }

    #[test]
    fn the_measure_that_stands_alone_is_the_one_to_repeat() {
        assert_eq!(measure_to_repeat(&opinions(Some(34.5), Some(69.0), 38.0)), Some(Repeat::KnuckleHeight));
        assert_eq!(measure_to_repeat(&opinions(Some(38.5), Some(69.0), 37.25)), Some(Repeat::WristHeight));
        assert_eq!(
            measure_to_repeat(&opinions(Some(34.5), Some(79.0), 37.25)),
            Some(Repeat::KnuckleAndWristHeight)
        );
        assert_eq!(measure_to_repeat(&opinions(Some(38.5), None, 37.0)), Some(Repeat::BothHeights));
        // the wrist asks for a longer club, the stature for a shorter one
        assert_eq!(measure_to_repeat(&opinions(Some(38.5), Some(61.0), 37.0)), Some(Repeat::BothHeights));
    }

    #[test]
    fn a_quarter_inch_is_still_agreement() {
        assert!(!opinions(Some(35.0), None, 37.75)[0].disagrees());
        let apart = opinions(Some(35.0), None, 37.875);
        assert!(apart[0].disagrees());
        assert!(apart[0].sentence().ends_with("the target lies 3/8 in above that."));
    }
}
