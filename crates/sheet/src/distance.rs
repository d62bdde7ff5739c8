//! Distances of the ball in words: always with their interval, and with the ball's own part in it where that is larger.

use ball::unknowns::Spread;
use quantity::{Distance, Z_80};

/// What distances are told in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DistanceUnit {
    /// Yards.
    #[default]
    Yards,
    /// Metres.
    Metres,
}

impl DistanceUnit {
    /// Its name in short.
    #[must_use]
    pub const fn short(self) -> &'static str {
        match self {
            Self::Yards => "yd",
            Self::Metres => "m",
        }
    }

    /// A distance in it.
    #[must_use]
    pub const fn of_m(self, metres: f64) -> f64 {
        match self {
            Self::Yards => Distance::metres(metres).as_yards(),
            Self::Metres => metres,
        }
    }

    /// A distance with its unit: whole from 20 on, a tenth below.
    #[must_use]
    pub fn say(self, metres: f64) -> String {
        format!("{} {}", self.number(metres), self.short())
    }

    /// The same without its unit.
    #[must_use]
    pub fn number(self, metres: f64) -> String {
        let value = self.of_m(metres);
        let rounded = if value.abs() >= 20.0 { format!("{value:.0}") } else { format!("{value:.1}") };
        // what rounds to nothing has no sign
        let plain = if rounded.trim_start_matches('-').chars().all(|sign| matches!(sign, '0' | '.')) {
            rounded.trim_start_matches('-').to_owned()
        } else {
            rounded
        };
        plain.replace('-', "\u{2212}")
    }

    /// A distance with the interval that holds it 80 times in 100: `145 yd (136 to 154)`.
    #[must_use]
    pub fn with_interval(self, metres: f64, spread: Spread) -> String {
        let half_m = Z_80 * spread.sd;
        format!("{} ({} to {})", self.say(metres), self.number(metres - half_m), self.number(metres + half_m))
    }
}

/// What is said of a difference smaller than one ball differs from the next on one day and another.
pub const BALL_AND_AIR_VARY_BY_MORE: &str = "Ball and air vary by more than this difference.";

/// Whether ball and air make a shot vary by more than this difference, 80 in 100.
#[must_use]
pub fn ball_and_air_vary_by_more(difference_m: f64, of_the_shot: Spread) -> bool {
    difference_m.abs() < Z_80 * of_the_shot.ball_and_air_sd
}

#[cfg(test)]
mod tests {
    use super::{DistanceUnit, ball_and_air_vary_by_more};
    use ball::unknowns::Spread;

    #[test]
    fn a_distance_is_said_with_its_interval_as_fine_as_it_is_worth() {
        let spread = Spread { sd: 5.0, ball_and_air_sd: 3.0 };
        assert_eq!(DistanceUnit::Yards.with_interval(132.4, spread), "145 yd (138 to 152)");
        assert_eq!(DistanceUnit::Metres.with_interval(132.4, spread), "132 m (126 to 139)");
        let small = Spread { sd: 0.2, ball_and_air_sd: 0.1 };
        assert_eq!(DistanceUnit::Metres.with_interval(0.1, small), "0.1 m (\u{2212}0.2 to 0.4)");
        assert_eq!(DistanceUnit::Yards.say(-0.01), "0.0 yd");
        assert!(ball_and_air_vary_by_more(3.0, spread) && !ball_and_air_vary_by_more(-4.0, spread));
    }
}
