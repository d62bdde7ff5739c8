//! Figures: drawings as SVG, the same on screen and on paper, each with a title and a text alternative.

mod before_after;
mod club;
mod cost_ladder;
mod day_readings;
mod face;
mod face_map;
mod fit_curve;
mod flights;
mod gap_ladder;
mod ladder;
mod strike_map;

pub use before_after::{BEFORE_AFTER_MARKS, BEFORE_AFTER_NAME, before_after};
pub use club::club;
pub use cost_ladder::cost_ladder;
pub use day_readings::day_readings;
pub use face::{OnFace, face, face_sides};
pub use face_map::face_map;
pub use fit_curve::fit_curve;
pub use flights::{FlightLine, flights};
pub use gap_ladder::gap_ladder;
pub use ladder::ladder;
pub use strike_map::strike_map;

use maud::{Markup, html};
use quantity::{InchStep, Length};
use trial::Base;

/// A drawing's size and what it says to those who do not see it.
pub(crate) struct Frame<'a> {
    pub(crate) id: &'a str,
    pub(crate) class: &'a str,
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) title: String,
    pub(crate) description: String,
}

impl Frame<'_> {
    /// Draws the content inside the frame.
    pub(crate) fn draw(&self, content: &Markup) -> Markup {
        let (title, description) = (format!("{}-title", self.id), format!("{}-text", self.id));
        html! {
            svg class=(self.class) viewBox=(format!("0 0 {} {}", self.width, self.height)) role="img"
                aria-labelledby=(format!("{title} {description}")) xmlns="http://www.w3.org/2000/svg" {
                title id=(title) { (self.title) }
                desc id=(description) { (self.description) }
                (content)
            }
        }
    }
}

/// A coordinate, to a tenth of a unit.
pub(crate) fn at(value: f64) -> String {
    let text = format!("{value:.1}");
    // a page has hundreds of these
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}

/// A straight line.
pub(crate) fn line(class: &str, from: (f64, f64), to: (f64, f64)) -> Markup {
    html! { line class=(class) x1=(at(from.0)) y1=(at(from.1)) x2=(at(to.0)) y2=(at(to.1)) {} }
}

/// A line with an open arrow head at its end, along the horizontal; too short for a line, only the head.
pub(crate) fn arrow(class: &str, from: f64, to: f64, y: f64) -> Markup {
    let back = if to > from { -6.0 } else { 6.0 };
    let head = format!(
        "M{} {} L{} {} L{} {}",
        at(to + back),
        at(y - 4.5),
        at(to),
        at(y),
        at(to + back),
        at(y + 4.5)
    );
    html! {
        (line(class, (from, y), (to, y)))
        path class=(class) d=(head) {}
    }
}

/// A dimension line with slim filled arrow heads at both ends.
pub(crate) fn dimension(from: f64, to: f64, y: f64) -> Markup {
    let tip = |x: f64, way: f64| format!("M{} {} l{} -2.4 v4.8 Z", at(x), at(y), at(way * 11.0));
    html! {
        (line("dim", (from, y), (to, y)))
        path class="solid" d=(format!("{} {}", tip(from, 1.0), tip(to, -1.0))) {}
    }
}

/// A count as a number to draw with.
pub(crate) fn as_f64(count: usize) -> f64 {
    u32::try_from(count).map_or(0.0, f64::from)
}

/// An offset as a mark on an axis, without its unit: `rule`, `+1/4`, `\u{2212}1/2`.
pub(crate) fn offset_mark(offset_in: f64, base: Base) -> String {
    let reading = Length::inches(offset_in).to_step(InchStep::Sixteenth);
    match (reading.whole, reading.numerator) {
        (0, 0) => base.mark().to_owned(),
        _ => format!("{}{}", reading.sign(true), reading.number().trim_start_matches('-'))
            .replace('-', "\u{2212}"),
    }
}

/// A scale that turns a quantity into a horizontal coordinate.
#[derive(Clone, Copy)]
pub(crate) struct Axis {
    pub(crate) least: f64,
    pub(crate) most: f64,
    pub(crate) left: f64,
    pub(crate) right: f64,
}

impl Axis {
    pub(crate) fn at(&self, value: f64) -> f64 {
        self.left + (value - self.least) / (self.most - self.least) * (self.right - self.left)
    }

