//! The readings a finished club is checked by: what they should be, how far off still passes, and what they repeat to.
//!
//! Tolerances are those of a good build. Trade practice (no source): length 1/16 in, mass 2 g, swingweight half a
//! point, lie half a degree, frequency 2 cycles a minute. What two readings of one club by one person on one day differ
//! by at most, 95 in 100 times (the repeatability limit of ISO 5725), is trade practice too: length 1/16 in, mass half a
//! gram, swingweight half a point, lie half a degree, frequency one and a half cycles a minute.

use crate::ClubCheck;
use club::Swingweight;
use quantity::{Angle, Frequency, InchStep, Length, Mass};

/// How far a finished length may be off.
pub(crate) const LENGTH_WITHIN: Length = Length::inches(1.0 / 16.0);
/// How far a finished mass may be off.
pub(crate) const MASS_WITHIN: Mass = Mass::grams(2.0);
/// How many points a finished swingweight may be off.
pub(crate) const POINTS_WITHIN: f64 = 0.5;
/// How far a lie that was to stay may be off.
pub(crate) const LIE_WITHIN: Angle = Angle::degrees(0.5);

/// How far a finished frequency may be off what the change makes of the one that was read, beside what the model itself
/// leaves open.
const CPM_WITHIN: Frequency = Frequency::cpm(2.0);

/// A reading of a finished club and what it should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CheckReading {
    /// Playing length.
    Length(Length),
    /// Total mass.
    Mass(Mass),
    /// The 14-inch scale.
    Swingweight(Swingweight),
    /// The head's lie, unchanged by the work.
    Lie(Angle),
    /// Frequency at the clamp it was read at before, and what the model of its change leaves open on either side.
    Frequency(Frequency, Frequency),
}

impl CheckReading {
    /// Says what it should be, with its tolerance.
    #[must_use]
    pub fn expected(&self) -> String {
        match self {
            Self::Length(length) => format!(
                "{} ± {}",
                length.with_metric(InchStep::Sixteenth),
                LENGTH_WITHIN.to_step(InchStep::Sixteenth)
            ),
            Self::Mass(mass) => format!("{} ± {}", mass.grams_printed(0), MASS_WITHIN.grams_printed(0)),
            Self::Swingweight(scale) => format!("{scale} ± 1/2 point"),
            Self::Lie(lie) => format!("{} ± 1/2°", lie.degrees_printed(1)),
            Self::Frequency(frequency, open) => format!(
                "{} ± {}, in the clamp it was read in before",
                frequency.cpm_printed(0),
                (CPM_WITHIN + *open).cpm_printed(1)
            ),
        }
    }

    /// Returns the least and the most that pass, in SI units (a swingweight as its moment in kg m).
    #[must_use]
    pub fn range_si(&self) -> (f64, f64) {
        let about = |value: f64, within: f64| (value - within, value + within);
        match self {
            Self::Length(length) => about(length.as_metres(), LENGTH_WITHIN.as_metres()),
            Self::Mass(mass) => about(mass.as_kilograms(), MASS_WITHIN.as_kilograms()),
            Self::Swingweight(scale) => about(
                scale.moment().as_kilogram_metres(),
                Swingweight::moment_of_points(POINTS_WITHIN).as_kilogram_metres(),
            ),
            Self::Lie(lie) => about(lie.as_radians(), LIE_WITHIN.as_radians()),
            Self::Frequency(frequency, open) => about(frequency.as_hertz(), (CPM_WITHIN + *open).as_hertz()),
        }
    }

    /// Returns what two readings of one club differ by at most, 95 in 100 times, in SI units.
    #[must_use]
    pub fn repeats_to_si(&self) -> f64 {
        match self {
            Self::Length(_) => Length::inches(1.0 / 16.0).as_metres(),
            Self::Mass(_) => Mass::grams(0.5).as_kilograms(),
            Self::Swingweight(_) => Swingweight::moment_of_points(0.5).as_kilogram_metres(),
            Self::Lie(_) => Angle::degrees(0.5).as_radians(),
            Self::Frequency(..) => Frequency::cpm(1.5).as_hertz(),
        }
    }

    /// Says what to do when the reading is below (`false`: above) what passes.
    #[must_use]
    pub fn when_off(&self, is_below: bool) -> &'static str {
        match (self, is_below) {
            (Self::Length(_), true) => {
                "Too short: read again on the plate; what is cut cannot be put back, so stop and ask."
            }
            (Self::Length(_), false) => {
                "Too long: read again on the plate; is the cap down on the butt? Then take it off at the butt."
            }
            (Self::Mass(_), _) => {
                "Weigh again; then look for what was left out or put in twice, grip and plug first."
            }
            (Self::Swingweight(_), true) => {
                "Too light at the head: read again with the grip seated; add tape until it reads."
            }
            (Self::Swingweight(_), false) => {
                "Too heavy at the head: read again with the grip seated; take tape off until it reads."
            }
            (Self::Frequency(..), _) => {
                "Read again in the same clamp, shaft turned to the same side; then see whether head and grip are what was planned."
            }
            (Self::Lie(_), _) => {
                "The lie was to stay: read again with the score lines level, then see whether the head turned."
            }
        }
    }
}

impl ClubCheck {
    /// Returns the frequency it should be found at, and how far off still passes.
    #[must_use]
    pub fn frequency_due(&self) -> Option<(Frequency, Frequency)> {
        self.frequency.map(|(expected, open)| (expected, CPM_WITHIN + open))
    }

    /// Returns what the finished club is read for; of a club nobody weighed, only its length.
    #[must_use]
    pub fn readings_due(&self) -> Vec<CheckReading> {
        let mut due = vec![CheckReading::Length(self.finished.length)];
        if self.is_weighed {
            due.push(CheckReading::Mass(self.finished.mass));
            due.push(CheckReading::Swingweight(self.finished.swingweight));
        }
        if self.is_lie_read {
            due.push(CheckReading::Lie(self.lie));
        }
        if let Some((expected, open)) = self.frequency {
            due.push(CheckReading::Frequency(expected, open));
        }
        due
    }
}
