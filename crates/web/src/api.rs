//! `/api/v1`: everything the pages do, for programs. JSON in, JSON out; the schema is at `/api/v1/openapi.json`.
//!
//! Writing is one address: an act with its records, under an id the sender makes, so that sending twice counts once.

mod description;
mod errors;

use crate::acts::record_id;
use crate::app::App;
use crate::error::PageError;
use crate::form::LARGEST;
use crate::pages::job::find;
use crate::pages::trial::in_hand;
use crate::room;
use crate::route::{Route, Writes, at};
use crate::shut_away::{ask_first, left_out_of};
use axum::extract::{DefaultBodyLimit, Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
pub(crate) use errors::ApiError;
use errors::Body;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use studio::{Changes, Id, JobState, Kept, NoPlan, Record, RecordKind};

/// The addresses under `/api/v1`.
pub(crate) fn routes() -> Vec<Route> {
    vec![
        at("/openapi.json", get(description::openapi)),
        at("/golfers", get(golfers)),
        at("/golfers/{golfer}", get(golfer)),
        at("/golfers/{golfer}/plan", get(plan)),
        at("/golfers/{golfer}/card", get(card)),
        at("/golfers/{golfer}/log", get(log)),
        at("/golfers/{golfer}/trial", get(trial)),
        at("/golfers/{golfer}/trial/analysis", get(analysis)).takes_long(),
        at("/golfers/{golfer}/target", post(keep_target)),
        at("/golfers/{golfer}/job", post(make_job)),
        at("/golfers/{golfer}/jobs/{job}/move", post(move_job)),
        at("/records/{record}/history", get(history)),
        at("/due", get(due)),
        at("/house", get(house)),
        at("/changes", post(save)).writes(Writes::Strikes),
        at("/undo", post(undo)),
    ]
}

/// What answers there.
pub(crate) fn router() -> Router<App> {
    let addresses =
        routes().into_iter().fold(Router::new(), |router, route| router.route(route.path, route.answer));
    addresses
        .fallback(async || ApiError::from(PageError::NotFound("address")))
        .method_not_allowed_fallback(async || ApiError::not_allowed())
        .layer(DefaultBodyLimit::max(LARGEST))
}

/// What is looked for.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Find {
    /// Part of a name or contact, a telephone number, or a job's number; nothing gives those changed last.
    #[serde(default)]
    q: String,
    /// Most golfers to list, 1 to 100; 20 when not given.
    #[serde(default)]
    most: Option<u8>,
}

async fn golfers(
    State(app): State<App>,
    find: Result<Query<Find>, axum::extract::rejection::QueryRejection>,
) -> Result<Json<Value>, ApiError> {
    let Query(find) = find.map_err(|error| ApiError::bad(error.body_text(), "See /api/v1/openapi.json."))?;
    let most = find.most.unwrap_or(20);
    if !(1..=100).contains(&most) || find.q.chars().count() > 120 {
        return Err(ApiError::bad(
            "expected most from 1 to 100 and q of up to 120 characters",
            "See /api/v1/openapi.json.",
        ));
    }
    let hits = app.store.search(&find.q, i64::from(most)).await?;
    let golfers: Vec<Value> = hits
        .iter()
        .map(|hit| {
            json!({
                "golfer": hit.golfer,
                "job": hit.job.map(|(number, state)| json!({ "number": number, "state": state })),
                "measured": hit.is_measured,
            })
        })
        .collect();
    Ok(Json(json!({ "version": 1, "golfers": golfers })))
}

async fn golfer(State(app): State<App>, Path(id): Path<String>) -> Result<Json<Value>, ApiError> {
    let (mut dossier, house) = app.golfer(&id).await?;
    let left_out = left_out_of(&mut dossier);
    let spine = dossier.spine(&house, app.now().day);
    let stations: Vec<Value> = spine
        .stations
        .iter()
        .map(|station| {
            json!({
                "name": station.name.words(),
                "state": station.state.words(),
                "number": station.number,
                "basis": station.basis,
            })
        })
        .collect();
    Ok(Json(json!({
        "version": 1,
        "dossier": dossier,
        "left_out": left_out,
        "spine": { "stations": stations, "next": { "at": spine.next.at.words(), "label": spine.next.label } },
    })))
}

async fn plan(State(app): State<App>, Path(id): Path<String>) -> Result<Json<Value>, ApiError> {
    let (dossier, house) = app.golfer(&id).await?;
    let plan = dossier.plan(&house, app.now().day).map_err(no_plan)?;
    Ok(Json(sheet::plan_json(&plan)))
}

