//! A part the build may take from the shelf.

use super::BuildError;
use crate::PartKind;
use crate::parts::weight;
use quantity::{Length, Mass};

/// A part whose diameter is no farther from the wanted one fits. Trade practice: a caliper repeats to two thousandths of an
/// inch, butts come two off.
const FITS: Length = Length::inches(0.005);
/// Heaviest part. Definition of what the tool takes.
const HEAVIEST: Mass = Mass::grams(1000.0);

/// A part on the shelf. A weighed piece is a part of which one is at hand.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfPart {
    /// What it is called.
    pub name: String,
    /// What it is.
    pub kind: PartKind,
    /// What one weighs, an inch of it for a tape; nothing is reckoned for a part without.
    pub mass: Mass,
    /// What one costs, cents.
    pub cost_cents: i64,
    /// How many there are; inches of a tape.
    pub at_hand: u32,
    /// The diameter of the butt it is for (plug, shaft), or of its core (grip); one without is for any.
    pub diameter: Option<Length>,
    /// Its length; one without is long enough.
    pub length: Option<Length>,
}

impl ShelfPart {
    /// Whether it is for a club of this diameter.
    pub(super) fn fits(&self, diameter: Length) -> bool {
        self.diameter.is_none_or(|own| (own - diameter).abs() <= FITS)
    }

    /// What it weighs when it is cut to this length; nothing when it is too short.
    pub(super) fn cut_to(&self, length: Length) -> Option<Mass> {
        match self.length {
            Some(own) if own + Length::mm(0.1) < length => None,
            Some(own) => Some(self.mass * (length / own)),
            None => Some(self.mass),
        }
    }

    /// Whether a set of so many clubs may use it up. Tape goes by inches, of which one club may take several.
    pub(super) fn is_scarce_for(&self, clubs: usize) -> bool {
        let most_a_club = if self.kind == PartKind::HeadTape { MOST_TAPE_IN } else { 1 };
        let most_joints = if self.kind == PartKind::Glue { 2 } else { 1 };
        usize::try_from(self.at_hand).unwrap_or(usize::MAX) < clubs * most_a_club * most_joints
    }

    pub(super) fn check(&self) -> Result<(), BuildError> {
        let size = |expected| Err(BuildError::Size { what: self.name.clone(), expected });
        if !(Mass::ZERO..=HEAVIEST).contains(&self.mass) {
            return size("a mass of 0 to 1000 g");
        }
        let is_size = |length: Length| (0.0..=2.0).contains(&length.as_metres());
        if !self.diameter.is_none_or(is_size)
            || !self.length.is_none_or(|length| is_size(length) && length > Length::ZERO)
        {
            return size("sizes of 0 to 2 m");
        }
        Ok(())
    }
}

/// Most inches of tape on one head, whatever the house allows. Definition: the house's own limit ends at 40.
pub(super) const MOST_TAPE_IN: usize = 40;

/// The parts of one kind, by place.
pub(super) fn of_kind(shelf: &[ShelfPart], kind: PartKind) -> impl Iterator<Item = (usize, &ShelfPart)> {
    shelf.iter().enumerate().filter(move |(_, part)| part.kind == kind && part.at_hand > 0)
}

/// What goes with the work: the cheapest of its kind that is there. A shelf that lists none of a kind does not count it.
pub(super) fn consumable(shelf: &[ShelfPart], kind: PartKind) -> Option<Option<usize>> {
    if !shelf.iter().any(|part| part.kind == kind) {
        return Some(None);
    }
    of_kind(shelf, kind).min_by_key(|(place, part)| (part.cost_cents, *place)).map(|(place, _)| Some(place))
}

/// A part in a few words.
pub(super) fn part_words(part: &ShelfPart) -> String {
    match part.kind {
        PartKind::TipWeight | PartKind::ButtWeight => format!("{} of {}", part.name, weight(part.mass)),
        _ => part.name.clone(),
    }
}
