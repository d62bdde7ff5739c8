//! The job: made from the target, moved on from state to state, worked on at the bench, printed, handed over.

use super::{GolferPage, promise};
use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::parts::bench::{bench, cure, next_at_the_bench};
use crate::parts::check::check_part;
use crate::parts::problem::summary;
use crate::parts::quote::quote_part;
use crate::parts::shelf_of_job::shelf_part;
use crate::shell::{act_id, golfer_path, paper};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use sheet::Letterhead;
use sheet::words::rich;
use studio::{Changes, Dossier, Field, Id, JobFile, JobState, Kept, StationName, Tick, Work};

/// `GET /golfers/{golfer}/job`: the job in hand, or what it would be.
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let page = GolferPage::fresh(&app, &dossier, &house);
    match dossier.job() {
        Some(kept) => job_page(&page, kept, None).await,
        None => no_job(&page).await,
    }
}

async fn no_job(page: &GolferPage<'_>) -> Result<Markup, PageError> {
    let dossier = page.dossier;
    let content = html! {
        @match dossier.plan(page.house, page.now.day) {
            Ok(plan) => {
                @let work = Work::of(&plan, |name| dossier.club_named(name));
                @if let Some(reason) = &work.waits_for { p class="hold" { "Hold. " (reason) } }
                @if work.sections.is_empty() {
                    p class="lead" { "Nothing to do at the bench: every club stays as it is." }
                    p class="next" { a class="button primary" href=(format!("{}/follow-up", golfer_path(dossier))) { "Set a day to see again" } }
                } @else {
                    p class="lead" {
                        @if let Some(first) = &work.first_club { (first) " first; the others when it has been hit. " }
                        (work.minutes) " min at the bench" @if work.cure_hours > 0 { ", " (work.cure_hours) " h to cure" } "."
                    }
                    @for section in &work.sections {
                        h2 { (section.heading) }
                        ul class="plain" { @for club in &section.clubs { li { (club.name) ": " (rich(&club.what)) } } }
                        @for said in &section.said_before { p class="note care" { (rich(said)) } }
                    }
                    @if dossier.target().is_none() {
                        p class="note" { "The target is not kept yet. " a href=(format!("{}/target", golfer_path(dossier))) { "Look at it first" } }
                    }
                    p class="alone" { a href=(format!("{}/job/build", golfer_path(dossier))) { "Build the set from the shelf: which parts, at what cost" } }
                    form method="post" action=(format!("{}/job", golfer_path(dossier))) class="next" {
                        (act_id())
                        button class="primary" { "Make the job" }
                    }
                }
            }
            Err(_) => {
                p class="lead" { "A job follows from the target, and the target from the knuckle height." }
                p class="next" { a class="button primary" href=(format!("{}/target", golfer_path(dossier))) { "To the target" } }
            }
        }
    };
    page.draw(Some(StationName::Job), "Job", &content).await
}

/// `POST /golfers/{golfer}/job`: makes the job from the plan as it is now.
pub(crate) async fn make(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let changes = acts::act(&form, &house, "Job made")?;
    let job = dossier
        .new_job(acts::record_id(&changes.id, 0), &house, now.day, now.ms)
        .map_err(|_| PageError::not_measured("There is no target to work from yet."))?;
    let path = format!("{}/jobs/{}", golfer_path(&dossier), job.id);
    acts::save(&app, changes.with_new(job), &now).await?;
    Ok(Redirect::to(&path))
}

/// `GET /golfers/{golfer}/jobs/{job}`
pub(crate) async fn show_one(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let kept = find(&dossier, &job)?;
    job_page(&GolferPage::fresh(&app, &dossier, &house), kept, None).await
}

/// `GET /j/{number}`: what the code on a printed sheet opens.
pub(crate) async fn by_number(
    State(app): State<App>,
    Path(number): Path<String>,
) -> Result<Redirect, PageError> {
    let number = number.parse().map_err(|_| PageError::NotFound("job"))?;
    let (job, golfer) = app.store.job_numbered(number).await?.ok_or(PageError::NotFound("job"))?;
    Ok(Redirect::to(&format!("/golfers/{golfer}/jobs/{job}")))
}

pub(crate) fn find<'d>(dossier: &'d Dossier, id: &str) -> Result<&'d Kept<JobFile>, PageError> {
    Id::parse(id).ok().and_then(|id| dossier.job_of(&id)).ok_or(PageError::NotFound("job"))
}

pub(super) fn job_path(dossier: &Dossier, job: &JobFile) -> String {
    format!("{}/jobs/{}", golfer_path(dossier), job.id)
}

