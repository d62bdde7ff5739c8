//! The day a job is promised for, and its dates for a calendar.

use super::GolferPage;
use super::job::{find, job_page, job_path};
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::field::{Field, Width};
use crate::parts::problem::{Problem, Refused, drawn_again};
use crate::shell::act_id;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use exchange::{JobDates, job_ics};
use maud::{Markup, html};
use studio::{JobFile, Kept, read_day};

/// Draws the promised day with its form, and the way to the calendar.
pub(super) fn part(kept: &Kept<JobFile>, refused: Refused<'_>, now: &Now, path: &str) -> Markup {
    let job = &kept.record;
    let day = job.promised.map(|day| now.date(day)).unwrap_or_default();
    html! {
        @if let Some(promised) = job.promised {
            p {
                "Promised for " b { (now.date(promised)) }
                @if promised < now.day && !job.state.is_over() { span class="care" { ", which is past" } }
                "."
            }
        }
        @if job.promised.is_some() || job.cured_ms.is_some() {
            p class="alone" { a href=(format!("{path}/dates.ics")) { "Its dates for a calendar" } }
        }
        @if !job.state.is_over() {
            details open[refused.at("promised").is_some()] {
                summary { @if job.promised.is_some() { "Promise another day" } @else { "Promise a day" } }
                form method="post" action=(format!("{path}/promise")) class="stacked below" {
                    (act_id())
                    input type="hidden" name="seen" value=(kept.revision);
                    (Field {
                        name: "promised",
                        label: "Promised for",
                        hint: "The day the clubs can be fetched; left empty, none is promised.",
                        value: refused.value("promised", &day),
                        problem: refused.at("promised"),
                        width: Width::Number,
                        options: &[],
                    }.draw())
                    button { "Write the day down" }
                }
            }
        }
    }
}

/// `POST /golfers/{golfer}/jobs/{job}/promise`
pub(crate) async fn save(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now().in_words_of(&house);
    let kept = find(&dossier, &job)?;
    let path = job_path(&dossier, &kept.record);
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&path).into_response());
    }
    let promised = match form.filled("promised") {
        None => None,
        Some(typed) => match read_day(typed, now.day) {
            Some(day) => Some(day),
            None => {
                let shown: String = typed.chars().take(40).collect();
                let example = now.date(now.day);
                let words =
                    format!("Promised for: expected a day such as {example}, found \u{201c}{shown}\u{201d}.");
                let problems = [Problem { field: "promised".to_owned(), words }];
                let page = GolferPage::again(&app, &dossier, &house, Refused::of(&form, &problems));
                return Ok(drawn_again(job_page(&page, kept, None).await?));
            }
        },
    };
    let number = kept.record.number;
    let sentence = match promised {
        Some(day) => format!("Job {number} promised for {}", now.date(day)),
        None => format!("Job {number}: no day is promised any more"),
    };
    let changed = JobFile { promised, ..kept.record.clone() };
    let changes = acts::act(&form, &house, sentence)?.with_changed(changed, form.seen_or(kept.revision));
    acts::save_or_ask(&app, changes, &now, &format!("{path}/promise"), &form).await?;
    Ok(Redirect::to(&path).into_response())
}

/// `GET /golfers/{golfer}/jobs/{job}/dates.ics`
pub(crate) async fn calendar(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let job = &find(&dossier, &job)?.record;
    let name = format!("Job {}, {}", job.number, dossier.golfer.record.name);
    let dates = JobDates { job: &job.id, promised: job.promised, cured_ms: job.cured_ms, name: &name };
    let text = job_ics(house.value("name"), &dates, app.now().ms)
        .map_err(|error| PageError::bad(error.to_string(), "Promise a day first."))?;
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"job.ics\""),
    ];
    Ok((headers, text).into_response())
}
