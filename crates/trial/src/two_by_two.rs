//! Pairs and symmetric 2 × 2 matrices: level and slope of one line, and how sure they are.

use std::ops::{Add, Sub};

/// Two numbers that belong together: a level and a slope.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pair {
    /// The first, a level.
    pub level: f64,
    /// The second, a slope.
    pub slope: f64,
}

impl Pair {
    pub(crate) const fn new(level: f64, slope: f64) -> Self {
        Self { level, slope }
    }

    pub(crate) fn dot(self, other: Self) -> f64 {
        self.level * other.level + self.slope * other.slope
    }

    pub(crate) fn scaled(self, by: f64) -> Self {
        Self::new(self.level * by, self.slope * by)
    }
}

impl Add for Pair {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.level + other.level, self.slope + other.slope)
    }
}

impl Sub for Pair {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.level - other.level, self.slope - other.slope)
    }
}

/// A symmetric matrix: of the level, of both, of the slope.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Symmetric {
    /// Level with level.
    pub level: f64,
    /// Level with slope.
    pub both: f64,
    /// Slope with slope.
    pub slope: f64,
}

impl Symmetric {
    pub(crate) const fn new(level: f64, both: f64, slope: f64) -> Self {
        Self { level, both, slope }
    }

    pub(crate) fn determinant(self) -> f64 {
        self.level * self.slope - self.both * self.both
    }

    pub(crate) fn inverse(self) -> Self {
        let one = 1.0 / self.determinant();
        Self::new(self.slope * one, -self.both * one, self.level * one)
    }

    pub(crate) fn times(self, pair: Pair) -> Pair {
        Pair::new(
            self.level * pair.level + self.both * pair.slope,
            self.both * pair.level + self.slope * pair.slope,
        )
    }

    pub(crate) fn scaled(self, by: f64) -> Self {
        Self::new(self.level * by, self.both * by, self.slope * by)
    }

    /// `pair · pairᵀ`.
    pub(crate) fn square_of(pair: Pair) -> Self {
        Self::new(pair.level * pair.level, pair.level * pair.slope, pair.slope * pair.slope)
    }

    /// The lower factor of Cholesky: first column level and both, then the slope left.
    pub(crate) fn factor(self) -> Factor {
        let level = self.level.sqrt();
        let both = self.both / level;
        Factor { level, both, slope: (self.slope - both * both).max(0.0).sqrt() }
    }
}

impl Add for Symmetric {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.level + other.level, self.both + other.both, self.slope + other.slope)
    }
}

impl Sub for Symmetric {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.level - other.level, self.both - other.both, self.slope - other.slope)
    }
}

/// A lower triangle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Factor {
    pub(crate) level: f64,
    pub(crate) both: f64,
    pub(crate) slope: f64,
}

impl Factor {
    pub(crate) fn times(self, pair: Pair) -> Pair {
        Pair::new(self.level * pair.level, self.both * pair.level + self.slope * pair.slope)
    }
}
