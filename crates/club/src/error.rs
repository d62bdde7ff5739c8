//! What can be wrong with a club, its readings or a job asked of it.

use quantity::QuantityError;

/// Why a club, a reading or an alteration was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ClubError {
    /// A value outside what the field can mean.
    #[error("{what} {found} is outside {expected}")]
    OutOfRange {
        /// The field, in the words of the bench.
        what: &'static str,
        /// The value as the bench reads it.
        found: String,
        /// The range that can be meant.
        expected: String,
    },
    /// A quantity that could not be read.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A shaft or grip cannot balance there with evenly changing density.
    #[error("a balance fraction of {found} is outside 1/3 to 2/3")]
    BalanceFraction {
        /// The fraction found.
        found: f64,
    },
    /// The letters and numbers of the scale were not understood.
    #[error("expected a swingweight such as \"D0.5\", found \"{found}\"")]
    SwingweightLabel {
        /// The text as typed.
        found: String,
    },
    /// The name does not say which club it is.
    #[error("the name \"{found}\" does not say which club it is")]
    UnknownClub {
        /// The name as typed.
        found: String,
    },
    /// The same club stands twice in one set.
    #[error("\"{name}\" stands twice in the set")]
    TwiceInTheSet {
        /// Its name.
        name: String,
    },
    /// The balance point lies beyond the club's end.
    #[error("balance point {balance} in does not lie on a club of {length} in")]
    BalanceOffTheClub {
        /// Balance point in inches.
        balance: f64,
        /// Length in inches.
        length: f64,
    },
    /// Mass, balance and grip mass do not make a head and a shaft.
    #[error("these readings leave a head of {head_g:.0} g and a shaft of {shaft_g:.0} g")]
    ReadingsDisagree {
        /// The head mass that would follow.
        head_g: f64,
        /// The shaft mass that would follow.
        shaft_g: f64,
    },
    /// The head's mass and the whole club leave a shaft that balances where none does.
    #[error(
        "with that head the shaft of {shaft_g:.0} g would balance at {fraction:.2} of its length, not 0.40 to 0.56"
    )]
    ShaftBalance {
        /// Where it would balance, as a share of its length.
        fraction: f64,
        /// The shaft's mass.
        shaft_g: f64,
    },
    /// Balance and swingweight were both given and do not agree.
    #[error(
        "balance and swingweight disagree: {mass_g:.0} g balanced at {balance_in:.2} in reads {reckoned}, not {given}"
    )]
    TwoBalances {
        /// Mass of the club.
        mass_g: f64,
        /// Balance point as given.
        balance_in: f64,
        /// Swingweight that follows from them.
        reckoned: String,
        /// Swingweight as given.
        given: String,
    },
    /// The club would be shorter than what is to be taken off.
    #[error("{amount_in} in cannot be taken from a club of {length_in} in")]
    NothingLeft {
        /// What was to be taken off, in inches.
        amount_in: f64,
        /// The club's length, in inches.
        length_in: f64,
    },
    /// No lie angle keeps the hands where they are.
    #[error("no lie keeps the hands at {height_in:.1} in with {reach_in:.1} in of club below them")]
    NoSuchLie {
        /// Height of the hands in inches.
        height_in: f64,
        /// Length of club below them in inches.
        reach_in: f64,
    },
    /// A pivot at the balance point does not swing.
    #[error("the pivot must be above the balance point: pivot {pivot_in} in, balance {balance_in} in")]
    PivotBelowBalance {
        /// Pivot from the grip end in inches.
        pivot_in: f64,
        /// Balance point from the grip end in inches.
        balance_in: f64,
    },
    /// The sole mark lies beyond the sole's curve.
    #[error("a mark {mark_in} in out does not lie on a sole of {radius_in} in radius")]
    MarkOffTheSole {
        /// Distance of the mark from the middle, in inches.
        mark_in: f64,
        /// Radius of the sole, in inches.
        radius_in: f64,
    },
    /// What is clamped, cut off and glued in leaves no shaft to vibrate.
    #[error(
        "clamp, cuts and hosel leave {free_in:.2} in of a raw shaft of {raw_in:.2} in free, outside 6 to 60 in"
    )]
    NoFreeShaft {
        /// What would be free, in inches.
        free_in: f64,
        /// Length of the raw shaft, in inches.
        raw_in: f64,
    },
    /// The points of a stiffness profile do not run from butt to tip.
    #[error(
        "expected 2 to {most} places from butt to tip, the first at 0 in and each beyond the last; {found}"
    )]
    ProfilePlaces {
        /// The most places a profile may have.
        most: usize,
        /// What was found.
        found: String,
    },
    /// The walls of a tube meet before they end.
    #[error("a wall of {wall_mm:.3} mm does not fit a tube {diameter_mm:.3} mm across")]
    NoSuchTube {
        /// Thickness of the wall.
        wall_mm: f64,
        /// Outside diameter.
        diameter_mm: f64,
    },
    /// Fewer than two different lengths give no line.
    #[error("expected clubs of two lengths or more for a line, found {found}")]
    NoLine {
        /// How many different lengths there are.
        found: usize,
    },
}

impl ClubError {
    /// Says what to do next.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        let text = match self {
            Self::OutOfRange { .. } => "Measure again, or look at the unit.",
            Self::Quantity(error) => return error.hint(),
            Self::BalanceFraction { .. } => "Balance the part on an edge and divide by its length.",
            Self::SwingweightLabel { .. } => "Write a letter A to G and a number below ten, such as \"D1\".",
            Self::UnknownClub { .. } => {
                "Write for instance \"7 iron\", \"pitching wedge\", \"54 deg wedge\", \"driver\", \"5 wood\", \
                 \"4 hybrid\" or \"putter\"."
            }
            Self::TwiceInTheSet { .. } => "Take one of the two out, or give it its right name.",
            Self::BalanceOffTheClub { .. } => "Measure the balance point from the grip end.",
            Self::ReadingsDisagree { .. } => {
                "Weigh the club and find its balance point again; check the grip's mass."
            }
            Self::ShaftBalance { .. } => {
                "Weigh club and head again and find the balance point again, or leave the head's mass out."
            }
            Self::TwoBalances { .. } => "Give the one you trust, or measure both again.",
            Self::NothingLeft { .. } => "Check the amount and its unit.",
            Self::NoSuchLie { .. } => "Check length, lie and how far the hands are down.",
            Self::PivotBelowBalance { .. } => "Hang the club near the grip end.",
            Self::MarkOffTheSole { .. } => {
                "Measure the mark from the middle of the sole, and check the radius."
            }
            Self::NoFreeShaft { .. } => {
                "Check the raw length, the clamp and what is cut off, and their units."
            }
            Self::ProfilePlaces { .. } => "Give the places along the raw shaft, from the butt at 0 in order.",
            Self::NoSuchTube { .. } => "A wall is less than half the outside diameter; look at the unit.",
            Self::NoLine { .. } => "Read the frequency of clubs of different lengths.",
        };
        Some(text.to_owned())
    }
}
