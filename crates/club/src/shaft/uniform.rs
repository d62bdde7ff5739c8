//! The uniform beam with a point mass at its end: closed forms to hold the general method against.

use quantity::{Frequency, Length, Mass};
use std::f64::consts::PI;

/// A beam of one stiffness and mass all along, clamped at one end, with a point mass at the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UniformBeam {
    /// Bending stiffness, N m².
    pub stiffness_n_m2: f64,
    /// Mass of a metre, kg.
    pub mass_per_m_kg: f64,
    /// Free length.
    pub length: Length,
    /// Mass at the end.
    pub tip_mass: Mass,
}

/// Returns `1 + cos β cosh β + µ β (cos β sinh β − sin β cosh β)`, nought at every mode's β; µ is the ratio of the mass at
/// the end to the beam's.
///
/// # Source
/// Derived: `docs/derivations/flex.md`.
#[must_use]
pub fn characteristic(beta: f64, mass_ratio: f64) -> f64 {
    let (sin, cos) = beta.sin_cos();
    1.0 + cos * beta.cosh() + mass_ratio * beta * (cos * beta.sinh() - sin * beta.cosh())
}

impl UniformBeam {
    /// Returns `β = (ω² m' L⁴ / EI)^(1/4)` of a frequency.
    #[must_use]
    pub fn beta(&self, frequency: Frequency) -> f64 {
        let omega = 2.0 * PI * frequency.as_hertz();
        (omega * omega * self.mass_per_m_kg / self.stiffness_n_m2).powf(0.25) * self.length.as_metres()
    }

    /// Returns Rayleigh's frequency, a bound from above: the beam bent as by a force at its end.
    ///
    /// # Source
    /// Derived: `f = √(3 EI / (L³ (M + 33/140 m' L))) / 2π`.
    #[must_use]
    pub fn rayleigh(&self) -> Frequency {
        let length_m = self.length.as_metres();
        let moving_kg = self.tip_mass.as_kilograms() + 33.0 / 140.0 * self.mass_per_m_kg * length_m;
        let stiffness_n_per_m = 3.0 * self.stiffness_n_m2 / length_m.powi(3);
        Frequency::hertz((stiffness_n_per_m / moving_kg).sqrt() / (2.0 * PI))
    }
}
