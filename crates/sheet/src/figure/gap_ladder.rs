//! How far every club carries, with its interval, and what lies between two of them.

use super::{Axis, Frame, as_f64, at, line};
use crate::DistanceUnit;
use bench::{Evened, Yards};
use maud::{Markup, html};
use quantity::Z_80;

const WIDTH: f64 = 720.0;
const ROW: f64 = 44.0;
const TOP: f64 = 54.0;
const LEFT: f64 = 128.0;
const RIGHT: f64 = 640.0;

/// Draws the ladder, longest carry on top.
#[must_use]
pub fn gap_ladder(yards: &Yards, evened: Option<&Evened>, unit: DistanceUnit) -> Markup {
    let interval = |place: usize| {
        let carried = &yards.clubs[place].carried;
        let half = Z_80 * carried.spread.sd;
        (unit.of_m(carried.carry_m() - half), unit.of_m(carried.carry_m() + half))
    };
    let ends = (0..yards.clubs.len()).map(interval);
    let (least, most) =
        ends.fold((f64::INFINITY, 0.0_f64), |(least, most), (low, high)| (least.min(low), most.max(high)));
    let axis = Axis {
        least: (least / 20.0).floor() * 20.0,
        most: (most / 20.0).ceil() * 20.0,
        left: LEFT,
        right: RIGHT,
    };
    let bottom = TOP + ROW * as_f64(yards.clubs.len());
    let gaps = yards.gaps();
    let frame = Frame {
        id: "gap-ladder",
        class: "ladder",
        width: WIDTH,
        height: bottom + 34.0,
        title: format!("Carry of every club with its interval, {}", unit.short()),
        description: description(yards, unit),
    };
    frame.draw(&html! {
        @for mark in axis.marks(20.0) {
            (line("rule", (axis.at(mark), TOP - 14.0), (axis.at(mark), bottom)))
        }
        @for mark in axis.marks(40.0) {
            text class="quiet" x=(at(axis.at(mark))) y=(at(bottom + 24.0)) text-anchor="middle" { (format!("{mark:.0} {}", unit.short())) }
        }
        (legend(evened.is_some()))
        @for (place, club) in yards.clubs.iter().enumerate() {
            @let y = TOP + ROW * (as_f64(place) + 0.5);
            @let (low, high) = interval(place);
            @let carry = unit.of_m(club.carried.carry_m());
            text x="0" y=(at(y + 5.0)) { (club.name) }
            rect class="band" x=(at(axis.at(low))) y=(at(y - 8.5)) width=(at(axis.at(high) - axis.at(low))) height="17" {}
            circle class="solid" cx=(at(axis.at(carry))) cy=(at(y)) r="4.6" {}
            @if let Some(bent) = bent_of(evened, place) {
                @let x = axis.at(unit.of_m(bent));
                (line("wanted", (x, y - 13.0), (x, y + 13.0)))
            }
            text class="quiet" x=(at(WIDTH)) y=(at(y + 5.0)) text-anchor="end" { (format!("{carry:.0}")) }
            @if let Some(gap) = gaps.get(place) {
                text class="quiet" x=(at(WIDTH)) y=(at(y + ROW / 2.0 + 5.0)) text-anchor="end" { "\u{2195} " (unit.number(gap.metres)) }
            }
        }
    })
}

/// Carry of a club after its bend, m; nothing where it is not bent.
fn bent_of(evened: Option<&Evened>, place: usize) -> Option<f64> {
    let evened = evened?;
    let at = evened.places.iter().position(|other| *other == place)?;
    let bent = evened.bent.get(at)?;
    (bent.bend_deg.abs() > 0.0).then_some(bent.carry_m)
}

fn legend(has_bends: bool) -> Markup {
    let y = 18.0;
    html! {
        rect class="band" x=(at(LEFT)) y=(at(y - 8.5)) width="54" height="17" {}
        circle class="solid" cx=(at(LEFT + 27.0)) cy=(at(y)) r="4.6" {}
        text class="quiet" x=(at(LEFT + 66.0)) y=(at(y + 5.0)) { "carry and its interval" }
        @if has_bends {
            (line("wanted", (LEFT + 270.0, y - 11.0), (LEFT + 270.0, y + 11.0)))
            text class="quiet accent" x=(at(LEFT + 282.0)) y=(at(y + 5.0)) { "bent for even gaps" }
        }
    }
}

fn description(yards: &Yards, unit: DistanceUnit) -> String {
    let clubs: Vec<String> = yards
        .clubs
        .iter()
        .map(|club| {
            format!("{} {}", club.name, unit.with_interval(club.carried.carry_m(), club.carried.spread))
        })
        .collect();
    format!("{}. Intervals hold 80 in 100.", clubs.join("; "))
}
