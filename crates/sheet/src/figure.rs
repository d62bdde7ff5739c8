//! Figures: drawings as SVG, the same on screen and on paper, each with a title and a text alternative.

mod before_after;
mod club;
mod face;
mod ladder;

pub use before_after::{BEFORE_AFTER_MARKS, BEFORE_AFTER_NAME, before_after};
pub use club::club;
pub use face::{OnFace, face, face_sides};
pub use ladder::ladder;

use maud::{Markup, html};

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
    format!("{value:.1}")
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
    //! Reading a drawing back.

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
