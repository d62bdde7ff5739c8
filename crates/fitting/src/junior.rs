//! Young golfers: when the adult rule is doubtful, and what height alone would say.
//!
//! Light before long, and too short beats too long: the chart of common practice stands beside the rule.

use crate::chart::look_up;
use quantity::{InchStep, Length};

/// The chart; its head says its kind.
const TABLE: &str = include_str!("junior_chart.csv");
/// Below this age a golfer is treated as growing. House choice: teen sizes begin near 60 in of height.
pub(crate) const GROWN_AT_YEARS: i16 = 16;

/// What the junior chart says for a stature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JuniorChart {
    /// Least and most length of a seven-iron.
    pub seven_iron: (Length, Length),
}

impl JuniorChart {
    /// Looks a stature up; `None` outside the chart.
    #[must_use]
    pub fn of(stature: Length) -> Option<Self> {
        look_up(TABLE, stature).map(|seven_iron| Self { seven_iron })
    }

    /// Says it in a sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let (least, most) = self.seven_iron;
        format!(
            "For this height a junior chart of common practice gives a seven-iron of {} to {}.",
            least.to_step(InchStep::Quarter),
            most.to_step(InchStep::Quarter)
        )
    }
}
