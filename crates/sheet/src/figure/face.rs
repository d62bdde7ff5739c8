//! The face of an iron, to scale, seen from the front: where a strike lies on it.
//!
//! Places are millimetres from the sweet spot, toe and high positive, for either hand. A right-hander's toe stands on
//! the left of the drawing, a left-hander's on the right. The head stands as at address: score lines level, the hosel
//! leaning away at the lie. The outline is a plain middle iron of no maker, for the eye; what is to scale is the
//! distance between places, and the pitch of the score lines.

use super::{at, line};
use fitting::Handedness;
use maud::{Markup, html};

/// How far the drawing reaches from the sweet spot, mm.
const TOE_MM: f64 = 48.0;
const HEEL_MM: f64 = 61.0;
const HIGH_MM: f64 = 37.0;
const LOW_MM: f64 = 25.0;
/// Arm of the cross at the sweet spot, mm.
const CROSS_MM: f64 = 4.0;
/// The score area between heel and toe, and its lower edge, mm.
const SCORED: (f64, f64) = (-27.0, 26.0);
const SCORED_LOW: f64 = -16.0;
/// A score line ends this far inside the area, mm; below it in length it is left out.
const INSET: f64 = 1.6;
const SHORTEST: f64 = 9.0;
/// Pitches that can be drawn, mm: below, lines would run into one another.
const LEAST_PITCH_MM: f64 = 1.0;

/// A step of an outline: a path command and its points, mm toward the toe and above.
type Step = (char, &'static [(f64, f64)]);

/// Sole from the heel, toe, top line, hosel with its break, back to the heel.
const OUTLINE: &[Step] = &[
    ('M', &[(-31.0, -17.2)]),
    ('C', &[(-15.0, -19.8), (9.0, -20.2), (27.0, -18.2)]),
    ('C', &[(36.0, -17.0), (41.6, -10.0), (43.3, 0.0)]),
    ('C', &[(45.0, 10.5), (44.6, 20.0), (41.6, 26.6)]),
    ('C', &[(39.0, 32.2), (34.6, 33.4), TOP_AT_TOE]),
    ('L', &[TOP_AT_HEEL]),
    ('C', &[(-32.6, 6.1), (-36.8, 6.8), (-39.4, 11.0)]),
    ('L', &[(-47.6, 26.4)]),
    ('C', &[(-50.4, 26.6), (-55.6, 20.2), (-58.9, 20.4)]),
    ('L', &[(-44.8, -6.0)]),
    ('C', &[(-42.6, -10.2), (-38.0, -16.1), (-31.0, -17.2)]),
];
/// The ends of the straight top line, and its rise toward the toe.
const TOP_AT_TOE: (f64, f64) = (29.0, 31.4);
const TOP_AT_HEEL: (f64, f64) = (-28.0, 8.0);
const TOP_RISE: f64 = (TOP_AT_TOE.1 - TOP_AT_HEEL.1) / (TOP_AT_TOE.0 - TOP_AT_HEEL.0);
/// How far the score area keeps below the top line, mm.
const BELOW_TOP: f64 = 2.4;

/// Turns places on the face into drawing units and back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnFace {
    toward_toe: f64,
}

impl OnFace {
    /// Drawing units a millimetre: a whole unit is a tenth.
    pub const UNITS_PER_MM: f64 = 10.0;
    /// Width of the drawing, units.
    pub const WIDTH: f64 = (TOE_MM + HEEL_MM) * Self::UNITS_PER_MM;
    /// Height of the drawing, units.
    pub const HEIGHT: f64 = (HIGH_MM + LOW_MM) * Self::UNITS_PER_MM;

    /// The face of this golfer's clubs.
    #[must_use]
    pub fn of(plays: Handedness) -> Self {
        Self {
            toward_toe: match plays {
                Handedness::Right => -1.0,
                Handedness::Left => 1.0,
            },
        }
    }

    /// Which way the toe lies in the drawing: -1 left, +1 right.
    #[must_use]
    pub fn toward_toe(&self) -> f64 {
        self.toward_toe
    }

    /// The sweet spot, units.
    #[must_use]
    pub fn centre(&self) -> (f64, f64) {
        let left = if self.toward_toe < 0.0 { TOE_MM } else { HEEL_MM };
        (left * Self::UNITS_PER_MM, HIGH_MM * Self::UNITS_PER_MM)
    }

    /// Where a place is drawn, units.
    #[must_use]
    pub fn at(&self, toe_mm: f64, high_mm: f64) -> (f64, f64) {
        let (x, y) = self.centre();
        (x + self.toward_toe * toe_mm * Self::UNITS_PER_MM, y - high_mm * Self::UNITS_PER_MM)
    }

