//! Where the strikes lie on the face, a panel for each length tried: same face, same scale.
//!
//! Dots are balls. The ellipse is the model's and holds half of the shots: it stands about the mean strike of that length
//! on a usual day, as wide as single balls scatter. The means of the days, as they were hit, are numbered; about each a
//! faint outline shows its standard error. Places off the drawing are counted in words.

use super::face::{OnFace, face_sides, head, sweet_spot};
use super::{as_f64, at};
use crate::offset_words;
use crate::words::{list, rich};
use fitting::Handedness;
use maud::{Markup, html};
use std::fmt::Write as _;
use trial::{Analysis, Axis, Strike, is_same_length};

/// Balls from which a panel shows more than its dots.
const FEWEST_FOR_A_PATTERN: usize = 8;
/// Days that can be told apart in one panel; with more there are dots and ellipse only.
const MOST_DAYS_TOLD: usize = 5;
/// Half of the shots lie within this many standard deviations, by the Student share of each axis.
///
/// Derived: the radius that holds half, by integration, of two axes that scatter apart, each normal (n) or as Student's
/// t with four degrees of freedom (t), in their own standard deviations. Between, straight: 1 in 1000 off at the middle.
const HALF_WITHIN: [f64; 3] = [1.1774, 1.0701, 0.9531];
/// z of an interval that holds 80 in 100. Definition.
const EIGHTY_IN_100: f64 = 1.2816;
/// Room a day's number takes, mm: half its width and half its height as a small panel shows it.
const NUMBER_MM: (f64, f64) = (2.6, 3.4);

/// Draws the panels, with a caption each and one for all of them.
#[must_use]
pub fn face_map(analysis: &Analysis, plays: Handedness, pitch_mm: f64) -> Markup {
    let on = OnFace::of(plays);
    let panels: Vec<Panel> =
        analysis.strikes.offsets_in().iter().map(|offset| Panel::of(analysis, *offset)).collect();
    let is_even = panels.len().is_multiple_of(2) && !panels.len().is_multiple_of(3);
    let has_days = panels.iter().any(|panel| !panel.days.is_empty());
    html! {
        figure class="face-map" {
            div class=(if is_even { "faces even" } else { "faces" }) {
                @for (place, panel) in panels.iter().enumerate() {
                    figure {
                        figcaption { b { (rich(&panel.name)) } ", " (panel.words()) }
                        (panel.draw(&on, pitch_mm, place))
                        (face_sides(plays))
                    }
                }
            }
            figcaption {
                "Dots are balls, the cross is the sweet spot. The ellipse is the model’s, not the dots’: half of the shots \
                 on a usual day."
                @if has_days {
                    span class="of-days" { " A number marks the mean of its day; the faint outline is the standard error." }
                }
            }
        }
    }
}

/// The balls of one length.
struct Panel {
    /// The length in words.
    name: String,
    balls: Vec<(f64, f64)>,
    /// Nothing below a handful of balls.
    model: Option<Pattern>,
    /// The days' means; none when there is no pattern, or too many days to tell apart.
    days: Vec<DayMean>,
}

/// What the model says of one length, mm, along each axis.
struct Pattern {
    mean: [f64; 2],
    /// How far the mean may be off, 80 in 100.
    within: [f64; 2],
    half_axes: [f64; 2],
}

struct DayMean {
    session: u32,
    balls: usize,
    mean: (f64, f64),
    error: [f64; 2],
}

