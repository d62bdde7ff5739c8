//! What each length costs over the least: expected, for the mean strike, a row for each length tried.
//!
//! The cost is the squared distance of the mean strike from the sweet spot, mm², or what a table of the studio's own
//! gives. The scale is drawn as square roots, so that what is near enough can be seen beside what is not; the value
//! stands written in each row. The length advised is a row even when it lies between those tried.

use super::{Axis, Frame, as_f64, at, line, offset_mark};
use crate::offset_words;
use crate::words::rich_svg;
use maud::{Markup, html};
use trial::{Analysis, Cost, Kind, is_same_length};

const ROW: f64 = 38.0;

/// Draws the ladder; `None` when nothing can be said.
#[must_use]
pub fn cost_ladder(analysis: &Analysis) -> Option<Markup> {
    if analysis.decision.kind == Kind::CannotSay {
        return None;
    }
    let rungs = rungs(analysis);
    Some(html! {
        div class="two-sizes" {
            (draw(analysis, &rungs, &WIDE))
            (draw(analysis, &rungs, &NARROW))
        }
    })
}

/// One length and what it costs over the least.
struct Rung {
    offset_in: f64,
    over_least: f64,
    is_tried: bool,
    is_advised: bool,
}

fn rungs(analysis: &Analysis) -> Vec<Rung> {
    let advised = analysis.decision.length_in;
    let tried = analysis.strikes.offsets_in();
    let mut lengths: Vec<(f64, bool)> = tried.iter().map(|offset| (*offset, true)).collect();
    if !tried.iter().any(|offset| is_same_length(*offset, advised)) {
        lengths.push((advised, false));
        lengths.sort_by(|one, other| one.0.total_cmp(&other.0));
    }
    let cost = analysis.settings.judging.cost.averaged(&analysis.posterior);
    let draws = &analysis.answer.draws;
    let expected: Vec<f64> = lengths
        .iter()
        .map(|(offset, _)| draws.iter().map(|draw| cost.of(draw, *offset)).sum::<f64>() / as_f64(draws.len()))
        .collect();
    let least = expected.iter().copied().fold(f64::INFINITY, f64::min);
    lengths
        .into_iter()
        .zip(expected)
        .map(|((offset_in, is_tried), cost)| Rung {
            offset_in,
            over_least: cost - least,
            is_tried,
            is_advised: is_same_length(offset_in, advised),
        })
        .collect()
}

/// What differs between the drawings.
struct Size {
    name: &'static str,
    class: &'static str,
    width: f64,
    left: f64,
    right: f64,
    /// Where a value ends.
    value: f64,
    /// Where the word of the advised length begins; under the value when there is no room beside.
    word: Option<f64>,
}

const WIDE: Size = Size {
    name: "wide",
    class: "for-wide",
    width: 720.0,
    left: 84.0,
    right: 500.0,
    value: 590.0,
    word: Some(606.0),
};
const NARROW: Size = Size {
    name: "narrow",
    class: "for-narrow",
    width: 320.0,
    left: 72.0,
    right: 232.0,
    value: 318.0,
    word: None,
};

