//! The trial: planned, its visits one by one, its code opened at the end.

mod overview;
mod plan_form;
mod plan_sheet;

pub(crate) use plan_sheet::order_sheet;

use super::GolferPage;
use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::parts::problem::{Problem, Refused, drawn_again};
use crate::shell::golfer_path;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::Markup;
use plan_form::Wish;
use studio::{Dossier, Kept, StationName, TrialFile, plain_text};

/// `GET /golfers/{golfer}/trial`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    trial_page(&GolferPage::fresh(&app, &dossier, &house)).await
}

async fn trial_page(page: &GolferPage<'_>) -> Result<Markup, PageError> {
    let content = match page.dossier.trial() {
        Some(kept) => overview::overview(page, kept),
        None => plan_form::plan_form(page),
    };
    page.draw(Some(StationName::Trial), "Trial", &content).await
}

/// `GET /golfers/{golfer}/trial/plan`: planning another trial, after one whose code was opened.
pub(crate) async fn plan_another(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let page = GolferPage::fresh(&app, &dossier, &house);
    let path = format!("{}/plan", trial_path(&dossier));
    page.draw_at(&path, Some(StationName::Trial), "Another trial", &plan_form::plan_form(&page)).await
}

/// The trial in hand.
pub(crate) fn in_hand(dossier: &Dossier) -> Result<&Kept<TrialFile>, PageError> {
    dossier.trial().ok_or(PageError::NotFound("trial"))
}

/// The address of a golfer's trial.
pub(crate) fn trial_path(dossier: &Dossier) -> String {
    format!("{}/trial", golfer_path(dossier))
}

/// `POST /golfers/{golfer}/trial`: plans a trial.
pub(crate) async fn make(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&trial_path(&dossier)).into_response());
    }
    let changes = acts::act(&form, &house, "")?;
    match Wish::read(&form, &dossier, &house, now.day) {
        Ok(wish) => {
            let trial = wish.into_trial(&changes, &dossier, now.ms);
            let sentence = format!(
                "Trial planned: {}, {} visits with {} balls",
                trial.club,
                trial.visits,
                trial.plan().balls_a_visit()
            );
            acts::save(&app, studio::Changes { sentence, ..changes.with_new(trial) }, &now).await?;
            Ok(Redirect::to(&trial_path(&dossier)).into_response())
        }
        Err(problems) => {
            let page = GolferPage::again(&app, &dossier, &house, Refused::of(&form, &problems));
            Ok(drawn_again(trial_page(&page).await?))
        }
    }
}

/// `POST /golfers/{golfer}/trial/open`: opens the code, and keeps what the trial says.
pub(crate) async fn open(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let verdict_at = format!("{}/verdict", trial_path(&dossier));
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&verdict_at).into_response());
    }
    let kept = in_hand(&dossier)?;
    let thought_longest = match plain_text("letter", form.get("thought").unwrap_or_default()) {
        Ok(letter) => letter,
        Err(error) => {
            let problems = [Problem::of("thought", "Which club was longest", &error)];
            let page = GolferPage::again(&app, &dossier, &house, Refused::of(&form, &problems));
            return Ok(drawn_again(trial_page(&page).await?));
        }
    };
    let analysis = dossier.analysis(&kept.record)?;
    let opened = kept.record.opened(&analysis, dossier.knuckle_height(), now.day, thought_longest);
    let words = opened.verdict.as_ref().map_or_else(String::new, |verdict| verdict.words.clone());
    let changes = acts::act(&form, &house, format!("Trial: the code was opened; {words}"))?
        .with_changed(opened, form.seen_or(kept.revision));
    acts::save_or_ask(&app, changes, &now, &format!("{}/open", trial_path(&dossier)), &form).await?;
    Ok(Redirect::to(&verdict_at).into_response())
}

/// `POST /golfers/{golfer}/trial/more`: one visit more than planned.
pub(crate) async fn one_more(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    change(&app, &id, &form, "more", "Trial: one visit more", |_, trial| {
        Ok(TrialFile { visits: trial.visits.saturating_add(1), ..trial })
    })
    .await
}

/// `POST /golfers/{golfer}/trial/put-away`: gives a trial up whose code was not opened; its balls stay in the golfer's file.
pub(crate) async fn put_away(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    change(&app, &id, &form, "put-away", "Trial given up", |_, trial| {
        Ok(TrialFile { removed: true, ..trial })
    })
    .await
}

/// `POST /golfers/{golfer}/trial/take-leaning`: takes the length that one day leans to, on the fitter's word.
pub(crate) async fn take_leaning(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    change(&app, &id, &form, "take-leaning", "Trial: the leaning of one day was taken", |dossier, trial| {
        trial
            .with_leaning_taken(&dossier.analysis(&trial)?)
            .ok_or_else(|| PageError::bad("The trial leans to no length now.", "Look at the verdict again."))
    })
    .await
}

async fn change(
    app: &App,
    id: &str,
    form: &Form,
    what: &str,
    sentence: &str,
    changed: impl Fn(&Dossier, TrialFile) -> Result<TrialFile, PageError>,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(id).await?;
    let now = app.now();
    let path = trial_path(&dossier);
    if !acts::is_known(app, form).await? {
        let kept = in_hand(&dossier)?;
        let changes = acts::act(form, &house, sentence)?
            .with_changed(changed(&dossier, kept.record.clone())?, form.seen_or(kept.revision));
        acts::save_or_ask(app, changes, &now, &format!("{path}/{what}"), form).await?;
    }
    Ok(Redirect::to(&path).into_response())
}