impl Panel {
    fn of(analysis: &Analysis, offset_in: f64) -> Self {
        let of_length = |strikes: &[Strike]| -> Vec<(f64, f64)> {
            let of_length = strikes.iter().filter(|strike| is_same_length(strike.offset_in, offset_in));
            of_length.map(|strike| (strike.x_mm, strike.y_mm)).collect()
        };
        let of_days: Vec<(u32, Vec<(f64, f64)>)> =
            analysis.strikes.days().iter().map(|day| (day.session, of_length(&day.strikes))).collect();
        let balls: Vec<(f64, f64)> = of_days.iter().flat_map(|(_, balls)| balls.iter().copied()).collect();
        let model = (balls.len() >= FEWEST_FOR_A_PATTERN).then(|| Pattern::of(analysis, offset_in));
        let hit = of_days.iter().filter(|(_, balls)| !balls.is_empty());
        let days = if model.is_some() && (2..=MOST_DAYS_TOLD).contains(&hit.clone().count()) {
            hit.map(|(session, balls)| DayMean::of(*session, balls, analysis.ball_sd_mm)).collect()
        } else {
            Vec::new()
        };
        let name = offset_words(offset_in, analysis.settings.base);
        Self { name, balls, model, days }
    }

    fn outside(&self) -> usize {
        let on = OnFace::of(Handedness::Right);
        self.balls.iter().filter(|(toe, high)| !on.holds(*toe, *high)).count()
    }

    /// The caption after the length.
    fn words(&self) -> String {
        let balls = balls_said(self.balls.len());
        let few = if self.model.is_none() { ", too few for a pattern" } else { "" };
        let outside = match self.outside() {
            0 => String::new(),
            outside => format!(", {outside} of them off the drawing"),
        };
        format!("{balls}{few}{outside}")
    }

    fn draw(&self, on: &OnFace, pitch_mm: f64, place: usize) -> Markup {
        let id = format!("face-map-{}", place + 1);
        let (title, description) = (format!("{id}-title"), format!("{id}-text"));
        html! {
            svg class="face" viewBox=(format!("0 0 {} {}", OnFace::WIDTH, OnFace::HEIGHT)) role="img"
                aria-labelledby=(format!("{title} {description}")) xmlns="http://www.w3.org/2000/svg" {
                title id=(title) { "Strikes on the face at " (self.name) ", mm from the sweet spot" }
                desc id=(description) { (self.description()) }
                (head(on, pitch_mm))
                path class="marks" d=(dots(on, &self.balls)) {}
                (sweet_spot(on))
                @if let Some(model) = &self.model { (ellipse(on, "half", (model.mean[0], model.mean[1]), model.half_axes)) }
                @if !self.days.is_empty() { g class="of-days" { (self.draw_days(on)) } }
            }
        }
    }

    fn draw_days(&self, on: &OnFace) -> Markup {
        let marks: Vec<(f64, f64)> = self.days.iter().map(|day| day.mean).collect();
        html! {
            @for day in &self.days { (ellipse(on, "error", day.mean, day.error)) }
            path class="day-mark" d=(dots(on, &marks)) {}
            @for (day, (toe, high)) in self.days.iter().zip(number_places(&marks)) {
                @let (x, y) = on.at(toe, high);
                text class="day-number" x=(at(x)) y=(at(y)) text-anchor="middle" dominant-baseline="central" {
                    (day.session)
                }
            }
        }
    }

    fn description(&self) -> String {
        let Some(model) = &self.model else { return format!("{}.", self.words()) };
        let [toe, high] = model.mean;
        let days: Vec<String> = self
            .days
            .iter()
            .map(|day| format!("day {} {} ({})", day.session, place_said(day.mean), balls_said(day.balls)))
            .collect();
        let of_days =
            if days.is_empty() { String::new() } else { format!(" Means of the days: {}.", list(&days)) };
        format!(
            "{}. By the model the mean strike lies {}, give or take {:.0} and {:.0} mm, 80 in 100; half of the shots lie in an \
             ellipse {:.0} mm to either side of it and {:.0} mm up and down.{of_days}",
            self.words(),
            place_said((toe, high)),
            model.within[0],
            model.within[1],
            model.half_axes[0],
            model.half_axes[1],
        )
    }
}

impl Pattern {
    fn of(analysis: &Analysis, offset_in: f64) -> Self {
        let moments = Axis::BOTH.map(|axis| analysis.posterior.moments(axis));
        let reach = half_within(analysis);
        Self {
            mean: moments.map(|line| line.mean.level + line.mean.slope * offset_in),
            within: moments.map(|line| {
                let sure = line.covariance();
                let variance = sure.level + offset_in * (2.0 * sure.both + offset_in * sure.slope);
                EIGHTY_IN_100 * variance.max(0.0).sqrt()
            }),
            half_axes: analysis.ball_sd_mm.map(|sd| sd * reach),
        }
    }
}

