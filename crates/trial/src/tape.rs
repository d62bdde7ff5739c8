//! What the same balls say without a model: the readings a trial is compared with, and what one day alone would have
//! said.

use crate::strike::{Day, count, is_same_length};

/// A way of reading marks on a face.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// The length whose marks lie nearest the sweet spot on average: what contact tape is read for.
    MeanDistance,
    /// The length whose pattern has its middle nearest the sweet spot.
    Middle,
    /// A straight line through all marks, days ignored; the nearest of the lengths tried.
    Line,
    /// The same line, to an eighth of an inch.
    LineInEighths,
}

impl Reading {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::MeanDistance, Self::Middle, Self::Line, Self::LineInEighths];
}

/// Returns the length this reading of the balls picks, among those tried; nothing without balls.
#[must_use]
pub fn read(days: &[Day], offsets_in: &[f64], reading: Reading) -> Option<f64> {
    let balls = || days.iter().flat_map(|day| &day.strikes);
    balls().next()?;
    match reading {
        Reading::MeanDistance | Reading::Middle => offsets_in
            .iter()
            .filter_map(|offset| {
                let of_length: Vec<(f64, f64)> = balls()
                    .filter(|strike| is_same_length(strike.offset_in, *offset))
                    .map(|strike| (strike.x_mm, strike.y_mm))
                    .collect();
                let n = count(of_length.len());
                let mean = |of: &dyn Fn(&(f64, f64)) -> f64| of_length.iter().map(of).sum::<f64>() / n;
                let away = match reading {
                    Reading::MeanDistance => mean(&|(x, y)| x.hypot(*y)),
                    _ => mean(&|(x, _)| *x).hypot(mean(&|(_, y)| *y)),
                };
                (n > 0.0).then_some((*offset, away))
            })
            .min_by(|one, other| one.1.total_cmp(&other.1))
            .map(|(offset, _)| offset),
        Reading::Line | Reading::LineInEighths => {
            let n = count(balls().count());
            let mean = |of: &dyn Fn(&crate::Strike) -> f64| balls().map(of).sum::<f64>() / n;
            let middle = mean(&|strike| strike.offset_in);
            let squares = mean(&|strike| (strike.offset_in - middle).powi(2));
            if squares < 1e-9 {
                return None;
            }
            let line = |of: &dyn Fn(&crate::Strike) -> f64| {
                let level = mean(of);
                let slope = mean(&|strike| (strike.offset_in - middle) * (of(strike) - level)) / squares;
                (level - slope * middle, slope)
            };
            let (x, y) = (line(&|strike| strike.x_mm), line(&|strike| strike.y_mm));
            let fit = -(x.0 * x.1 + y.0 * y.1) / (x.1 * x.1 + y.1 * y.1);
            let eighths = crate::decision::eighths(offsets_in);
            let choices = if reading == Reading::Line { offsets_in } else { &eighths };
            choices.iter().copied().min_by(|one, other| (one - fit).abs().total_cmp(&(other - fit).abs()))
        }
    }
}