pub(super) async fn job_page(
    page: &GolferPage<'_>,
    kept: &Kept<JobFile>,
    elsewhere: Option<Elsewhere<'_>>,
) -> Result<Markup, PageError> {
    let (dossier, house, now) = (page.dossier, page.house, &page.now);
    let job = &kept.record;
    let path = job_path(dossier, job);
    let content = html! {
        (summary(page.refused))
        @if let Some(elsewhere) = &elsewhere { (elsewhere.told(kept, &path)) }
        div class="jobhead" {
            p class="big" { "Job " (job.number) " " span class="pm" { (job.state.words()) ", " (now.clock_time(job.since_ms)) } }
            @if let Some(note) = &job.note { p class="note care" { (note) } }
            (cure(job, now))
            (promise::part(kept, page.refused, now, &path))
        }
        (next_at_the_bench(dossier, house, job, &path))
        (move_on_form(dossier, kept, &path))
        (quote_part(kept, page.refused, now, &path))
        p class="papers" {
            a class="button" href=(format!("{path}/sheet")) { "Job sheet" }
            " "
            a class="button" href=(format!("{path}/golfers-sheet")) { "Golfer's sheet" }
        }
        (check_part(dossier, job))
        (shelf_part(&page.app.store.shelf_for(&job.id).await?, kept, &path))
        (bench(dossier, house, job, &path))
    };
    page.draw(Some(StationName::Job), "Job", &content).await
}

/// A wish for a job that was moved on another device meanwhile.
pub(super) struct Elsewhere<'a> {
    wished: JobState,
    note: &'a str,
}

impl Elsewhere<'_> {
    /// Says where the job is and what was wished, and lets the wish be met where it still can.
    fn told(&self, kept: &Kept<JobFile>, path: &str) -> Markup {
        let there = kept.record.state;
        html! {
            section class="hold" role="alert" tabindex="-1" {
                p { "Changed on another device: the job is " (there.words()) ". You wanted it " (self.wished.words()) "; nothing of that was saved." }
                @if there.next().contains(&self.wished) {
                    form method="post" action=(format!("{path}/move")) class="below" {
                        (act_id())
                        input type="hidden" name="seen" value=(kept.revision);
                        input type="hidden" name="note" value=(self.note);
                        button name="to" value=(self.wished.words()) { "Save mine" }
                    }
                } @else {
                    p { "From here it does not go there. Choose again." }
                }
            }
        }
    }
}

/// The states the job goes to from here: the usual one first, as the one primary button.
fn move_on_form(dossier: &Dossier, kept: &Kept<JobFile>, path: &str) -> Markup {
    let job = &kept.record;
    // while something is left to tick, that is what comes next
    let is_off = !dossier.off(job).is_empty();
    let ticks_are_next =
        job.state == JobState::OnTheBench && (is_off || dossier.ticks_done(job) < job.work.ticks_due());
    // a checked job with a reading that is off goes back first
    let usual = if job.state == JobState::Checked && is_off {
        JobState::Rework
    } else {
        job.state.next().first().copied().unwrap_or(job.state)
    };
    // a quote is agreed to where it stands, with how it was said
    let waits_for_a_yes = job.state == JobState::Quoted && job.quote.is_some();
    let next = job.state.next().iter().filter(|state| !(waits_for_a_yes && **state == JobState::Agreed));
    html! {
        @if !job.state.is_over() {
            form method="post" action=(format!("{path}/move")) class="states" {
                (act_id())
                input type="hidden" name="seen" value=(kept.revision);
                @for state in next {
                    button class=[(*state == usual && !ticks_are_next && !waits_for_a_yes).then_some("primary")] name="to" value=(state.words()) { (verb(*state)) }
                }
                div class="entry" {
                    label for="note" { "Why, or what to remember" }
                    input id="note" class="field line" type="text" name="note" autocomplete="off";
                }
            }
        }
    }
}

/// What the button says that moves a job to this state.
fn verb(state: JobState) -> &'static str {
    match state {
        JobState::Asked => "Asked",
        JobState::Measured => "Back to measured",
        JobState::OnTrial => "Put on trial",
        JobState::Quoted => "Quoted",
        JobState::Agreed => "The golfer agrees",
        JobState::WaitingForParts => "Wait for parts",
        JobState::OnTheBench => "Put on the bench",
        JobState::Curing => "Glued: let it cure",
        JobState::Checked => "All checked",
        JobState::Ready => "Ready to hand over",
        JobState::HandedOver => "Hand over",
        JobState::FollowUpDue => "Wait for the follow-up",
        JobState::Closed => "Close",
        JobState::OnHold => "Put on hold",
        JobState::Rework => "Work on it again",
        JobState::Cancelled => "Cancel",
    }
}

