//! Draws `docs/trial-study.svg` from the first table of `docs/trial-study.md`: how often each reading of the same balls
//! finds the right length. `cargo run -p trial --example study_picture` from the top of the repository.

use std::fmt::Write as _;

/// Columns of the table that are drawn, with what they are called beside their last point.
const SERIES: [(usize, &str); 5] = [
    (9, "model with the rule, in eighths"),
    (6, "straight line, in eighths"),
    (4, "middle of the pattern"),
    (3, "mean distance, as tape is read"),
    (2, "the rule's length kept"),
];
const DAYS: &str = "3";
const LEFT: f64 = 70.0;
const RIGHT: f64 = 430.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = 330.0;

fn main() -> std::io::Result<()> {
    let page = std::fs::read_to_string("docs/trial-study.md")?;
    let rows: Vec<Vec<String>> = page
        .lines()
        .skip_while(|line| !line.starts_with("| made up"))
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect())
        .filter(|cells: &Vec<String>| cells.get(1).is_some_and(|days| days == DAYS))
        .collect();
    std::fs::write("docs/trial-study.svg", picture(&rows))
}

fn number(cell: &str) -> f64 {
    cell.split(['/', '%']).next().and_then(|number| number.trim().parse().ok()).unwrap_or(f64::NAN)
}

/// Made up from left to right, right lengths in a hundred upward.
fn picture(rows: &[Vec<String>]) -> String {
    let x = |made_up: f64| LEFT + (RIGHT - LEFT) * made_up / 90.0;
    let y = |right: f64| BOTTOM - (BOTTOM - TOP) * right / 100.0;
    let mut svg = String::from(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 700 390\" font-family=\"sans-serif\" font-size=\"14\" \
         role=\"img\"><title>Right to 1/8 in, of a hundred golfers, over the share they make up; three days of forty \
         balls</title><rect width=\"700\" height=\"390\" fill=\"#fbf8f1\"/>\n",
    );
    let mut add = |text: String| svg.push_str(&text);
    for right in [0.0, 25.0, 50.0, 75.0, 100.0] {
        add(format!(
            "<path d=\"M{LEFT} {0:.1}H{RIGHT}\" stroke=\"#d9d2c3\"/><text x=\"{1}\" y=\"{2:.1}\" text-anchor=\"end\">{right}</text>\n",
            y(right),
            LEFT - 8.0,
            y(right) + 5.0
        ));
    }
    for row in rows {
        let made_up = number(&row[0]);
        add(format!(
            "<text x=\"{:.1}\" y=\"{}\" text-anchor=\"middle\">{made_up}</text>\n",
            x(made_up),
            BOTTOM + 22.0
        ));
    }
    add(format!(
        "<text x=\"{LEFT}\" y=\"{}\">% of a change made up with the body; upward: right to 1/8 in, of 100</text>\n",
        BOTTOM + 46.0
    ));
    // names beside the last points, moved apart where they would touch
    let mut names: Vec<(f64, usize)> = SERIES
        .iter()
        .enumerate()
        .map(|(place, (column, _))| (y(number(&rows[rows.len() - 1][*column])), place))
        .collect();
    names.sort_by(|one, other| one.0.total_cmp(&other.0));
    for place in 1..names.len() {
        names[place].0 = names[place].0.max(names[place - 1].0 + 18.0);
    }
    for (place, (column, name)) in SERIES.iter().enumerate() {
        let points: Vec<(f64, f64)> =
            rows.iter().map(|row| (x(number(&row[0])), y(number(&row[*column])))).collect();
        let mut path = String::new();
        for (step, (x, y)) in points.iter().enumerate() {
            // writing to a String never fails
            let _ = write!(path, "{}{x:.1} {y:.1}", if step == 0 { "M" } else { "L" });
        }
        let (width, dash) = [(2.5, ""), (1.5, "6 3"), (1.5, "2 3"), (1.5, ""), (1.0, "9 4 2 4")][place];
        let ink = if place == 0 { "#085f5b" } else { "#1b2530" };
        add(format!(
            "<path d=\"{path}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\" stroke-dasharray=\"{dash}\"/>\n"
        ));
        for (x, y) in points {
            add(format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3.5\" fill=\"{ink}\"/>\n"));
        }
        let beside = names.iter().find(|(_, named)| *named == place).map_or(0.0, |(y, _)| *y);
        add(format!("<text x=\"{}\" y=\"{:.1}\" fill=\"{ink}\">{name}</text>\n", RIGHT + 12.0, beside + 5.0));
    }
    svg.push_str("</svg>\n");
    svg
}
