//! How long one club should be, and what says so.

use crate::House;
use club::Club;
use fitting::Target;
use quantity::Length;

/// The target of one club.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClubTarget {
    /// Length by the rule, not rounded.
    pub length: Length,
    /// Half-width of the interval that holds it 80 times in 100, or half the range of the junior chart.
    pub half_width: Length,
    /// Length to build, on the house's step.
    pub build: Length,
    /// What it goes by.
    pub basis: TargetBasis,
}

/// What a target goes by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TargetBasis {
    /// The length rule, from the knuckle height.
    LengthRule,
    /// The junior chart, from the stature: any length in its range is right.
    JuniorChart,
}

impl TargetBasis {
    /// Names it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::LengthRule => "length rule",
            Self::JuniorChart => "junior chart",
        }
    }
}

impl ClubTarget {
    /// Returns the least and the most it may be: the interval about the rule's length, or the chart's range.
    #[must_use]
    pub fn range(&self) -> (Length, Length) {
        (self.length - self.half_width, self.length + self.half_width)
    }

    /// Where a club should be: by the rule, or for a growing golfer by the junior chart.
    pub(crate) fn of(club: &Club, target: &Target, house: &House) -> Option<Self> {
        let by_rule = Self {
            length: target.length_of(club.kind)?,
            half_width: target.six_iron.half_width,
            build: target.build_length_of(club.kind, house.round_to)?,
            basis: TargetBasis::LengthRule,
        };
        let Some((least, most)) = target.junior_range_of(club.kind) else {
            return Some(by_rule);
        };
        Some(Self {
            length: (least + most) / 2.0,
            half_width: (most - least) / 2.0,
            build: club.length().max(least).min(most),
            basis: TargetBasis::JuniorChart,
        })
    }
}
