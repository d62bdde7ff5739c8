//! A club on the frequency analyser, and what the bench can do to it.

use super::profile::within;
use super::vibration::{self, MODES, Mode, TipHead};
use super::{FreeSpan, Mounting, PlugBeyondClamp, Profile};
use crate::ClubError;
use quantity::{Frequency, Length, Mass};

/// A club held by its butt; the grip is held too and has no part.
#[derive(Debug, Clone, PartialEq)]
pub struct ClampedClub {
    /// The raw shaft.
    pub profile: Profile,
    /// How it sits in clamp and head.
    pub mounting: Mounting,
    /// The head.
    pub head: TipHead,
}

/// Work that moves a frequency, counted from the club as it is. A changed grip moves none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Alteration {
    /// Cut from the butt.
    pub butt_cut: Length,
    /// Lengthened at the butt.
    pub extension: Length,
    /// How far the extension's plug reaches into the shaft.
    pub plug_seated: Length,
    /// Cut from the tip before the head goes back on.
    pub tip_trim: Length,
    /// Added to the head at its centre of mass; taken off when negative. A weight in the shaft's tip is meant too.
    pub head_added: Mass,
    /// Another length of clamp.
    pub clamp: Option<Length>,
}

impl ClampedClub {
    /// Returns the frequency an analyser reads: the slowest mode's.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] or [`ClubError::NoFreeShaft`] for a club that cannot be.
    pub fn frequency(&self) -> Result<Frequency, ClubError> {
        let (span, head) = self.checked()?;
        Ok(vibration::frequency(&self.profile, span, head))
    }

    /// Returns one of the slowest ways to vibrate, counted from 1.
    ///
    /// # Errors
    /// As [`ClampedClub::frequency`]; [`ClubError::OutOfRange`] for a mode beyond [`MODES`].
    pub fn mode(&self, mode: usize) -> Result<Mode, ClubError> {
        let (span, head) = self.checked()?;
        if !MODES.contains(&mode) {
            return Err(ClubError::OutOfRange {
                what: "mode",
                found: mode.to_string(),
                expected: format!("{} to {}", MODES.start(), MODES.end()),
            });
        }
        Ok(vibration::mode(&self.profile, span, head, mode))
    }

    fn checked(&self) -> Result<(FreeSpan, TipHead), ClubError> {
        Ok((self.mounting.free_span(&self.profile)?, self.head.checked()?))
    }

    /// Returns the club after the work.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] when more is taken off the head than it weighs; what clamp and cuts leave is checked
    /// when the club is asked.
    pub fn altered(&self, work: &Alteration) -> Result<Self, ClubError> {
        let head_g = (self.head.mass + work.head_added).as_grams();
        within("head mass after the work", head_g, (0.0, 2_000.0), "g")?;
        let is = &self.mounting;
        Ok(Self {
            profile: self.profile.clone(),
            mounting: Mounting {
                clamp: work.clamp.unwrap_or(is.clamp),
                butt_cut: is.butt_cut + work.butt_cut,
                extension: is.extension + work.extension,
                plug_seated: is.plug_seated.max(work.plug_seated),
                tip_trim: is.tip_trim + work.tip_trim,
                in_hosel: is.in_hosel,
            },
            head: TipHead { mass: self.head.mass + work.head_added, ..self.head },
        })
    }

    /// Says when an extension's plug ends outside the clamp.
    #[must_use]
    pub fn plug_beyond_clamp(&self) -> Option<PlugBeyondClamp> {
        self.mounting.plug_beyond_clamp()
    }
}
