//! What is done at the bench: parts put aside, steps ticked, readings taken.

use super::job::{find, job_path};
use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::parts::shelf_of_job::read_choices;
use crate::ticks;
use axum::extract::{Path, State};
use axum::response::Redirect;
use studio::{JobFile, Tick, Verdict};

/// `POST /golfers/{golfer}/jobs/{job}/parts`: puts parts of the shelf aside for the job.
pub(crate) async fn put_aside(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let kept = find(&dossier, &job)?;
    let path = job_path(&dossier, &kept.record);
    let back = format!("{path}#parts");
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&back));
    }
    if !kept.record.state.puts_aside() {
        return Err(PageError::bad(
            "The job is checked: it takes nothing from the shelf any more.",
            "What was counted wrong is put right on the part's page.",
        ));
    }
    let uses = read_choices(&kept.record, &form)?;
    let shelf = app.store.shelf().await?;
    if let Some(used) = uses.iter().find(|used| shelf.part(&used.part).is_none()) {
        tracing::debug!(part = %used.part, "a part that is not there was chosen");
        return Err(PageError::out_of_date());
    }
    let sentence = format!("Job {}: parts put aside", kept.record.number);
    let changed = JobFile { uses, ..kept.record.clone() };
    let changes = acts::act(&form, &house, sentence)?.with_changed(changed, form.seen_or(kept.revision));
    acts::save_or_ask(&app, changes, &now, &format!("{path}/parts"), &form).await?;
    Ok(Redirect::to(&back))
}

/// `POST /golfers/{golfer}/jobs/{job}/tick`: a step done or not, with the reading taken at it.
pub(crate) async fn tick(
    State(app): State<App>,
    Path((id, job)): Path<(String, String)>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let kept = find(&dossier, &job)?;
    let job = &kept.record;
    let step = form.get("step").unwrap_or_default();
    if !job.work.has(step) {
        return Err(PageError::NotFound("step"));
    }
    let typed = form.filled("typed");
    let check = job.work.check(step);
    let read = match (typed, check) {
        (Some(typed), Some((_, check))) => Some(check.field.read(typed, acts::units(&form, &house))?),
        (Some(typed), None) => {
            // a step's own reading is kept in the bench's words: a length, a mass, two numbers
            let text = studio::plain_text("reading", typed)?.unwrap_or_default();
            Some(studio::Typed { read_back: text.clone(), text, value_si: None })
        }
        (None, _) => None,
    };
    let done = form.get("done") != Some("no")
        && (check.is_none() || read.is_some() || form.get("done") == Some("yes"));
    let (name, verdict) = match check {
        Some((club, check)) => {
            let mut values = dossier.read_of(&job.id, step);
            let value = read.as_ref().and_then(|read| read.value_si);
            values.extend(value);
            let taken = value.and_then(|_| check.taken(values));
            let verdict = taken.map(|taken| check.judge_mean(taken));
            (format!("{} {}", club.name, check.field.label().to_lowercase()), verdict)
        }
        None => {
            let what =
                job.work.steps().find(|(_, one)| one.key == step).map_or("", |(_, one)| one.what.as_str());
            (what.chars().take(60).collect(), None)
        }
    };
    let sentence = match (&read, verdict, done) {
        (Some(read), Some(Verdict::Off(_)), _) => {
            format!("Job {}: {name} {}, out of tolerance", job.number, read.text)
        }
        (Some(read), _, _) => format!("Job {}: {name} {}", job.number, read.text),
        (None, _, true) => format!("Job {}: done, {name}", job.number),
        (None, _, false) => format!("Job {}: not done after all, {name}", job.number),
    };
    let changes = acts::act(&form, &house, sentence)?;
    let tick = Tick {
        id: acts::record_id(&changes.id, 0),
        golfer: job.golfer.clone(),
        job: job.id.clone(),
        step: step.to_owned(),
        done,
        typed: read.as_ref().map(|read| read.text.clone()),
        value_si: read.and_then(|read| read.value_si),
        by: changes.by.clone(),
        at_ms: now.ms,
        removed: false,
    };
    ticks::save(&app, changes, &tick, job, &now).await?;
    Ok(Redirect::to(&format!("{}#step-{}", job_path(&dossier, job), crate::parts::field::id_of(step))))
}
