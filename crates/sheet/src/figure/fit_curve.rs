//! Where the length that fits lies: its posterior, smooth, with the stated interval marked.
//!
//! Inches from the rule's length. The length that fits is held to those tried, so part of the odds may sit on the
//! shortest or the longest; that part is a bar beyond the end, its area in the curve's own measure. What is filled holds
//! exactly 80 in 100: from the tenth to the ninetieth part of all draws, and of a bar only the share that belongs.
//! There are two drawings, a wide and a narrow one; the style shows the one for which there is room.

use super::{Axis, Frame, as_f64, at, line, offset_mark};
use crate::offset_words;
use crate::words::{list, rich_svg};
use maud::{Markup, html};
use trial::{Analysis, Answer, Kind};

/// Cells the draws are counted in before they are smoothed.
const CELLS: usize = 256;
/// Least bandwidth of the smoothing, in: a quarter of the eighth that is advised in.
const SMOOTHING_IN: f64 = 1.0 / 32.0;
/// Width of an end's bar, as a part of the range tried.
const BAR: f64 = 0.06;
/// Share from which an end's bar is drawn and said.
const LEAST_SHARE: f64 = 0.005;
/// The interval stated.
const INTERVAL: (f64, f64) = (0.1, 0.9);

/// Draws the curve; `None` when length hardly matters, when nothing can be said, or with one length only.
#[must_use]
pub fn fit_curve(analysis: &Analysis) -> Option<Markup> {
    if analysis.length_hardly_matters() || analysis.decision.kind == Kind::CannotSay {
        return None;
    }
    let curve = Curve::of(&analysis.answer)?;
    Some(html! {
        div class="two-sizes" {
            (Drawing::new(analysis, &curve, &WIDE).draw())
            (Drawing::new(analysis, &curve, &NARROW).draw())
        }
    })
}

/// The posterior as it is drawn.
struct Curve {
    least: f64,
    most: f64,
    /// Odds that sit on the shortest and on the longest length.
    shares: [f64; 2],
    /// Draws between the ends: middle of each cell, drawn together for the kernel, and its part of all draws.
    cells: Vec<(f64, f64)>,
    bandwidth: f64,
    /// The interval in the quantity, as it is said.
    interval: (f64, f64),
}

impl Curve {
    fn of(answer: &Answer) -> Option<Self> {
        let (least, most) = trial::ends(&answer.offsets_in);
        let width = (most - least) / as_f64(CELLS);
        if width <= 0.0 || answer.fit_in.is_empty() {
            return None;
        }
        let one = 1.0 / as_f64(answer.fit_in.len());
        let mut shares = [0.0; 2];
        let mut cells: Vec<(f64, f64)> =
            (0..CELLS).map(|cell| (least + (as_f64(cell) + 0.5) * width, 0.0)).collect();
        for fit in &answer.fit_in {
            if *fit <= least + 1e-9 {
                shares[0] += one;
            } else if *fit >= most - 1e-9 {
                shares[1] += one;
            } else {
                let cell = cells.partition_point(|(middle, _)| middle + 0.5 * width <= *fit).min(CELLS - 1);
                cells[cell].1 += one;
            }
        }
        let (cells, bandwidth) = smoothed(&cells, answer.fit_in.len());
        let interval = (answer.fit_quantile(INTERVAL.0), answer.fit_quantile(INTERVAL.1));
        Some(Self { least, most, shares, cells, bandwidth, interval })
    }

    /// Odds an inch at a length between the ends: a normal kernel, thrown back at the ends so that none leaks out.
    fn density(&self, at_in: f64) -> f64 {
        let kernel = |away: f64| {
            let z = away / self.bandwidth;
            (-0.5 * z * z).exp() / (self.bandwidth * (2.0 * std::f64::consts::PI).sqrt())
        };
        let of_cell = |(middle, share): &(f64, f64)| {
            let thrown_back =
                kernel(at_in - (2.0 * self.least - middle)) + kernel(at_in - (2.0 * self.most - middle));
            share * (kernel(at_in - middle) + thrown_back)
        };
        self.cells.iter().filter(|(_, share)| *share > 0.0).map(of_cell).sum()
    }

