//! What a trial says: the sentence first, then the figures, the lengths side by side and day by day.

use super::trial::{in_hand, trial_path};
use super::{GolferPage, pitch_mm};
use crate::app::App;
use crate::error::PageError;
use crate::parts::yards_of_trial::OfTrial;
use crate::shell::{act_id, golfer_path, paper};
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};
use sheet::words::rich;
use sheet::{VerdictWords, offset_words, response_words, verdict_words};
use studio::{Kept, StationName, TrialFile};
use trial::{Analysis, Base, Kind};

/// `GET /golfers/{golfer}/trial/verdict`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let page = GolferPage::fresh(&app, &dossier, &house);
    let kept = in_hand(&dossier)?;
    let path = trial_path(&dossier);
    let content = if kept.record.opened.is_none() {
        html! {
            p class="lead" { "The code of this trial is not opened yet: nobody is to know which club is which while balls are hit." }
            p class="next" { a class="button primary" href=(path) { "To the trial" } }
        }
    } else {
        verdict(&page, kept, &dossier.analysis(&kept.record)?)
    };
    page.draw_at(&format!("{path}/verdict"), Some(StationName::Trial), "Verdict", &content).await
}

fn verdict(page: &GolferPage<'_>, kept: &Kept<TrialFile>, analysis: &Analysis) -> Markup {
    let words = verdict_words(analysis);
    let path = trial_path(page.dossier);
    html! {
        p class="big" { (rich(&words.headline)) }
        @if let Some(held) = held(analysis) { p class="lead" { b { (held) } } }
        p class="lead" { (rich(&words.sentence)) }
        (next_step(page, kept, analysis))
        (figures(page, &kept.record, analysis))
        div class="cols" {
            section {
                h2 { "What it rests on" }
                ul class="plain" {
                    @for line in &words.basis { li { (rich(line)) } }
                    @for line in responses(page, &kept.record) { li { (rich(&line)) } }
                }
                (thought(&kept.record, analysis.settings.base))
            }
            section class="aside" {
                @if !words.warnings.is_empty() {
                    h2 { "To mind" }
                    ul class="plain" { @for line in &words.warnings { li { (rich(line)) } } }
                }
            }
        }
        p class="papers" {
            a class="button" href=(format!("{path}/golfers-sheet")) { "Golfer's sheet" }
            " "
            a class="button" href=(format!("{path}/strikes.csv")) { "Strikes as a file" }
            " "
            a class="button" href=(path) { "To the trial" }
        }
    }
}

/// After a job: whether the change held.
fn held(analysis: &Analysis) -> Option<&'static str> {
    if analysis.settings.base != Base::Built {
        return None;
    }
    match analysis.decision.kind {
        Kind::KeepRule => Some("The change held."),
        Kind::NotToldApart => Some("Nothing speaks against the change."),
        Kind::Change => Some("The change did not hold."),
        Kind::Leaning => Some("The change may not have held."),
        Kind::CannotSay => None,
    }
}

/// The one thing to do after a verdict; only a length that is advised leads to the job.
fn next_step(page: &GolferPage<'_>, kept: &Kept<TrialFile>, analysis: &Analysis) -> Markup {
    let golfer = golfer_path(page.dossier);
    let path = trial_path(page.dossier);
    let one_more = |is_primary: bool| {
        html! {
            form method="post" action=(format!("{path}/more")) {
                (act_id())
                input type="hidden" name="seen" value=(kept.revision);
                button class=[is_primary.then_some("primary")] { "Plan one visit more" }
            }
        }
    };
    let keep = html! { a class="button" href=(format!("{golfer}/follow-up")) { "Keep " (analysis.settings.base.words()) } };
    html! {
        div class="next choices" {
            @match analysis.decision.kind {
                Kind::Change => {
                    a class="button primary" href=(format!("{golfer}/target")) { "Take it into the target" }
                    (keep)
                    (one_more(false))
                }
                Kind::Leaning | Kind::NotToldApart => {
                    (one_more(true))
                    @if analysis.decision.kind == Kind::Leaning { (take_leaning(kept, &path)) }
                    (keep)
                }
                Kind::KeepRule => {
                    a class="button primary" href=(format!("{golfer}/follow-up")) { "Keep " (analysis.settings.base.words()) }
                    (one_more(false))
                }
                Kind::CannotSay => { a class="button primary" href=(path) { "Go on with the trial" } }
            }
        }
    }
}

/// One day decides nothing; the fitter may take what it leans to all the same.
fn take_leaning(kept: &Kept<TrialFile>, path: &str) -> Markup {
    html! {
        form method="post" action=(format!("{path}/take-leaning")) {
            (act_id())
            input type="hidden" name="seen" value=(kept.revision);
            button { "Take it into the target all the same" }
        }
    }
}