    /// The place of a point of the drawing, mm toward the toe and above.
    #[must_use]
    pub fn place(&self, x: f64, y: f64) -> (f64, f64) {
        let centre = self.centre();
        (self.toward_toe * (x - centre.0) / Self::UNITS_PER_MM, (centre.1 - y) / Self::UNITS_PER_MM)
    }

    /// Whether a place lies inside the drawing.
    #[must_use]
    pub fn holds(&self, toe_mm: f64, high_mm: f64) -> bool {
        (-HEEL_MM..=TOE_MM).contains(&toe_mm) && (-LOW_MM..=HIGH_MM).contains(&high_mm)
    }

    fn path(&self, steps: &[Step]) -> String {
        let mut path = String::new();
        for (command, points) in steps {
            path.push(*command);
            let points: Vec<String> = points
                .iter()
                .map(|(toe, high)| {
                    let (x, y) = self.at(*toe, *high);
                    format!("{x:.0} {y:.0}")
                })
                .collect();
            path.push_str(&points.join(" "));
        }
        path.push('Z');
        path
    }
}

/// Draws the face alone, for marks to be set on.
///
/// The `data-` attributes carry what a script needs to tell a pointer's place in millimetres: `data-scale` in drawing
/// units a millimetre, `data-centre-x` and `data-centre-y` in drawing units, `data-toe` -1 or +1 for the toe on the left
/// or on the right. Toward the toe is (x − centre) / scale · toe, high is (centre − y) / scale.
#[must_use]
pub fn face(plays: Handedness, pitch_mm: f64, id: &str) -> Markup {
    let on = OnFace::of(plays);
    let (x, y) = on.centre();
    let (title, description) = (format!("{id}-title"), format!("{id}-text"));
    let (toe_side, heel_side) = match plays {
        Handedness::Right => ("left", "right"),
        Handedness::Left => ("right", "left"),
    };
    html! {
        svg id=(id) class="face" viewBox=(format!("0 0 {} {}", OnFace::WIDTH, OnFace::HEIGHT)) role="img"
            aria-labelledby=(format!("{title} {description}")) xmlns="http://www.w3.org/2000/svg"
            data-scale=(OnFace::UNITS_PER_MM) data-centre-x=(x) data-centre-y=(y) data-toe=(on.toward_toe()) {
            title id=(title) { "The face of the club seen from the front, to scale" }
            desc id=(description) {
                (format!(
                    "Toe on the {toe_side}, heel and hosel on the {heel_side}; score lines {pitch_mm:.1} mm apart; the cross \
                     is the sweet spot."
                ))
            }
            (head(&on, pitch_mm))
            (sweet_spot(&on))
        }
    }
}

/// The words that name the sides, to stand under a face: they keep their size when the drawing changes its own.
#[must_use]
pub fn face_sides(plays: Handedness) -> Markup {
    let (left, right) = match plays {
        Handedness::Right => ("Toe", "Heel"),
        Handedness::Left => ("Heel", "Toe"),
    };
    html! { p class="sides" { span { (left) } span { (right) } } }
}

/// The outline as a path.
pub(crate) fn outline(on: &OnFace) -> String {
    on.path(OUTLINE)
}

/// Outline, score area and score lines.
pub(crate) fn head(on: &OnFace, pitch_mm: f64) -> Markup {
    html! {
        path class="body" d=(outline(on)) {}
        path class="score" d=(score_area(on)) {}
        path class="score" d=(score_lines(on, pitch_mm)) {}
    }
}

/// The cross.
pub(crate) fn sweet_spot(on: &OnFace) -> Markup {
    html! {
        (line("wanted", on.at(-CROSS_MM, 0.0), on.at(CROSS_MM, 0.0)))
        (line("wanted", on.at(0.0, -CROSS_MM), on.at(0.0, CROSS_MM)))
    }
}

/// Upper edge of the score area, mm above the sweet spot.
fn score_top(toe_mm: f64) -> f64 {
    TOP_AT_TOE.1 + (toe_mm - TOP_AT_TOE.0) * TOP_RISE - BELOW_TOP
}

fn score_area(on: &OnFace) -> String {
    let (heel, toe) = SCORED;
    let corners = [(heel, SCORED_LOW), (toe, SCORED_LOW), (toe, score_top(toe)), (heel, score_top(heel))];
    let corners: Vec<String> = corners
        .into_iter()
        .map(|(toe, high)| {
            let (x, y) = on.at(toe, high);
            format!("{x:.0} {y:.0}")
        })
        .collect();
    format!("M{}Z", corners.join("L"))
}