    /// Width of a bar, in.
    fn bar(&self) -> f64 {
        BAR * (self.most - self.least)
    }

    /// Where the `p`th part of all odds ends in the drawing, in: beyond an end inside its bar.
    fn edge(&self, p: f64) -> f64 {
        let [below, above] = self.shares;
        if p < below {
            self.least - self.bar() * (1.0 - p / below)
        } else if p > 1.0 - above {
            self.most + self.bar() * (p - (1.0 - above)) / above
        } else if p < 0.5 {
            self.interval.0
        } else {
            self.interval.1
        }
    }

    /// The curve between two lengths at even steps.
    fn points(&self, from: f64, to: f64, steps: usize) -> Vec<(f64, f64)> {
        (0..=steps)
            .map(|step| {
                let at_in = from + (to - from) * as_f64(step) / as_f64(steps);
                (at_in, self.density(at_in))
            })
            .collect()
    }

    /// Odds an inch where the drawing stands highest.
    fn highest(&self) -> f64 {
        let bars = self.shares.map(|share| share / self.bar());
        self.points(self.least, self.most, 96)
            .into_iter()
            .map(|(_, density)| density)
            .fold(bars[0].max(bars[1]), f64::max)
    }
}

/// Smooths the draws between the ends: returns the cells drawn together, and the bandwidth of the kernel.
///
/// The bandwidth is Scott's, 1.06 standard deviations over the fifth root of how many draws, but no less than
/// [`SMOOTHING_IN`], so that the grain of the draws does not show, and no more than a third of a standard deviation. A
/// kernel widens what it smooths, so the cells are first drawn toward their mean by as much: the standard deviation stays
/// what it was, and with it the part of the area between the edges.
///
/// # Source
/// Derived: the variance of a smoothed sample is its own and the kernel's, s² + h²; with the sample drawn together by
/// sqrt(1 − h²/s²) it is s².
fn smoothed(cells: &[(f64, f64)], draws: usize) -> (Vec<(f64, f64)>, f64) {
    let all: f64 = cells.iter().map(|(_, share)| share).sum();
    let mean = cells.iter().map(|(middle, share)| middle * share).sum::<f64>() / all;
    let variance = cells.iter().map(|(middle, share)| share * (middle - mean).powi(2)).sum::<f64>() / all;
    if all <= 0.0 || variance <= 0.0 {
        return (cells.to_vec(), SMOOTHING_IN);
    }
    let sd = variance.sqrt();
    let bandwidth = (1.06 * sd / (as_f64(draws) * all).powf(0.2)).max(SMOOTHING_IN).min(sd / 3.0);
    let together = (1.0 - bandwidth * bandwidth / variance).sqrt();
    (cells.iter().map(|(middle, share)| (mean + (middle - mean) * together, *share)).collect(), bandwidth)
}

/// What differs between the drawings.
struct Size {
    name: &'static str,
    class: &'static str,
    width: f64,
    side: f64,
    top: f64,
    base: f64,
    /// Letters that fit between two marks of the axis, units.
    room: f64,
    is_wide: bool,
}

const WIDE: Size = Size {
    name: "wide",
    class: "for-wide",
    width: 720.0,
    side: 40.0,
    top: 78.0,
    base: 250.0,
    room: 46.0,
    is_wide: true,
};
const NARROW: Size = Size {
    name: "narrow",
    class: "for-narrow",
    width: 320.0,
    side: 22.0,
    top: 78.0,
    base: 220.0,
    room: 38.0,
    is_wide: false,
};

struct Drawing<'a> {
    analysis: &'a Analysis,
    curve: &'a Curve,
    size: &'a Size,
    axis: Axis,
    units_per_density: f64,
}

