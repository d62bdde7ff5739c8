//! A trial as text: the order sheets, and the verdict.

use super::layout::{aligned, item, new_table, wrapped};
use sheet::{VerdictWords, offset_words, response_words, verdict_words};
use trial::{Analysis, Base, Plan, Response, ResponseSlope};

/// Writes the order sheets and, at the end, the code.
pub(crate) fn plan_report(plan: &Plan) -> String {
    let code = plan.code();
    let lengths: Vec<String> =
        plan.offsets_in.iter().map(|offset| offset_words(*offset, Base::Rule)).collect();
    let mut text = wrapped(&format!(
        "TRIAL  {} visits on different days, {} counted balls each: {}.",
        plan.visits,
        plan.balls_a_visit(),
        lengths.join(", ")
    ));
    text += &wrapped(
        "Warm up with balls that do not count. Hand the clubs over by letter, and do not open the code before the last \
         visit. Do not drop bad shots; a topped or shanked ball is not recorded and is hit again.",
    );
    let mut table = new_table(&["Visit", "Order, each for the same number of balls"]);
    for (visit, order) in plan.orders().iter().enumerate() {
        let order: Vec<String> = order.lengths.iter().map(|length| code[*length].to_string()).collect();
        table.add_row([(visit + 1).to_string(), order.join(" ")]);
    }
    text += &format!("\n{}\n\n", aligned(table, &[0]));
    text += &wrapped(&format!("Balls in a row with each club: {}.", plan.balls_in_a_row));
    let mut letters: Vec<(char, &str)> =
        code.iter().copied().zip(lengths.iter().map(String::as_str)).collect();
    letters.sort_by_key(|(letter, _)| *letter);
    let code: Vec<String> = letters.iter().map(|(letter, length)| format!("{letter} is {length}")).collect();
    text + &wrapped(&format!("The code, for after the last visit (seed {}): {}.", plan.seed, code.join("; ")))
}

/// Writes the verdict, what it rests on, and the lengths side by side.
pub(crate) fn analysis_report(
    analysis: &Analysis,
    responses: &[(Response, ResponseSlope)],
    in_yards: &[String],
    notes: &[String],
) -> String {
    let VerdictWords { headline, sentence, basis, warnings } = verdict_words(analysis);
    let mut text = wrapped(&format!("LENGTH  {headline}"));
    text += &wrapped(&sentence);
    text.push('\n');
    for line in basis.iter().chain(&warnings) {
        text += &item(line);
    }
    for (response, slope) in responses {
        text += &item(&response_words(*response, *slope));
    }
    if !in_yards.is_empty() {
        text += &item(&in_yards.join(" "));
    }
    for note in notes {
        text += &item(note);
    }
    if analysis.decision.kind == trial::Kind::CannotSay {
        return text;
    }
    let mut table = new_table(&["Length", "Cost over the least"]);
    for (offset, excess) in analysis.answer.offsets_in.iter().zip(&analysis.answer.excess) {
        table.add_row([offset_words(*offset, Base::Rule), format!("{excess:.1} mm²")]);
    }
    text + &format!("\n{}\n", aligned(table, &[1]))
}
