//! Swingweight and inertia of every worked club, before and after, side by side.
//!
//! A dot is the club as it came, a ring the bare change of length, an upright stroke the club as it leaves the
//! bench, with what was added to hold a number. Gripped down, both are taken from the hands.

use super::{Axis, Frame, at, line};
use crate::words::label as name;
use bench::{ClubPlan, Outcome, SetPlan, State, WayKind};
use club::Swingweight;
use maud::{Markup, html};

const WIDTH: f64 = 720.0;
const ROW: f64 = 32.0;
const TOP: f64 = 44.0;

/// What the drawing is called where it scrolls.
pub const BEFORE_AFTER_NAME: &str = "Swingweight and inertia, before and after";
/// What its marks mean.
pub const BEFORE_AFTER_MARKS: &str =
    "Dot: as it came. Ring: with the change of length alone. Stroke: as it leaves, with what was added.";

/// Draws the comparison of the clubs that were weighed; `None` when none of them is worked on.
pub fn before_after(plan: &SetPlan) -> Option<Markup> {
    let rows: Vec<(&ClubPlan, &Outcome, State)> = plan
        .clubs
        .iter()
        .filter(|club| club.club.is_weighed)
        .filter_map(|club| {
            let outcome = club.chosen().filter(|outcome| outcome.way.kind() != WayKind::Leave)?;
            Some((club, outcome, outcome.finished(plan.house.hold)))
        })
        .collect();
    if rows.is_empty() {
        return None;
    }
    let points = |state: &State| state.as_held.points();
    let inertia = |state: &State| state.inertia.as_kg_cm2();
    let swing = panel(&rows, points, 1.0, 96.0, 372.0)?;
    let heavy = panel(&rows, inertia, 50.0, 456.0, 692.0)?;
    let bottom = rows.iter().fold(TOP, |bottom, _| bottom + ROW);
    let frame = Frame {
        id: "before-after",
        class: "pairs",
        width: WIDTH,
        height: bottom + 30.0,
        title: "Swingweight as held, and inertia about the hands' end, before and after".to_owned(),
        description: description(&rows),
    };
    Some(frame.draw(&html! {
        text class="quiet" x="96" y="16" { "Swingweight as held" }
        text class="quiet" x="456" y="16" { "Inertia, kg cm²" }
        (grid(swing, label_step(swing, 1.0), bottom, |mark| Swingweight::from_points(mark).label(0)))
        (grid(heavy, label_step(heavy, 50.0), bottom, |mark| format!("{mark:.0}")))
        @for (index, (club, outcome, finished)) in rows.iter().enumerate() {
            @let y = TOP + ROW * (u32::try_from(index).map_or(0.0, f64::from) + 0.5);
            text x="0" y=(at(y + 5.0)) { (name(&club.club)) }
            (marks(swing, points(&outcome.before), points(&outcome.after), points(finished), y))
            (marks(heavy, inertia(&outcome.before), inertia(&outcome.after), inertia(finished), y))
        }
    }))
}

/// The scale of one panel: all its values, rounded outward to whole steps.
fn panel(
    rows: &[(&ClubPlan, &Outcome, State)],
    read: impl Fn(&State) -> f64,
    step: f64,
    left: f64,
    right: f64,
) -> Option<Axis> {
    let values = || {
        rows.iter()
            .flat_map(|(_, outcome, finished)| [read(&outcome.before), read(&outcome.after), read(finished)])
    };
    let least = values().min_by(f64::total_cmp)?;
    let most = values().max_by(f64::total_cmp)?;
    Some(Axis {
        least: (least / step - 0.5).floor() * step,
        most: (most / step + 0.5).ceil() * step,
        left,
        right,
    })
}

/// Steps between labels: as many as stand apart.
fn label_step(axis: Axis, step: f64) -> f64 {
    let mut label = step;
    while (axis.most - axis.least) / label > 5.0 {
        label *= 2.0;
    }
    label
}

fn grid(axis: Axis, step: f64, bottom: f64, label: impl Fn(f64) -> String) -> Markup {
    html! {
        @for mark in axis.marks(step) {
            (line("rule", (axis.at(mark), TOP - 8.0), (axis.at(mark), bottom)))
            text class="quiet" x=(at(axis.at(mark))) y=(at(bottom + 20.0)) text-anchor="middle" { (label(mark)) }
        }
    }
}

fn marks(axis: Axis, before: f64, after: f64, finished: f64, y: f64) -> Markup {
    let (before, after, finished) = (axis.at(before), axis.at(after), axis.at(finished));
    html! {
        // the change of length on the upper half of the row, what was added on the lower: neither hides the other
        (line("line", (before, y - 4.0), (after, y - 4.0)))
        circle class="hollow" cx=(at(after)) cy=(at(y - 4.0)) r="4.6" {}
        circle class="solid" cx=(at(before)) cy=(at(y - 4.0)) r="3.4" {}
        @if (finished - after).abs() > 1.0 { (line("hidden-edge", (after, y + 5.0), (finished, y + 5.0))) }
        (line("wanted", (finished, y - 9.0), (finished, y + 11.0)))
    }
}

fn description(rows: &[(&ClubPlan, &Outcome, State)]) -> String {
    let clubs: Vec<String> = rows
        .iter()
        .map(|(club, outcome, finished)| {
            format!(
                "{}: {} and {}, by the change of length {} and {}, as it leaves {} and {}",
                club.club.kind,
                outcome.before.as_held,
                outcome.before.inertia.kg_cm2_printed(0),
                outcome.after.as_held,
                outcome.after.inertia.kg_cm2_printed(0),
                finished.as_held,
                finished.inertia.kg_cm2_printed(0),
            )
        })
        .collect();
    format!("{}.", clubs.join("; "))
}