/// How many standard deviations hold half of the shots.
///
/// The Student share of an axis is read off how far its standard deviation lies over the mean scale of its scatter: not
/// at all when all of it is normal, by sqrt(2) when all of it is Student's.
fn half_within(analysis: &Analysis) -> f64 {
    let [toe, high] = Axis::BOTH.map(|axis| {
        let scale = analysis.posterior.mean_of_spread(axis, |spread| spread.scatter);
        let widened = analysis.posterior.ball_sd(axis) / scale;
        ((widened - 1.0) / (std::f64::consts::SQRT_2 - 1.0)).clamp(0.0, 1.0)
    });
    let [neither, one, both] = HALF_WITHIN;
    (1.0 - toe) * (1.0 - high) * neither + (toe + high - 2.0 * toe * high) * one + toe * high * both
}

impl DayMean {
    fn of(session: u32, balls: &[(f64, f64)], ball_sd_mm: [f64; 2]) -> Self {
        let n = as_f64(balls.len());
        let (toe, high) = balls.iter().fold((0.0, 0.0), |sum, ball| (sum.0 + ball.0, sum.1 + ball.1));
        Self {
            session,
            balls: balls.len(),
            mean: (toe / n, high / n),
            error: ball_sd_mm.map(|sd| sd / n.sqrt()),
        }
    }
}

/// All balls as one path of strokes without length, whose round ends are the dots.
pub(crate) fn dots(on: &OnFace, balls: &[(f64, f64)]) -> String {
    let mut path = String::with_capacity(balls.len() * 11);
    for (toe, high) in balls.iter().filter(|(toe, high)| on.holds(*toe, *high)) {
        let (x, y) = on.at(*toe, *high);
        // writing to a string cannot fail
        let _ = write!(path, "M{x:.0} {y:.0}h0");
    }
    path
}

fn ellipse(on: &OnFace, class: &str, middle: (f64, f64), half_axes: [f64; 2]) -> Markup {
    let (x, y) = on.at(middle.0, middle.1);
    let [across, up] = half_axes.map(|axis| axis * OnFace::UNITS_PER_MM);
    html! { ellipse class=(class) cx=(at(x)) cy=(at(y)) rx=(at(across)) ry=(at(up)) {} }
}

/// Where the days' numbers stand, mm: beside their marks, clear of the sweet spot, of the other marks and of one another
/// where there is room, and of such sides the one farthest from the others.
fn number_places(marks: &[(f64, f64)]) -> Vec<(f64, f64)> {
    const SIDES: [(f64, f64); 8] = [
        (1.0, 0.0),
        (-1.0, 0.0),
        (0.0, 1.0),
        (0.0, -1.0),
        (0.8, 0.8),
        (-0.8, 0.8),
        (0.8, -0.8),
        (-0.8, -0.8),
    ];
    let n = as_f64(marks.len());
    let middle = marks.iter().fold((0.0, 0.0), |sum, mark| (sum.0 + mark.0 / n, sum.1 + mark.1 / n));
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for mark in marks {
        let outward = (mark.0 - middle.0, mark.1 - middle.1);
        let sides =
            SIDES.map(|(toe, high)| (mark.0 + toe * 1.6 * NUMBER_MM.0, mark.1 + high * 1.5 * NUMBER_MM.1));
        let crowding = |place: (f64, f64)| {
            let of_marks: f64 = marks.iter().map(|other| overlap(place, *other, 1.3)).sum();
            let of_numbers: f64 = taken.iter().map(|other| overlap(place, *other, 2.0)).sum();
            // two numbers in one place cannot be read at all
            of_marks + 4.0 * of_numbers + overlap(place, (0.0, 0.0), 2.0)
        };
        let away = |place: (f64, f64)| (place.0 - mark.0) * outward.0 + (place.1 - mark.1) * outward.1;
        let best = sides.into_iter().min_by(|one, other| {
            crowding(*one).total_cmp(&crowding(*other)).then(away(*other).total_cmp(&away(*one)))
        });
        taken.push(best.unwrap_or(*mark));
    }
    taken
}

