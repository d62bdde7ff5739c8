//! Two flights, before and after: from the side and from above, to one scale.

use super::{Frame, at, line};
use crate::DistanceUnit;
use crate::words::rich_svg;
use ball::flight::Moment;
use ball::unknowns::Spread;
use maud::{Markup, html};
use quantity::Z_80;
use std::fmt::Write as _;

const WIDTH: f64 = 720.0;
const LEFT: f64 = 14.0;
const RIGHT: f64 = 700.0;
const TOP: f64 = 66.0;
/// Room between side view and plan view.
const BETWEEN: f64 = 74.0;
/// Least half-height of the plan view, so that two straight balls still have room.
const LEAST_HALF_PLAN: f64 = 26.0;

/// One flight.
#[derive(Debug, Clone)]
pub struct FlightLine {
    /// What it is: `now`, `+1/4 in`.
    pub name: String,
    /// Its way from launch to landing, as a right-hander's.
    pub way: Vec<Moment>,
    /// How well its carry is known, m.
    pub spread: Spread,
}

impl FlightLine {
    fn landing(&self) -> [f64; 3] {
        self.way.last().map_or([0.0; 3], |moment| moment.place_m)
    }
}

/// Draws two flights; the way of a left-hander's ball is mirrored by the caller.
#[must_use]
pub fn flights(before: &FlightLine, after: &FlightLine, unit: DistanceUnit) -> Markup {
    let lines = [(before, "line"), (after, "wanted")];
    let places = || lines.iter().flat_map(|(line, _)| line.way.iter().map(|moment| moment.place_m));
    let reach_of = |line: &FlightLine| line.landing()[0] + Z_80 * line.spread.sd;
    let farthest_m = reach_of(before).max(reach_of(after)).max(1.0);
    let highest_m = places().map(|place| place[2]).fold(0.0, f64::max);
    let aside_m = places().map(|place| place[1].abs()).fold(0.0, f64::max);
    let scale = (RIGHT - LEFT) / farthest_m;
    let ground = TOP + highest_m * scale + 8.0;
    let half_plan = (aside_m * scale + 10.0).max(LEAST_HALF_PLAN);
    let middle = ground + BETWEEN + half_plan;
    let x = |metres: f64| LEFT + metres * scale;
    let step = step_of(unit.of_m(farthest_m));
    let marks =
        (1_i32..).map(|mark| f64::from(mark) * step).take_while(|mark| *mark <= unit.of_m(farthest_m));
    let metres_of = |value: f64| value / unit.of_m(1.0);
    let frame = Frame {
        id: "flights",
        class: "flights",
        width: WIDTH,
        height: middle + half_plan + 8.0,
        title: format!(
            "Flight {} and {}, from the side and from above, to one scale",
            before.name, after.name
        ),
        description: description(before, after, unit),
    };
    let drawn = frame.draw(&html! {
        (line("dim", (LEFT, ground), (RIGHT, ground)))
        (line("dim", (LEFT, middle), (RIGHT, middle)))
        @for mark in marks {
            (line("rule", (x(metres_of(mark)), TOP - 10.0), (x(metres_of(mark)), middle + half_plan)))
            text class="quiet" x=(at(x(metres_of(mark)))) y=(at(ground + 42.0)) text-anchor="middle" { (format!("{mark:.0} {}", unit.short())) }
        }
        text class="quiet" x=(at(LEFT)) y="44" { "From the side" }
        text class="quiet" x=(at(LEFT)) y=(at(ground + 62.0)) { "From above, target to the right" }
        @for (place, (flight, class)) in lines.iter().enumerate() {
            path class=(class) d=(path(&flight.way, |place| (x(place[0]), ground - place[2] * scale))) {}
            path class=(class) d=(path(&flight.way, |place| (x(place[0]), middle - place[1] * scale))) {}
            (landing(flight, place, x, ground))
        }
        (legend(before, after))
    });
    html! {
        figure { div class="wide" tabindex="0" role="group" aria-label="Two flights" { (drawn) }
            figcaption { "The bars under the ground are where each comes down, 80 in 100." }
        }
    }
}

/// The interval of a landing, under the ground line; the second lower than the first.
fn landing(flight: &FlightLine, place: usize, x: impl Fn(f64) -> f64, ground: f64) -> Markup {
    let (carry_m, half_m) = (flight.landing()[0], Z_80 * flight.spread.sd);
    let y = ground + 8.0 + super::as_f64(place) * 8.0;
    let class = if place == 0 { "line" } else { "wanted" };
    html! {
        (line(class, (x(carry_m - half_m), y), (x(carry_m + half_m), y)))
        (line(class, (x(carry_m), y - 4.0), (x(carry_m), y + 4.0)))
    }
}

