//! What the studio's own trials say of the length rule: silent until there are golfers enough. New trials start from it
//! only when the owner says so, and targets never do.

use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::shell::{Page, act_id, page};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use studio::{HouseSettings, LearntRule};
use trial::{FEWEST_GOLFERS, Learnt, StudioRule, WhyTried};

/// `GET /house/rule`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    let house = app.house().await?.record;
    let learnt = learnt(&app).await?;
    Ok(page(
        &app,
        &Page {
            title: "What trials say of the rule, Lengthwise".to_owned(),
            search: "",
            main: html! {
                div class="stacked" {
                    h1 { "What trials say of the rule" }
                    p class="lead" {
                        "The rule is common practice: at a knuckle height of 28 in the six-iron is 37 in, and each inch of knuckle height "
                        "moves it a quarter inch. Your own trials can tell whether that holds for the golfers who come to you."
                    }
                    @if learnt.may_speak() { (said(&learnt)) } @else { (silent(&learnt)) }
                }
                @if learnt.golfers > 0 {
                    h2 { "Why golfers were tried" }
                    ul class="plain" {
                        @for (why, count) in WhyTried::ALL.iter().zip(learnt.by_reason) { @if count > 0 { li { (reason(*why)) ": " (count) } } }
                    }
                }
                p class="note" {
                    "Golfers who were tried because their length seemed wrong are not like those who will come, and a sweet spot that is "
                    "marked wrong on every head alike reads as a wrong rule. Targets stay with the rule of common practice."
                }
                (where_trials_start(&app, &house, &learnt))
                p class="next" { a class="button" href="/house" { "To the house" } }
            },
            follows: None,
            last: None,
            help: "trial",
        },
    ))
}

async fn learnt(app: &App) -> Result<StudioRule, PageError> {
    let golfers = studio::tell_of_the_rule(&app.store.opened_trials().await?);
    Ok(StudioRule::learn(&golfers).map_err(studio::StudioError::from)?)
}

/// From where new trials start, and the button that changes it.
fn where_trials_start(app: &App, house: &HouseSettings, learnt: &StudioRule) -> Markup {
    html! {
        h2 id="start" { "From where new trials start" }
        @match &house.learnt_rule {
            Some(rule) => {
                p {
                    "From your own trials, as " (rule.golfers) " golfers had it on " (app.now().date(rule.day)) " (" (rule.by) "): what suits lies "
                    (with_minus(format!("{:+.2}", rule.errors.intercept_in))) " in from the rule at a knuckle height of 28 in, and golfers stray from that by "
                    (format!("{:.2}", rule.errors.spread_in)) " in."
                }
            }
            None => p { "From common practice: what suits lies about the rule's length, and golfers stray from it by 0.35 in (an assumption)." }
        }
        div class="stacked below" {
            @if learnt.may_speak() {
                form method="post" action="/house/rule" class="stacked" {
                    (act_id())
                    input type="hidden" name="start" value="own";
                    p class="hint" { "Trials planned from then on start from what is said above; those planned before stay as they are." }
                    button { @if house.learnt_rule.is_some() { "Start from what is learnt today" } @else { "Start new trials from this" } }
                }
            }
            @if house.learnt_rule.is_some() {
                form method="post" action="/house/rule" {
                    (act_id())
                    input type="hidden" name="start" value="common practice";
                    button class="quiet" { "Start from common practice again" }
                }
            }
        }
    }
}

/// `POST /house/rule`: says from where new trials start.
pub(crate) async fn save(State(app): State<App>, form: Form) -> Result<Response, PageError> {
    let now = app.now();
    let house = app.house().await?;
    if !acts::is_known(&app, &form).await? {
        let by = acts::who(&form, &house.record)?;
        let (learnt_rule, sentence) = match form.get("start") {
            Some("own") => {
                let learnt = learnt(&app).await?;
                let errors = learnt.errors().map_err(studio::StudioError::from)?;
                let golfers = u32::try_from(learnt.telling).unwrap_or(u32::MAX);
                let rule = LearntRule { errors, golfers, by, day: now.day };
                let sentence =
                    format!("House: new trials start from what {} golfers' trials say", rule.golfers);
                (Some(rule), sentence)
            }
            Some("common practice") => (None, "House: new trials start from common practice".to_owned()),
            _ => return Err(PageError::out_of_date()),
        };
        let changed = HouseSettings { learnt_rule, ..house.record.clone() };
        let changes = acts::act(&form, &house.record, sentence)?;
        let changes = if house.revision == 0 {
            changes.with_new(changed)
        } else {
            changes.with_changed(changed, house.revision)
        };
        acts::save_or_ask(&app, changes, &now, "/house/rule", &form).await?;
    }
    Ok(Redirect::to("/house/rule#start").into_response())
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
                td { (with_minus(format!("{:.decimals$}", value.mean))) " " (unit) }
                td { (with_minus(format!("{:.decimals$} to {:.decimals$}", value.low, value.high))) }
            }
        }
    };
    html! {
        table class="dense learnt" {
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

/// Numbers with the sign for minus.
pub(crate) fn with_minus(numbers: String) -> String {
    numbers.replace('-', "\u{2212}")
}

fn reason(why: WhyTried) -> &'static str {
    match why {
        WhyTried::Doubtful => "the rule's length seemed wrong",
        WhyTried::Asked => "the golfer asked",
        WhyTried::Everyone => "every golfer is tried",
        WhyTried::NotSaid => "not said",
    }
}