/// `POST /golfers/{golfer}/jobs/{job}/move`
pub(crate) async fn move_on(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let kept = find(&dossier, &job)?;
    let path = job_path(&dossier, &kept.record);
    if acts::is_known(&app, &form).await? {
        // the same wish, sent again: it was met
        return Ok(Redirect::to(&path).into_response());
    }
    let to = form
        .get("to")
        .and_then(JobState::from_words)
        .ok_or_else(|| PageError::bad("Expected a state a job can be in.", "Choose one of the buttons."))?;
    let seen = form.seen_or(kept.revision);
    if seen != kept.revision {
        let elsewhere = Elsewhere { wished: to, note: form.get("note").unwrap_or_default() };
        let page = job_page(&GolferPage::fresh(&app, &dossier, &house), kept, Some(elsewhere)).await?;
        return Ok((StatusCode::CONFLICT, page).into_response());
    }
    let note = studio::plain_text("note", form.get("note").unwrap_or_default())?;
    let why = note.as_ref().map(|note| format!(": {note}")).unwrap_or_default();
    let moved = JobFile { note, ..kept.record.moved_to(to, now.ms)? };
    let mut changes = acts::act(&form, &house, format!("Job {} {}{why}", moved.number, to.words()))?
        .with_changed(moved.clone(), seen);
    if to == JobState::Rework {
        changes = with_readings_to_take_anew(changes, &dossier, &moved, now.ms);
    }
    if to == JobState::Checked {
        changes = dossier.with_finished_readings(changes, &moved, now.day, now.ms, acts::record_id);
    }
    acts::save_or_ask(&app, changes, &now, &format!("{path}/move"), &form).await?;
    let next = if to == JobState::HandedOver { format!("{}/follow-up", golfer_path(&dossier)) } else { path };
    Ok(Redirect::to(&next).into_response())
}

/// Work that is done again opens the readings that were off: they are taken anew.
fn with_readings_to_take_anew(
    mut changes: Changes,
    dossier: &Dossier,
    job: &JobFile,
    now_ms: i64,
) -> Changes {
    let off = dossier.off(job);
    if !off.is_empty() {
        let named: Vec<String> = off
            .iter()
            .map(|reading| format!("{} {}", reading.club.name, reading.check.field.label().to_lowercase()))
            .collect();
        changes.sentence += &format!("; to be read anew: {}", named.join(", "));
    }
    for (place, reading) in off.iter().enumerate() {
        let tick = Tick {
            id: acts::record_id(&changes.id, place),
            golfer: job.golfer.clone(),
            job: job.id.clone(),
            step: reading.club.check_key(reading.check),
            done: false,
            typed: None,
            value_si: None,
            by: changes.by.clone(),
            at_ms: now_ms,
            removed: false,
        };
        changes.add_new(tick);
    }
    changes
}

/// The plan a job was made from.
pub(super) fn plan_of(job: &JobFile, today: jiff::civil::Date) -> Result<bench::SetPlan, PageError> {
    let planned = card::read(&job.card, today).and_then(|card| card.plan());
    planned.map_err(|_| {
        PageError::bad(
            "The card this job was made from can no longer be read.",
            "The steps on the job's page are as they were. Make a new job from the target for a new sheet.",
        )
    })
}

async fn on_paper(
    app: &App,
    id: &str,
    job: &str,
    title: &str,
    content: impl Fn(&bench::SetPlan, jiff::civil::Date, &Letterhead<'_>) -> Markup,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(id).await?;
    let job = &find(&dossier, job)?.record;
    let made = jiff::Timestamp::from_millisecond(job.made_ms).unwrap_or_default();
    let day = made.to_zoned_datetime(app.now().zone).date();
    let plan = plan_of(job, day)?;
    let live_at = format!("{}/j/{}", app.url_on_paper(), job.number);
    let letterhead = Letterhead {
        studio: Some(house.value("name")),
        address: Some(house.value("address")),
        job: Some(job.number),
        live_at: Some(&live_at),
        dates: house.dates(),
    };
    let tools = html! {
        a class="button" href=(job_path(&dossier, job)) { "Back to the job" }
        " "
        button class="primary" type="button" data-print hidden { "Print" }
        p class="small soft" { "Print it, or save it as PDF, with the browser's own print." }
    };
    Ok(paper(&format!("{title}, {}", dossier.golfer.record.name), &tools, &content(&plan, day, &letterhead)))
}

/// `GET /golfers/{golfer}/jobs/{job}/sheet`
pub(crate) async fn sheet(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    on_paper(&app, &id, &job, "Job sheet", sheet::job_sheet_content).await
}

/// `GET /golfers/{golfer}/jobs/{job}/golfers-sheet`
pub(crate) async fn golfers_sheet(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
) -> Result<Markup, PageError> {
    on_paper(&app, &id, &job, "Length of your irons", sheet::golfer_sheet_content).await
}

/// The field of a check, for those who type into it.
pub(crate) fn unit_of(field: Field) -> &'static str {
    match field {
        Field::Mass => "g",
        Field::Lie => "°",
        Field::Swingweight => "scale",
        Field::Frequency => "cpm",
        _ => "in",
    }
}