fn legend(before: &FlightLine, after: &FlightLine) -> Markup {
    html! {
        (line("line", (LEFT, 12.0), (LEFT + 26.0, 12.0)))
        text class="quiet" x=(at(LEFT + 34.0)) y="16" { (rich_svg(&before.name)) }
        (line("wanted", (LEFT + 176.0, 12.0), (LEFT + 202.0, 12.0)))
        text class="quiet accent" x=(at(LEFT + 210.0)) y="16" { (rich_svg(&after.name)) }
    }
}

fn path(way: &[Moment], at: impl Fn([f64; 3]) -> (f64, f64)) -> String {
    let mut path = String::with_capacity(way.len() * 12);
    for (place, moment) in way.iter().enumerate() {
        let (x, y) = at(moment.place_m);
        // writing to a string cannot fail
        let _ = write!(path, "{}{} {}", if place == 0 { 'M' } else { 'L' }, super::at(x), super::at(y));
    }
    path
}

/// A round step that leaves three to six marks.
fn step_of(farthest: f64) -> f64 {
    [10.0, 20.0, 25.0, 50.0, 100.0].into_iter().find(|step| farthest / step <= 6.5).unwrap_or(100.0)
}

fn description(before: &FlightLine, after: &FlightLine, unit: DistanceUnit) -> String {
    let of = |flight: &FlightLine| {
        let apex = flight.way.iter().map(|moment| moment.place_m[2]).fold(0.0, f64::max);
        let [carry, left, _] = flight.landing();
        let side = if left.abs() < 0.5 {
            "on the line".to_owned()
        } else {
            format!("{} to the {}", unit.say(left.abs()), if left > 0.0 { "left" } else { "right" })
        };
        format!(
            "{}: carry {}, {} high, {side}",
            flight.name,
            unit.with_interval(carry, flight.spread),
            unit.say(apex)
        )
    };
    format!("{}; {}.", of(before), of(after))
}

#[cfg(test)]
mod tests {
    use super::{FlightLine, flights};
    use crate::DistanceUnit;
    use crate::figure::tests::{numbers, paths};
    use ball::flight::{Conditions, Launch, fly_along};
    use ball::unknowns::Spread;

    fn line(name: &str, mps: f64, azimuth_left_deg: f64) -> FlightLine {
        let launch = Launch { azimuth_left_deg, ..Launch::straight(mps, 18.0, 6400.0) };
        let way = fly_along(&launch, &Conditions::default()).unwrap().at_even_times(30).unwrap();
        FlightLine { name: name.to_owned(), way, spread: Spread { sd: 4.0, ball_and_air_sd: 3.0 } }
    }

    #[test]
    fn both_views_stand_to_one_scale_and_inside_the_drawing() {
        let (before, after) = (line("now", 47.0, 0.0), line("after", 48.0, 3.0));
        let drawn = flights(&before, &after, DistanceUnit::Yards).into_string();
        let height: f64 =
            crate::figure::tests::attribute(&drawn, "viewBox").split(' ').nth(3).unwrap().parse().unwrap();
        let (of_before, of_after) = (paths(&drawn, "line"), paths(&drawn, "wanted"));
        assert_eq!((of_before.len(), of_after.len()), (2, 2));
        let points = |path: &str| numbers(path).chunks(2).map(|pair| (pair[0], pair[1])).collect::<Vec<_>>();
        let (side, plan) = (points(&of_after[0]), points(&of_after[1]));
        for ((x, y), (plan_x, plan_y)) in side.iter().zip(&plan) {
            assert!((x - plan_x).abs() < 0.11);
            assert!(
                (0.0..=720.0).contains(x) && (0.0..=height).contains(y) && (0.0..=height).contains(plan_y)
            );
        }
        // one scale for length, height and width, read off the landing and the apex
        let scale = (side[29].0 - side[0].0) / after.landing()[0];
        let apex_m = after.way.iter().map(|moment| moment.place_m[2]).fold(0.0, f64::max);
        let top = side.iter().map(|(_, y)| *y).fold(f64::INFINITY, f64::min);
        assert!(((side[0].1 - top) / apex_m - scale).abs() < 0.02 * scale);
        assert!(((plan[0].1 - plan[29].1) / after.landing()[1] - scale).abs() < 0.02 * scale, "left is up");
    }
}
