//! What the studio's own trials say of the length rule: silent until there are golfers enough, and never changing it.

use crate::app::App;
use crate::error::PageError;
use crate::shell::{Page, page};
use axum::extract::State;
use fitting::StaticRule;
use maud::{Markup, html};
use trial::{FEWEST_GOLFERS, Learnt, StudioRule, Tried, WhyTried};

/// `GET /house/rule`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    let anchor = StaticRule::default().anchor_knuckle_height;
    let mut golfers: Vec<Tried> = Vec::new();
    for golfer in app.store.tried_golfers().await? {
        golfers.extend(app.store.dossier(&golfer).await?.tells_of_the_rule(anchor));
    }
    let learnt = StudioRule::learn(&golfers).map_err(studio::StudioError::from)?;
    Ok(page(
        &app,
        &Page {
            title: "What trials say of the rule, Lengthwise".to_owned(),
            search: "",
            main: html! {
                h1 { "What trials say of the rule" }
                p class="lead" {
                    "The rule is common practice: at a knuckle height of 28 in the six-iron is 37 in, and each inch of knuckle height "
                    "moves it a quarter inch. Your own trials can tell whether that holds for the golfers who come to you."
                }
                @if learnt.may_speak() { (said(&learnt)) } @else { (silent(&learnt)) }
                h2 { "Why golfers were tried" }
                ul class="plain" {
                    @for (why, count) in WhyTried::ALL.iter().zip(learnt.by_reason) { @if count > 0 { li { (reason(*why)) ": " (count) } } }
                }
                p class="note" {
                    "Golfers who were tried because their length seemed wrong are not like those who will come, and a sweet spot that is "
                    "marked wrong on every head alike reads as a wrong rule. Nothing here changes the rule."
                }
                p class="next" { a class="button" href="/house" { "To the house" } }
            },
            follows: None,
            last: None,
            help: "trial",
        },
    ))
}

fn silent(learnt: &StudioRule) -> Markup {
    html! {
        p {
            (learnt.telling) " golfers have an opened trial that tells something of length. Below " (FEWEST_GOLFERS)
            " nothing is said: with fewer the rule's error is known no better than it is small."
        }
    }
}

fn said(learnt: &StudioRule) -> Markup {
    let row = |what: &str, unit: &str, value: &Learnt, decimals: usize| {
        html! {
            tr {
                th class="text" scope="row" { (what) }
                td { (format!("{:.decimals$}", value.mean)) " " (unit) }
                td { (format!("{:.decimals$} to {:.decimals$}", value.low, value.high)) }
            }
        }
    };
    html! {
        table class="dense" {
            caption { (learnt.telling) " golfers; intervals of 80 in 100" }
            thead { tr { th class="text" scope="col" { "What" } th scope="col" { "Learnt" } th scope="col" { "Interval" } } }
            tbody {
                (row("The rule is short by, at 28 in", "in", &learnt.intercept_in, 2))
                (row("An inch of knuckle height moves a length by a quarter inch and", "in", &learnt.slope, 3))
                (row("Golfers stray from the rule by", "in", &learnt.spread_in, 2))
                (row("A habit that has nothing to do with length", "mm", &learnt.habit_mm, 1))
            }
        }
        @if learnt.is_mostly_doubtful() {
            p class="note care" { "More than half of these golfers were tried because the rule was doubted: what is learnt speaks of such golfers." }
        }
    }
}

fn reason(why: WhyTried) -> &'static str {
    match why {
        WhyTried::Doubtful => "the rule's length seemed wrong",
        WhyTried::Asked => "the golfer asked",
        WhyTried::Everyone => "every golfer is tried",
        WhyTried::NotSaid => "not said",
    }
}