impl<'a> Drawing<'a> {
    fn new(analysis: &'a Analysis, curve: &'a Curve, size: &'a Size) -> Self {
        // the rule is on the axis even when no length as short or as long was tried
        let axis = Axis {
            least: (curve.least - curve.bar()).min(0.0),
            most: (curve.most + curve.bar()).max(0.0),
            left: size.side,
            right: size.width - size.side,
        };
        Self { analysis, curve, size, axis, units_per_density: (size.base - size.top) / curve.highest() }
    }

    fn draw(&self) -> Markup {
        let last_row = self.size.base + if self.size.is_wide { 76.0 } else { 98.0 };
        let frame = Frame {
            id: &format!("fit-curve-{}", self.size.name),
            class: self.size.class,
            width: self.size.width,
            height: last_row + 8.0,
            title: "Where the length that fits lies, inches from the rule’s length".to_owned(),
            description: self.description(),
        };
        frame.draw(&html! {
            (self.bars())
            (self.interval())
            (self.rule())
            path class="line" d=(self.outline()) {}
            (self.scale())
            (self.tape())
            (self.words())
        })
    }

    fn up(&self, density: f64) -> f64 {
        self.size.base - density * self.units_per_density
    }

    fn joined(&self, points: &[(f64, f64)]) -> String {
        let points: Vec<String> = points
            .iter()
            .map(|(at_in, density)| format!("{} {}", at(self.axis.at(*at_in)), at(self.up(*density))))
            .collect();
        points.join("L")
    }

    fn outline(&self) -> String {
        format!("M{}", self.joined(&self.curve.points(self.curve.least, self.curve.most, 96)))
    }

    /// The rule's length: an upright line through the drawing.
    fn rule(&self) -> Markup {
        let x = self.axis.at(0.0);
        line("dim", (x, self.size.top - 8.0), (x, self.size.base))
    }

    /// The odds that sit on the ends.
    fn bars(&self) -> Markup {
        let (curve, [below, above]) = (self.curve, self.curve.shares);
        html! {
            @for (from, share) in [(curve.least - curve.bar(), below), (curve.most, above)] {
                @if share >= LEAST_SHARE { (self.block("beyond", from, from + curve.bar(), share / curve.bar())) }
            }
        }
    }

    fn block(&self, class: &str, from: f64, to: f64, density: f64) -> Markup {
        let (left, right, top) = (self.axis.at(from), self.axis.at(to), self.up(density));
        html! {
            rect class=(class) x=(at(left)) y=(at(top)) width=(at(right - left)) height=(at(self.size.base - top)) {}
        }
    }

    /// What holds 80 in 100, with upright edges.
    fn interval(&self) -> Markup {
        let curve = self.curve;
        let (low, high) = (curve.edge(INTERVAL.0), curve.edge(INTERVAL.1));
        let (from, to) = (low.clamp(curve.least, curve.most), high.clamp(curve.least, curve.most));
        let [below, above] = curve.shares.map(|share| share / curve.bar());
        html! {
            @if to > from {
                path class="band" d=(format!(
                    "M{} {}L{}V{}Z",
                    at(self.axis.at(from)),
                    at(self.size.base),
                    self.joined(&curve.points(from, to, 48)),
                    at(self.size.base)
                )) {}
            }
            @if low < curve.least { (self.block("band", low, high.min(curve.least), below)) }
            @if high > curve.most { (self.block("band", low.max(curve.most), high, above)) }
            @for edge in [low, high] {
                @let height = if edge < curve.least { below } else if edge > curve.most { above } else { curve.density(edge) };
                (line("wanted", (self.axis.at(edge), self.up(height)), (self.axis.at(edge), self.size.base)))
            }
        }
    }

    /// The axis: the lengths tried as rings, with their names, and the rule.
    fn scale(&self) -> Markup {
        let base = self.size.base;
        let tried = self.curve_offsets();
        let mut named: Vec<f64> = tried.to_vec();
        if !tried.iter().any(|offset| trial::is_same_length(*offset, 0.0)) {
            named.push(0.0);
        }
        html! {
            (line("line", (self.axis.left - 8.0, base), (self.axis.right + 8.0, base)))
            @for offset in tried { circle class="hollow" cx=(at(self.axis.at(*offset))) cy=(at(base)) r="4" {} }
            @for offset in self.with_room(named) {
                @let unit = if trial::is_same_length(offset, self.curve.most) && offset.abs() > 1.0 / 64.0 { " in" } else { "" };
                text x=(at(self.axis.at(offset))) y=(at(base + 24.0)) text-anchor="middle" {
                    (rich_svg(&format!("{}{unit}", offset_mark(offset, self.analysis.settings.base))))
                }
            }
        }
    }