fn draw(analysis: &Analysis, rungs: &[Rung], size: &Size) -> Markup {
    let unit = unit(analysis);
    let near_enough = analysis.settings.judging.near_enough;
    let most = rungs.iter().map(|rung| rung.over_least).fold(2.25 * near_enough, f64::max);
    let axis = Axis { least: 0.0, most: most.sqrt(), left: size.left, right: size.right };
    let top = 42.0;
    let row = if size.word.is_some() { ROW } else { ROW + 9.0 };
    let bottom = top + row * as_f64(rungs.len());
    let limit = axis.at(near_enough.sqrt());
    let frame = Frame {
        id: &format!("cost-ladder-{}", size.name),
        class: size.class,
        width: size.width,
        height: bottom + 54.0,
        title: format!(
            "Expected cost of each length over the least{}",
            if unit.is_empty() { "" } else { ", mm²" }
        ),
        description: description(analysis, rungs),
    };
    frame.draw(&html! {
        @for mark in marks(axis) {
            (line("rule", (axis.at(mark), top), (axis.at(mark), bottom)))
            text class="quiet" x=(at(axis.at(mark))) y=(at(bottom + 20.0)) text-anchor="middle" { (measured(mark * mark, 0)) }
        }
        (line("dim", (limit, 24.0), (limit, bottom)))
        text class="quiet" x=(at(limit + 6.0)) y="26" {
            "near enough, " (measured(near_enough, 0)) (unit)
        }
        text class="quiet" x=(at(size.left)) y=(at(bottom + 44.0)) {
            @if unit.is_empty() { "over the least, drawn as roots" } @else { "mm² over the least, drawn as roots" }
        }
        @for (place, rung) in rungs.iter().enumerate() {
            (rung.draw(analysis, size, axis, top + row * (as_f64(place) + 0.5)))
        }
    })
}

impl Rung {
    fn draw(&self, analysis: &Analysis, size: &Size, axis: Axis, y: f64) -> Markup {
        let x = axis.at(self.over_least.sqrt());
        let word = word(analysis, self);
        let (word_x, word_y, anchor) =
            size.word.map_or((size.value, y + 22.0, "end"), |x| (x, y + 5.0, "start"));
        html! {
            text x="0" y=(at(y + 5.0)) { (rich_svg(&offset_mark(self.offset_in, analysis.settings.base))) }
            (line("dim", (axis.left, y), (x, y)))
            @if self.is_advised {
                (line("wanted", (x, y - 15.0), (x, y + 15.0)))
                circle class="hollow" cx=(at(x)) cy=(at(y)) r="5.4" {}
            } @else {
                circle class="solid" cx=(at(x)) cy=(at(y)) r="4.6" {}
            }
            text x=(at(size.value)) y=(at(y + 5.0)) text-anchor="end" {
                @if self.over_least < 0.05 { "least" } @else { (measured(self.over_least, 1)) (unit(analysis)) }
            }
            @if let Some(word) = word { text class="quiet accent" x=(at(word_x)) y=(at(word_y)) text-anchor=(anchor) { (word) } }
        }
    }
}

/// What stands beside the advised length.
fn word(analysis: &Analysis, rung: &Rung) -> Option<&'static str> {
    if !rung.is_advised {
        return None;
    }
    Some(match (analysis.decision.kind, rung.is_tried) {
        (Kind::Change, true) => "advised",
        (Kind::Change, false) => "advised, not tried",
        (Kind::Leaning, _) => "leaning to it",
        (Kind::KeepRule, _) => "keep",
        (Kind::NotToldApart | Kind::CannotSay, _) => "keep meanwhile",
    })
}

fn unit(analysis: &Analysis) -> &'static str {
    match analysis.settings.judging.cost {
        Cost::Squares { .. } => " mm²",
        Cost::Surface(_) => "",
    }
}

/// A cost with at most the decimals asked for; from ten on none.
fn measured(cost: f64, decimals: usize) -> String {
    if cost >= 9.95 { format!("{cost:.0}") } else { format!("{cost:.decimals$}") }
}

/// Roots at which the scale is marked: whole steps, as many as stand apart.
fn marks(axis: Axis) -> Vec<f64> {
    let mut step = 1.0;
    for next in [2.0, 5.0, 10.0, 20.0, 50.0] {
        if axis.most / step > 5.0 {
            step = next;
        }
    }
    axis.marks(step)
}

fn description(analysis: &Analysis, rungs: &[Rung]) -> String {
    let rows: Vec<String> = rungs
        .iter()
        .map(|rung| {
            let cost = if rung.over_least < 0.05 {
                "the least".to_owned()
            } else {
                format!("{}{}", measured(rung.over_least, 1), unit(analysis))
            };
            let word = word(analysis, rung).map(|word| format!(", {word}")).unwrap_or_default();
            format!("{} {cost}{word}", offset_words(rung.offset_in, analysis.settings.base))
        })
        .collect();
    format!(
        "Over the least: {}. Under {}{} is near enough. From {} balls on {} days.",
        rows.join("; "),
        measured(analysis.settings.judging.near_enough, 0),
        unit(analysis),
        analysis.strikes.balls(),
        analysis.strikes.days().len(),
    )
}

