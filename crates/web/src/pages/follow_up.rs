//! The follow-up: a day to see the golfer again, and what was found then.

use super::GolferPage;
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::field::{Field, Width};
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::shell::{act_id, golfer_path};
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::ToSpan;
use maud::{Markup, html};
use studio::{Dossier, FollowUp, Kept, StationName, plain_text, read_day};

/// `GET /golfers/{golfer}/follow-up`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    follow_up_page(&GolferPage::fresh(&app, &dossier, &house)).await
}

async fn follow_up_page(page: &GolferPage<'_>) -> Result<Markup, PageError> {
    let (dossier, refused, today) = (page.dossier, page.refused, page.now.day);
    let open = dossier.follow_up().filter(|kept| kept.record.done.is_none());
    let proposed = today.checked_add(page.house.follow_up_days().days()).unwrap_or(today);
    let content = html! {
        (summary(refused))
        @if let Some(kept) = open {
            (to_do(page, kept))
        } @else {
            (to_set(dossier, &page.now.date(proposed), refused))
        }
        (done_before(&page.now, dossier))
    };
    page.draw(Some(StationName::FollowUp), "Follow-up", &content).await
}

fn to_set(dossier: &Dossier, proposed: &str, refused: Refused<'_>) -> Markup {
    html! {
        form method="post" class="stacked" {
            (act_id())
            (Field {
                name: "due",
                label: "Day to see again",
                hint: "Two to six weeks after hand-over; a bad back, hip, knee or wrist after two, sooner when worse.",
                value: refused.value("due", proposed),
                problem: refused.at("due"),
                width: Width::Number,
                options: &[],
            }.draw())
            (Field {
                name: "what",
                label: "What to look at",
                hint: "Strikes on one day at least, the lie again, butt and ferrule.",
                value: refused.value("what", ""),
                problem: refused.at("what"),
                width: Width::Line,
                options: &[],
            }.draw())
            button class="primary" { "Set the day" }
        }
        (calendar_of(dossier))
    }
}

fn calendar_of(dossier: &Dossier) -> Markup {
    html! {
        @if dossier.follow_up().is_some_and(|kept| kept.record.done.is_none()) {
            p class="alone" { a href=(format!("{}/follow-up.ics", golfer_path(dossier))) { "Into your calendar" } }
        }
    }
}

fn to_do(page: &GolferPage<'_>, kept: &Kept<FollowUp>) -> Markup {
    let GolferPage { now, dossier, refused, .. } = page;
    html! {
        p class="big" { (now.date(kept.record.due)) }
        @if let Some(what) = &kept.record.what { p class="lead" { (what) } }
        (calendar_of(dossier))
        form method="post" class="stacked below" {
            (act_id())
            input type="hidden" name="seen" value=(kept.revision);
            input type="hidden" name="of" value=(kept.record.id);
            (Field {
                name: "found",
                label: "What was found",
                hint: "Strikes, lie, butt and ferrule, what the golfer says; change or leave.",
                value: refused.value("found", ""),
                problem: refused.at("found"),
                width: Width::Line,
                options: &[],
            }.draw())
            button class="primary" { "Seen today" }
        }
    }
}

fn done_before(now: &Now, dossier: &Dossier) -> Markup {
    let done: Vec<&FollowUp> = dossier
        .follow_ups
        .iter()
        .map(|kept| &kept.record)
        .filter(|follow_up| !follow_up.removed && follow_up.done.is_some())
        .collect();
    html! {
        @if !done.is_empty() {
            h2 { "Seen before" }
            ul class="plain" {
                @for follow_up in done {
                    li { @if let Some(day) = follow_up.done { (now.date(day)) } ": " (follow_up.found.as_deref().unwrap_or("nothing written down")) }
                }
            }
        }
    }
}

/// `POST /golfers/{golfer}/follow-up`: sets a day, or writes down what was found.
pub(crate) async fn save(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now().in_words_of(&house);
    let path = format!("{}/follow-up", golfer_path(&dossier));
    let refuse = async |field: &str, words: String| -> Result<Response, PageError> {
        let problems = [Problem { field: field.to_owned(), words }];
        let page = GolferPage::again(&app, &dossier, &house, Refused::of(&form, &problems));
        Ok(drawn_again(follow_up_page(&page).await?))
    };
    let changes = if let Some(of) = form.get("of") {
        let kept = dossier
            .follow_ups
            .iter()
            .find(|kept| kept.record.id.as_str() == of)
            .ok_or(PageError::NotFound("follow-up"))?;
        let found = match plain_text("found", form.get("found").unwrap_or_default()) {
            Ok(found) => found,
            Err(error) => return refuse("found", format!("What was found: {error}.")).await,
        };
        let seen = form.seen_or(kept.revision);
        let done = FollowUp { done: Some(now.day), found, ..kept.record.clone() };
        acts::act(&form, &house, "Seen again")?.with_changed(done, seen)
    } else {
        let typed = form.filled("due").unwrap_or_default();
        let Some(due) = read_day(typed, now.day) else {
            let shown: String = typed.chars().take(40).collect();
            return refuse(
                "due",
                format!(
                    "Day to see again: expected a day such as {}, found \u{201c}{shown}\u{201d}.",
                    now.date(now.day)
                ),
            )
            .await;
        };
        let what = match plain_text("what", form.get("what").unwrap_or_default()) {
            Ok(what) => what,
            Err(error) => return refuse("what", format!("What to look at: {error}.")).await,
        };
        let changes = acts::act(&form, &house, format!("To be seen again on {}", now.date(due)))?;
        let follow_up = FollowUp {
            id: acts::record_id(&changes.id, 0),
            golfer: dossier.golfer.record.id.clone(),
            job: dossier.job().map(|kept| kept.record.id.clone()),
            due,
            what,
            done: None,
            found: None,
            removed: false,
        };
        changes.with_new(follow_up)
    };
    acts::save_or_ask(&app, changes, &now, &path, &form).await?;
    Ok(Redirect::to(&path).into_response())
}

/// `GET /golfers/{golfer}/follow-up.ics`
pub(crate) async fn calendar(State(app): State<App>, Path(id): Path<String>) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let kept = dossier.follow_up().ok_or(PageError::NotFound("follow-up"))?;
    let now = app.now();
    let summary = format!("See {} again", dossier.golfer.record.name);
    let text =
        exchange::follow_up_ics(house.value("name"), &kept.record.id, kept.record.due, &summary, now.ms)
            .map_err(|error| PageError::bad(error.to_string(), "Set the day again."))?;
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"follow-up.ics\""),
    ];
    Ok((headers, text).into_response())
}
