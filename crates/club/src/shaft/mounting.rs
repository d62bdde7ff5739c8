//! Which part of a raw shaft is free to vibrate: between the edge of the clamp and the top of the hosel.

use crate::ClubError;
use crate::range::length_within;
use crate::shaft::Profile;
use quantity::Length;

/// How much of the butt a frequency analyser usually clamps. Trade practice; some clamp 4 or 7 in.
pub const USUAL_CLAMP: Length = Length::inches(5.0);

/// Free lengths that can vibrate as a club, inches. Definition of what the tool takes.
const FREE_IN: (f64, f64) = (6.0, 60.0);

/// How a raw shaft sits in its club and in the clamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mounting {
    /// Length of butt held by the clamp, the extension included.
    pub clamp: Length,
    /// Cut from the raw butt.
    pub butt_cut: Length,
    /// By how much a plug lengthens the butt.
    pub extension: Length,
    /// How far the plug reaches into the shaft, where there is one.
    pub plug_seated: Length,
    /// Cut from the raw tip.
    pub tip_trim: Length,
    /// Length of shaft inside the head, from the hosel's top to the shaft's end.
    pub in_hosel: Length,
}

/// The free part, from the raw butt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeSpan {
    /// Where the clamp ends.
    pub clamp_edge: Length,
    /// Where the hosel begins.
    pub hosel_top: Length,
}

impl FreeSpan {
    /// Returns the free length.
    #[must_use]
    pub fn length(&self) -> Length {
        self.hosel_top - self.clamp_edge
    }
}

/// A plug that ends outside the clamp stiffens the free shaft, which the model leaves out: the club then reads higher
/// than said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlugBeyondClamp {
    /// Where the plug ends, from the new butt.
    pub plug_end: Length,
    /// Where the clamp ends, from the new butt.
    pub clamp: Length,
}

impl Mounting {
    /// Returns a whole raw shaft in a head, on a clamp.
    #[must_use]
    pub const fn uncut(clamp: Length, in_hosel: Length) -> Self {
        Self {
            clamp,
            butt_cut: Length::ZERO,
            extension: Length::ZERO,
            plug_seated: Length::ZERO,
            tip_trim: Length::ZERO,
            in_hosel,
        }
    }

    /// Returns what of a raw shaft is free.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] for amounts no bench meets or an extension longer than the clamp,
    /// [`ClubError::NoFreeShaft`] when clamp and cuts use the shaft up.
    ///
    /// # Source
    /// Derived (`docs/derivations/flex.md`): an extension moves the clamp's edge toward the raw butt on the same profile.
    pub fn free_span(&self, profile: &Profile) -> Result<FreeSpan, ClubError> {
        length_within("clamp", self.clamp, 0.0, 20.0)?;
        for (what, amount) in [
            ("cut off the butt", self.butt_cut),
            ("cut off the tip", self.tip_trim),
            ("shaft in the hosel", self.in_hosel),
        ] {
            length_within(what, amount, 0.0, 40.0)?;
        }
        length_within("extension", self.extension, 0.0, self.clamp.as_inches())?;
        length_within("seated part of the plug", self.plug_seated, 0.0, 20.0)?;
        let span = FreeSpan {
            clamp_edge: self.butt_cut + self.clamp - self.extension,
            hosel_top: profile.raw_length() - self.tip_trim - self.in_hosel,
        };
        let free_in = span.length().as_inches();
        if !(FREE_IN.0..=FREE_IN.1).contains(&free_in) {
            return Err(ClubError::NoFreeShaft { free_in, raw_in: profile.raw_length().as_inches() });
        }
        Ok(span)
    }

    /// Says when a plug ends outside the clamp.
    #[must_use]
    pub fn plug_beyond_clamp(&self) -> Option<PlugBeyondClamp> {
        PlugBeyondClamp::of(self.extension + self.plug_seated, self.clamp)
    }
}

impl PlugBeyondClamp {
    /// Says when a plug that ends so far from the butt is not wholly in the clamp.
    #[must_use]
    pub fn of(plug_end: Length, clamp: Length) -> Option<Self> {
        // a hair of rounding is no plug outside
        (plug_end > clamp + Length::mm(1e-6)).then_some(Self { plug_end, clamp })
    }
}

impl std::fmt::Display for PlugBeyondClamp {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (end, clamp) = (self.plug_end.decimal_inches(2), self.clamp.decimal_inches(2));
        write!(
            f,
            "the plug ends {end} from the butt, outside the clamp's {clamp}: its stiffness is left out, and the club \
             will read higher than said"
        )
    }
}
