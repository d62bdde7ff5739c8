//! The set's length ladder: every iron and wedge, where it is now, its target and the target's interval.

use super::{Axis, Frame, arrow, as_f64, at, line};
use crate::words::label;
use bench::{ClubPlan, ClubTarget, SetPlan};
use maud::{Markup, html};
use quantity::{InchStep, Length};

const WIDTH: f64 = 720.0;
const ROW: f64 = 40.0;
const TOP: f64 = 62.0;
const LEFT: f64 = 96.0;
const RIGHT: f64 = 668.0;

/// Draws the ladder; `None` when no club of the set is under the rule.
pub fn ladder(plan: &SetPlan) -> Option<Markup> {
    let rungs: Vec<(&ClubPlan, ClubTarget)> =
        plan.clubs.iter().filter_map(|club| Some((club, club.target?))).collect();
    let (first, _) = rungs.first()?;
    let start = first.club.length();
    let ends = rungs.iter().flat_map(|(club, target)| {
        [
            club.club.length(),
            target.build,
            target.length - target.half_width,
            target.length + target.half_width,
        ]
    });
    let (least, most) = ends.fold((start, start), |(least, most), end| (least.min(end), most.max(end)));
    let axis = Axis {
        least: (least.as_inches() * 2.0 - 0.2).floor() / 2.0,
        most: (most.as_inches() * 2.0 + 0.2).ceil() / 2.0,
        left: LEFT,
        right: RIGHT,
    };
    let bottom = rungs.iter().fold(TOP, |bottom, _| bottom + ROW);
    let frame = Frame {
        id: "ladder",
        class: "ladder",
        width: WIDTH,
        height: bottom + 34.0,
        title: "Length of each iron and wedge now, and its target, in inches".to_owned(),
        description: description(&rungs),
    };
    Some(frame.draw(&html! {
        @for mark in axis.marks(0.5) { (line("rule", (axis.at(mark), TOP - 14.0), (axis.at(mark), bottom))) }
        @for mark in axis.marks(1.0) {
            text class="quiet" x=(at(axis.at(mark))) y=(at(bottom + 24.0)) text-anchor="middle" {
                (format!("{mark:.0} in"))
            }
        }
        (legend())
        @for (index, (club, target)) in rungs.iter().enumerate() {
            (rung(club, target, axis, TOP + ROW * (as_f64(index) + 0.5)))
        }
    }))
}

fn rung(club: &ClubPlan, target: &ClubTarget, axis: Axis, y: f64) -> Markup {
    let x = |length: Length| axis.at(length.as_inches());
    let (now, build) = (x(club.club.length()), x(target.build));
    let (low, high) = (x(target.length - target.half_width), x(target.length + target.half_width));
    let gap = build - now;
    html! {
        text x="0" y=(at(y + 5.0)) { (label(&club.club)) }
        rect class="band" x=(at(low)) y=(at(y - 8.5)) width=(at(high - low)) height="17" {}
        (line("wanted", (build, y - 13.0), (build, y + 13.0)))
        circle class="solid" cx=(at(now)) cy=(at(y)) r="4.6" {}
        @if gap.abs() > 16.0 { (arrow("line", now + gap.signum() * 7.0, build - gap.signum() * 4.0, y)) }
    }
}

/// Says what dot, band and stroke are, above the ladder.
fn legend() -> Markup {
    let y = 22.0;
    html! {
        circle class="solid" cx=(at(LEFT + 5.0)) cy=(at(y)) r="4.6" {}
        text class="quiet" x=(at(LEFT + 17.0)) y=(at(y + 5.0)) { "now" }
        rect class="band" x=(at(LEFT + 86.0)) y=(at(y - 8.5)) width="54" height="17" {}
        (line("wanted", (LEFT + 113.0, y - 13.0), (LEFT + 113.0, y + 13.0)))
        text class="quiet accent" x=(at(LEFT + 150.0)) y=(at(y + 5.0)) { "target and its interval" }
    }
}

fn description(rungs: &[(&ClubPlan, ClubTarget)]) -> String {
    let step = InchStep::Sixteenth;
    let clubs: Vec<String> = rungs
        .iter()
        .map(|(club, target)| {
            format!(
                "{} now {}, target {}",
                club.club.kind,
                club.club.length().to_step(step),
                target.build.to_step(step)
            )
        })
        .collect();
    let half_width = rungs.first().map(|(_, target)| target.half_width).unwrap_or_default();
    format!("{}. The band is plus or minus {}, 80 in 100.", clubs.join("; "), half_width.to_step(step))
}
