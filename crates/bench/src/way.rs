//! The ways to bring a club to its length, by name and amount. What each does is [`crate::outcome`]'s subject.
//!
//! Changes of length are positive when the club must become longer.

use club::alter::PlugPiece;
use quantity::{InchStep, Length, Mass};

/// The kinds of way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayKind {
    /// Do nothing.
    Leave,
    /// Hold the club lower.
    GripDown,
    /// Cut the grip end.
    Cut,
    /// Extend the grip end.
    Extend,
    /// Put a new grip on at the same length.
    Regrip,
    /// Fit another shaft.
    OtherShaft,
}

impl WayKind {
    /// Every kind, cheapest first.
    pub const ALL: [Self; 6] =
        [Self::Leave, Self::GripDown, Self::Regrip, Self::Cut, Self::Extend, Self::OtherShaft];

    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Leave => "leave",
            Self::GripDown => "grip down",
            Self::Cut => "cut",
            Self::Extend => "extend",
            Self::Regrip => "regrip",
            Self::OtherShaft => "other shaft",
        }
    }

    /// Names it at the head of a list.
    #[must_use]
    pub fn heading(self) -> &'static str {
        match self {
            Self::Leave => "Leave",
            Self::GripDown => "Grip down",
            Self::Cut => "Cut",
            Self::Extend => "Extend",
            Self::Regrip => "Regrip",
            Self::OtherShaft => "Other shaft",
        }
    }

    /// Reads the name again.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        let words = words.trim().to_lowercase();
        Self::ALL.into_iter().find(|kind| kind.words() == words)
    }
}

/// A way, with its amount.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// Do nothing.
    Leave,
    /// Hold the club so much lower.
    GripDown(Length),
    /// Cut so much off the grip end.
    Cut(Length),
    /// Extend the grip end by so much with this piece.
    Extend(Length, PlugPiece),
    /// Put a grip of this mass on.
    Regrip(Mass),
    /// Fit another shaft, so much longer (shorter when negative).
    OtherShaft(Length),
}

impl Way {
    /// Returns which kind it is.
    #[must_use]
    pub fn kind(&self) -> WayKind {
        match self {
            Self::Leave => WayKind::Leave,
            Self::GripDown(_) => WayKind::GripDown,
            Self::Cut(_) => WayKind::Cut,
            Self::Extend(..) => WayKind::Extend,
            Self::Regrip(_) => WayKind::Regrip,
            Self::OtherShaft(_) => WayKind::OtherShaft,
        }
    }

    /// Says it with its amount.
    #[must_use]
    pub fn words(&self) -> String {
        let step = InchStep::Sixteenth;
        match self {
            Self::Leave => "Leave as it is".to_owned(),
            Self::GripDown(by) => format!("Grip down {}", by.to_step(step)),
            Self::Cut(by) => format!("Cut {}", by.to_step(step)),
            Self::Extend(by, plug) => {
                format!("Extend {}, {} plug", by.to_step(step), plug.mass.grams_printed(0))
            }
            Self::Regrip(mass) => format!("Regrip, {} grip", mass.grams_printed(0)),
            Self::OtherShaft(by) if by.to_step(step).number() == "0" => "Other shaft, same length".to_owned(),
            Self::OtherShaft(by) => format!(
                "Other shaft, {} {}",
                by.abs().to_step(step),
                if *by >= Length::ZERO { "longer" } else { "shorter" }
            ),
        }
    }

    /// How much the hold of the hands gets longer.
    pub(crate) fn change_of_hold(&self) -> Length {
        match self {
            Self::Leave | Self::Regrip(_) => Length::ZERO,
            Self::GripDown(by) | Self::Cut(by) => -*by,
            Self::Extend(by, _) | Self::OtherShaft(by) => *by,
        }
    }

    pub(crate) fn grip_down(&self) -> Length {
        match self {
            Self::GripDown(by) => *by,
            Self::Leave | Self::Cut(_) | Self::Extend(..) | Self::Regrip(_) | Self::OtherShaft(_) => {
                Length::ZERO
            }
        }
    }

    /// Minutes at the bench. Trade practice: an extension 15 and the grip 5, a reshaft 30 to 45, a regrip 5.
    pub(crate) fn minutes(&self) -> u32 {
        match self.kind() {
            WayKind::Leave => 0,
            WayKind::GripDown => 2,
            WayKind::Regrip => 5,
            WayKind::Cut => 15,
            WayKind::Extend => 20,
            WayKind::OtherShaft => 40,
        }
    }
}

/// Rounds to the finest a bench tape reads, so that two lengths alike to the tape are alike to a limit.
pub(crate) fn bench_length(length: Length) -> Length {
    length.rounded_to(InchStep::ThirtySecond)
}
