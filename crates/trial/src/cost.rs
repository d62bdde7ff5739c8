//! What a mean strike off the sweet spot costs.

use crate::TrialError;
use crate::draws::Draw;
use crate::math::exp;
use crate::posterior::Posterior;
use crate::strike::Axis;

/// How a place on the face is judged.
#[derive(Debug, Clone)]
pub enum Cost {
    /// Squared distance of the mean strike from the sweet spot, mm², each direction with its weight.
    Squares {
        /// Weight of heel to toe.
        toe: f64,
        /// Weight of low to high.
        high: f64,
    },
    /// A table of what a strike costs at each place, in a unit of its own.
    Surface(Surface),
}

impl Default for Cost {
    fn default() -> Self {
        Self::Squares { toe: 1.0, high: 1.0 }
    }
}

impl Cost {
    /// The cost a decision goes by: a table is smoothed over single balls and days first, once.
    #[must_use]
    pub fn averaged(&self, posterior: &Posterior) -> Self {
        match self {
            Self::Squares { .. } => self.clone(),
            Self::Surface(surface) => {
                let sd = |axis| {
                    let day = posterior.mean_of_spread(axis, |spread| spread.day_level);
                    posterior.ball_sd(axis).hypot(day)
                };
                Self::Surface(surface.smoothed(sd(Axis::Toe), sd(Axis::High)))
            }
        }
    }

    /// What the mean strike of a draw costs at an offset.
    #[inline]
    #[must_use]
    pub fn of(&self, draw: &Draw, offset_in: f64) -> f64 {
        let (x, y) = draw.place_at(offset_in);
        match self {
            Self::Squares { toe, high } => toe * x * x + high * y * y,
            Self::Surface(surface) => surface.at(x, y),
        }
    }

    /// What the mean strikes of draws cost at an offset, one after the other.
    pub(crate) fn of_draws(&self, draws: &[Draw], offset_in: f64, costs: &mut [f64]) {
        match self {
            Self::Squares { toe, high } => {
                for (slot, draw) in costs.iter_mut().zip(draws) {
                    let (x, y) = draw.place_at(offset_in);
                    *slot = toe * x * x + high * y * y;
                }
            }
            Self::Surface(surface) => {
                for (slot, draw) in costs.iter_mut().zip(draws) {
                    let (x, y) = draw.place_at(offset_in);
                    *slot = surface.at(x, y);
                }
            }
        }
    }

    /// The offset between `least` and `most` at which the mean strike of a draw costs least; 0 where length changes
    /// nothing.
    #[inline]
    #[must_use]
    pub fn best_offset(&self, draw: &Draw, least: f64, most: f64) -> f64 {
        match self {
            Self::Squares { toe, high } => {
                let along = toe * draw.toe.slope * draw.toe.slope + high * draw.high.slope * draw.high.slope;
                let against =
                    toe * draw.toe.level * draw.toe.slope + high * draw.high.level * draw.high.slope;
                if along > 0.0 { (-against / along).clamp(least, most) } else { 0.0_f64.clamp(least, most) }
            }
            Self::Surface(_) => {
                let steps = (0..=40).map(|step| least + (most - least) * f64::from(step) / 40.0);
                let costs = steps.map(|offset| (offset, self.of(draw, offset)));
                costs.min_by(|one, other| one.1.total_cmp(&other.1)).map_or(0.0, |(offset, _)| offset)
            }
        }
    }
}

/// A table of costs on an even grid over the face.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    /// Toward the toe and above at the first entry, mm.
    pub first: (f64, f64),
    /// Step of the grid, mm.
    pub step: f64,
    /// Entries toward the toe.
    pub columns: usize,
    /// Rows from low to high, each from heel to toe.
    pub values: Vec<f64>,
}

impl Surface {
    /// Refuses a table that is none.
    ///
    /// # Errors
    /// [`TrialError::BadSetting`] without two rows and two columns, whole rows, a step over 0 to 50 mm, and finite numbers.
    pub fn check(&self) -> Result<(), TrialError> {
        let bad = |what, found, expected| Err(TrialError::BadSetting { what, found, expected });
        let entries = crate::strike::count(self.values.len());
        if self.columns < 2 || self.rows() < 2 || self.rows() * self.columns != self.values.len() {
            return bad(
                "a table of costs with a number of entries",
                entries,
                "two whole rows or more, of two entries or more",
            );
        }
        if !(self.step > 0.0 && self.step <= 50.0) {
            return bad("the step of a table of costs", self.step, "over 0 to 50 mm");
        }
        let numbers = [self.first.0, self.first.1].into_iter().chain(self.values.iter().copied());
        if let Some(found) = numbers.into_iter().find(|number| !(-1e9..=1e9).contains(number)) {
            return bad("a number in a table of costs", found, "-1e9 to 1e9");
        }
        Ok(())
    }

    fn rows(&self) -> usize {
        self.values.len() / self.columns.max(1)
    }

    /// The cost at a place, straight between entries; beyond the table its edge.
    #[must_use]
    pub fn at(&self, x: f64, y: f64) -> f64 {
        let inside = |place: f64, first: f64, entries: usize| {
            let last = crate::strike::count(entries.saturating_sub(1));
            let at = ((place - first) / self.step).clamp(0.0, last);
            let cell = crate::lattice::whole(at).min(entries.saturating_sub(2));
            (cell, at - crate::strike::count(cell))
        };
        let (column, right) = inside(x, self.first.0, self.columns);
        let (row, up) = inside(y, self.first.1, self.rows());
        let entry = |row: usize, column: usize| self.values[row * self.columns + column];
        let along =
            |row| entry(row, column) * (1.0 - right) + entry(row, (column + 1).min(self.columns - 1)) * right;
        along(row) * (1.0 - up) + along((row + 1).min(self.rows() - 1)) * up
    }

    /// The mean cost of balls that scatter about a place by these standard deviations.
    #[must_use]
    pub fn smoothed(&self, sd_toe: f64, sd_high: f64) -> Self {
        let across =
            self.smoothed_along(sd_toe, |row, column| row * self.columns + column, self.rows(), self.columns);
        across.smoothed_along(sd_high, |column, row| row * self.columns + column, self.columns, self.rows())
    }

    fn smoothed_along(
        &self,
        sd: f64,
        at: impl Fn(usize, usize) -> usize,
        lines: usize,
        entries: usize,
    ) -> Self {
        let mut values = self.values.clone();
        let reach = crate::lattice::whole((4.0 * sd / self.step).ceil());
        let weights: Vec<f64> = (0..=reach)
            .map(|away| {
                let z = crate::strike::count(away) * self.step / sd.max(1e-9);
                exp(-0.5 * z * z)
            })
            .collect();
        for line in 0..lines {
            for entry in 0..entries {
                let (mut sum, mut all) = (0.0, 0.0);
                for (away, weight) in weights.iter().enumerate() {
                    // beyond the table its edge goes on
                    let (before, after) = (entry.saturating_sub(away), (entry + away).min(entries - 1));
                    let both = self.values[at(line, before)] + self.values[at(line, after)];
                    let (weight, both) = if away == 0 { (0.5 * weight, both) } else { (*weight, both) };
                    sum += weight * both;
                    all += 2.0 * weight;
                }
                values[at(line, entry)] = sum / all;
            }
        }
        Self { values, ..self.clone() }
    }
}
