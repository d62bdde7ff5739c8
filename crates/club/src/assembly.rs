//! The club on the drawing board: put together from parts of known size and mass.
//!
//! Conventions (see `docs/derivations/statics.md`): the head's centre of mass is set back from the
//! length mark and may lie off the shaft line; the shaft starts at the grip end (behind an extension) and
//! ends half an inch short of the mark; the grip always starts at the grip end; an extension is a rod
//! reaching 2 1/2 in down from the new grip end. Tape, weights and glue are points. The bench has a
//! convention of its own, [`crate::bench_model`].

use crate::range::{club_length, mass_within};
use crate::{ClubError, MassMoments};
use quantity::{Length, Mass};

/// Distance of an iron head's centre of mass above the length mark. Trade practice, a model choice.
pub const HEAD_BACK: Length = Length::inches(0.75);
/// How far the shaft's tip stays short of the length mark. Trade practice, a model choice.
const TIP_SHORT_OF_MARK: Length = Length::inches(0.5);
/// Where a shaft balances, as a share of its length. Trade practice, a model choice.
pub const SHAFT_BALANCE_FRACTION: f64 = 0.50;
/// Length of a grip. Trade practice.
pub const GRIP_LENGTH: Length = Length::inches(10.5);
/// Where a grip balances, as a share of its length. Trade practice, a model choice.
pub const GRIP_BALANCE_FRACTION: f64 = 0.42;
/// How far an extension reaches down from the new grip end. Trade practice, a model choice.
const PLUG_REACH: Length = Length::inches(2.5);

/// A head: its mass and where that sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeadPart {
    /// Mass of the head with its own weights.
    pub mass: Mass,
    /// How far its centre of mass lies above the length mark, along the shaft.
    pub back: Length,
    /// How far its centre of mass lies off the shaft line.
    pub off_line: Length,
}

/// A shaft or grip: mass, length and balance as a share of the length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodPart {
    /// Mass.
    pub mass: Mass,
    /// Length; `None` takes the usual one.
    pub length: Option<Length>,
    /// Distance of the balance point from its grip end, as a share of its length.
    pub balance_fraction: f64,
}

/// An extension at the grip end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extension {
    /// How much longer it makes the club.
    pub length: Length,
    /// Mass of the piece, the seated part included.
    pub mass: Mass,
}

/// A small mass at one place: ferrule and glue, a tip weight, tape, a butt weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointPart {
    /// Mass.
    pub mass: Mass,
    /// Distance from the grip end.
    pub at: Length,
}

/// A club put together from parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// Playing length, the extension included.
    pub length: Length,
    /// The head.
    pub head: HeadPart,
    /// The shaft.
    pub shaft: RodPart,
    /// The grip.
    pub grip: RodPart,
    /// The extension, if there is one.
    pub extension: Option<Extension>,
    /// Everything small.
    pub points: Vec<PointPart>,
}

impl Assembly {
    /// Puts an iron of usual build together from the four numbers one knows first.
    #[must_use]
    pub fn iron(length: Length, head: Mass, shaft: Mass, grip: Mass) -> Self {
        Self {
            length,
            head: HeadPart { mass: head, back: HEAD_BACK, off_line: Length::ZERO },
            shaft: RodPart { mass: shaft, length: None, balance_fraction: SHAFT_BALANCE_FRACTION },
            grip: RodPart { mass: grip, length: Some(GRIP_LENGTH), balance_fraction: GRIP_BALANCE_FRACTION },
            extension: None,
            points: Vec::new(),
        }
    }

    /// Adds the parts up to the moments of the whole club about its grip end.
    ///
    /// # Errors
    /// [`ClubError::OutOfRange`] for a part that cannot be, [`ClubError::BalanceFraction`] for a shaft or
    /// grip that cannot balance where it is said to.
    pub fn moments(&self) -> Result<MassMoments, ClubError> {
        let length = club_length(self.length)?;
        let shaft_start = self.extension.map_or(Length::ZERO, |extension| extension.length);
        let shaft_length = self.shaft.length.unwrap_or(length - shaft_start - TIP_SHORT_OF_MARK);
        let grip_length = self.grip.length.unwrap_or(GRIP_LENGTH);
        let head = MassMoments::point_off_line(
            mass_within("head mass", self.head.mass, 0.0, 600.0)?,
            length - self.head.back,
            self.head.off_line,
        );
        let shaft = MassMoments::tapered_rod(
            mass_within("shaft mass", self.shaft.mass, 0.0, 300.0)?,
            shaft_start,
            shaft_length,
            self.shaft.balance_fraction,
        )?;
        let grip = MassMoments::tapered_rod(
            mass_within("grip mass", self.grip.mass, 0.0, 300.0)?,
            Length::ZERO,
            grip_length,
            self.grip.balance_fraction,
        )?;
        let plug = self.extension.map_or(MassMoments::default(), |extension| {
            MassMoments::rod_about(extension.mass, PLUG_REACH / 2.0, PLUG_REACH)
        });
        let points: MassMoments = self.points.iter().map(|part| MassMoments::point(part.mass, part.at)).sum();
        Ok(head + shaft + grip + plug + points)
    }
}