#[cfg(test)]
mod tests {
    use super::cost_ladder;
    use crate::figure::tests::{attribute, elements, few_balls, numbers_of, trial, words};
    use trial::Settings;

    /// The drawing of one size.
    fn drawing(figure: &str, class: &str) -> String {
        let start = figure.find(&format!("<svg class=\"{class}\"")).unwrap();
        figure[start..].split("</svg>").next().unwrap().to_owned()
    }

    #[test]
    fn the_dots_stand_at_the_roots_of_what_each_length_costs() {
        // a trial whose advised length, +3/8 in, lies between those tried
        let analysis = trial(1, Settings::default());
        let figure = cost_ladder(&analysis).unwrap().into_string();
        for class in ["for-wide", "for-narrow"] {
            let drawing = drawing(&figure, class);
            let dots = numbers_of(&elements(&drawing, "solid"), "cx");
            let advised = numbers_of(&elements(&drawing, "hollow"), "cx");
            let (tried, excess) = (&analysis.answer.offsets_in, &analysis.answer.excess);
            assert_eq!((dots.len(), advised.len()), (tried.len(), 1));
            // the advised length costs least and stands at nought; the others at the root of what they cost more, which is
            // their cost over the least of those tried, and what that one costs more
            let roots: Vec<f64> = dots.iter().map(|x| x - advised[0]).collect();
            let least = roots.iter().copied().fold(f64::INFINITY, f64::min);
            let unit = (roots[0] * roots[0] - least * least) / excess[0];
            for (root, excess) in roots.iter().zip(excess) {
                // places are written to a tenth of a unit
                assert!((root - (excess * unit + least * least).sqrt()).abs() < 0.2, "{root} {excess}");
            }
            assert!(least > 0.0);
        }
    }

    #[test]
    fn the_advised_length_is_told_by_a_stroke_and_a_word() {
        let change = cost_ladder(&trial(1, Settings::default())).unwrap().into_string();
        assert_eq!(elements(&change, "wanted").len(), 2);
        assert_eq!(words(&change).matches("advised, not tried").count(), 4, "{}", words(&change));
        let stays = cost_ladder(&trial(4, Settings::default())).unwrap().into_string();
        assert!(words(&stays).contains("the rule's length the least, keep meanwhile"));
        let ids = [attribute(&change, "aria-labelledby"), "cost-ladder-narrow-title"];
        assert!(ids[0].contains("cost-ladder-wide-title") && change.contains(ids[1]));
    }

    #[test]
    fn the_limit_stands_at_the_root_of_what_is_near_enough() {
        let analysis = trial(4, Settings::default());
        let figure = cost_ladder(&analysis).unwrap().into_string();
        let drawing = drawing(&figure, "for-wide");
        let nought = numbers_of(&elements(&drawing, "hollow"), "cx")[0];
        let farthest = numbers_of(&elements(&drawing, "solid"), "cx").into_iter().fold(0.0, f64::max);
        let most = analysis.answer.excess.iter().copied().fold(0.0, f64::max);
        let limit = nought + (farthest - nought) * (analysis.settings.judging.near_enough / most).sqrt();
        let lines = elements(&drawing, "dim");
        let uprights = lines.iter().filter(|line| attribute(line, "x1") == attribute(line, "x2"));
        let places: Vec<f64> = uprights.map(|line| attribute(line, "x1").parse().unwrap()).collect();
        assert!(places.iter().any(|x| (x - limit).abs() < 0.2), "{places:?} {limit}");
    }

    #[test]
    fn without_an_answer_there_is_no_ladder() {
        assert!(cost_ladder(&few_balls()).is_none());
    }
}