    /// Marks from the first to the last multiple of `step` inside the scale.
    pub(crate) fn marks(&self, step: f64) -> Vec<f64> {
        let mut marks = Vec::new();
        let mut mark = (self.least / step).ceil() * step;
        while mark <= self.most + step * 1e-6 {
            marks.push(mark);
            mark += step;
        }
        marks
    }
}

#[cfg(test)]
mod tests {
    //! Reading a drawing back, and trials to draw.

    use trial::{Analysis, Settings, Strike, Strikes};

    /// One of the simulated trials the trial's own tests use.
    pub(crate) fn trial(number: usize, settings: Settings) -> Analysis {
        const FILES: [&str; 5] = [
            include_str!("../../trial/tests/trials/open-1.csv"),
            include_str!("../../trial/tests/trials/open-2.csv"),
            include_str!("../../trial/tests/trials/open-3.csv"),
            include_str!("../../trial/tests/trials/open-4.csv"),
            include_str!("../../trial/tests/trials/open-5.csv"),
        ];
        Analysis::of(Strikes::new(balls_of(FILES[number - 1])).unwrap(), settings).unwrap()
    }

    /// Three balls of each of three lengths on one day: nothing can be said.
    pub(crate) fn few_balls() -> Analysis {
        let strikes = (0..9_u32).map(|ball| Strike {
            session: 1,
            order: ball + 1,
            offset_in: f64::from(ball % 3) * 0.5 - 0.5,
            x_mm: f64::from(ball * 7 % 11) - 5.0,
            y_mm: f64::from(ball * 5 % 13) - 6.0,
        });
        Analysis::of(Strikes::new(strikes.collect()).unwrap(), Settings::default()).unwrap()
    }

    /// A trial of 600 balls: the largest of the simulated ones four times over, each time a little to one side.
    pub(crate) fn many_balls() -> Analysis {
        let of_one = balls_of(include_str!("../../trial/tests/trials/open-5.csv"));
        let shifted = |time: u32| {
            of_one.iter().map(move |ball| Strike {
                session: ball.session + 3 * time,
                x_mm: ball.x_mm + 0.3 * f64::from(time),
                ..*ball
            })
        };
        Analysis::of(Strikes::new((0..4).flat_map(shifted).collect()).unwrap(), Settings::default()).unwrap()
    }

    fn balls_of(file: &str) -> Vec<Strike> {
        let rows = file.lines().skip(1).map(|row| row.split(',').collect::<Vec<_>>());
        rows.map(|row| Strike {
            session: row[0].parse().unwrap(),
            order: row[1].parse().unwrap(),
            offset_in: row[2].parse().unwrap(),
            x_mm: row[3].parse().unwrap(),
            y_mm: row[4].parse().unwrap(),
        })
        .collect()
    }

    /// What a reader is told: no tags, single plain spaces.
    pub(crate) fn words(markup: &str) -> String {
        let mut plain = String::new();
        for part in markup.split('<').skip(1) {
            let (tag, text) = part.split_once('>').unwrap();
            // a fraction stands in its own element, close to its number
            if !tag.contains("span") {
                plain.push(' ');
            }
            plain.push_str(text);
        }
        plain.replace('\u{2212}', "-").split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// An attribute of several elements, as numbers.
    pub(crate) fn numbers_of(elements: &[&str], name: &str) -> Vec<f64> {
        elements.iter().map(|element| attribute(element, name).parse().unwrap()).collect()
    }

    /// The value of the first attribute of this name.
    pub(crate) fn attribute<'a>(drawing: &'a str, name: &str) -> &'a str {
        let start = drawing.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
        drawing[start..].split('"').next().unwrap()
    }

    /// Every element with this class, from its tag's name to the end of the tag.
    pub(crate) fn elements<'a>(drawing: &'a str, class: &str) -> Vec<&'a str> {
        drawing
            .split('<')
            .filter(|element| element.contains(&format!("class=\"{class}\"")))
            .map(|element| element.split('>').next().unwrap())
            .collect()
    }

    /// The data of every path with this class.
    pub(crate) fn paths(drawing: &str, class: &str) -> Vec<String> {
        let of_class = elements(drawing, class);
        of_class
            .iter()
            .filter(|element| element.starts_with("path"))
            .map(|path| attribute(path, "d").to_owned())
            .collect()
    }

    /// All numbers of a path.
    pub(crate) fn numbers(path: &str) -> Vec<f64> {
        path.split(|sign: char| !(sign.is_ascii_digit() || sign == '.' || sign == '-'))
            .filter(|number| !number.is_empty())
            .map(|number| number.parse().unwrap())
            .collect()
    }
}