/// Says why there is no plan.
fn no_plan(reason: NoPlan) -> ApiError {
    match reason {
        NoPlan::NotMeasured => {
            ApiError::bad("there is no knuckle height yet", "Save a reading of knuckle_height first.")
        }
        NoPlan::Refused(_, problems) => {
            let problem = problems.into_iter().next();
            ApiError::bad(
                problem
                    .as_ref()
                    .map_or_else(|| "the readings cannot be meant".to_owned(), ToString::to_string),
                problem.and_then(|problem| problem.hint).unwrap_or_else(|| "Read it again.".to_owned()),
            )
        }
    }
}

async fn card(State(app): State<App>, Path(id): Path<String>) -> Result<Response, ApiError> {
    let (dossier, house) = app.golfer(&id).await?;
    let card = dossier.card(&house).ok_or_else(|| no_plan(NoPlan::NotMeasured))?;
    Ok(([(header::CONTENT_TYPE, "application/toml; charset=utf-8")], card.as_str().to_owned())
        .into_response())
}

async fn log(State(app): State<App>, Path(id): Path<String>) -> Result<Json<Value>, ApiError> {
    let (dossier, _) = app.golfer(&id).await?;
    let lines = app.store.log(Some(&dossier.golfer.record.id), 500).await?;
    let lines: Vec<Value> = lines
        .iter()
        .map(|line| {
            json!({
                "id": line.id,
                "seq": line.seq,
                "sentence": line.sentence,
                "by": line.by,
                "at_ms": line.at_ms,
                "undone": line.is_undone,
                "undoes": line.is_undoing,
            })
        })
        .collect();
    Ok(Json(json!({ "version": 1, "log": lines })))
}

/// The trial in hand with its orders: the letters, and never which length a letter is before the code is opened.
async fn trial(State(app): State<App>, Path(id): Path<String>) -> Result<Json<Value>, ApiError> {
    let (dossier, _) = app.golfer(&id).await?;
    let kept = in_hand(&dossier)?;
    let trial = &kept.record;
    let code = trial.plan().code();
    let visits: Vec<Value> = (1..=u32::from(trial.visits))
        .map(|visit| {
            let letters: String = trial.balls_of(visit).iter().map(|length| code[*length]).collect();
            json!({ "visit": visit, "letters": letters, "kept": dossier.balls(&trial.id, visit).len() })
        })
        .collect();
    let lengths: Option<Vec<Value>> = trial.opened.map(|_| {
        let pairs = code.iter().zip(&trial.offsets_in);
        pairs.map(|(letter, offset)| json!({ "letter": letter.to_string(), "offset_in": offset })).collect()
    });
    Ok(Json(json!({
        "version": 1,
        "trial": trial.id,
        "club": trial.club,
        "revision": kept.revision,
        "visits": visits,
        "code": lengths,
        "verdict": trial.verdict,
    })))
}

/// What the trial in hand says, as `lengthwise trial analyse --json` does; only once the code is opened.
async fn analysis(State(app): State<App>, Path(id): Path<String>) -> Result<Json<Value>, ApiError> {
    let (dossier, _) = app.golfer(&id).await?;
    let trial = &in_hand(&dossier)?.record;
    if trial.opened.is_none() {
        return Err(ApiError::bad(
            "the code of this trial is not opened yet",
            "Open it on the trial's page first.",
        ));
    }
    let analysis = dossier.analysis(trial).map_err(PageError::from)?;
    Ok(Json(sheet::trial_json(&analysis, &dossier.response_slopes(trial))))
}

async fn history(State(app): State<App>, Path(id): Path<String>) -> Result<Json<Value>, ApiError> {
    let id = Id::parse(&id).map_err(|_| PageError::NotFound("record"))?;
    let seen = app.store.history(&id).await?;
    if seen.is_empty() {
        return Err(PageError::NotFound("record").into());
    }
    ask_first(seen.iter().map(|seen| &seen.record))?;
    let seen: Vec<Value> =
        seen.iter().map(|seen| json!({ "act": seen.act, "record": seen.record })).collect();
    Ok(Json(json!({ "version": 1, "history": seen })))
}

async fn due(State(app): State<App>) -> Result<Json<Value>, ApiError> {
    let now = app.now();
    let due = app.store.due(now.day, now.ms).await?;
    let due: Vec<Value> = due
        .iter()
        .map(|due| {
            json!({
                "golfer": due.golfer,
                "name": due.name,
                "why": due.kind.words(),
                "job": due.job.as_ref().map(|(id, number)| json!({ "id": id, "number": number })),
                "day": due.day,
                "cured_ms": due.cured_ms,
            })
        })
        .collect();
    Ok(Json(json!({ "version": 1, "due": due })))
}

async fn house(State(app): State<App>) -> Result<Json<Value>, ApiError> {
    let Kept { record, revision } = app.house().await?;
    Ok(Json(json!({ "version": 1, "house": record, "revision": revision })))
}

/// What was acknowledged.
#[derive(Debug, Serialize, JsonSchema)]
struct Saved {
    version: u8,
    /// Its place in the sequence of changes.
    seq: i64,
    /// Whether the same act was saved before and this answers it again.
    was_known: bool,
}