/// How much a number at one place covers another that takes `room` of its own half-sizes, mm².
fn overlap(place: (f64, f64), other: (f64, f64), room: f64) -> f64 {
    let across = (room * NUMBER_MM.0 - (place.0 - other.0).abs()).max(0.0);
    let up = (room * NUMBER_MM.1 - (place.1 - other.1).abs()).max(0.0);
    across * up
}

fn balls_said(balls: usize) -> String {
    if balls == 1 { "1 ball".to_owned() } else { format!("{balls} balls") }
}

/// A place in words: `3 mm toward the toe and 1 mm low`.
fn place_said((toe, high): (f64, f64)) -> String {
    let along = |mm: f64, positive: &str, negative: &str| {
        if mm.abs() < 0.5 {
            None
        } else {
            Some(format!("{:.0} mm {}", mm.abs(), if mm > 0.0 { positive } else { negative }))
        }
    };
    let parts: Vec<String> = [along(toe, "toward the toe", "toward the heel"), along(high, "high", "low")]
        .into_iter()
        .flatten()
        .collect();
    if parts.is_empty() { "on the sweet spot".to_owned() } else { list(&parts) }
}

#[cfg(test)]
mod tests {
    use super::{HALF_WITHIN, face_map, half_within, number_places};
    use crate::figure::face::OnFace;
    use crate::figure::tests::{elements, few_balls, many_balls, numbers, numbers_of, paths, trial, words};
    use crate::figure::{cost_ladder, fit_curve};
    use fitting::Handedness;
    use trial::{Axis, Settings, is_same_length};

    const PITCH_MM: f64 = 3.175;

    #[test]
    fn every_ball_is_a_dot_at_its_place_on_the_panel_of_its_length() {
        let analysis = trial(1, Settings::default());
        for plays in [Handedness::Right, Handedness::Left] {
            let on = OnFace::of(plays);
            let panels = paths(&face_map(&analysis, plays, PITCH_MM).into_string(), "marks");
            assert_eq!(panels.len(), analysis.strikes.offsets_in().len());
            for (panel, offset) in panels.iter().zip(analysis.strikes.offsets_in()) {
                let strikes = analysis.strikes.days().iter().flat_map(|day| &day.strikes);
                let wanted: Vec<(f64, f64)> = strikes
                    .filter(|strike| {
                        is_same_length(strike.offset_in, *offset) && on.holds(strike.x_mm, strike.y_mm)
                    })
                    .map(|strike| on.at(strike.x_mm, strike.y_mm))
                    .collect();
                let dots: Vec<Vec<f64>> = panel.split('M').skip(1).map(numbers).collect();
                assert_eq!(dots.len(), wanted.len());
                for (dot, (x, y)) in dots.iter().zip(wanted) {
                    // half a unit: a twentieth of a millimetre
                    assert!((dot[0] - x).abs() <= 0.5 && (dot[1] - y).abs() <= 0.5);
                }
            }
        }
    }

    #[test]
    fn the_ellipse_stands_where_the_model_puts_the_mean_strike() {
        let analysis = trial(1, Settings::default());
        let on = OnFace::of(Handedness::Right);
        let map = face_map(&analysis, Handedness::Right, PITCH_MM).into_string();
        let ellipses = elements(&map, "half");
        let means = Axis::BOTH.map(|axis| analysis.posterior.moments(axis).mean);
        for (ellipse, offset) in ellipses.iter().zip(analysis.strikes.offsets_in()) {
            let [toe, high] = means.map(|line| line.level + line.slope * offset);
            let read = |name| numbers_of(&[*ellipse], name)[0];
            let (x, y) = on.place(read("cx"), read("cy"));
            assert!((x - toe).abs() < 0.01 && (y - high).abs() < 0.01, "{x} {toe}");
            let [across, up] =
                analysis.ball_sd_mm.map(|sd| sd * half_within(&analysis) * OnFace::UNITS_PER_MM);
            assert!((read("rx") - across).abs() < 0.1 && (read("ry") - up).abs() < 0.1);
        }
        assert_eq!(ellipses.len(), analysis.strikes.offsets_in().len());
    }

