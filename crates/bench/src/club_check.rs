//! One club of a job: how it came, what is done to it and what it should read when it leaves.

use crate::club_plan::ClubPlan;
use crate::frequency::frequency_after;
use crate::outcome::expected_off_cut;
use crate::remedy::Fix;
use crate::{House, Standing, State, Way};
use club::Condition;
use club::lie::LieWanted;
use quantity::{Angle, Frequency, Length, Mass};

/// What one club should read when it is done.
#[derive(Debug, Clone, PartialEq)]
pub struct ClubCheck {
    /// The golfer's name for the club.
    pub name: String,
    /// The way taken.
    pub way: Way,
    /// The club before.
    pub before: State,
    /// The club when it leaves the bench.
    pub finished: State,
    /// How the way stands to limits and Rules: said, or signed for, before the work.
    pub standing: Standing,
    /// Whether scale and edge read it; a club reckoned from usual parts has no numbers to check against.
    pub is_weighed: bool,
    /// Which readings the card has, so that only those are written beside a blank.
    pub is_mass_read: bool,
    /// Whether balance point or swingweight was read.
    pub is_balance_read: bool,
    /// Whether the lie was read.
    pub is_lie_read: bool,
    /// The frequency as it came, where it was read.
    pub frequency_read: Option<Frequency>,
    /// Whether it is known how the head was made, and so how far it bends.
    pub is_construction_known: bool,
    /// Whether the butt's diameter was read.
    pub is_butt_read: bool,
    /// Whether the grip's core is known.
    pub is_core_known: bool,
    /// What a close look found.
    pub conditions: Vec<Condition>,
    /// Outside diameter of the butt.
    pub butt_diameter: Length,
    /// Inside diameter of the grip.
    pub grip_core: Length,
    /// What holds the house's number.
    pub fix: Fix,
    /// What that leaves, when it is worth a word.
    pub left_over: Option<String>,
    /// Whole length of the plug, when there is one.
    pub plug_length: Option<Length>,
    /// Mass the off-cut should weigh, when there is one.
    pub off_cut: Option<Mass>,
    /// The frequency to expect, and what the model of its change leaves open on either side; only of a club whose
    /// frequency was read, and not of another shaft.
    pub frequency: Option<(Frequency, Frequency)>,
    /// The head's lie now, and those wanted.
    pub lie: Angle,
    /// The lies wanted afterwards, where one keeps the hands.
    pub lie_wanted: Option<LieWanted>,
    /// How far this head may be bent.
    pub bend_limit: Angle,
}

impl ClubCheck {
    pub(crate) fn of(plan: &ClubPlan, house: &House) -> Option<Self> {
        let outcome = plan.chosen()?;
        let (plug_length, off_cut) = match outcome.way {
            Way::Extend(_, plug) => (Some(plug.length), None),
            Way::Cut(by) => (None, Some(expected_off_cut(&plan.club, by))),
            Way::Leave | Way::GripDown(_) | Way::Regrip(_) | Way::OtherShaft(_) => (None, None),
        };
        let remedy = outcome.held(house.hold);
        Some(Self {
            name: plan.club.name.clone(),
            way: outcome.way,
            before: outcome.before,
            finished: outcome.finished(house.hold),
            standing: outcome.standing.clone(),
            is_weighed: plan.club.is_weighed,
            is_mass_read: !plan.club.assumes("mass"),
            is_balance_read: !plan.club.assumes("balance point"),
            is_lie_read: !plan.club.assumes("lie"),
            frequency_read: plan.club.frequency,
            is_construction_known: !plan.club.assumes("head construction"),
            is_butt_read: !plan.club.assumes("butt diameter"),
            is_core_known: !plan.club.assumes("grip core"),
            conditions: plan.club.conditions.clone(),
            butt_diameter: plan.club.shaft.butt_diameter,
            grip_core: plan.club.grip.core,
            fix: remedy.map_or(Fix::Nothing, |remedy| remedy.fix.clone()),
            left_over: remedy.and_then(|remedy| remedy.left_over.clone()),
            plug_length,
            off_cut,
            frequency: frequency_of(
                plan,
                outcome.way,
                remedy.map_or(Mass::ZERO, |remedy| remedy.fix.head_mass()),
            ),
            lie: plan.club.lie,
            lie_wanted: outcome.lie,
            bend_limit: house.bend.of(plan.club.head.construction),
        })
    }
}

/// What the frequency of a club becomes by a way that leaves its shaft.
fn frequency_of(plan: &ClubPlan, way: Way, added_at_head: Mass) -> Option<(Frequency, Frequency)> {
    let longer = match way {
        Way::Extend(by, _) => by,
        Way::Cut(by) => -by,
        Way::Regrip(_) => Length::ZERO,
        Way::Leave | Way::GripDown(_) | Way::OtherShaft(_) => return None,
    };
    frequency_after(&plan.club, longer, added_at_head)
}
