//! What the Rules of Golf say of a club's length and grip, as far as a tape and a caliper can tell.
//!
//! The committee decides, never this tool: every wording here is "appears to fit". Length is measured
//! with the sole against a plane at 60 degrees, to the top of the grip.

use crate::ClubKind;
use quantity::Length;

/// Least length of any club. Standard: R&A/USGA Equipment Rules, Part 2 section 1c, 18 in (0.457 m).
pub const LEAST: Length = Length::inches(18.0);
/// Greatest length of any club but a putter. Standard: R&A/USGA Equipment Rules, Part 2 section 1c,
/// 48 in (1.219 m).
pub const MOST: Length = Length::inches(48.0);
/// Greatest length where the committee has adopted the local rule. Standard: Model Local Rule G-10, in
/// force from January 2022, 46 in, putters excepted.
pub const MOST_BY_LOCAL_RULE: Length = Length::inches(46.0);
/// Least length of the grip on a club other than a putter. Standard: R&A/USGA Equipment Rules, Part 2
/// section 3, 7 in (177.8 mm).
pub const LEAST_GRIP: Length = Length::inches(7.0);
/// Greatest cross-section of a grip in any direction. Standard: R&A/USGA Equipment Rules, Part 2
/// section 3, 1.75 in (44.45 mm).
pub const MOST_GRIP_SECTION: Length = Length::inches(1.75);

/// How a length stands to the rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthRule {
    /// Shorter than any club may be.
    TooShort,
    /// Within the limits everywhere.
    AppearsToFit,
    /// Within the general limit, over the one a committee may adopt.
    OverTheLocalRule,
    /// Longer than any club but a putter may be.
    TooLong,
}

impl LengthRule {
    /// Tells how a club of this kind and length stands to the rule.
    ///
    /// # Source
    /// Standard: see [`LEAST`], [`MOST`] and [`MOST_BY_LOCAL_RULE`].
    #[must_use]
    pub fn of(kind: ClubKind, length: Length) -> Self {
        // a tape reads to a thirty-second at best: what is over by rounding alone is not over
        let slack = Length::inches(1e-9);
        if length + slack < LEAST {
            return Self::TooShort;
        }
        if kind == ClubKind::Putter || length <= MOST_BY_LOCAL_RULE + slack {
            return Self::AppearsToFit;
        }
        if length <= MOST + slack { Self::OverTheLocalRule } else { Self::TooLong }
    }

    /// Says it in a sentence for a sheet.
    #[must_use]
    pub fn sentence(self) -> &'static str {
        match self {
            Self::TooShort => {
                "Under 18 in: does not appear to fit the rule on length; the committee decides."
            }
            Self::AppearsToFit => "Appears to fit the rule on length; the committee decides.",
            Self::OverTheLocalRule => {
                "Over 46 in: appears to fit the rule on length except where the committee has adopted the 46 in \
                 local rule; ask the committee."
            }
            Self::TooLong => "Over 48 in: does not appear to fit the rule on length; the committee decides.",
        }
    }
}
