//! A number together with how sure it is: no advised number travels without its interval.

/// The 0.90 quantile of the standard normal distribution: 80 in 100 lie within it on both sides.
///
/// Definition (standard normal); `reference/` recomputes it with SciPy.
pub const Z_80: f64 = 1.281_551_565_544_600_4;

/// A value with the half-width of the interval that holds it `level_percent` times in a hundred.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate<Q> {
    /// The best single value.
    pub value: Q,
    /// Half the width of the interval, about the value.
    pub half_width: Q,
    /// How often in a hundred the interval is meant to hold the truth.
    pub level_percent: u8,
}