/// Score lines at their pitch from the lowest upward, each as long as the area lets it be.
fn score_lines(on: &OnFace, pitch_mm: f64) -> String {
    if !(LEAST_PITCH_MM..=LOW_MM).contains(&pitch_mm) {
        return String::new();
    }
    let (heel, toe) = (SCORED.0 + INSET, SCORED.1 - INSET);
    let mut lines = String::new();
    let mut high = SCORED_LOW + INSET;
    loop {
        // where the upper edge has come down to this line
        let under_top = TOP_AT_TOE.0 + (high + INSET + BELOW_TOP - TOP_AT_TOE.1) / TOP_RISE;
        let start = heel.max(under_top);
        if toe - start < SHORTEST {
            return lines;
        }
        let ((from, y), (to, _)) = (on.at(start, high), on.at(toe, high));
        lines.push_str(&format!("M{} {}H{}", at(from), at(y), at(to)));
        high += pitch_mm;
    }
}

#[cfg(test)]
mod tests {
    use super::{OnFace, face, face_sides, score_lines};
    use crate::figure::tests::{attribute, numbers, paths};
    use fitting::Handedness;

    #[test]
    fn a_place_and_its_point_are_each_others() {
        for plays in [Handedness::Right, Handedness::Left] {
            let on = OnFace::of(plays);
            for (toe, high) in [(0.0, 0.0), (12.5, -7.3), (-30.0, 15.0)] {
                let (x, y) = on.at(toe, high);
                let back = on.place(x, y);
                assert!((back.0 - toe).abs() < 1e-9 && (back.1 - high).abs() < 1e-9, "{back:?}");
            }
            assert!(on.holds(40.0, 30.0) && !on.holds(49.0, 0.0) && !on.holds(0.0, -26.0));
        }
    }

    #[test]
    fn the_toe_is_on_the_left_for_a_right_hander_and_mirrored_for_a_left_hander() {
        let (right, left) = (OnFace::of(Handedness::Right), OnFace::of(Handedness::Left));
        assert!(right.at(10.0, 0.0).0 < right.centre().0);
        assert!(left.at(10.0, 0.0).0 > left.centre().0);
        let (one, other) = (right.at(17.0, 4.0), left.at(17.0, 4.0));
        assert!((one.0 + other.0 - OnFace::WIDTH).abs() < 1e-9 && (one.1 - other.1).abs() < 1e-9);
        assert!(face_sides(Handedness::Left).into_string().contains("<span>Heel</span><span>Toe</span>"));
    }

    #[test]
    fn the_attributes_of_a_face_tell_a_pointers_place() {
        for plays in [Handedness::Right, Handedness::Left] {
            let drawn = face(plays, 3.2, "strike").into_string();
            let read = |name: &str| attribute(&drawn, name).parse::<f64>().unwrap();
            // a point 5 mm toward the toe and 2 mm up, told the way a script does
            let (x, y) = OnFace::of(plays).at(5.0, 2.0);
            let toe = (x - read("data-centre-x")) / read("data-scale") * read("data-toe");
            let high = (read("data-centre-y") - y) / read("data-scale");
            assert!((toe - 5.0).abs() < 1e-9 && (high - 2.0).abs() < 1e-9);
        }
    }

    #[test]
    fn everything_drawn_lies_inside_the_drawing() {
        let drawn = face(Handedness::Left, 3.175, "strike").into_string();
        let outline = numbers(&paths(&drawn, "body")[0]);
        assert_eq!(outline.len() % 2, 0);
        for point in outline.chunks(2) {
            assert!(
                (0.0..=OnFace::WIDTH).contains(&point[0]) && (0.0..=OnFace::HEIGHT).contains(&point[1]),
                "{point:?}"
            );
        }
        // from toe to heel an iron's sole is near 80 mm; with its hosel near 100
        let across = outline.chunks(2).map(|point| point[0]);
        let wide = across.clone().fold(0.0, f64::max) - across.fold(f64::INFINITY, f64::min);
        assert!((980.0..1060.0).contains(&wide), "{wide}");
    }

    #[test]
    fn score_lines_stand_at_their_pitch_to_scale() {
        let on = OnFace::of(Handedness::Right);
        for pitch_mm in [3.175, 2.0, 5.0] {
            let lines = score_lines(&on, pitch_mm);
            let heights: Vec<f64> = lines.split('M').skip(1).map(|line| numbers(line)[1]).collect();
            assert!(heights.len() > 6);
            for pair in heights.windows(2) {
                // both ends are written to a tenth of a unit
                assert!(
                    (pair[0] - pair[1] - pitch_mm * OnFace::UNITS_PER_MM).abs() <= 0.1 + 1e-9,
                    "{pair:?}"
                );
            }
        }
        assert_eq!(score_lines(&on, 0.0), "");
        assert_eq!(score_lines(&on, f64::NAN), "");
    }
}
