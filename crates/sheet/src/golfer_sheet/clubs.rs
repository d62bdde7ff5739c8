//! The golfer's clubs, one row each: where it is, where it should be, what is done and whether it will be felt.

use crate::words::{length, rich};
use bench::{ClubPlan, ClubTarget, Feel, Outcome, SetPlan, Standing, TargetBasis, WayKind};
use maud::{Markup, html};
use quantity::{InchStep, Length};

/// Writes the table of the golfer's clubs.
pub(super) fn clubs(plan: &SetPlan) -> Markup {
    html! {
        table class="stack below" {
            thead { tr { th class="text" { "Club" } th { "Now" } th { "Target" } th class="text" { "What is done, and why" } } }
            tbody { @for club in &plan.clubs { (row(club, plan)) } }
        }
    }
}

fn row(club: &ClubPlan, plan: &SetPlan) -> Markup {
    html! {
        tr {
            td { (club.club.name) }
            td class="nowrap" data-is="Now" { (length(club.club.length())) }
            td class="nowrap" data-is="Target" { @if let Some(target) = &club.target { (wanted(target)) } @else { "–" } }
            td class="text" {
                @if let Some((target, outcome)) = club.target.as_ref().zip(club.chosen()) {
                    b { (rich(&plain_way(outcome.way.kind(), club.change))) } " "
                    span class="soft" { (in_plain_words(club, outcome, target, plan)) }
                } @else if club.club.conditions.is_empty() {
                    span class="soft" { "Outside this rule: left as it is." }
                } @else {
                    span class="soft" { "Outside this rule." }
                }
                @for condition in &club.club.conditions { span class="caution" { b { (condition.warning()) } } }
            }
        }
    }
}

/// The length to build, or the range of the chart in which any length is right.
fn wanted(target: &ClubTarget) -> Markup {
    match target.basis {
        TargetBasis::LengthRule => length(target.build),
        TargetBasis::JuniorChart => {
            let (least, most) = target.range();
            html! { (rich(&least.to_step(InchStep::Quarter).number())) " to " (length(most)) }
        }
    }
}

/// The way in a golfer's words.
fn plain_way(kind: WayKind, change: Length) -> String {
    let by = change.abs().to_step(InchStep::Sixteenth);
    match kind {
        WayKind::Leave => "Stays as it is.".to_owned(),
        WayKind::GripDown => format!("Hold it {by} lower."),
        WayKind::Cut => format!("Shortened by {by}."),
        WayKind::Extend => format!("Lengthened by {by}."),
        WayKind::Regrip => "A new grip.".to_owned(),
        WayKind::OtherShaft => "A new shaft.".to_owned(),
    }
}

/// How it is done and whether it will be felt, without the bench's words.
fn in_plain_words(club: &ClubPlan, outcome: &Outcome, target: &ClubTarget, plan: &SetPlan) -> String {
    let how = match outcome.way.kind() {
        WayKind::Leave => return club.choice.as_ref().map(|choice| choice.why.clone()).unwrap_or_default(),
        WayKind::GripDown => "It costs nothing and can be undone.",
        WayKind::Cut => "At the grip end, with a new grip.",
        WayKind::Extend => "With a piece in the grip end and a new grip.",
        WayKind::Regrip | WayKind::OtherShaft => "",
    };
    let is_small = club.change != Length::ZERO && club.change.abs() <= target.half_width;
    let small = if is_small && target.basis == TargetBasis::LengthRule {
        "A small change against what is known: your strikes decide."
    } else {
        ""
    };
    let accept = if matches!(outcome.standing, Standing::NeedsAcceptance(_)) {
        "Only when you have agreed to it in writing."
    } else {
        ""
    };
    let felt = felt(outcome, plan);
    [how, &felt, small, accept].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
}

/// Whether the change will be felt, as far as what was weighed can tell.
fn felt(outcome: &Outcome, plan: &SetPlan) -> String {
    if !outcome.is_weighed {
        return "It was not weighed, so how the head will feel is not known yet.".to_owned();
    }
    let finished = outcome.finished(plan.house.hold);
    let is_lighter = finished.as_held.points() < outcome.before.as_held.points();
    let side = if is_lighter { "lighter" } else { "heavier" };
    let felt = match Feel::of(&outcome.before, &finished) {
        Feel::ByFew => "The balance stays near enough that most do not feel it.".to_owned(),
        Feel::BySome => format!("Some golfers feel the head a little {side}."),
        Feel::ByMost => format!("The head will feel {side} at first."),
    };
    let heavier = (finished.mass - outcome.before.mass).as_grams();
    if heavier.abs() < 10.0 {
        return felt;
    }
    format!("{felt} It weighs {:.0} g {}.", heavier.abs(), if heavier > 0.0 { "more" } else { "less" })
}
