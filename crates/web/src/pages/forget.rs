//! Forgetting a golfer who asks for it, and looking through those nobody has worked on for long.

use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::shell::{Page, act_id, golfer_path, page};
use axum::extract::{Path, State};
use axum::response::Redirect;
use jiff::ToSpan;
use maud::{Markup, html};
use store::Forgetting;
use studio::{Dossier, Id};

/// After so many months without a word a golfer is listed for a look. House choice; local law decides.
const SILENT_MONTHS: i32 = 36;

/// `GET /golfers/{golfer}/forget`: what goes and what stays.
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, _) = app.golfer(&id).await?;
    let forgetting = app.store.forgetting(&dossier.golfer.record.id).await?;
    Ok(draw(&app, &dossier, &forgetting))
}

fn draw(app: &App, dossier: &Dossier, forgetting: &Forgetting) -> Markup {
    let path = golfer_path(dossier);
    let content = html! {
        h1 { "Forget " (forgetting.name) }
        p class="lead" { "For good: this cannot be undone. Give them what is theirs first, if they want it: " a href=(format!("{path}/archive.zip")) { "everything in one archive" } "." }
        h2 { "This goes" }
        ul class="plain" {
            li { "name, contact and everything on the file" }
            @for (kind, count) in &forgetting.gone { li { (count) " " (kind.word()) @if *count != 1 { "s" } } }
            li { "what was done with them: the history" }
        }
        @if !forgetting.kept_jobs.is_empty() {
            h2 { "This stays" }
            p {
                "Amounts, days and number of "
                @for (place, number) in forgetting.kept_jobs.iter().enumerate() { @if place > 0 { ", " } "job " (number) }
                ", since a price was agreed to and the law keeps such records. The name becomes “erased”."
            }
        }
        p class="note" { "Copies made before still hold them. When one is brought back on this machine they are forgotten again; copies go by themselves within 90 days, but for those you asked for yourself." }
        @if !forgetting.set_aside.is_empty() {
            p class="note" {
                "What going back to a copy set aside may hold them too, and is left to you: remove "
                @for (place, folder) in forgetting.set_aside.iter().enumerate() {
                    @if place > 0 { ", " } code { (folder.file_name().unwrap_or_default().to_string_lossy()) }
                }
                " beside the studio once you need it no more."
            }
        }
        form method="post" action=(format!("{path}/forget")) class="stacked" data-plain {
            (act_id())
            div class="entry" {
                label for="name" { "Type the name to forget them" }
                input id="name" class="field name" type="text" name="name" autocomplete="off" spellcheck="false";
            }
            button { "Forget them" }
        }
        p class="below" { a class="button" href=(path) { "Back to " (forgetting.name) } }
    };
    page(
        app,
        &Page {
            title: format!("Forget {}, Lengthwise", forgetting.name),
            search: "",
            main: content,
            follows: None,
            last: None,
            help: "keeping",
        },
    )
}

/// `POST /golfers/{golfer}/forget`
pub(crate) async fn forget(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let golfer = &dossier.golfer.record;
    if form.get("name").map(str::trim) != Some(golfer.name.as_str()) {
        return Err(PageError::bad(
            format!("Expected the name {} to be typed, found another. Nothing was forgotten.", golfer.name),
            "Go back and type it as it stands there.",
        ));
    }
    let changes = acts::act(&form, &house, "")?;
    let now = app.now();
    app.store.backup_before_forgetting(app.clock.now().datetime()).await?;
    app.store.forget(&golfer.id, changes.id, &changes.by, now.ms).await?;
    Ok(Redirect::to("/"))
}

/// `GET /house/keeping`: golfers nobody has worked on for long.
pub(crate) async fn keeping(State(app): State<App>) -> Result<Markup, PageError> {
    let house = app.house().await?.record;
    let now = app.now().in_words_of(&house);
    let since = app.clock.now().checked_sub(SILENT_MONTHS.months());
    let before_ms = since.map_or(0, |since| since.timestamp().as_millisecond());
    let silent = app.store.silent_since(before_ms).await?;
    let content = html! {
        h1 { "Keeping" }
        p class="lead" { "Golfers of whom nothing was written for " (SILENT_MONTHS / 12) " years. Nobody is removed by themselves: look, and forget those you have no more reason to keep." }
        @if silent.is_empty() {
            p { "There is nobody." }
        } @else {
            ul class="plain" {
                @for one in &silent {
                    li { a href=(address(&one.id)) { (one.name) } span class="soft" { ", last " (now.clock_time(one.last_ms)) ". " } a href=(format!("{}/forget", address(&one.id))) { "Forget" } }
                }
            }
        }
    };
    Ok(page(
        &app,
        &Page {
            title: "Keeping, Lengthwise".to_owned(),
            search: "",
            main: content,
            follows: None,
            last: None,
            help: "keeping",
        },
    ))
}

fn address(id: &Id) -> String {
    format!("/golfers/{id}")
}
