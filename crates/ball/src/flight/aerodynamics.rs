//! What the air does to a spinning ball: drag, lift and the slow loss of spin.

use super::error::{FlightError, within};

/// How well a carry is known for a ball nobody has measured, m either way: 5 yd.
///
/// Judgement on two figures. Published: thirteen balls hit alike spread over 18 m of carry (Lyu, Kensrud & Smith 2018,
/// Proceedings 2(6), 238; abstract read), 9 m either way at the extremes. Derived: the fit misses its own data by 3.5 yd
/// (root mean square).
pub const CARRY_KNOWN_WITHIN_M: f64 = 5.0 * 0.9144;

/// Coefficients of drag and lift, and the rate at which spin is lost.
///
/// With the spin number S = r ω / u and Reynolds' number Re = ρ u d / µ, u the speed through the air:
///
/// - CL = `lift_most` · S / (S + `lift_half_at`), which saturates;
/// - CD = `drag_least` + `drag_of_lift` · CL² + `drag_below_crisis` / (1 + exp((Re − `crisis_at`) / `crisis_width`));
/// - dω/dt = −`spin_decay` · ω u / r.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aerodynamics {
    /// Drag without lift above the drag crisis.
    pub drag_least: f64,
    /// Drag that comes with lift, per CL².
    pub drag_of_lift: f64,
    /// What drag gains below the drag crisis.
    pub drag_below_crisis: f64,
    /// Reynolds' number in the middle of the crisis.
    pub crisis_at: f64,
    /// Width of the crisis, in Reynolds' number.
    pub crisis_width: f64,
    /// Lift coefficient toward which lift saturates.
    pub lift_most: f64,
    /// Spin number at which half of it is reached.
    pub lift_half_at: f64,
    /// Share of its spin a ball loses while it travels its radius through the air.
    pub spin_decay: f64,
}

impl Aerodynamics {
    /// The ball of this tool.
    ///
    /// Drag and lift: derived, fitted together with their form to widely circulated averages of 22 clubs of tour players
    /// (from memory, not re-read); see `docs/derivations/flight.md` for what the fit misses.
    /// Spin decay: published, Smits & Smith 1994, 2·10⁻⁵ (from memory, not re-read), which a conversion in Dewhurst 2015
    /// bears out (excerpt read).
    pub const FITTED: Self = Self {
        drag_least: 0.1945,
        drag_of_lift: 1.15,
        drag_below_crisis: 0.22,
        crisis_at: 72_000.0,
        crisis_width: 10_000.0,
        lift_most: 0.46,
        lift_half_at: 0.163,
        spin_decay: 2.0e-5,
    };

    /// No air: a ball that feels gravity alone, for checks against closed forms.
    pub const NONE: Self = Self {
        drag_least: 0.0,
        drag_of_lift: 0.0,
        drag_below_crisis: 0.0,
        lift_most: 0.0,
        spin_decay: 0.0,
        ..Self::FITTED
    };

    /// Returns the lift coefficient at a spin number.
    #[must_use]
    pub fn lift_coefficient(&self, spin_number: f64) -> f64 {
        self.lift_most * spin_number / (spin_number + self.lift_half_at)
    }

    /// Returns the drag coefficient at a Reynolds number and the lift coefficient that goes with it.
    #[must_use]
    pub fn drag_coefficient(&self, reynolds: f64, lift_coefficient: f64) -> f64 {
        let below_crisis =
            self.drag_below_crisis / (1.0 + ((reynolds - self.crisis_at) / self.crisis_width).exp());
        self.drag_least + self.drag_of_lift * lift_coefficient * lift_coefficient + below_crisis
    }

    /// What can be a ball's. Kind of the ranges: definition of what the tool takes.
    pub(super) fn check(&self) -> Result<(), FlightError> {
        for (what, found, least, most) in [
            ("least drag coefficient", self.drag_least, 0.0, 2.0),
            ("drag per lift coefficient squared", self.drag_of_lift, 0.0, 10.0),
            ("drag below the crisis", self.drag_below_crisis, 0.0, 2.0),
            ("Reynolds number of the crisis", self.crisis_at, 0.0, 1e6),
            ("width of the crisis", self.crisis_width, 100.0, 1e6),
            ("largest lift coefficient", self.lift_most, 0.0, 2.0),
            ("spin number at half the lift", self.lift_half_at, 1e-3, 10.0),
            ("spin decay", self.spin_decay, 0.0, 1e-2),
        ] {
            within(what, found, least, most, "")?;
        }
        Ok(())
    }
}

impl Default for Aerodynamics {
    fn default() -> Self {
        Self::FITTED
    }
}
