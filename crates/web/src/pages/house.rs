//! The house: every setting with what it changes, saved one by one.

use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::pages::export::links;
use crate::parts::field::{Field, Width};
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::shell::{Last, Page, act_id, page};
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use studio::{HouseSettings, Kept, SETTINGS, Setting};

/// `GET /house`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    house_page(&app, Refused::nothing()).await
}

async fn house_page(app: &App, refused: Refused<'_>) -> Result<Markup, PageError> {
    let now = app.now();
    let house = app.house().await?;
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
                    "they were. Every usual value is common practice without a source."
                }
                (summary(refused))
                section class="settings" {
                    h2 { "Take along" }
                    p class="lead soft" { "The whole studio, without remarks about health. A copy that can be opened again is made by " code { "lengthwise backup" } "." }
                    ul class="plain" { (links("")) }
                }
                @for group in groups {
                    section class="settings" {
                        h2 { (group) }
                        @for setting in SETTINGS.iter().filter(|setting| setting.group == group) {
                            (one(setting, &house, refused))
                        }
                    }
                }
            },
            follows: Some("house"),
            last: Last::of(&log, &now, "/house"),
        },
    ))
}

fn one(setting: &Setting, house: &Kept<HouseSettings>, refused: Refused<'_>) -> Markup {
    let kept = house.record.value(setting.key);
    let usual = match (house.record.values.contains_key(setting.key), setting.usual) {
        (true, "") => " Usual: nothing.".to_owned(),
        (true, usual) => format!(" Usual: {usual}."),
        (false, _) => String::new(),
    };
    html! {
        form method="post" action="/house" class="setting" {
            (act_id())
            input type="hidden" name="was" value=(kept);
            (Field {
                name: setting.key,
                label: setting.label,
                hint: &format!("{}{usual}", setting.changes),
                value: refused.value(setting.key, kept),
                problem: refused.at(setting.key),
                width: if setting.usual.len() > 14 || setting.usual.is_empty() { Width::Name } else { Width::Number },
            }.draw())
            button aria-label=(format!("Save: {}", setting.label)) { "Save" }
        }
    }
}

/// `POST /house`: saves one setting.
pub(crate) async fn save(State(app): State<App>, form: Form) -> Result<Response, PageError> {
    let now = app.now();
    let house = app.house().await?;
    let (setting, typed) =
        SETTINGS.iter().find_map(|setting| Some((setting, form.get(setting.key)?))).ok_or_else(|| {
            PageError::bad("Expected a setting of the house, found none.", "Open the page again.")
        })?;
    let there = house.record.value(setting.key);
    let is_changed_elsewhere = form.get("was").is_some_and(|was| was != there) && typed.trim() != there;
    if is_changed_elsewhere {
        let words = format!(
            "{}: changed elsewhere to {there}; you typed {}. Save again to keep yours.",
            setting.label,
            typed.trim()
        );
        let problems = [Problem { field: setting.key.to_owned(), words }];
        let page = house_page(&app, Refused::of(&form, &problems)).await?;
        return Ok((StatusCode::CONFLICT, page).into_response());
    }
    let changed = match house.record.with(setting.key, typed) {
        Ok(changed) => changed,
        Err(error) => {
            let problems = [Problem::of(setting.key, setting.label, &error)];
            let page = house_page(&app, Refused::of(&form, &problems)).await?;
            return Ok(drawn_again(page));
        }
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
    Ok(Redirect::to(&format!("/house#{}", crate::parts::field::id_of(setting.key))).into_response())
}
