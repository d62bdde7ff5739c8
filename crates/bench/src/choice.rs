//! The way to take: argued in one sentence, with the runner-up and why not.
//!
//! Cheap and reversible comes before final, and what the target does not know is not acted on with saw or glue
//! unless the set is being moved anyway. For a growing golfer the rule for adults moves nothing: light before
//! long, and too short beats too long.

use crate::club_target::TargetBasis;
use crate::outcome::Outcome;
use crate::standing::Standing;
use crate::way::WayKind;
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

/// How good a way is, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    /// Nothing is to be done.
    Right,
    /// Free and reversible, and the gap is no larger than the target's own uncertainty.
    TryByHand,
    /// A growing golfer's club stays.
    StaysForTheChild,
    /// The gap is inside the uncertainty and the set stays where it is.
    StaysWithTheSet,
    /// Cut or extend, nothing against it.
    Plain,
    /// Cut or extend, with a caution.
    Careful,
    /// The gap is inside the uncertainty and only dear work would close it.
    StaysForNow,
    /// Another shaft.
    NewShaft,
    /// Gripped down for good.
    HeldDown,
    /// Only on written acceptance.
    OnAcceptance,
    /// Off its target.
    StaysOff,
    /// Does not change the length.
    Regrip,
    /// Not done.
    Refused,
}

/// What the choice weighs besides the ways themselves.
pub(crate) struct Weighing<'a> {
    pub(crate) club: &'a Club,
    /// How much longer the club must become; zero when it is near enough.
    pub(crate) change: Length,
    pub(crate) half_width: Length,
    pub(crate) basis: TargetBasis,
    pub(crate) is_growing: bool,
    /// Whether a club of the set is off by more than the uncertainty, so that the set is moved.
    pub(crate) set_is_moved: bool,
    pub(crate) grip_thicker_by: Option<Length>,
    pub(crate) wish: Option<WayKind>,
}