impl From<store::Saved> for Saved {
    fn from(saved: store::Saved) -> Self {
        Self { version: 1, seq: saved.seq, was_known: saved.was_known }
    }
}

async fn save(State(app): State<App>, Body(changes): Body<Changes>) -> Result<Json<Saved>, ApiError> {
    changes.check()?;
    ask_first(changes.puts.iter().map(|put| &put.record))?;
    refuse_to_open_remarks(&app, &changes).await?;
    let are_strikes = changes.puts.iter().all(|put| matches!(put.record, Record::Strike(_)));
    if !are_strikes {
        room::for_a_record(app.store.address())?;
    }
    Ok(Json(app.store.save(changes, app.now().ms).await?.into()))
}

/// An act to be undone.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Undo {
    /// Id of the undoing.
    id: Id,
    /// Who undoes.
    by: String,
    /// The act.
    of: Id,
}

/// A remark about health is changed only by who may read it, and stays one: it goes when the consent is taken back.
async fn refuse_to_open_remarks(app: &App, changes: &Changes) -> Result<(), ApiError> {
    for put in &changes.puts {
        let Record::Remark(remark) = &put.record else { continue };
        let Some(there) = app.store.record(RecordKind::Remark, &remark.id).await? else { continue };
        if !matches!(&there.record, Record::Remark(there) if there.is_about_health()) {
            continue;
        }
        ask_first([&there.record])?;
        if !remark.is_about_health() {
            return Err(ApiError::bad(
                "a remark about health stays one: expected its health_consent, found none",
                "Where the golfer no longer agrees, erase it on the golfer's page.",
            ));
        }
    }
    Ok(())
}

async fn undo(State(app): State<App>, Body(undo): Body<Undo>) -> Result<Json<Saved>, ApiError> {
    let by = by(&undo.by)?;
    ask_first(&app.store.records_of(&undo.of).await?)?;
    Ok(Json(app.store.undo(&undo.of, undo.id, &by, app.now().ms).await?.into()))
}

fn by(by: &str) -> Result<String, ApiError> {
    studio::plain_text("by", by)?
        .ok_or_else(|| ApiError::bad("expected who did it under by, found nothing", "Give a name."))
}

/// Something made from the plan as it is now.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Make {
    /// Id of the act.
    id: Id,
    /// Who makes it.
    by: String,
}

async fn keep_target(
    State(app): State<App>,
    Path(golfer): Path<String>,
    Body(make): Body<Make>,
) -> Result<Json<Saved>, ApiError> {
    let (dossier, house) = app.golfer(&golfer).await?;
    let now = app.now();
    let by = by(&make.by)?;
    let target = dossier.new_target(record_id(&make.id, 0), &by, &house, now.day, now.ms).map_err(no_plan)?;
    let sentence = format!("Target kept: six-iron {}", target.words);
    let changes = Changes::new(make.id, &by, sentence).with_new(target);
    Ok(Json(app.store.save(changes, now.ms).await?.into()))
}

async fn make_job(
    State(app): State<App>,
    Path(golfer): Path<String>,
    Body(make): Body<Make>,
) -> Result<Json<Saved>, ApiError> {
    let (dossier, house) = app.golfer(&golfer).await?;
    let now = app.now();
    let job = dossier.new_job(record_id(&make.id, 0), &house, now.day, now.ms).map_err(no_plan)?;
    let changes = Changes::new(make.id, &by(&make.by)?, "Job made").with_new(job);
    Ok(Json(app.store.save(changes, now.ms).await?.into()))
}

/// Where a job goes.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Move {
    /// Id of the act.
    id: Id,
    /// Who moves it.
    by: String,
    /// The state.
    to: JobState,
    /// The revision that was seen.
    seen: i64,
    /// Why, or what to remember.
    #[serde(default)]
    note: Option<String>,
}

async fn move_job(
    State(app): State<App>,
    Path((golfer, job)): Path<(String, String)>,
    Body(asked): Body<Move>,
) -> Result<Json<Saved>, ApiError> {
    let (dossier, _) = app.golfer(&golfer).await?;
    let now = app.now();
    let kept = find(&dossier, &job)?;
    let note = studio::plain_text("note", asked.note.as_deref().unwrap_or_default())?;
    let moved = studio::JobFile { note, ..kept.record.moved_to(asked.to, now.ms)? };
    let sentence = format!("Job {} {}", moved.number, asked.to.words());
    let mut changes =
        Changes::new(asked.id, &by(&asked.by)?, sentence).with_changed(moved.clone(), asked.seen);
    if asked.to == JobState::Checked {
        changes = dossier.with_finished_readings(changes, &moved, now.day, now.ms, record_id);
    }
    Ok(Json(app.store.save(changes, now.ms).await?.into()))
}