    fn curve_offsets(&self) -> &[f64] {
        &self.analysis.answer.offsets_in
    }

    /// The marks whose names do not run into one another: the rule first, then the ends, then what is left.
    fn with_room(&self, mut offsets: Vec<f64>) -> Vec<f64> {
        let (least, most) = (self.curve.least, self.curve.most);
        let rank = |offset: f64| {
            if offset.abs() < 1.0 / 64.0 { 0 } else { 2 - i32::from(offset <= least || offset >= most) }
        };
        offsets.sort_by(|one, other| rank(*one).cmp(&rank(*other)).then(one.total_cmp(other)));
        let mut kept: Vec<f64> = Vec::new();
        for offset in offsets {
            let x = self.axis.at(offset);
            if kept.iter().all(|other| (self.axis.at(*other) - x).abs() >= self.size.room) {
                kept.push(offset);
            }
        }
        kept
    }

    /// What contact tape alone said on each day that counts: a tick above its length, with the days' numbers.
    fn tape(&self) -> Markup {
        let readings = self.readings();
        html! {
            @if !readings.is_empty() {
                text class="quiet" x="0" y="16" { (if self.size.is_wide { "Contact tape alone would have said, on day" } else { "Said by contact tape alone, on day" }) }
            }
            @for (offset, days) in &readings {
                @let x = self.axis.at(*offset);
                (line("line", (x, 48.0), (x, 60.0)))
                circle class="solid" cx=(at(x)) cy="60" r="2.6" {}
                text x=(at(x)) y="42" text-anchor="middle" { (days_said(days)) }
            }
        }
    }

    fn readings(&self) -> Vec<(f64, Vec<u32>)> {
        let counted = self.analysis.days.iter().filter(|day| day.counts);
        let said: Vec<(f64, u32)> = counted.filter_map(|day| Some((day.tape_in?, day.session))).collect();
        let of = |offset: f64| -> Vec<u32> {
            let same = said.iter().filter(|(tape, _)| trial::is_same_length(*tape, offset));
            same.map(|(_, session)| *session).collect()
        };
        let readings = self.curve_offsets().iter().map(|offset| (*offset, of(*offset)));
        readings.filter(|(_, days)| !days.is_empty()).collect()
    }

    /// Under the axis: what sits beyond the ends, what is filled, what the rings are.
    fn words(&self) -> Markup {
        let (size, [below, above]) = (self.size, self.curve.shares);
        let row = |place: f64| size.base + 48.0 + 22.0 * place;
        let ends = [(0.0, "start", below, "shorter"), (size.width, "end", above, "longer")];
        let has_ends = below >= LEAST_SHARE || above >= LEAST_SHARE;
        let first = if has_ends { 1.0 } else { 0.0 };
        let (tried, tried_row) = if size.is_wide { (size.width - 112.0, first) } else { (6.0, first + 1.0) };
        html! {
            @for (x, anchor, share, which) in ends {
                @if share >= LEAST_SHARE {
                    text class="quiet" x=(at(x)) y=(at(row(0.0))) text-anchor=(anchor) { (share_said(share)) " " (which) }
                }
            }
            rect class="band" x="1" y=(at(row(first) - 11.5)) width="16" height="13" {}
            text class="accent" x="26" y=(at(row(first))) { "80 in 100: " (rich_svg(&self.interval_said())) }
            circle class="hollow" cx=(at(tried + 3.0)) cy=(at(row(tried_row) - 5.0)) r="4" {}
            text class="quiet" x=(at(tried + 20.0)) y=(at(row(tried_row))) { "lengths tried" }
        }
    }