    /// Share of balls within `reach` standard deviations, by integration over one axis of what the other leaves.
    fn share_within(reach: f64, density: impl Fn(f64) -> f64, below: impl Fn(f64) -> f64) -> f64 {
        let cells = 4_000;
        let width = 2.0 * reach / f64::from(cells);
        (0..cells)
            .map(|cell| {
                let at = -reach + (f64::from(cell) + 0.5) * width;
                density(at) * (2.0 * below((reach * reach - at * at).sqrt()) - 1.0) * width
            })
            .sum()
    }

    #[test]
    fn half_of_the_shots_lie_within_the_ellipse() {
        // closed forms: t with 4 degrees of freedom has F(t) = 1/2 + 3/4·(u − u³/3), u = t/sqrt(4 + t²); in its own
        // standard deviations t = sqrt(2)·z
        let root = std::f64::consts::SQRT_2;
        let student = |z: f64| root * 0.375 * (1.0 + z * z / 2.0).powf(-2.5);
        let below = |z: f64| {
            let u = root * z / (4.0 + 2.0 * z * z).sqrt();
            0.5 + 0.75 * (u - u * u * u / 3.0)
        };
        let normal = |z: f64| (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
        let [neither, one, both] = HALF_WITHIN;
        // two normal axes: 1 − exp(−r²/2)
        assert!((1.0 - (-0.5 * neither * neither).exp() - 0.5).abs() < 1e-4);
        assert!((share_within(one, normal, below) - 0.5).abs() < 1e-4);
        assert!((share_within(both, student, below) - 0.5).abs() < 1e-4);
    }

    #[test]
    fn a_panel_of_few_balls_shows_dots_only() {
        let map = face_map(&few_balls(), Handedness::Right, PITCH_MM).into_string();
        assert!(elements(&map, "half").is_empty() && elements(&map, "day-number").is_empty());
        assert!(words(&map).contains("3 balls, too few for a pattern"), "{}", words(&map));
    }

    #[test]
    fn a_left_handers_map_names_the_other_side_and_says_the_same() {
        let analysis = trial(4, Settings::default());
        let [right, left] = [Handedness::Right, Handedness::Left]
            .map(|plays| words(&face_map(&analysis, plays, PITCH_MM).into_string()));
        assert_eq!(right.replace("ToeHeel", "HeelToe"), left);
    }

    #[test]
    fn numbers_do_not_cover_one_another() {
        for marks in
            [[(0.0, -8.0), (0.5, -8.0), (1.0, -7.0)], [(10.0, 5.0); 3], [(-3.0, 0.0), (0.0, 0.0), (3.0, 0.0)]]
        {
            let places = number_places(&marks);
            for (place, one) in places.iter().enumerate() {
                for other in &places[place + 1..] {
                    assert!((one.0 - other.0).abs() > 2.0 || (one.1 - other.1).abs() > 2.5, "{places:?}");
                }
            }
        }
    }

    #[test]
    fn six_hundred_strikes_stay_under_40_kb_and_every_id_is_there_once() {
        let analysis = many_balls();
        assert_eq!(analysis.strikes.balls(), 600);
        let page = format!(
            "{}{}{}",
            face_map(&analysis, Handedness::Right, PITCH_MM).into_string(),
            fit_curve(&analysis).unwrap().into_string(),
            cost_ladder(&analysis).unwrap().into_string()
        );
        assert!(page.len() < 40_000, "{}", page.len());
        let mut ids: Vec<&str> =
            page.split(" id=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all);
        assert!(!page.contains("style="));
    }
}
