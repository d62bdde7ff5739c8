//! The quote of a job: made, agreed to, on paper, and the invoice after it.

use super::GolferPage;
use super::job::{find, job_page, job_path, plan_of};
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::problem::{Problem, Refused, drawn_again};
use crate::parts::quote::on_paper;
use crate::shell::paper;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use studio::{Accepted, Dossier, HouseSettings, JobFile, Kept, Quote, Share, StudioError, Terms, plain_text};

/// What a form about a quote was sent for.
struct Sent {
    dossier: Dossier,
    house: HouseSettings,
    now: Now,
    kept: Kept<JobFile>,
    path: String,
    /// The same act was saved before: what it asks is done.
    is_known: bool,
}

impl Sent {
    async fn read(app: &App, id: &str, job: &str, form: &Form) -> Result<Self, PageError> {
        let (dossier, house) = app.golfer(id).await?;
        let kept = find(&dossier, job)?.clone();
        let path = job_path(&dossier, &kept.record);
        Ok(Self { now: app.now(), is_known: acts::is_known(app, form).await?, dossier, house, kept, path })
    }

    /// Back to the job.
    fn done(&self) -> Response {
        Redirect::to(&self.path).into_response()
    }

    /// The job's page again, with what was wrong.
    async fn again(&self, app: &App, form: &Form, problem: Problem) -> Result<Response, PageError> {
        let problems = [problem];
        let page = GolferPage::again(app, &self.dossier, &self.house, Refused::of(form, &problems));
        Ok(drawn_again(job_page(&page, &self.kept, None).await?))
    }
}

/// `POST /golfers/{golfer}/jobs/{job}/quote`: puts the house's prices on the job.
pub(crate) async fn make(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let sent = Sent::read(&app, &id, &job, &form).await?;
    if sent.is_known {
        return Ok(sent.done());
    }
    let Sent { house, now, kept, path, .. } = &sent;
    let discount = form.filled("discount").map(Share::parse).transpose();
    let made = discount.map_err(|error| Problem::of("discount", "Discount", &error)).and_then(|discount| {
        let terms = Terms { is_rush: form.get("rush") == Some("yes"), discount };
        let plan = plan_of(&kept.record, now.day).map_err(|_| unreadable())?;
        Quote::of(&plan, house, terms, now.day).map_err(|error| Problem::of("prices", "Prices", &error))
    });
    let quote = match made {
        Ok(quote) => quote,
        Err(problem) => return sent.again(&app, &form, problem).await,
    };
    let sentence = format!("Job {} quoted at {}", kept.record.number, quote.say(quote.total()));
    let quoted = kept.record.quoted(quote, now.ms)?;
    let changes = acts::act(&form, house, sentence)?.with_changed(quoted, form.seen_or(kept.revision));
    acts::save_or_ask(&app, changes, now, &format!("{path}/quote"), &form).await?;
    Ok(sent.done())
}

fn unreadable() -> Problem {
    let error = StudioError::BadValue {
        message: "the card this job was made from can no longer be read".to_owned(),
        hint: Some("Make a new job from the target.".to_owned()),
    };
    Problem::of("prices", "Prices", &error)
}

/// `POST /golfers/{golfer}/jobs/{job}/accept`: writes the golfer's yes down.
pub(crate) async fn accept(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let sent = Sent::read(&app, &id, &job, &form).await?;
    if sent.is_known {
        return Ok(sent.done());
    }
    let Sent { house, now, kept, path, .. } = &sent;
    let total = kept.record.quote.as_ref().map(|quote| quote.total().as_cents().to_string());
    let is_as_shown = total.as_deref() == form.get("shown");
    let how = plain_text("how the golfer agreed", form.get("how").unwrap_or_default());
    let problem = match (how, is_as_shown) {
        (_, false) => Err(StudioError::BadValue {
            message: "the quote has changed since this page was opened".to_owned(),
            hint: Some("Look at it, and ask again.".to_owned()),
        }),
        (Ok(Some(how)), true) => Ok(how),
        (Ok(None), true) => Err(StudioError::BadValue {
            message: "expected how it was said, such as signed or by message, found nothing".to_owned(),
            hint: None,
        }),
        (Err(error), true) => Err(error),
    };
    let how = match problem {
        Ok(how) => how,
        Err(error) => {
            return sent.again(&app, &form, Problem::of("how", "How the golfer agreed", &error)).await;
        }
    };
    let agreed = kept.record.accepted(Accepted { day: now.day, how: how.clone() }, now.ms)?;
    let sentence = format!("Job {} agreed: {how}", kept.record.number);
    let changes = acts::act(&form, house, sentence)?.with_changed(agreed, form.seen_or(kept.revision));
    acts::save_or_ask(&app, changes, now, &format!("{path}/accept"), &form).await?;
    Ok(sent.done())
}

/// `GET /golfers/{golfer}/jobs/{job}/quote`
pub(crate) async fn show(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    drawn(&app, &id, &job, false).await
}

/// `GET /golfers/{golfer}/jobs/{job}/invoice`
pub(crate) async fn invoice(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    drawn(&app, &id, &job, true).await
}

async fn drawn(app: &App, id: &str, job: &str, is_invoice: bool) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(id).await?;
    let now = app.now().in_words_of(&house);
    let job = &find(&dossier, job)?.record;
    let quote = job.quote.as_ref().ok_or(PageError::NotFound("quote"))?;
    let title = if is_invoice { "Invoice" } else { "Quote" };
    let name = &dossier.golfer.record.name;
    let content = html! {
        header class="top" {
            div {
                p class="small soft" { (house.value("name")) @if !house.value("address").is_empty() { ", " (house.value("address")) } }
                h1 { (title) }
                p { (name) }
            }
            dl class="facts" {
                dt { "Job" } dd { (job.number) }
                dt { @if is_invoice { "Date" } @else { "Made" } } dd { (now.date(if is_invoice { now.day } else { quote.made })) }
            }
        }
        (on_paper(quote, is_invoice, &now))
    };
    let tools = html! {
        a class="button" href=(job_path(&dossier, job)) { "Back to the job" }
        " "
        button class="primary" type="button" data-print hidden { "Print" }
    };
    Ok(paper(&format!("{title}, {name}"), &tools, &content))
}