    fn interval_said(&self) -> String {
        let (curve, [below, above]) = (self.curve, self.curve.shares);
        // an edge inside a bar: how far beyond the end it lies is not known
        let from = if below > INTERVAL.0 { " or shorter" } else { "" };
        let to = if above > 1.0 - INTERVAL.1 { " or longer" } else { "" };
        let base = self.analysis.settings.base;
        let (low, high) = (offset_words(curve.interval.0, base), offset_words(curve.interval.1, base));
        if low == high { format!("about {low}{from}{to}") } else { format!("{low}{from} to {high}{to}") }
    }

    fn description(&self) -> String {
        let (analysis, curve) = (self.analysis, self.curve);
        let [below, above] = curve.shares;
        let ends: Vec<String> = [(below, curve.least, "shorter"), (above, curve.most, "longer")]
            .into_iter()
            .filter(|(share, ..)| *share >= LEAST_SHARE)
            .map(|(share, end, which)| {
                format!("{} at {} or {which}", share_said(share), offset_words(end, analysis.settings.base))
            })
            .collect();
        let ends = if ends.is_empty() { String::new() } else { format!(" Of it {}.", list(&ends)) };
        let tape: Vec<String> = self
            .readings()
            .iter()
            .map(|(offset, days)| {
                format!("{} on day {}", offset_words(*offset, analysis.settings.base), days_listed(days))
            })
            .collect();
        let tape = if tape.is_empty() {
            String::new()
        } else {
            format!(" Contact tape alone would have said {}.", list(&tape))
        };
        let tried: Vec<String> =
            self.curve_offsets().iter().map(|offset| offset_words(*offset, analysis.settings.base)).collect();
        format!(
            "The length that fits lies at {}, 80 in 100, with its middle at {}; from {} balls on {} days. Tried: {}.{ends}{tape}",
            self.interval_said(),
            offset_words(analysis.answer.fit_quantile(0.5), analysis.settings.base),
            analysis.strikes.balls(),
            analysis.strikes.days().len(),
            list(&tried),
        )
    }
}

/// Days at one mark: their numbers, or how many there are when they would not fit.
fn days_said(days: &[u32]) -> String {
    if days.len() > 3 { format!("{} days", days.len()) } else { days_listed(days) }
}

fn days_listed(days: &[u32]) -> String {
    let days: Vec<String> = days.iter().map(u32::to_string).collect();
    days.join(", ")
}

/// A share in hundreds.
fn share_said(share: f64) -> String {
    if share < 0.015 { "1 in 100".to_owned() } else { format!("{:.0} in 100", share * 100.0) }
}

#[cfg(test)]
mod tests {
    use super::{Curve, INTERVAL, fit_curve};
    use crate::figure::tests::{attribute, elements, few_balls, numbers, numbers_of, paths, trial, words};
    use trial::{Judging, Settings};

    /// Area under a row of points above a base line.
    fn area(points: &[f64], base: f64) -> f64 {
        let points: Vec<(f64, f64)> = points.chunks(2).map(|point| (point[0], base - point[1])).collect();
        points.windows(2).map(|pair| (pair[1].0 - pair[0].0) * 0.5 * (pair[0].1 + pair[1].1)).sum()
    }

    fn area_of_blocks(drawing: &str, class: &str) -> f64 {
        let blocks: Vec<&str> =
            elements(drawing, class).into_iter().filter(|block| block.starts_with("rect")).collect();
        let (widths, heights) = (numbers_of(&blocks, "width"), numbers_of(&blocks, "height"));
        widths.iter().zip(heights).map(|(width, height)| width * height).sum()
    }

