//! The plan of one club: its target, its ways and the one to take.

use crate::choice::{Choice, Weighing};
use crate::club_target::ClubTarget;
use crate::outcome::{Outcome, Wanted, ways};
use crate::standing::Standing;
use crate::way::{WayKind, bench_length};
use crate::{BenchError, House};
use club::Club;
use club::grip_size::{GripBuild, USUAL_SIZE};
use club::lie::FaceDelivery;
use club::rules::LengthRule;
use fitting::Target;
use quantity::{Angle, Length};

/// Where the face points when the chosen way is done and the lie is left, at the two limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceIfUnbent {
    /// If the golfer keeps the hands' height: toward the lead side is positive.
    pub keeping_hand_height: Angle,
    /// If the golfer keeps the ball's distance.
    pub keeping_ball_distance: Angle,
}

/// One club: where it is, where it should be, and how to get there.
#[derive(Debug, Clone, PartialEq)]
pub struct ClubPlan {
    /// The club.
    pub club: Club,
    /// Its target; `None` for woods, hybrids and putters, which the rule does not speak of.
    pub target: Option<ClubTarget>,
    /// How much longer it must become to be built right; zero within what the house leaves alone.
    pub change: Length,
    /// How much thicker (thinner: negative) the grip should be by the hand, where that is worth a word.
    pub grip_thicker_by: Option<Length>,
    /// The ways; empty outside the rule.
    pub ways: Vec<Outcome>,
    /// The way to take.
    pub choice: Option<Choice>,
}

impl ClubPlan {
    /// Returns the chosen way's outcome.
    #[must_use]
    pub fn chosen(&self) -> Option<&Outcome> {
        self.choice.as_ref().map(|choice| &self.ways[choice.chosen])
    }

    /// Returns the runner-up's outcome.
    #[must_use]
    pub fn runner_up(&self) -> Option<&Outcome> {
        self.choice.as_ref().map(|choice| &self.ways[choice.runner_up])
    }

    /// Returns how far the club is from its build length (positive: too short), however little.
    #[must_use]
    pub fn gap(&self) -> Option<Length> {
        self.target.map(|target| target.build - self.club.length())
    }

    /// Returns the gap in groove pitches of this head.
    #[must_use]
    pub fn gap_in_groove_pitches(&self) -> Option<f64> {
        self.gap().map(|gap| gap.abs() / self.club.head.groove_pitch)
    }

    /// Tells how its length afterwards stands to the rule on length.
    #[must_use]
    pub fn length_rule(&self) -> LengthRule {
        let length = self.chosen().map_or(self.club.length(), |outcome| outcome.after.length);
        LengthRule::of(self.club.kind, length)
    }

    /// Returns where the face points if the lie is left after the chosen way; `None` without one, or when
    /// no lie would keep the hands.
    #[must_use]
    pub fn face_if_unbent(&self) -> Option<FaceIfUnbent> {
        let lie = self.chosen()?.lie?;
        let pointing = |wanted: Angle| {
            let lie_error = self.club.lie - wanted;
            FaceDelivery { loft: self.club.loft, lie_error, ..FaceDelivery::default() }.pointing().toward_lead
        };
        Some(FaceIfUnbent {
            keeping_hand_height: pointing(lie.keeping_hand_height),
            keeping_ball_distance: pointing(lie.keeping_ball_distance),
        })
    }
}

/// How far a club is from the length to build, and what of that is worth work.
pub(crate) fn wanted(club: &Club, target: &Target, house: &House) -> Option<Wanted> {
    let gap = ClubTarget::of(club, target, house)?.build - club.length();
    let is_near = bench_length(gap.abs()) <= bench_length(house.leave_within);
    let change = if is_near { Length::ZERO } else { gap };
    Some(Wanted { gap, change, is_growing: target.is_for_a_growing_golfer(), wish: None })
}

/// Plans one club.
///
/// # Errors
/// The field and what is wrong with it.
pub(crate) fn club_plan(
    club: Club,
    wish: Option<WayKind>,
    set_is_moved: bool,
    target: &Target,
    house: &House,
) -> Result<ClubPlan, (&'static str, BenchError)> {
    let grip_thicker_by = grip_thicker_by(&club, target);
    let wanted = wanted(&club, target, house).map(|wanted| Wanted { wish, ..wanted });
    let (Some(wanted), Some(club_target)) = (wanted, ClubTarget::of(&club, target, house)) else {
        if wish.is_some() {
            return Err(("way", BenchError::OutsideTheRule));
        }
        return Ok(ClubPlan {
            club,
            target: None,
            change: Length::ZERO,
            grip_thicker_by: None,
            ways: Vec::new(),
            choice: None,
        });
    };
    let ways = ways(&club, wanted, house).map_err(|error| ("length", error))?;
    let half_width = club_target.half_width;
    let weighing = Weighing {
        club: &club,
        change: wanted.change,
        half_width,
        basis: club_target.basis,
        is_growing: wanted.is_growing,
        set_is_moved,
        grip_thicker_by,
        wish,
    };
    let choice = weighing.choose(&ways).ok_or_else(|| ("way", not_open(wish, &ways)))?;
    Ok(ClubPlan {
        club,
        target: Some(club_target),
        change: wanted.change,
        grip_thicker_by,
        ways,
        choice: Some(choice),
    })
}

/// Says which ways are open, and why the one wished for is not.
fn not_open(wish: Option<WayKind>, ways: &[Outcome]) -> BenchError {
    let refused = |outcome: &&Outcome| matches!(outcome.standing, Standing::Refused(_));
    let open: Vec<&str> =
        ways.iter().filter(|way| !refused(way)).map(|outcome| outcome.way.kind().words()).collect();
    let why = ways
        .iter()
        .filter(refused)
        .find(|outcome| Some(outcome.way.kind()) == wish)
        .and_then(|outcome| outcome.standing.reason().map(str::to_owned))
        .or_else(|| wish.map(not_among));
    BenchError::WayNotOpen { why, open: open.join(", ") }
}

/// Why a way is not among those reckoned for a club.
fn not_among(wish: WayKind) -> String {
    match wish {
        WayKind::Extend => "it is not shorter than its target by more than the house leaves alone",
        WayKind::Cut | WayKind::GripDown => {
            "it is not longer than its target by more than the house leaves alone"
        }
        WayKind::Leave | WayKind::Regrip | WayKind::OtherShaft => "the house's limits refuse it",
    }
    .to_owned()
}

/// Less than this is not worth a regrip: 1/64 in, one build-up layer at most. Trade practice.
const GRIP_AGREES: Length = Length::inches(1.0 / 64.0);

/// Holds the grip's size, as core and butt give it, against the hand's.
fn grip_thicker_by(club: &Club, target: &Target) -> Option<Length> {
    // a guess of core or butt says nothing of this grip, and a junior's is not built on a man's size
    if !club.is_grip_size_known || target.is_for_a_growing_golfer() {
        return None;
    }
    let (core, butt) = (club.grip.core, club.shaft.butt_diameter);
    let build = GripBuild { core, butt, nominal: USUAL_SIZE, layers: 0, per_layer: Length::ZERO };
    let over_standard = build.size().ok()?.size - USUAL_SIZE;
    target.grip.as_ref()?.thicker_by(over_standard).filter(|missing| missing.abs() > GRIP_AGREES)
}
