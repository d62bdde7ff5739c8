//! The house: every setting with what it changes and what that does on an example, saved one by one.

use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::pages::{device, export};
use crate::parts::field::{Field, Width, id_of};
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::shell::{Last, Page, act_id, page};
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use sheet::words::rich;
use store::StoreError;
use studio::{ChangedLine, HouseSettings, Kept, SETTINGS, Setting, StudioError, changes_on_an_example};

/// Most lines of the example that are shown.
const MOST_LINES: usize = 4;

/// `GET /house`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    house_page(&app, Refused::nothing(), None).await
}

/// A setting as it was typed and not saved yet, with what it would do.
struct Tried {
    key: &'static str,
    lines: Vec<ChangedLine>,
}

async fn house_page(app: &App, refused: Refused<'_>, tried: Option<Tried>) -> Result<Markup, PageError> {
    let house = app.house().await?;
    let now = app.now().in_words_of(&house.record);
    let log = app.store.log(None, 5).await?;
    let mut groups: Vec<&str> = SETTINGS.iter().map(|setting| setting.group).collect();
    groups.dedup();
    Ok(page(
        app,
        &Page {
            title: refused.title("House"),
            search: "",
            main: html! {
                h1 { "House" }
                p class="lead soft" {
                    "The shop's own limits and habits. Each is saved by itself and holds from then on; targets and jobs that were kept stay as "
                    "they were. Every usual value is common practice without a source. While you change one, what it does to an invented set stands beneath."
                }
                (summary(refused))
                @for group in groups {
                    section class="settings" {
                        h2 { (group) }
                        @for setting in SETTINGS.iter().filter(|setting| setting.group == group) {
                            @let tried = tried.as_ref().filter(|tried| tried.key == setting.key);
                            (one(setting, &house, refused, tried))
                        }
                    }
                }
                @if !app.chain.is_empty() {
                    section class="settings" {
                        h2 { "The chain" }
                        p class="lead soft" { "The studios that are yours: what is to do in each, and what their trials say together." }
                        p class="alone" { a href="/house/chain" { "Studios of the chain" } }
                    }
                }
                (device::settings())
                section class="settings" {
                    h2 { "What is learnt" }
                    p class="lead soft" { "What the trials of this studio's golfers say of the length rule, and what its finished readings say of scale, rule and gauge, once there are enough of them." }
                    p class="alone" { a href="/house/rule" { "What trials say of the rule" } }
                    p class="alone" { a href="/house/bench" { "What readings say of the bench" } }
                }
                section class="settings" {
                    h2 { "Devices" }
                    p class="lead soft" { "Tablets in the bay: how they come in, which are let in, and the passphrase." }
                    p class="alone" { a href="/house/devices" { "Devices" } }
                }
                section class="settings" {
                    h2 { "Keeping" }
                    p class="lead soft" { "Golfers of whom nothing was written for three years, to be looked through." }
                    p class="alone" { a href="/house/keeping" { "Who was silent for long" } }
                }
                section class="settings" {
                    h2 { "Take along" }
                    p class="lead soft" { "The whole studio, without remarks about health. A copy that can be opened again is made by " code { "lengthwise backup" } "." }
                    ul class="plain" { (export::links("")) }
                }
            },
            follows: Some("house"),
            last: Last::of(&log, &now, "/house"),
            help: "",
        },
    ))
}

fn one(
    setting: &Setting,
    house: &Kept<HouseSettings>,
    refused: Refused<'_>,
    tried: Option<&Tried>,
) -> Markup {
    let kept = house.record.value(setting.key);
    let usual = match (house.record.values.contains_key(setting.key), setting.usual) {
        (true, "") => " Usual: nothing.".to_owned(),
        (true, usual) => format!(" Usual: {usual}."),
        (false, _) => String::new(),
    };
    let example = format!("on-example-{}", id_of(setting.key));
    html! {
        form method="post" action="/house" class="setting" hx-post="/house/example" hx-trigger="input delay:300ms" hx-select=(format!("#{example}"))
            hx-target=(format!("#{example}")) hx-swap="outerHTML" hx-sync="this:replace" {
            (act_id())
            input type="hidden" name="was" value=(kept);
            (Field {
                name: setting.key,
                label: setting.label,
                hint: &format!("{}{usual}", setting.changes),
                value: refused.value(setting.key, kept),
                problem: refused.at(setting.key),
                width: if setting.usual.len() > 14 || setting.usual.is_empty() { Width::Name } else { Width::Number },
                options: setting.options,
            }.draw())
            div class="answers" {
                // the first is what Enter in the field presses
                button aria-label=(format!("Save: {}", setting.label)) { "Save" }
                button class="try quiet" formaction="/house/example" aria-label=(format!("On the example: {}", setting.label)) { "On the example" }
            }
            div id=(example) class="on-example" role="status" { @if let Some(tried) = tried { (on_the_example(&tried.lines)) } }
        }
    }
}

/// What is said of the example before and after.
fn on_the_example(lines: &[ChangedLine]) -> Markup {
    let said = |said: &Option<String>| said.clone().unwrap_or_else(|| "nothing".to_owned());
    html! {
        @if lines.is_empty() {
            p class="small soft" { "Nothing changes on the example." }
        } @else {
            ul class="plain small" {
                @for line in lines.iter().take(MOST_LINES) {
                    @let (before, after) = where_they_differ(&said(&line.before), &said(&line.after));
                    li { b { (rich(&line.about)) } ": " (rich(&before)) " " span class="soft" { "becomes" } " " (rich(&after)) }
                }
                @if lines.len() > MOST_LINES { li class="soft" { "and " (lines.len() - MOST_LINES) " more on the example" } }
            }
        }
    }
}

