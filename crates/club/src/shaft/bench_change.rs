//! What an extension or a cut does to a frequency that was read, when nothing is known of the shaft's profile.
//!
//! Two profiles stand for all: even stiffness, and a butt four times as stiff as the tip, changing evenly over the
//! playing length. Their scale goes with the reading and cancels. The beam runs from the clamp to the length mark, where
//! the head is a point; what is neither grip nor head is shaft, spread evenly. Kind: trade practice, a model choice.

use super::{ClampedClub, Mounting, Profile, Section, TipHead};
use crate::{ClubError, range};
use quantity::{Frequency, Length, Mass};

/// Any stiffness does, N m²; it cancels.
const ANY_STIFFNESS_N_M2: f64 = 50.0;

/// A club as its frequency was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BenchBeam {
    /// Playing length.
    pub length: Length,
    /// Mass of the head.
    pub head: Mass,
    /// Mass of all but head and grip.
    pub shaft: Mass,
    /// Length of butt in the clamp.
    pub clamp: Length,
    /// The reading.
    pub frequency: Frequency,
}

/// The frequency to expect, by each of the two profiles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrequencyAfter {
    /// With a butt four times as stiff as the tip.
    pub butt_four_times_tip: Frequency,
    /// With the same stiffness all along.
    pub uniform: Frequency,
}

impl BenchBeam {
    /// Returns the frequency after the butt has become `longer` (shorter when negative), at the same clamp.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] or [`ClubError::NoFreeShaft`] for a club that cannot be, or an extension beyond the
    /// clamp.
    pub fn lengthened(&self, longer: Length) -> Result<FrequencyAfter, ClubError> {
        self.altered(longer, Mass::ZERO)
    }

    /// The same with mass added at the head.
    ///
    /// # Errors
    /// As [`BenchBeam::lengthened`].
    pub fn altered(&self, longer: Length, added_at_head: Mass) -> Result<FrequencyAfter, ClubError> {
        range::frequency(self.frequency)?;
        Ok(FrequencyAfter {
            butt_four_times_tip: self.after(longer, added_at_head, 4.0)?,
            uniform: self.after(longer, added_at_head, 1.0)?,
        })
    }

    fn after(&self, longer: Length, added_at_head: Mass, butt_to_tip: f64) -> Result<Frequency, ClubError> {
        let section = |stiffness_n_m2: f64| Section {
            stiffness_n_m2,
            mass_per_m_kg: self.shaft.as_kilograms() / self.length.as_metres(),
        };
        let butt = section(ANY_STIFFNESS_N_M2 * butt_to_tip);
        let now = ClampedClub {
            profile: Profile::even(self.length, butt, section(ANY_STIFFNESS_N_M2))?,
            mounting: Mounting::uncut(self.clamp, Length::ZERO),
            head: TipHead { mass: self.head, ..TipHead::default() },
        };
        let changed = Mounting {
            butt_cut: (-longer).max(Length::ZERO),
            extension: longer.max(Length::ZERO),
            ..now.mounting
        };
        let before = now.frequency()?;
        let head = TipHead { mass: self.head + added_at_head, ..now.head };
        Ok(self.frequency * (ClampedClub { mounting: changed, head, ..now }.frequency()? / before))
    }
}
