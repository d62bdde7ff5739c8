//! One axis of the trial as the model sees it: offsets and places by day, and the straight line of each day.

use crate::strike::{Axis, Strikes, count, is_same_length};

/// The balls of one day along one axis.
#[derive(Debug, Clone)]
pub(crate) struct AxisDay {
    /// Offsets, in.
    pub(crate) offsets: Vec<f64>,
    /// Places, mm.
    pub(crate) places: Vec<f64>,
}

/// All days along one axis.
pub(crate) fn along(strikes: &Strikes, axis: Axis) -> Vec<AxisDay> {
    strikes
        .days()
        .iter()
        .map(|day| AxisDay {
            offsets: day.strikes.iter().map(|strike| strike.offset_in).collect(),
            places: day.strikes.iter().map(|strike| strike.along(axis)).collect(),
        })
        .collect()
}

/// The six sums that are all a line needs of a day, with weight 1 or any other for each ball.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Sums {
    pub(crate) n: f64,
    pub(crate) d: f64,
    pub(crate) dd: f64,
    pub(crate) y: f64,
    pub(crate) dy: f64,
    pub(crate) yy: f64,
}

impl Sums {
    pub(crate) fn add(&mut self, weight: f64, offset: f64, place: f64) {
        let (wd, wy) = (weight * offset, weight * place);
        self.n += weight;
        self.d += wd;
        self.dd += wd * offset;
        self.y += wy;
        self.dy += wd * place;
        self.yy += wy * place;
    }
}

impl Sums {
    /// Adds a ball by its precision and by what it pulls with, which need not have the same sign.
    pub(crate) fn add_pulled(&mut self, precision: f64, offset: f64, pull: f64) {
        let along = precision * offset;
        self.n += precision;
        self.d += along;
        self.dd += along * offset;
        self.y += pull;
        self.dy += pull * offset;
    }
}

impl AxisDay {
    pub(crate) fn count(&self) -> f64 {
        count(self.places.len())
    }

    pub(crate) fn sums(&self) -> Sums {
        let mut sums = Sums::default();
        for (offset, place) in self.offsets.iter().zip(&self.places) {
            sums.add(1.0, *offset, *place);
        }
        sums
    }

    /// What is left of each place when the day's own line is taken off, and what is free in it. A day of one length
    /// keeps its mean only; two balls of two lengths leave nothing.
    pub(crate) fn residuals(&self) -> (Vec<f64>, f64) {
        let sums = self.sums();
        if self.places.is_empty() {
            return (Vec::new(), 0.0);
        }
        let (mean_d, mean_y) = (sums.d / sums.n, sums.y / sums.n);
        let first = self.offsets[0];
        let is_one_length = self.offsets.iter().all(|offset| is_same_length(*offset, first));
        if is_one_length {
            return (self.places.iter().map(|place| place - mean_y).collect(), self.count() - 1.0);
        }
        if self.places.len() <= 2 {
            return (Vec::new(), 0.0);
        }
        let (across, along) =
            self.offsets.iter().zip(&self.places).fold((0.0, 0.0), |(across, along), (d, y)| {
                (across + (d - mean_d) * (y - mean_y), along + (d - mean_d) * (d - mean_d))
            });
        let slope = across / along;
        let left =
            self.offsets.iter().zip(&self.places).map(|(d, y)| y - mean_y - slope * (d - mean_d)).collect();
        (left, self.count() - 2.0)
    }
}
