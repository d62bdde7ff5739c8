//! What a strike costs in carry at each place of the face: lines of equal loss, and the golfer's own strikes among them.

use super::face::{OnFace, face_sides, head, outline, sweet_spot};
use super::face_map::dots;
use crate::{BALL_AND_AIR_VARY_BY_MORE, DistanceUnit, ball_and_air_vary_by_more};
use ball::strike_map::StrikeMap;
use fitting::Handedness;
use maud::{Markup, html};
use quantity::Z_80;
use std::fmt::Write as _;

/// Losses lines are drawn for, in the unit they are told in.
const LEVELS: [f64; 6] = [1.0, 3.0, 6.0, 10.0, 15.0, 21.0];
/// Step of the grid lines are followed on, mm.
const STEP_MM: f64 = 1.0;
/// The way from the sweet spot along which numbers stand: toward the heel, where the lines lie far apart. Choice.
const RAY: (f64, f64) = (-0.97, 0.24);
/// Halvings to find where a line crosses the middle of the face: a hundredth of a millimetre.
const HALVINGS: u32 = 12;

/// Draws the face with its lines; strikes are millimetres from the sweet spot.
#[must_use]
pub fn strike_map(
    map: &StrikeMap,
    plays: Handedness,
    pitch_mm: f64,
    strikes: &[(f64, f64)],
    unit: DistanceUnit,
) -> Markup {
    let on = OnFace::of(plays);
    let lines = Lines::of(map, unit);
    html! {
        figure class="face-map strike-map" {
            svg class="face" viewBox=(format!("0 0 {} {}", OnFace::WIDTH, OnFace::HEIGHT)) role="img"
                aria-labelledby="strike-map-title strike-map-text" xmlns="http://www.w3.org/2000/svg" {
                title id="strike-map-title" { "Carry lost by a strike at each place of the face, in " (unit.short()) }
                desc id="strike-map-text" { (description(map, unit)) }
                (head(&on, pitch_mm))
                clipPath id="strike-map-edge" { path d=(outline(&on)) {} }
                g clip-path="url(#strike-map-edge)" { @for level in &lines.0 { path class="contour" d=(level.path(&on)) {} } }
                path class="marks" d=(dots(&on, strikes)) {}
                (sweet_spot(&on))
                @for level in &lines.0 { (level.number(&on)) }
            }
            (face_sides(plays))
            figcaption {
                "Lines of equal carry lost, " (unit.short()) ", against a ball struck on the sweet spot (the cross). "
                (ends(map, unit))
                @if !strikes.is_empty() { " Dots are the golfer’s own strikes, every length." }
            }
        }
    }
}

/// What the farthest strikes cost, with their interval.
fn ends(map: &StrikeMap, unit: DistanceUnit) -> String {
    let at = |toe: f64, high: f64| {
        let cost = map.at(toe, high);
        let half = Z_80 * cost.lost_sd_m;
        format!(
            "{} ({} to {})",
            unit.say(cost.lost_m),
            unit.number(cost.lost_m - half),
            unit.number(cost.lost_m + half)
        )
    };
    let within_the_ball =
        |toe: f64, high: f64| ball_and_air_vary_by_more(map.lost_m(toe, high), map.carry_spread);
    let caution = if within_the_ball(15.0, 0.0) || within_the_ball(0.0, -8.0) {
        format!(" {BALL_AND_AIR_VARY_BY_MORE}")
    } else {
        String::new()
    };
    format!("15 mm toward the toe costs {}, 8 mm low {}, 80 in 100.{caution}", at(15.0, 0.0), at(0.0, -8.0))
}

fn description(map: &StrikeMap, unit: DistanceUnit) -> String {
    let losses = [("toe", 10.0, 0.0), ("heel", -10.0, 0.0), ("high", 0.0, 8.0), ("low", 0.0, -8.0)].map(
        |(side, toe, high)| {
            let mm = f64::max(toe, high).abs().max(f64::min(toe, high).abs());
            format!("{mm:.0} mm {side} {}", unit.say(map.lost_m(toe, high)))
        },
    );
    format!("Carry lost: {}.", losses.join(", "))
}

/// The lines of every level that the map holds.
struct Lines(Vec<Level>);

struct Level {
    value: f64,
    /// Straight pieces from place to place, mm.
    pieces: Vec<[(f64, f64); 2]>,
    /// Where its number stands, mm.
    number_at: Option<(f64, f64)>,
}

impl Lines {
    fn of(map: &StrikeMap, unit: DistanceUnit) -> Self {
        let grid = map.grid(STEP_MM);
        let values: Vec<f64> = grid.places().map(|(toe, high)| unit.of_m(map.lost_m(toe, high))).collect();
        let places: Vec<(f64, f64)> = grid.places().collect();
        let columns = usize::try_from(grid.columns).unwrap_or(1);
        let level = |value: f64| {
            let mut pieces = Vec::new();
            for low in 0..places.len().saturating_sub(columns) {
                if (low + 1) % columns != 0 {
                    let corners = [low, low + 1, low + columns + 1, low + columns];
                    pieces.extend(through(corners.map(|corner| (places[corner], values[corner])), value));
                }
            }
            let number_at =
                [RAY, (-RAY.0, RAY.1)].into_iter().find_map(|ray| crossing(map, unit, value, ray));
            (!pieces.is_empty()).then_some(Level { value, pieces, number_at })
        };
        Self(LEVELS.into_iter().filter_map(level).collect())
    }
}

