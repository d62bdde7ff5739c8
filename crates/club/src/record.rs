//! A golfer's club as the bench knows it: its build, its readings and what had to be assumed.

use crate::alter::OnBench;
use crate::{ClubKind, Swingweight};
use quantity::{Angle, Estimate, Frequency, Length, Mass};
use std::fmt;

/// How a head was made, which decides how far it may be bent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Construction {
    /// Forged carbon steel.
    Forged,
    /// Cast of a soft stainless steel, alloy 431.
    Cast431,
    /// Cast of a hard stainless steel, alloy 17-4, or of one not known.
    Cast,
    /// Maraging steel, a pocketed head, titanium: not bent.
    NotBent,
}

impl Construction {
    /// Reads the construction as a fitter writes it.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        match words.trim().to_lowercase().as_str() {
            "forged" => Some(Self::Forged),
            "cast 431" | "431" => Some(Self::Cast431),
            "cast" | "cast 17-4" | "17-4" => Some(Self::Cast),
            "maraging" | "pocketed" | "titanium" | "not bent" => Some(Self::NotBent),
            _ => None,
        }
    }
}

impl fmt::Display for Construction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Forged => "forged",
            Self::Cast431 => "cast, alloy 431",
            Self::Cast => "cast",
            Self::NotBent => "not for bending",
        })
    }
}

/// What a shaft is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShaftMaterial {
    /// Steel tube.
    Steel,
    /// Graphite.
    Graphite,
}

impl fmt::Display for ShaftMaterial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Steel => "steel",
            Self::Graphite => "graphite",
        })
    }
}

/// What a close look found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Condition {
    /// The shaft is cracked.
    Cracked,
    /// The shaft is rusted.
    Rusted,
    /// The butt already carries an extension.
    AlreadyExtended,
    /// The ferrule has come loose.
    LooseFerrule,
}

impl Condition {
    /// Reads the finding as a fitter writes it.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        match words.trim().to_lowercase().as_str() {
            "cracked" | "crack" => Some(Self::Cracked),
            "rusted" | "rust" => Some(Self::Rusted),
            "already extended" | "extended" => Some(Self::AlreadyExtended),
            "loose ferrule" => Some(Self::LooseFerrule),
            _ => None,
        }
    }
}

impl Condition {
    /// Says what it means for anyone who would hit the club.
    #[must_use]
    pub fn warning(self) -> &'static str {
        match self {
            Self::Cracked => "cracked: not played until it has a new shaft",
            Self::Rusted => "rusted: looked at for pits before it is played",
            Self::AlreadyExtended => "extended before: stop using it if it creaks or moves",
            Self::LooseFerrule => "loose ferrule: head turned and pulled by hand before anyone hits it",
        }
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Cracked => "cracked",
            Self::Rusted => "rusted",
            Self::AlreadyExtended => "already extended",
            Self::LooseFerrule => "loose ferrule",
        })
    }
}

/// The head.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Head {
    /// How it was made.
    pub construction: Construction,
    /// Distance between the middles of two grooves.
    pub groove_pitch: Length,
    /// Its mass: weighed, or inferred from the whole club.
    pub mass: Estimate<Mass>,
}

/// The shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shaft {
    /// What it is made of.
    pub material: ShaftMaterial,
    /// Mass of an inch of it at the grip end.
    pub butt_mass_per_inch: Mass,
    /// Outside diameter under the grip.
    pub butt_diameter: Length,
    /// Wall thickness at the butt, where a caliper has read it.
    pub butt_wall: Option<Length>,
    /// Its cut mass, inferred from the whole club.
    pub mass: Estimate<Mass>,
}

/// The grip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grip {
    /// Its mass.
    pub mass: Mass,
    /// Its inside diameter.
    pub core: Length,
}

/// What would be used to extend the club.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plug {
    /// Mass of an inch of it.
    pub mass_per_inch: Mass,
    /// How much of it sits inside the butt.
    pub seated: Length,
}

/// A reading that was missing, and what stands in for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// The reading, in the words of the bench.
    pub what: &'static str,
    /// The value taken.
    pub value: String,
}

/// A club of the golfer's set.
#[derive(Debug, Clone, PartialEq)]
pub struct Club {
    /// The golfer's name for it.
    pub name: String,
    /// Which club it is.
    pub kind: ClubKind,
    /// Lie angle of the head.
    pub lie: Angle,
    /// Loft of the head.
    pub loft: Angle,
    /// Frequency, where it was read.
    pub frequency: Option<Frequency>,
    /// The head.
    pub head: Head,
    /// The shaft.
    pub shaft: Shaft,
    /// The grip.
    pub grip: Grip,
    /// What would extend it.
    pub plug: Plug,
    /// What a close look found.
    pub conditions: Vec<Condition>,
    /// Its masses on the bench.
    pub on_bench: OnBench,
    /// Whether the scale and the balance edge read it, or usual parts stand in.
    pub is_weighed: bool,
    /// Whether the grip's mass was read: without it head and shaft cannot be told apart.
    pub is_grip_known: bool,
    /// Whether core and butt were read, so that the grip's size follows.
    pub is_grip_size_known: bool,
    /// What was not read and is taken from common practice.
    pub assumed: Vec<Assumption>,
}

impl Club {
    /// Returns the playing length.
    #[must_use]
    pub fn length(&self) -> Length {
        self.on_bench.length
    }

    /// Returns the swingweight.
    #[must_use]
    pub fn swingweight(&self) -> Swingweight {
        self.on_bench.swingweight()
    }

    /// Tells whether this reading, named as in [`Assumption::what`], is taken from common practice.
    #[must_use]
    pub fn assumes(&self, what: &str) -> bool {
        self.assumed.iter().any(|assumption| assumption.what == what)
    }

    /// Tells whether a close look found this.
    #[must_use]
    pub fn is(&self, condition: Condition) -> bool {
        self.conditions.contains(&condition)
    }
}