/// Words of a long text that are shown on either side of what differs.
const AROUND: usize = 3;

/// Cuts two long texts down to where they differ, with a few words around.
fn where_they_differ(before: &str, after: &str) -> (String, String) {
    let (old, new): (Vec<&str>, Vec<&str>) = (before.split(' ').collect(), after.split(' ').collect());
    let most = old.len().min(new.len());
    let front = old.iter().zip(&new).take_while(|(one, other)| one == other).count();
    let back = old.iter().rev().zip(new.iter().rev()).take_while(|(one, other)| one == other).count();
    let back = back.min(most - front.min(most));
    let cut = |words: &[&str]| {
        let (from, to) = (front.saturating_sub(AROUND), (words.len() - back + AROUND).min(words.len()));
        let (before, after) = (if from > 0 { "… " } else { "" }, if to < words.len() { " …" } else { "" });
        format!("{before}{}{after}", words[from..to].join(" "))
    };
    (cut(&old), cut(&new))
}

/// The setting a form is about and what was typed.
fn setting_of(form: &Form) -> Result<(&'static Setting, &str), PageError> {
    SETTINGS
        .iter()
        .find_map(|setting| Some((setting, form.get(setting.key)?)))
        .ok_or_else(|| PageError::bad("Expected a setting of the house, found none.", "Open the page again."))
}

/// `POST /house/example`: what a setting would do on the example; nothing is saved.
pub(crate) async fn example(State(app): State<App>, form: Form) -> Result<Response, PageError> {
    let (setting, typed) = setting_of(&form)?;
    let house = app.house().await?.record;
    match house.with(setting.key, typed) {
        Ok(would_be) => {
            let lines = changes_on_an_example(setting, &house, &would_be, app.now().day);
            let tried = Some(Tried { key: setting.key, lines });
            Ok(house_page(&app, Refused::of(&form, &[]), tried).await?.into_response())
        }
        Err(error) => refused_page(&app, &form, setting, &error).await,
    }
}

async fn refused_page(
    app: &App,
    form: &Form,
    setting: &Setting,
    error: &StudioError,
) -> Result<Response, PageError> {
    let problems = [Problem::of(setting.key, setting.label, error)];
    Ok(drawn_again(house_page(app, Refused::of(form, &problems), None).await?))
}

/// `POST /house`: saves one setting.
pub(crate) async fn save(State(app): State<App>, form: Form) -> Result<Response, PageError> {
    let now: Now = app.now();
    let house = app.house().await?;
    let (setting, typed) = setting_of(&form)?;
    let there = house.record.value(setting.key);
    let is_changed_elsewhere = form.get("was").is_some_and(|was| was != there) && typed.trim() != there;
    if is_changed_elsewhere {
        let problems = [Problem::changed_elsewhere(setting.key, setting.label, there, typed.trim())];
        let page = house_page(&app, Refused::of(&form, &problems), None).await?;
        return Ok((StatusCode::CONFLICT, page).into_response());
    }
    let changed = match house.record.with(setting.key, typed) {
        Ok(changed) => changed,
        Err(error) => return refused_page(&app, &form, setting, &error).await,
    };
    let sentence = format!(
        "House: {} is {}",
        setting.label.to_lowercase(),
        match changed.value(setting.key) {
            "" => "empty",
            value => value,
        }
    );
    let changes = acts::act(&form, &house.record, sentence)?;
    // each setting is saved by itself: two people who change two of them do not stand in each other's way
    let changes = if house.revision == 0 {
        changes.with_new(changed.clone())
    } else {
        changes.with_changed(changed.clone(), house.revision)
    };
    acts::save_or_ask(&app, changes, &now, "/house", &form).await?;
    Ok(Redirect::to(&format!("/house#{}", id_of(setting.key))).into_response())
}

/// `POST /house/clock`: takes the fitter's word that the clock is right.
pub(crate) async fn believe_clock(State(app): State<App>) -> Result<Redirect, PageError> {
    let (store, now_ms) = (app.store.clone(), app.now().ms);
    let believed = tokio::task::spawn_blocking(move || store.believe_clock(now_ms)).await;
    believed.map_err(|error| StoreError::Failed(error.to_string()))?;
    Ok(Redirect::to("/"))
}

#[cfg(test)]
mod tests {
    use super::where_they_differ;

    #[test]
    fn long_texts_are_cut_to_where_they_differ() {
        let cut = |before: &str, after: &str| where_they_differ(before, after);
        assert_eq!(
            cut("a b c d 24 h e f g h", "a b c d 36 h e f g h"),
            ("… b c d 24 h e f …".to_owned(), "… b c d 36 h e f …".to_owned())
        );
        assert_eq!(cut("1 in", "2 in"), ("1 in".to_owned(), "2 in".to_owned()));
        assert_eq!(cut("nothing", "a b"), ("nothing".to_owned(), "a b".to_owned()));
        assert_eq!(cut("a a", "a a a"), ("a a".to_owned(), "a a a".to_owned()));
    }
}