/// The figures, the same on paper.
fn figures(page: &GolferPage<'_>, trial: &TrialFile, analysis: &Analysis) -> Markup {
    let plays = page.dossier.golfer.record.plays;
    html! {
        @if analysis.decision.kind != Kind::CannotSay {
            h2 { "Where the strikes lie" }
            (sheet::figure::face_map(analysis, plays, pitch_mm(page.dossier, &trial.club)))
            @if let Some(curve) = sheet::figure::fit_curve(analysis) {
                h2 { "The length that suits" }
                figure { (curve) }
            }
            @if let Some(ladder) = sheet::figure::cost_ladder(analysis) {
                h2 { "What each length costs" }
                figure { (ladder) }
            }
        }
        h2 { "Day by day" }
        (sheet::figure::day_readings(analysis))
        (OfTrial {
            dossier: page.dossier,
            house: page.house,
            today: page.now.day,
            maps: &page.app.maps,
            trial,
            analysis,
            pitch_mm: pitch_mm(page.dossier, &trial.club),
        }.draw())
    }
}

/// How what was read besides changes with length.
fn responses(page: &GolferPage<'_>, trial: &TrialFile) -> Vec<String> {
    let slopes = page.dossier.response_slopes(trial);
    slopes.into_iter().map(|(response, slope)| response_words(response, slope)).collect()
}

fn thought(trial: &TrialFile, base: Base) -> Markup {
    let code = trial.plan().code();
    let longest = trial.offsets_in.iter().zip(&code).next_back().map(|(_, letter)| letter.to_string());
    html! {
        @if let Some(thought) = &trial.thought_longest {
            p {
                "Asked which club was the longest, the golfer said " (thought) "; it was " (longest.as_deref().unwrap_or("none")) "."
            }
        }
        p class="small soft" {
            "The code: "
            @for (place, (letter, offset)) in code.iter().zip(&trial.offsets_in).enumerate() {
                @if place > 0 { "; " }
                (letter) " was " (rich(&offset_words(*offset, base)))
            }
        }
    }
}

/// `GET /golfers/{golfer}/trial/golfers-sheet`: the verdict on paper for the golfer.
pub(crate) async fn golfers_sheet(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let page = GolferPage::fresh(&app, &dossier, &house);
    let kept = in_hand(&dossier)?;
    let path = trial_path(&dossier);
    if kept.record.opened.is_none() {
        return Err(PageError::NotFound("verdict"));
    }
    let analysis = dossier.analysis(&kept.record)?;
    let VerdictWords { headline, sentence, basis, .. } = verdict_words(&analysis);
    let name = &dossier.golfer.record.name;
    let content = html! {
        header class="top" {
            div { p class="small soft" { (house.value("name")) } h1 { "Your strike trial" } p { (name) ", " (kept.record.club) } }
            dl class="facts" { dt { "Printed" } dd { (page.now.date(page.now.day)) } dt { "Balls" } dd { (analysis.strikes.balls()) } dt { "Days" } dd { (analysis.strikes.days().len()) } }
        }
        p class="big" { (rich(&headline)) }
        @if let Some(held) = held(&analysis) { p class="lead" { b { (held) } } }
        p class="lead" { (rich(&sentence)) }
        (figures(&page, &kept.record, &analysis))
        ul class="plain" {
            @for line in &basis { li { (rich(line)) } }
            @for line in responses(&page, &kept.record) { li { (rich(&line)) } }
        }
        p class="small soft" {
            "What a trial says holds for clubs built as those that were tried. It promises no yards, and it does not speak of "
            "backs, hips or wrists: with pain, see a clinician first."
        }
    };
    let tools = html! {
        a class="button" href=(format!("{path}/verdict")) { "Back to the verdict" }
        " "
        button class="primary" type="button" data-print hidden { "Print" }
    };
    Ok(paper(&format!("Your strike trial, {name}"), &tools, &content))
}

/// `GET /golfers/{golfer}/trial/strikes.csv`: the strikes as a file, for whoever wants to work them through again.
pub(crate) async fn strikes_csv(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let (dossier, _) = app.golfer(&id).await?;
    let kept = in_hand(&dossier)?;
    if kept.record.opened.is_none() {
        return Err(PageError::bad(
            "The code of this trial is not opened yet.",
            "Open it on the trial's page first.",
        ));
    }
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"strikes.csv\""),
    ];
    Ok((headers, exchange::strike_file(&dossier.balls_of_trial(&kept.record))).into_response())
}
