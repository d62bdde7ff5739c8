//! What finished readings say of the bench itself.

use crate::app::App;
use crate::error::PageError;
use crate::shell::{Page, page};
use axum::extract::State;
use maud::{Markup, html};
use quantity::{Angle, Frequency, Length, Mass, Printed};
use studio::{BenchBias, FEWEST_JOBS, Field, learn_bench_bias};

/// `GET /house/bench`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    let biases = learn_bench_bias(&app.store.finished_work().await?);
    Ok(page(
        &app,
        &Page {
            title: "What readings say of the bench, Lengthwise".to_owned(),
            search: "",
            main: html! {
                h1 { "What readings say of the bench" }
                p class="lead" {
                    "Every finished reading stands beside what was predicted for it. One that differs is that club's; many that lean the same "
                    "way are the bench's: a scale that reads heavy, plugs that weigh more than is reckoned, a gauge that is off."
                }
                @if biases.is_empty() {
                    p { "Nothing is said yet: it takes " (FEWEST_JOBS) " jobs with finished readings of a kind." }
                } @else {
                    ul class="plain" { @for bias in biases.iter().filter(|bias| bias.is_worth_a_word()) { li { b { (lean(bias)) } " " (where_to_look(bias.field)) } } }
                    @if !biases.iter().any(BenchBias::is_worth_a_word) {
                        p { "No kind of reading leans so far that it is worth a word." }
                    }
                    (table(&biases))
                }
                p class="note" { "A job counts once, by the median of its clubs as they were first read. The lean is the median of the jobs; its interval holds whatever their distribution and is not moved by a blunder. Nothing is corrected by itself." }
                p class="next" { a class="button" href="/house" { "To the house" } }
            },
            follows: None,
            last: None,
            help: "job",
        },
    ))
}

/// A difference in the unit of its kind, with its sign.
fn said(field: Field, si: f64) -> String {
    let printed = match field {
        Field::ClubLength => Printed::new(Length::metres(si.abs()).as_inches(), 3, "in").to_string(),
        Field::Mass => Mass::kilograms(si.abs()).grams_printed(1).to_string(),
        Field::Swingweight => {
            let point = club::Swingweight::moment_of_points(1.0).as_kilogram_metres();
            Printed::new(si.abs() / point, 2, "points").to_string()
        }
        Field::Lie => Angle::radians(si.abs()).degrees_printed(2).to_string(),
        _ => Frequency::hertz(si.abs()).cpm_printed(1).to_string(),
    };
    let sign = if si < 0.0 { "\u{2212}" } else { "+" };
    format!("{sign}{printed}")
}

fn lean(bias: &BenchBias) -> String {
    let way = match (bias.field, bias.median_si < 0.0) {
        (Field::ClubLength, true) => "shorter",
        (Field::ClubLength, false) => "longer",
        (Field::Mass | Field::Swingweight, true) => "lighter",
        (Field::Mass | Field::Swingweight, false) => "heavier",
        (Field::Lie, true) => "flatter",
        (Field::Lie, false) => "more upright",
        (_, true) => "lower",
        (_, false) => "higher",
    };
    let much = said(bias.field, bias.median_si);
    format!(
        "{} reads {} {way} than predicted.",
        bias.field.label(),
        much.trim_start_matches(['+', '\u{2212}'])
    )
}

fn where_to_look(field: Field) -> &'static str {
    match field {
        Field::ClubLength => "Look at the plate, the rule's zero and the thickness of the cap.",
        Field::Mass => "Weigh plugs, grips and a joint's glue, and check the scale with a known mass.",
        Field::Swingweight => {
            "Check the scale with a club whose mass and balance you read, cap against the stop."
        }
        Field::Lie => "Check the gauge with a club you know, score lines level.",
        _ => "Check the clamp's depth, and that the same length is in it as before.",
    }
}

fn table(biases: &[BenchBias]) -> Markup {
    html! {
        div class="wide below" tabindex="0" role="group" aria-label="How readings lean" {
            table class="dense learnt" {
                caption { "Read less predicted; intervals of at least 80 in 100" }
                thead { tr { th class="text" scope="col" { "Reading" } th scope="col" { "Lean" } th scope="col" { "Interval" } th scope="col" { "Jobs" } } }
                tbody {
                    @for bias in biases {
                        tr {
                            th class="text" scope="row" { (bias.field.label()) }
                            td { (said(bias.field, bias.median_si)) }
                            td { (said(bias.field, bias.interval_si.0)) " to " (said(bias.field, bias.interval_si.1)) }
                            td { (bias.jobs) }
                        }
                    }
                }
            }
        }
    }
}