    #[test]
    fn what_is_filled_is_80_in_100_of_all_that_is_drawn() {
        for (number, base) in
            [(1, "for-wide"), (2, "for-wide"), (3, "for-narrow"), (4, "for-narrow"), (5, "for-wide")]
        {
            let figure = fit_curve(&trial(number, Settings::default())).unwrap().into_string();
            let start = figure.find(&format!("class=\"{base}\"")).unwrap();
            let drawing = figure[start..].split("</svg>").next().unwrap();
            let rings = elements(drawing, "hollow");
            let base: f64 = attribute(rings[0], "cy").parse().unwrap();
            let all = area(&numbers(&paths(drawing, "line")[0]), base) + area_of_blocks(drawing, "beyond");
            // the filled path ends in V and the base: two corners there, then the curve
            let mut filled = numbers(&paths(drawing, "band")[0]);
            filled.pop();
            // the small square that names the filling is no part of it
            let named = 16.0 * 13.0;
            let filled = area(&filled[2..], base) + area_of_blocks(drawing, "band") - named;
            assert!((filled / all - 0.8).abs() < 0.01, "{number}: {}", filled / all);
        }
    }

    #[test]
    fn the_edges_stand_at_the_quantiles_and_the_rule_at_nought() {
        let analysis = trial(1, Settings::default());
        let figure = fit_curve(&analysis).unwrap().into_string();
        let drawing = figure.split("</svg>").next().unwrap();
        let rings = numbers_of(&elements(drawing, "hollow"), "cx");
        let tried = &analysis.answer.offsets_in;
        // the last ring is that of the words
        assert_eq!(rings.len(), tried.len() + 1);
        let units = (rings[4] - rings[0]) / (tried[4] - tried[0]);
        let x = |offset: f64| rings[0] + (offset - tried[0]) * units;
        let edges = numbers_of(&elements(drawing, "wanted"), "x1");
        for (edge, p) in edges.iter().zip([INTERVAL.0, INTERVAL.1]) {
            assert!((edge - x(analysis.answer.fit_quantile(p))).abs() < 0.2, "{edge}");
        }
        let rule = numbers_of(&elements(drawing, "dim"), "x1");
        assert!(rule.iter().any(|rule| (rule - x(0.0)).abs() < 0.2), "{rule:?}");
        // a tick for each reading of contact tape, above its length
        let ticks = numbers_of(&elements(drawing, "solid"), "cx");
        for day in &analysis.days {
            assert!(
                ticks.iter().any(|tick| (tick - x(day.tape_in.unwrap())).abs() < 0.2),
                "{ticks:?} {day:?}"
            );
        }
    }

    #[test]
    fn what_sits_on_an_end_is_a_bar_of_its_share() {
        let analysis = trial(4, Settings::default());
        let curve = Curve::of(&analysis.answer).unwrap();
        let whole =
            curve.cells.iter().map(|(_, share)| share).sum::<f64>() + curve.shares[0] + curve.shares[1];
        assert!((whole - 1.0).abs() < 1e-9);
        let said = words(&fit_curve(&analysis).unwrap().into_string());
        for (share, which) in [(curve.shares[0], "shorter"), (curve.shares[1], "longer")] {
            assert!(said.contains(&format!("{:.0} in 100 {which}", share * 100.0)), "{said}");
        }
        // the share ends where the bar does, the other way about on the other side
        assert!((curve.edge(0.0) - (curve.least - curve.bar())).abs() < 1e-9);
        assert!((curve.edge(1.0) - (curve.most + curve.bar())).abs() < 1e-9);
    }

    #[test]
    fn the_text_says_interval_middle_and_how_many_balls() {
        let said = words(&fit_curve(&trial(1, Settings::default())).unwrap().into_string());
        for told in
            ["lies at +1/4 in to +1/2 in, 80 in 100", "its middle at +3/8 in; from 120 balls on 3 days"]
        {
            assert!(said.contains(told), "{told}\n{said}");
        }
    }

    #[test]
    fn where_length_hardly_matters_or_nothing_can_be_said_there_is_no_curve() {
        let lenient = Judging { near_enough: 400.0, ..Judging::default() };
        let analysis = trial(4, Settings { judging: lenient, ..Settings::default() });
        assert!(analysis.length_hardly_matters());
        assert!(fit_curve(&analysis).is_none());
        assert!(fit_curve(&few_balls()).is_none());
    }
}
