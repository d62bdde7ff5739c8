//! Matching a set: the head masses that give every length one swingweight or one inertia.
//!
//! The set is built on the conventions of [`crate::bench_model`]; the shaft's mass goes with its cut
//! length. A set matched by inertia steps about 0.6 point of swingweight a club, and the other way round:
//! one of the two is chosen.

use crate::bench_model::{ferrule_and_glue, grip, head, shaft, shaft_length};
use crate::hold::{Held, mass_for_inertia};
use crate::range::club_length;
use crate::{ClubError, FULCRUM, MassMoments, Swingweight};
use quantity::{Inertia, Length, Mass};

/// The club the set is matched to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceClub {
    /// Playing length.
    pub length: Length,
    /// Head mass.
    pub head: Mass,
    /// Cut shaft mass.
    pub shaft: Mass,
    /// Cut shaft length; `None` takes the one the bench model gives.
    pub shaft_length: Option<Length>,
    /// Grip mass.
    pub grip: Mass,
    /// Ferrule and glue.
    pub ferrule_and_glue: Mass,
}

/// One club of the matched set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MatchedClub {
    /// Playing length.
    pub length: Length,
    /// Cut shaft mass.
    pub shaft: Mass,
    /// Head mass wanted.
    pub head: Mass,
    /// The whole club about its grip end.
    pub whole: MassMoments,
}

impl MatchedClub {
    /// Reads the scale.
    #[must_use]
    pub fn swingweight(&self) -> Swingweight {
        Swingweight::of(&self.whole)
    }

    /// Returns the inertia about the grip end.
    #[must_use]
    pub fn inertia(&self) -> Inertia {
        self.whole.second
    }

    /// Names the iron of this length in a set of half-inch steps from a seven-iron; `None` between two.
    #[must_use]
    pub fn iron_in_a_set_from(&self, seven_iron: Length) -> Option<String> {
        let number = 7.0 + (seven_iron - self.length).as_inches() / 0.5;
        let nearest = number.round();
        if (number - nearest).abs() > 1e-6 || !(1.0..=10.0).contains(&nearest) {
            return None;
        }
        Some(if nearest > 9.5 { "PW".to_owned() } else { format!("{nearest:.0}") })
    }
}

/// Works out the head mass of every length so that the set holds the reference club's number.
///
/// # Errors
/// [`ClubError::OutOfRange`] for a length or part that cannot be, or when no head mass holds the number.
///
/// # Source
/// Derived: `docs/derivations/statics.md`.
pub fn heads(
    reference: &ReferenceClub,
    lengths: &[Length],
    hold: Held,
) -> Result<Vec<MatchedClub>, ClubError> {
    let whole = without_head(reference, reference.length)? + head(reference.head, reference.length);
    lengths
        .iter()
        .map(|&length| {
            let body = without_head(reference, length)?;
            let head_mass = match hold {
                Held::Swingweight => {
                    (Swingweight::of(&whole).moment() - Swingweight::of(&body).moment()) / (length - FULCRUM)
                }
                Held::Inertia => mass_for_inertia(whole.second - body.second, length),
            };
            crate::range::mass_within("head mass wanted", head_mass, 50.0, 600.0)?;
            Ok(MatchedClub {
                length,
                shaft: shaft_mass(reference, length),
                head: head_mass,
                whole: body + head(head_mass, length),
            })
        })
        .collect()
}

fn shaft_mass(reference: &ReferenceClub, length: Length) -> Mass {
    let at_reference = reference.shaft_length.unwrap_or_else(|| shaft_length(reference.length));
    reference.shaft * (shaft_length(length) / at_reference)
}

fn without_head(reference: &ReferenceClub, length: Length) -> Result<MassMoments, ClubError> {
    club_length(length)?;
    Ok(shaft(shaft_mass(reference, length), length)
        + grip(reference.grip)
        + ferrule_and_glue(reference.ferrule_and_glue, length))
}
