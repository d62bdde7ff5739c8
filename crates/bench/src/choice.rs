//! The way to take: argued in one sentence, with the runner-up and why not.
//!
//! Cheap and reversible comes before final, and what the target does not know is not acted on with a saw:
//! a club too long by less than the target's own half-width is gripped down, not cut. For a growing golfer
//! the rule for adults moves nothing: light before long, and too short beats too long.

use crate::Standing;
use crate::way::{Outcome, WayKind};
use club::{Club, Condition};
use quantity::{InchStep, Length, Printed};

/// The recommended way of one club, by its place in the list of ways.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// The way to take.
    pub chosen: usize,
    /// Why, in a sentence.
    pub why: String,
    /// The next best way.
    pub runner_up: usize,
    /// Why not that one.
    pub why_not: String,
}

/// What the choice weighs besides the ways themselves.
pub(crate) struct Weighing<'a> {
    pub(crate) club: &'a Club,
    pub(crate) change: Length,
    pub(crate) half_width: Length,
    pub(crate) is_growing: bool,
    pub(crate) grip_thicker_by: Option<Length>,
    pub(crate) wish: Option<WayKind>,
}

impl Weighing<'_> {
    /// Chooses among the ways of one club; `None` when the way wished for is not among them.
    pub(crate) fn choose(&self, ways: &[Outcome]) -> Option<Choice> {
        let mut order: Vec<usize> = (0..ways.len()).collect();
        order.sort_by_key(|&index| self.rank(&ways[index]));
        let first = match self.wish {
            None => order[0],
            Some(kind) => order.iter().copied().find(|&index| {
                ways[index].way.kind() == kind && !matches!(ways[index].standing, Standing::Refused(_))
            })?,
        };
        let runner_up = order.into_iter().find(|&index| index != first)?;
        let why = match self.wish {
            Some(_) => format!("Chosen by the fitter. {}", self.why(&ways[first])),
            None => self.why(&ways[first]),
        };
        Some(Choice { chosen: first, why, runner_up, why_not: self.why_not(&ways[runner_up]) })
    }

    /// Lower is better.
    fn rank(&self, outcome: &Outcome) -> u8 {
        let is_inside = self.change.abs() <= self.half_width;
        let reaches = outcome.remaining.abs() < Length::mm(0.01);
        match (&outcome.standing, outcome.way.kind()) {
            (Standing::Refused(_), WayKind::Leave) => 90,
            (Standing::Refused(_), _) => 91,
            (_, WayKind::Leave) if self.is_right() => 0,
            (_, WayKind::Regrip) if self.is_right() => 10,
            (_, WayKind::GripDown) if is_inside || self.is_growing => 1,
            (_, WayKind::Leave) if self.is_growing => 2,
            (Standing::Plain, WayKind::Cut | WayKind::Extend) if reaches => 3,
            (Standing::Caution(_), WayKind::Cut | WayKind::Extend) => 4,
            (_, WayKind::OtherShaft) => 5,
            (_, WayKind::GripDown) => 6,
            (Standing::NeedsAcceptance(_), _) => 7,
            (_, WayKind::Leave) => 8,
            (_, WayKind::Regrip | WayKind::Cut | WayKind::Extend) => 80,
        }
    }

    fn is_right(&self) -> bool {
        self.change == Length::ZERO
    }

    fn why(&self, outcome: &Outcome) -> String {
        let inside = if self.change.abs() <= self.half_width {
            " The gap lies inside the target's own uncertainty: prove one club over days first."
        } else {
            ""
        };
        let felt = felt(outcome);
        match outcome.way.kind() {
            WayKind::Leave if self.is_right() => "As long as a tape can tell.".to_owned(),
            WayKind::Leave if self.is_growing => {
                "A growing golfer: too short beats too long. The junior chart and the next months decide, not this \
                 rule."
                    .to_owned()
            }
            WayKind::Leave => format!("It stays {} off its target.", self.gap()),
            WayKind::GripDown => format!("Costs nothing and can be undone: {felt}.{inside}"),
            WayKind::Cut => {
                format!(
                    "Too long by more than the target's own uncertainty; a cut is even and final: {felt}."
                )
            }
            WayKind::Extend => format!("A plug and a grip reach it and keep the set even: {felt}.{inside}"),
            WayKind::Regrip => format!("The length stays: {felt}."),
            WayKind::OtherShaft if self.club.is(Condition::Cracked) => {
                format!("The shaft is cracked and not played; a new one is cut to the target: {felt}.")
            }
            WayKind::OtherShaft => match outcome.standing.reason() {
                Some(reason) => format!("A new cut of shaft reaches the length. {}", sentence(reason)),
                None => format!("What is in the club reaches no further; a new cut of shaft does: {felt}."),
            },
        }
    }

    fn why_not(&self, outcome: &Outcome) -> String {
        if let Standing::Refused(reason) | Standing::NeedsAcceptance(reason) = &outcome.standing {
            return sentence(reason);
        }
        let felt = felt(outcome);
        if self.is_growing && self.change > Length::ZERO && outcome.remaining == Length::ZERO {
            return "Nothing is lengthened for a growing golfer on a rule made for adults.".to_owned();
        }
        match outcome.way.kind() {
            WayKind::Leave => format!("It would stay {} off its target.", self.gap()),
            WayKind::GripDown => format!(
                "Free and reversible, so a good trial; but {felt}, with a thinner grip under the hands."
            ),
            WayKind::Cut => format!("Final, {felt}: not before the length is proved."),
            WayKind::Extend => format!("It puts a joint in the butt: {felt}."),
            WayKind::Regrip => match self.grip_thicker_by {
                Some(missing) => format!(
                    "By the hand's size the grip would be {} {}; try it in the hand before ordering.",
                    missing.abs().to_step(InchStep::ThirtySecond),
                    if missing > Length::ZERO { "thicker" } else { "thinner" }
                ),
                None => "Only when the grip is worn: its size suits the hand.".to_owned(),
            },
            WayKind::OtherShaft => {
                format!("Dearer, and a day on the bench; no joint in the butt, {felt}.")
            }
        }
    }

    /// The gap as the bench and as the face see it.
    fn gap(&self) -> String {
        let grooves = self.change.abs() / self.club.head.groove_pitch;
        format!(
            "{} ({} groove spacings)",
            self.change.abs().to_step(InchStep::Sixteenth),
            Printed::new(grooves, 0, "").number()
        )
    }
}

/// The change a golfer would feel.
fn felt(outcome: &Outcome) -> String {
    let change = outcome.after.as_held.points_above(outcome.before.as_held);
    format!("{:+} of swingweight as held, {}", Printed::new(change, 1, "points"), outcome.feel.words())
}

/// Turns a reason into a sentence.
fn sentence(reason: &str) -> String {
    let mut letters = reason.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    let end = if reason.ends_with('.') { "" } else { "." };
    format!("{first}{}{end}", letters.as_str())
}
