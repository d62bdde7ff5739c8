//! Setting numbers: true fractions, no line break inside a measure, dates in words.

use club::{Club, ClubKind};
use fitting::JuniorChart;
use maud::{Markup, PreEscaped, Render, html};
use quantity::{Estimate, InchStep, Length};

/// Where the text stands: a page or a drawing.
#[derive(Clone, Copy)]
enum Medium {
    Page,
    Drawing,
}

/// Sets every fraction of a text as a true fraction: `37 1/4 in`.
pub fn rich(text: &str) -> Markup {
    set_fractions(text, Medium::Page)
}

/// The same inside a drawing.
pub fn rich_svg(text: &str) -> Markup {
    set_fractions(text, Medium::Drawing)
}

fn set_fractions(text: &str, medium: Medium) -> Markup {
    let (open, close) = match medium {
        Medium::Page => ("<span class=\"frac\">", "</span>"),
        Medium::Drawing => ("<tspan class=\"frac\">", "</tspan>"),
    };
    let mut set = String::with_capacity(text.len() + 64);
    let mut rest = text;
    while let Some((before, fraction, after)) = next_fraction(rest) {
        let whole =
            before.strip_suffix(' ').filter(|whole| whole.ends_with(|sign: char| sign.is_ascii_digit()));
        set.push_str(&before_fraction(whole.unwrap_or(before)));
        if whole.is_some() {
            set.push('\u{202f}');
        }
        set.push_str(open);
        set.push_str(fraction);
        set.push_str(close);
        rest = after;
        if let Some(unit) = rest.strip_prefix(" in") {
            set.push_str("\u{a0}in");
            rest = unit;
        }
    }
    set.push_str(&before_fraction(rest));
    PreEscaped(set)
}

/// Units that stay on the line of their number.
const UNITS: [&str; 6] = ["in", "mm", "g", "h", "oz", "iron"];

/// Escapes a text, keeping `37 in` and `7 iron` on one line.
fn before_fraction(text: &str) -> String {
    let escaped = html! { (text) }.into_string();
    let mut kept = String::with_capacity(escaped.len());
    let mut words = escaped.split(' ').peekable();
    while let Some(word) = words.next() {
        kept.push_str(word);
        let Some(next) = words.peek() else { break };
        let unit = next.trim_end_matches(|sign: char| !sign.is_alphanumeric());
        let is_measure = word.ends_with(|sign: char| sign.is_ascii_digit()) && UNITS.contains(&unit);
        kept.push(if is_measure { '\u{a0}' } else { ' ' });
    }
    kept
}