impl Weighing<'_> {
    /// Chooses among the ways of one club; `None` when the way wished for is not open.
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

    fn rank(&self, outcome: &Outcome) -> Rank {
        let is_inside = self.is_inside();
        match (&outcome.standing, outcome.way.kind()) {
            (Standing::Refused(_), _) => Rank::Refused,
            (Standing::NeedsAcceptance(_), _) => Rank::OnAcceptance,
            (_, WayKind::Leave) if self.is_right() => Rank::Right,
            (_, WayKind::Leave) if self.is_growing => Rank::StaysForTheChild,
            (_, WayKind::Leave) if is_inside && self.change > Length::ZERO && !self.set_is_moved => {
                Rank::StaysWithTheSet
            }
            (_, WayKind::Leave) if is_inside => Rank::StaysForNow,
            (_, WayKind::Leave) => Rank::StaysOff,
            (_, WayKind::GripDown) if is_inside || self.is_growing => Rank::TryByHand,
            (_, WayKind::GripDown) => Rank::HeldDown,
            (Standing::Plain, WayKind::Cut | WayKind::Extend) => Rank::Plain,
            (Standing::Caution(_), WayKind::Cut | WayKind::Extend) => Rank::Careful,
            (_, WayKind::OtherShaft) => Rank::NewShaft,
            (_, WayKind::Regrip) => Rank::Regrip,
        }
    }

    fn is_right(&self) -> bool {
        self.change == Length::ZERO
    }

    fn is_inside(&self) -> bool {
        self.change.abs() <= self.half_width
    }

    fn why(&self, outcome: &Outcome) -> String {
        let inside = match (self.is_inside() && !self.is_growing && !self.is_right(), self.set_is_moved) {
            (false, _) => "",
            (true, false) => {
                " The gap lies inside the target's own uncertainty: prove one club over days first."
            }
            (true, true) => {
                " By itself the gap lies inside the target's own uncertainty; it goes with the rest of the set, so prove \
                 one club over days first."
            }
        };
        let felt = felt(outcome);
        let reason =
            outcome.standing.reason().map(|reason| format!(" {}", sentence(reason))).unwrap_or_default();
        match outcome.way.kind() {
            WayKind::Leave => match &outcome.standing {
                Standing::Refused(reason) => format!("Nothing here can be done to it: {}", sentence(reason)),
                _ => self.why_leave(),
            },
            WayKind::GripDown => format!("Costs nothing and can be undone: {felt}.{inside}"),
            WayKind::Cut if self.is_growing => format!("Longer than the junior chart: {felt}.{reason}"),
            WayKind::Cut if self.is_inside() => format!("Even and final: {felt}.{inside}{reason}"),
            WayKind::Cut => format!(
                "Too long by more than the target's own uncertainty; a cut is even and final: {felt}.{reason}"
            ),
            WayKind::Extend => format!("A plug and a grip reach it: {felt}.{inside}{reason}"),
            WayKind::Regrip => format!("The length stays: {felt}."),
            WayKind::OtherShaft if self.club.is(Condition::Cracked) && self.is_growing => format!(
                "The shaft is cracked and not played; a new one takes its place, not longer than the old: {felt}. A lighter, \
                 shorter club may serve a child better."
            ),
            WayKind::OtherShaft if self.club.is(Condition::Cracked) => {
                format!("The shaft is cracked and not played; a new one takes its place: {felt}.")
            }
            WayKind::OtherShaft if self.club.is(Condition::AlreadyExtended) => format!(
                "The old extension is not worked on again; a new cut of shaft reaches the length: {felt}. Or take the \
                 piece out and measure the bare club anew."
            ),
            WayKind::OtherShaft => format!("A new cut of shaft reaches the length: {felt}.{reason}"),
        }
    }

    fn why_leave(&self) -> String {
        if self.is_right() {
            return match self.basis {
                TargetBasis::LengthRule => "Right, as far as a tape can tell.",
                TargetBasis::JuniorChart => "Within the junior chart for this height.",
            }
            .to_owned();
        }
        match (self.is_growing, self.change > Length::ZERO, self.is_inside()) {
            (true, true, _) => {
                "A growing golfer: too short beats too long. The junior chart and the next months \
                 decide, not this rule."
                    .to_owned()
            }
            (true, false, _) => {
                "Too long for a growing golfer, by more than a grip can be held down: look for a lighter, shorter \
                 club. A cut-down one is stiff, heavy and upright."
                    .to_owned()
            }
            (false, _, true) => {
                "The gap lies inside the target's own uncertainty: it stays until strikes over days say more."
                    .to_owned()
            }
            (false, _, false) => format!("It stays {} off its target.", self.gap()),
        }
    }

    fn why_not(&self, outcome: &Outcome) -> String {
        if let Standing::Refused(reason) | Standing::NeedsAcceptance(reason) = &outcome.standing {
            return sentence(reason);
        }
        let felt = felt(outcome);
        match outcome.way.kind() {
            WayKind::Leave if self.is_right() => "Its length is right as it is.".to_owned(),
            WayKind::Leave => format!("It would stay {} off its target.", self.gap()),
            WayKind::GripDown => {
                format!(
                    "Free and reversible, so a good trial; but {felt}, with a thinner grip under the hands."
                )
            }
            WayKind::Cut => format!("Final, {felt}: not before the length is proved."),
            WayKind::Extend => {
                format!("It puts a joint in the butt, {felt}: not before the length is proved.")
            }
            WayKind::Regrip => match self.grip_thicker_by {
                Some(missing) => format!(
                    "By the hand's size the grip would be {} {}; try it in the hand before ordering.",
                    missing.abs().to_step(InchStep::ThirtySecond),
                    if missing > Length::ZERO { "thicker" } else { "thinner" }
                ),
                None => "Only when the grip is worn or wrong for the hand.".to_owned(),
            },
            WayKind::OtherShaft if self.change < Length::ZERO => {
                format!("Dearer, and a day on the bench, for the same length: {felt}.")
            }
            WayKind::OtherShaft => {
                format!("Dearer, and a day on the bench; no joint in the butt, {felt}.")
            }
        }
    }

    /// The gap as the bench and as the face see it.
    fn gap(&self) -> String {
        let pitches = self.change.abs() / self.club.head.groove_pitch;
        format!(
            "{} ({} groove pitches)",
            self.change.abs().to_step(InchStep::Sixteenth),
            Printed::new(pitches, 0, "").number()
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