/// Where a line crosses a cell: no piece, one, or two where the corners go up and down in turn.
fn through(corners: [((f64, f64), f64); 4], level: f64) -> Vec<[(f64, f64); 2]> {
    let mut crossed = Vec::with_capacity(4);
    for side in 0..4 {
        let ((from, low), (to, high)) = (corners[side], corners[(side + 1) % 4]);
        if (low < level) != (high < level) {
            let share = (level - low) / (high - low);
            crossed.push((from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share));
        }
    }
    crossed.chunks_exact(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// Where a level is reached going from the sweet spot along a ray; none when it is not, on the map.
fn crossing(map: &StrikeMap, unit: DistanceUnit, level: f64, ray: (f64, f64)) -> Option<(f64, f64)> {
    let lost = |far: f64| unit.of_m(map.lost_m(ray.0 * far, ray.1 * far));
    let reach = |(least, most): (f64, f64), way: f64| if way > 0.0 { most / way } else { least / way };
    let (mut near, mut far) = (0.0, reach(map.across_mm, ray.0).min(reach(map.up_mm, ray.1)));
    if lost(far) < level {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(near, far);
        if lost(middle) < level { near = middle } else { far = middle }
    }
    Some((ray.0 * far, ray.1 * far))
}

impl Level {
    fn path(&self, on: &OnFace) -> String {
        let mut path = String::with_capacity(self.pieces.len() * 18);
        for [from, to] in &self.pieces {
            let ((x0, y0), (x1, y1)) = (on.at(from.0, from.1), on.at(to.0, to.1));
            // writing to a string cannot fail
            let _ = write!(path, "M{x0:.0} {y0:.0}L{x1:.0} {y1:.0}");
        }
        path
    }

    fn number(&self, on: &OnFace) -> Markup {
        html! {
            @if let Some((toe, high)) = self.number_at {
                @let (x, y) = on.at(toe, high);
                text class="level" x=(super::at(x)) y=(super::at(y)) text-anchor="middle" dominant-baseline="central" {
                    (format!("{:.0}", self.value))
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{LEVELS, Lines, strike_map};
    use crate::DistanceUnit;
    use crate::figure::face::OnFace;
    use crate::figure::tests::{elements, numbers, numbers_of, paths};
    use ball::flight::Conditions;
    use ball::impact::{CAVITY_7_IRON, Delivery};
    use ball::strike_map::StrikeMap;
    use ball::unknowns::{Setup, Unknowns};
    use fitting::Handedness;

    fn map() -> StrikeMap {
        let delivery = Delivery {
            head_speed_mps: 35.8,
            dynamic_loft_deg: 25.0,
            attack_deg: -4.0,
            ..Delivery::default()
        };
        let setup = Setup { head: CAVITY_7_IRON.head, delivery, conditions: Conditions::default() };
        StrikeMap::of(&setup, &Unknowns::with_head_speed_known_to(0.02)).unwrap()
    }

    #[test]
    fn every_line_runs_where_its_loss_is() {
        let map = map();
        for level in &Lines::of(&map, DistanceUnit::Metres).0 {
            for (toe, high) in level.pieces.iter().flatten() {
                // straight between places a millimetre apart
                assert!(
                    (map.lost_m(*toe, *high) - level.value).abs() < 0.03,
                    "{toe} {high}: {}",
                    level.value
                );
            }
            if let Some((toe, high)) = level.number_at {
                assert!((map.lost_m(toe, high) - level.value).abs() < 0.02);
            }
        }
    }

    #[test]
    fn lines_and_numbers_are_mirrored_for_a_left_hander_and_lie_in_the_drawing() {
        let map = map();
        let drawn = [Handedness::Right, Handedness::Left]
            .map(|plays| strike_map(&map, plays, 3.175, &[(5.0, -3.0)], DistanceUnit::Yards).into_string());
        let lines = drawn.clone().map(|drawn| paths(&drawn, "contour"));
        assert_eq!(lines[0].len(), lines[1].len());
        assert!((3..=LEVELS.len()).contains(&lines[0].len()), "{}", lines[0].len());
        for (right, left) in lines[0].iter().zip(&lines[1]) {
            for (one, other) in numbers(right).chunks(2).zip(numbers(left).chunks(2)) {
                assert!((one[0] + other[0] - OnFace::WIDTH).abs() <= 1.0 && (one[1] - other[1]).abs() <= 1.0);
                assert!((0.0..=OnFace::WIDTH).contains(&one[0]) && (0.0..=OnFace::HEIGHT).contains(&one[1]));
            }
        }
        let numbers = elements(&drawn[0], "level");
        let xs = numbers_of(&numbers, "x");
        assert!(xs.windows(2).all(|pair| pair[1] > pair[0] + 20.0), "outward toward the heel: {xs:?}");
        assert!(drawn[0].contains("80 in 100") && drawn[0].contains(" yd ("));
    }
}