/// Splits at the first fraction of one or two digits over one or two digits.
fn next_fraction(text: &str) -> Option<(&str, &str, &str)> {
    let bytes = text.as_bytes();
    let digits_before =
        |end: usize| bytes[..end].iter().rev().take_while(|byte| byte.is_ascii_digit()).count();
    let digits_after = |start: usize| bytes[start..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    text.match_indices('/').find_map(|(slash, _)| {
        let (above, below) = (digits_before(slash), digits_after(slash + 1));
        let is_fraction = (1..=2).contains(&above) && (1..=2).contains(&below);
        let (start, end) = (slash - above, slash + 1 + below);
        let stands_alone = !text[..start].ends_with(['.', ',']) && !text[end..].starts_with(['.', '/']);
        (is_fraction && stands_alone).then(|| (&text[..start], &text[start..end], &text[end..]))
    })
}

/// A club's name in a drawing: the golfer's own when it is short, a wedge's loft, else the trade's letters.
pub fn label(club: &Club) -> String {
    let loft = club.name.split(' ').next().filter(|word| word.parse::<u8>().is_ok());
    match (club.kind, loft) {
        _ if club.name.chars().count() <= 7 => club.name.clone(),
        (ClubKind::Wedge(_), Some(degrees)) => format!("{degrees}°"),
        _ => club.kind.short(),
    }
}

/// A length to a sixteenth.
pub fn length(length: Length) -> Markup {
    rich(&length.to_step(InchStep::Sixteenth).to_string())
}

/// A length to a sixteenth, with the metric beside it.
pub fn length_with_metric(length: Length) -> Markup {
    rich(&length.with_metric(InchStep::Sixteenth))
}

/// A change of length to a sixteenth, with its sign.
pub fn change(length: Length) -> Markup {
    rich(&format!("{:+}", length.to_step(InchStep::Sixteenth)).replace('-', "\u{2212}"))
}

/// The half-width of an estimate and how often it holds: `± 7/16 in, 80 in 100`.
pub fn plus_minus(estimate: &Estimate<Length>) -> Markup {
    rich(&format!(
        "± {}, {} in 100",
        estimate.half_width.to_step(InchStep::Sixteenth),
        estimate.level_percent
    ))
}

/// The number and its interval large, and in words for who hears it: a fraction read sign by sign says nothing.
pub fn answer(value: Length, estimate: &Estimate<Length>) -> Markup {
    html! {
        span aria-hidden="true" { (length(value)) " " span class="pm" { (plus_minus(estimate)) } }
        span class="unseen" {
            (spoken(value)) " inches, plus or minus " (spoken(estimate.half_width)) ", " (estimate.level_percent) " in 100"
        }
    }
}

/// What the target of a grown golfer is called.
pub const STARTING_POINT: &str = "Starting point for a six-iron";

/// A growing golfer's number: the range a junior chart gives for the seven-iron.
pub fn usual_seven_iron(chart: &JuniorChart) -> Markup {
    let (least, most) = chart.seven_iron;
    html! {
        p class="soft" { "Usual seven-iron for this height" }
        p class="big" {
            (rich(&least.to_step(InchStep::Quarter).number())) " to " (length(most)) " " span class="pm" { "by a junior chart" }
        }
    }
}

/// Says a length to a sixteenth as a person would: `37 and three quarters`, `seven sixteenths`.
fn spoken(length: Length) -> String {
    // over a power of two, in lowest terms, only odd numbers stand
    const ODD: [&str; 8] = ["one", "three", "five", "seven", "nine", "eleven", "thirteen", "fifteen"];
    let reading = length.abs().to_step(InchStep::Sixteenth);
    let part = match reading.denominator {
        2 => "half",
        4 => "quarter",
        8 => "eighth",
        _ => "sixteenth",
    };
    let many = if reading.numerator == 1 { "" } else { "s" };
    let count = usize::try_from(reading.numerator / 2).ok().and_then(|place| ODD.get(place)).unwrap_or(&"");
    match (reading.whole, reading.numerator) {
        (whole, 0) => whole.to_string(),
        (0, _) => format!("{count} {part}{many}"),
        (whole, _) => format!("{whole} and {count} {part}{many}"),
    }
}

/// Joins with commas and a last "and".
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// A paragraph for each text, fractions set.
pub fn paragraphs<T: AsRef<str>>(texts: impl IntoIterator<Item = T>, class: &str) -> Markup {
    html! {
        @for text in texts { p class=(class) { (rich(text.as_ref()).render()) } }
    }
}

#[cfg(test)]
mod tests {
    use super::{list, rich, spoken};
    use quantity::InchStep;

    #[test]
    fn only_fractions_are_set_as_fractions() {
        assert_eq!(
            rich("37 1/4 in, R&A").into_string(),
            "37\u{202f}<span class=\"frac\">1/4</span>\u{a0}in, R&amp;A"
        );
        assert_eq!(rich("3.0 g/in, 24 h").into_string(), "3.0 g/in, 24\u{a0}h");
        assert_eq!(rich("± 1/2 point").into_string(), "± <span class=\"frac\">1/2</span> point");
        assert_eq!(rich("<b>").into_string(), "&lt;b&gt;");
        assert_eq!(rich("0.600 in, in 3 days").into_string(), "0.600\u{a0}in, in 3 days");
    }

    #[test]
    fn a_length_is_said_as_a_person_would() {
        for (sixteenths, said) in [
            (604, "37 and three quarters"),
            (7, "seven sixteenths"),
            (592, "37"),
            (600, "37 and one half"),
            (15, "fifteen sixteenths"),
            (594, "37 and one eighth"),
        ] {
            let length = InchStep::Sixteenth.length() * f64::from(sixteenths);
            assert_eq!(spoken(length), said);
        }
    }

    #[test]
    fn lists_read_as_people_write_them() {
        assert_eq!(list(&["a".to_owned(), "b".to_owned(), "c".to_owned()]), "a, b and c");
    }
}
