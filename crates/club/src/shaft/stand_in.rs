//! How far a frequency may be off because the head's centre of mass is a stand-in.

use super::{ClampedClub, TipHead};
use crate::ClubError;
use quantity::{Frequency, Length};

/// How far a head's centre may lie from where it is put along the shaft, either way.
///
/// Derived: the same iron is put 10 mm beyond its hosel by the trade's flex model and 38 mm by where statics has its
/// centre; half of the difference.
pub const HEAD_CENTRE_KNOWN_WITHIN: Length = Length::mm(14.0);

/// Returns half the difference of `of` between heads whose centre lies so much farther in and farther out.
///
/// `of` is a frequency, or a change of one: the first moves by some 8 cpm, the second hardly.
///
/// # Errors
/// What `of` is refused for.
pub fn head_stand_in_half_width(
    club: &ClampedClub,
    of: impl Fn(&ClampedClub) -> Result<Frequency, ClubError>,
) -> Result<Frequency, ClubError> {
    let moved = |by: Length| {
        let head = TipHead { centre_beyond_tip: club.head.centre_beyond_tip + by, ..club.head };
        of(&ClampedClub { head, ..club.clone() })
    };
    Ok((moved(HEAD_CENTRE_KNOWN_WITHIN)? - moved(-HEAD_CENTRE_KNOWN_WITHIN)?).abs() / 2.0)
}
