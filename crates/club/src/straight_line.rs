//! The straight line of least squares through the readings of a set.

/// A line through the middle of some points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StraightLine {
    /// The mean of all points: the line passes through it.
    pub middle: (f64, f64),
    /// Rise for each unit along; zero where all points stand above one another.
    pub slope: f64,
}

impl StraightLine {
    /// The line whose squared distances upward to the points are least in sum; nothing without points.
    ///
    /// # Source
    /// Definition: ordinary least squares, slope = sum of (x - mean x)(y - mean y) over sum of (x - mean x) squared.
    #[must_use]
    pub fn through(points: &[(f64, f64)]) -> Option<Self> {
        if points.is_empty() {
            return None;
        }
        let mean = |of: &dyn Fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / points.len() as f64;
        let middle = (mean(&|point| point.0), mean(&|point| point.1));
        let spread = mean(&|point| (point.0 - middle.0).powi(2));
        let together = mean(&|point| (point.0 - middle.0) * (point.1 - middle.1));
        Some(Self { middle, slope: if spread > 0.0 { together / spread } else { 0.0 } })
    }

    /// Its height at a place.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        self.middle.1 + self.slope * (x - self.middle.0)
    }
}

#[cfg(test)]
mod tests {
    use super::StraightLine;

    /// By hand: of (0, 0), (1, 0), (2, 3) the mean is (1, 1) and the slope (1 · 1 + 1 · 2) / 2 = 1.5.
    #[test]
    fn the_line_is_that_of_least_squares() {
        let line = StraightLine::through(&[(0.0, 0.0), (1.0, 0.0), (2.0, 3.0)]).unwrap();
        assert!((line.slope - 1.5).abs() < 1e-12);
        assert!((line.at(1.0) - 1.0).abs() < 1e-12 && (line.at(3.0) - 4.0).abs() < 1e-12);
    }

    #[test]
    fn points_above_one_another_make_a_level_line_and_none_make_none() {
        let line = StraightLine::through(&[(37.0, 420.0), (37.0, 430.0)]).unwrap();
        assert!((line.at(36.0) - 425.0).abs() < 1e-9);
        assert_eq!(StraightLine::through(&[]), None);
    }
}
