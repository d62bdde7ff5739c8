//! The studios of a chain, for whoever may enter them all: how each stands, and what their trials say of the rule together.

use crate::acts;
use crate::app::{App, Branch, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::pages::rule::with_minus;
use crate::shell::{Page, act_id, page};
use axum::extract::State;
use axum::response::Redirect;
use maud::{Markup, html};
use store::StoreError;
use studio::{ChainRule, Changes, Id};
use trial::{FEWEST_GOLFERS, Learnt};

/// How a studio stands.
struct Standing<'a> {
    branch: &'a Branch,
    golfers: i64,
    due: usize,
    last: Option<String>,
    starts_from_own: bool,
}

/// `GET /house/chain`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    let (now, house) = (app.now(), app.house().await?.record);
    let now = now.in_words_of(&house);
    let mut standings = Vec::new();
    for branch in those_of(&app)? {
        standings.push(standing(branch, &now).await?);
    }
    let rule = learnt(&app).await?;
    Ok(page(
        &app,
        &Page {
            title: "Studios of the chain, Lengthwise".to_owned(),
            search: "",
            main: html! {
                div class="stacked" {
                    h1 { "Studios of the chain" }
                    p class="lead" { "Each studio has its own golfers, jobs, shelf and settings, at an address of its own. A fitter sees theirs; you see all." }
                }
                (table_of(&app, &standings))
                h2 id="rule" { "What their trials say of the rule together" }
                @if rule.all.may_speak() { (said(&rule)) (start_from(&standings)) } @else { (silent(&rule)) }
                p class="next" { a class="button" href="/house" { "To the house" } }
            },
            follows: None,
            last: None,
            help: "chain",
        },
    ))
}

/// `POST /house/chain`: new trials of every studio start from what all of them say.
pub(crate) async fn save(State(app): State<App>, form: Form) -> Result<Redirect, PageError> {
    let (now, house) = (app.now(), app.house().await?.record);
    let by = acts::who(&form, &house)?;
    let act = form.get("act").and_then(|act| Id::parse(act).ok()).ok_or_else(PageError::out_of_date)?;
    let rule = learnt(&app).await?;
    for branch in those_of(&app)? {
        let Some(learnt_rule) = rule.for_studio(&branch.name, &by, now.day)? else { continue };
        let (all, studios) = (learnt_rule.golfers, rule.studios.len());
        let sentence =
            format!("House: new trials start from what {all} golfers' trials in {studios} studios say");
        // the same form sent twice is the same act in each studio
        let id = acts::id_of_name(&format!("{act}/{}", branch.name));
        if branch.store.knows(&id).await? {
            continue;
        }
        let kept = branch.store.house().await?;
        let changed = studio::HouseSettings { learnt_rule: Some(learnt_rule), ..kept.record };
        let changes = Changes::new(id, &by, sentence);
        let changes = if kept.revision == 0 {
            changes.with_new(changed)
        } else {
            changes.with_changed(changed, kept.revision)
        };
        branch.store.save(changes, now.ms).await?;
    }
    Ok(Redirect::to("/house/chain#rule"))
}

fn those_of(app: &App) -> Result<&[Branch], PageError> {
    if app.chain.is_empty() { Err(PageError::NotFound("page")) } else { Ok(&app.chain) }
}

async fn standing<'a>(branch: &'a Branch, now: &Now) -> Result<Standing<'a>, StoreError> {
    let log = branch.store.log(None, 1).await?;
    Ok(Standing {
        branch,
        golfers: branch.store.count_golfers().await?,
        due: branch.store.due(now.day, now.ms).await?.len(),
        last: log.first().map(|line| now.clock_time(line.at_ms)),
        starts_from_own: branch.store.house().await?.record.learnt_rule.is_some(),
    })
}

async fn learnt(app: &App) -> Result<ChainRule, PageError> {
    let mut trials = Vec::new();
    for branch in those_of(app)? {
        trials.push((branch.name.clone(), branch.store.opened_trials().await?));
    }
    Ok(ChainRule::learn(&trials)?)
}

fn table_of(app: &App, standings: &[Standing<'_>]) -> Markup {
    html! {
        table class="dense stack studios" {
            thead { tr { th class="text" scope="col" { "Studio" } th scope="col" { "Golfers" } th scope="col" { "To do" } th scope="col" { "Last work" } } }
            tbody {
                @for Standing { branch, golfers, due, last, .. } in standings {
                    tr {
                        th class="text" scope="row" {
                            @if Some(branch.name.as_str()) == app.store.address().studio() { (branch.name) " (this one)" }
                            @else { a href=(format!("{}/", branch.url)) { (branch.name) } }
                        }
                        td data-is="Golfers" { (golfers) }
                        td data-is="To do" { (due) }
                        td data-is="Last work" { (last.as_deref().unwrap_or("none yet")) }
                    }
                }
            }
        }
    }
}

fn silent(rule: &ChainRule) -> Markup {
    html! {
        p {
            (rule.all.telling) " golfers of all studios have an opened trial that tells something of length. Below " (FEWEST_GOLFERS)
            " nothing is said: with fewer the rule's error is known no better than it is small."
        }
        @if rule.all.telling > 0 {
            ul class="plain" { @for studio in &rule.studios { li { (studio.name) ": " (studio.own.telling) } } }
        }
    }
}

fn said(rule: &ChainRule) -> Markup {
    let row = |what: &str, golfers: Option<usize>, learnt: &Learnt| {
        html! {
            tr {
                th class="text" scope="row" { (what) }
                td { @if let Some(golfers) = golfers { (golfers) } }
                td { (with_minus(format!("{:.2}", learnt.mean))) " in" }
                td { (with_minus(format!("{:.2} to {:.2}", learnt.low, learnt.high))) }
            }
        }
    };
    html! {
        table class="dense learnt" {
            caption { "How much longer than the rule golfers suit, at 28 in; intervals of 80 in 100" }
            thead { tr { th class="text" scope="col" { "Where" } th scope="col" { "Golfers" } th scope="col" { "Learnt" } th scope="col" { "Interval" } } }
            tbody {
                (row("In all studios", Some(rule.all.telling), &rule.pooled.together_in))
                @for (studio, learnt) in rule.studios.iter().zip(&rule.pooled.studios_in) { (row(&studio.name, Some(studio.own.telling), learnt)) }
                (row("Studios differ by", None, &rule.pooled.between_in))
            }
        }
        p class="note" {
            "A studio with few golfers is read partly by the others, one with many by its own. Studios that differ by more than chance read "
            "knuckles or mark sweet spots each in their own way: look at that before the rule. Targets stay with the rule of common practice."
        }
        @if rule.all.is_mostly_doubtful() {
            p class="note care" { "More than half of these golfers were tried because the rule was doubted: what is learnt speaks of such golfers." }
        }
    }
}

fn start_from(standings: &[Standing<'_>]) -> Markup {
    let own: Vec<&str> = standings
        .iter()
        .filter(|standing| standing.starts_from_own)
        .map(|standing| standing.branch.name.as_str())
        .collect();
    html! {
        @if !own.is_empty() { p { "New trials start from what was learnt in: " (own.join(", ")) ". Each studio can go back to common practice on its own page." } }
        form method="post" action="/house/chain" class="stacked" {
            (act_id())
            p class="hint" { "New trials of every studio start from its line above; those planned before stay as they are." }
            button { "Start new trials of every studio from this" }
        }
    }
}
