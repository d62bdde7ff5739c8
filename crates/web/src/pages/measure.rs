//! Measure: how each reading is taken, up to three of each, and what they say while they are typed.

use super::GolferPage;
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::body_drawing::drawing;
use crate::parts::field::{choice, id_of};
use crate::parts::problem::{Problem, Refused, drawn_again, summary_of_rows};
use crate::parts::target_box::target_box;
use crate::shell::{act_id, golfer_path, units_field};
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use fitting::Shoes;
use maud::{Markup, html};
use sheet::words::rich;
use studio::{Dossier, Field, HouseSettings, Id, Kept, Reading, StationName, Subject, plain_text};

/// `GET /golfers/{golfer}/measure`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    measure_page(&GolferPage::fresh(&app, &dossier, &house)).await
}

async fn measure_page(page: &GolferPage<'_>) -> Result<Markup, PageError> {
    let (dossier, refused) = (page.dossier, page.refused);
    let path = format!("{}/measure", golfer_path(dossier));
    let plan = dossier.plan(page.house, page.now.day);
    let content = html! {
        (summary_of_rows(refused))
        div class="cols" {
            div {
                form method="post" action=(path) class="stacked" id="measure" data-keypad
                    hx-post=(format!("{path}/now")) hx-trigger="input delay:250ms" hx-target="#now" hx-swap="innerHTML" hx-sync="this:replace" {
                    // what Enter in a field presses: the first button of a form
                    button class="default" tabindex="-1" aria-hidden="true" { "Save the readings" }
                    (act_id())
                    (units_field(page.house))
                    (shoes(dossier, refused))
                    @for field in Field::of(Subject::Body) { (entry(page, field)) }
                    (overruled(dossier, refused))
                    div class="entry" {
                        label for="instrument" { "Read with" }
                        input id="instrument" class="field name" type="text" name="instrument" value=(refused.value("instrument", last_instrument(dossier))) autocomplete="off";
                    }
                    div class="keepbar" { button class="primary" { "Save the readings" } }
                }
            }
            section class="aside" aria-label="What it says so far" { div id="now" { (target_box(&plan, dossier)) } }
        }
    };
    page.draw(Some(StationName::Measure), "Measure", &content).await
}

fn last_instrument(dossier: &Dossier) -> &str {
    let last = dossier.readings.iter().rev().map(|kept| &kept.record).find(|reading| reading.club.is_none());
    last.and_then(|reading| reading.instrument.as_deref()).unwrap_or("rigid rule")
}

fn shoes(dossier: &Dossier, refused: Refused<'_>) -> Markup {
    let last = dossier.body(Field::KnuckleHeight).last().and_then(|reading| reading.shoes_word());
    html! {
        (choice("shoes", "Knuckle and wrist height", &[("on", "in shoes"), ("off", "without shoes")], refused.value("shoes", last.unwrap_or("on"))))
        p class="hint" { "Always the same way. Stature always without." }
    }
}

/// The readings that count, each to be taken back; the button stands in the form of the new ones.
fn taken(dossier: &Dossier, field: Field, now: &Now) -> Markup {
    let readings = dossier.body(field);
    html! {
        @if !readings.is_empty() {
            ul class="taken" {
                @for reading in readings {
                    li {
                        b { (rich(&reading.typed)) }
                        span class="small soft" { @if reading.day == now.day { "today" } @else { (now.date(reading.day)) } ", " (reading.by) }
                        button class="quiet" formaction=(format!("{}/readings/{}/take-back", golfer_path(dossier), reading.id)) formnovalidate
                            aria-label=(format!("Take back {} {}", field.label().to_lowercase(), reading.typed)) { "Take back" }
                    }
                }
            }
        }
    }
}

fn field_name(field: Field, place: usize) -> String {
    format!("read.{}.{place}", field.key())
}

fn entry(page: &GolferPage<'_>, field: Field) -> Markup {
    let GolferPage { now, dossier, house, refused, .. } = page;
    let today_taken = dossier.body(field).iter().filter(|reading| reading.day == now.day).count();
    let blanks = field.readings().saturating_sub(today_taken).max(1);
    let unit = match (field, house.units()) {
        (Field::HeadSpeed, _) => "mph",
        (_, units) => units.length_unit(),
    };
    let hint_id = format!("{}-how", id_of(field.key()));
    html! {
        fieldset class="reading" {
            legend { (field.label()) ", " (unit) }
            (drawing(field, dossier.golfer.record.plays))
            div class="body" {
            p class="hint" id=(hint_id) { (field.how()) }
            (taken(dossier, field, now))
            div class="blanks" {
                @for place in 1..=blanks {
                    @let name = field_name(field, place);
                    div {
                        label class="unseen" for=(id_of(&name)) { (field.label()) ", reading " (place) }
                        @if let Some(problem) = refused.at(&name) { p class="problem" id=(format!("{}-problem", id_of(&name))) { (problem) } }
                        input id=(id_of(&name)) class="field number" type="text" name=(name) value=(refused.value(&name, ""))
                            autocomplete="off" spellcheck="false" aria-describedby=(described(&hint_id, &name, *refused)) data-fraction[field != Field::HeadSpeed]
                            aria-invalid=[refused.at(&name).map(|_| "true")];
                        p class="back small soft" id=(format!("{}-back", id_of(&name))) {}
                    }
                }
            }
            }
        }
    }
}

/// What a field's description is: how it is read, and what is wrong with it.
fn described(hint: &str, name: &str, refused: Refused<'_>) -> String {
    match refused.at(name) {
        Some(_) => format!("{}-problem {hint}", id_of(name)),
        None => hint.to_owned(),
    }
}

fn overruled(dossier: &Dossier, refused: Refused<'_>) -> Markup {
    let kept = dossier.golfer.record.overruled.as_deref().unwrap_or_default();
    html! {
        details open[!kept.is_empty()] {
            summary { "A doubtful reading is right all the same" }
            div class="entry" {
                label for="overruled" { "Why it is taken" }
                p class="hint" { "As: taken twice, by two people. It is printed on the sheets." }
                input type="hidden" name="overruled-was" value=(kept);
                input id="overruled" class="field line" type="text" name="overruled" value=(refused.value("overruled", kept)) autocomplete="off";
            }
        }
    }
}

/// What a form of readings holds: those that could be read, and what is wrong with the others.
struct Taken {
    readings: Vec<Reading>,
    problems: Vec<Problem>,
}

fn taken_from(
    form: &Form,
    dossier: &Dossier,
    house: &HouseSettings,
    now: &Now,
    act: &Id,
    by: &str,
) -> Result<Taken, PageError> {
    let shoes = Reading::shoes_from(form.get("shoes").unwrap_or("on")).unwrap_or(Shoes::On);
    let instrument = plain_text("instrument", form.get("instrument").unwrap_or_default())?;
    let mut taken = Taken { readings: Vec::new(), problems: Vec::new() };
    for field in Field::of(Subject::Body) {
        for place in 1..=field.readings() {
            let name = field_name(field, place);
            let Some(typed) = form.filled(&name) else { continue };
            match field.read(typed, acts::units(form, house)) {
                Ok(read) => taken.readings.push(Reading {
                    id: acts::record_id(act, taken.readings.len()),
                    golfer: dossier.golfer.record.id.clone(),
                    club: None,
                    job: None,
                    field,
                    typed: read.text,
                    value_si: read.value_si,
                    shoes: matches!(field, Field::KnuckleHeight | Field::WristHeight).then_some(shoes),
                    instrument: instrument.clone(),
                    by: by.to_owned(),
                    day: now.day,
                    at_ms: now.ms,
                    removed: false,
                }),
                Err(error) => taken.problems.push(Problem::of(&name, field.label(), &error)),
            }
        }
    }
    Ok(taken)
}

/// The dossier as it would be with the readings typed so far.
fn with(dossier: &Dossier, readings: &[Reading]) -> Dossier {
    let mut would_be = dossier.clone();
    would_be.readings.extend(readings.iter().cloned().map(|record| Kept { record, revision: 1 }));
    would_be
}

/// Takes out, field by field, the readings no body has: the rest can be kept.
fn refused_by_the_body(dossier: &Dossier, taken: &mut Taken, house: &HouseSettings, now: &Now) {
    for (field, error) in with(dossier, &taken.readings).beyond_any_body(house, now.day) {
        if taken.readings.iter().any(|reading| reading.field == field) {
            taken.readings.retain(|reading| reading.field != field);
            let hint = error.hint().map(|hint| format!(" {hint}")).unwrap_or_default();
            let words = format!("{}: {error}.{hint}", field.label());
            taken.problems.push(Problem { field: field_name(field, 1), words });
        }
    }
}

/// `POST /golfers/{golfer}/measure/now`: what the readings typed so far would say; nothing is saved.
pub(crate) async fn now(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let act = crate::app::new_id();
    let taken = taken_from(&form, &dossier, &house, &now, &act, "")?;
    let would_be = with(&dossier, &taken.readings);
    let plan = would_be.plan(&house, now.day);
    let backs = Field::of(Subject::Body)
        .flat_map(|field| (1..=field.readings()).map(move |place| (field, field_name(field, place))));
    Ok(html! {
        (target_box(&plan, &would_be))
        @for (field, name) in backs {
            @if let Some(Ok(read)) = form.filled(&name).map(|typed| field.read(typed, acts::units(&form, &house))) {
                p class="back small soft" id=(format!("{}-back", id_of(&name))) hx-swap-oob="true" { (rich(&read.read_back)) }
            }
        }
    })
}

/// `POST /golfers/{golfer}/measure`: saves what could be read; the rest stays as it was typed.
pub(crate) async fn save(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let path = format!("{}/measure", golfer_path(&dossier));
    let mut changes = acts::act(&form, &house, "")?;
    let mut taken = taken_from(&form, &dossier, &house, &now, &changes.id, &changes.by)?;
    refused_by_the_body(&dossier, &mut taken, &house, &now);
    changes.sentence = sentence(&taken.readings);
    if !taken.readings.is_empty() && dossier.visit_on(now.day).is_none() {
        let visit = acts::visit_of(&changes, &dossier, &now, None);
        changes.add_new(visit);
    }
    for reading in &taken.readings {
        changes = changes.with_new(reading.clone());
    }
    if let Some(typed) = form.get("overruled") {
        let overruled = plain_text("reason", typed)?;
        let kept = &dossier.golfer;
        // only what was changed on this page: another may have written it meanwhile
        let is_changed = form.get("overruled-was").is_none_or(|was| was.trim() != typed.trim());
        if is_changed && overruled != kept.record.overruled {
            if changes.sentence.is_empty() {
                changes.sentence = "Why a doubtful reading is taken".to_owned();
            }
            changes =
                changes.with_changed(studio::GolferFile { overruled, ..kept.record.clone() }, kept.revision);
        }
    }
    acts::save(&app, changes, &now).await?;
    if taken.problems.is_empty() {
        return Ok(Redirect::to(&path).into_response());
    }
    let (dossier, house) = app.golfer(&id).await?;
    let left = only_refused(&form, &taken.problems);
    let page = GolferPage::again(&app, &dossier, &house, Refused::of(&left, &taken.problems));
    Ok(drawn_again(measure_page(&page).await?))
}

/// The form with only what was refused, and how it was read.
fn only_refused(form: &Form, problems: &[Problem]) -> Form {
    let is_left =
        |name: &str| !name.starts_with("read.") || problems.iter().any(|problem| problem.field == name);
    Form::of(form.all().filter(|(name, _)| *name != "act" && is_left(name)))
}

fn sentence(readings: &[Reading]) -> String {
    let mut parts: Vec<String> = Vec::new();
    for field in Field::of(Subject::Body) {
        let typed: Vec<&str> = readings
            .iter()
            .filter(|reading| reading.field == field)
            .map(|reading| reading.typed.as_str())
            .collect();
        if !typed.is_empty() {
            parts.push(format!("{} {}", field.label().to_lowercase(), typed.join(" and ")));
        }
    }
    if parts.is_empty() { String::new() } else { format!("Measured: {}", parts.join(", ")) }
}

/// `POST /golfers/{golfer}/readings/{reading}/take-back`: the reading is kept and no longer used.
pub(crate) async fn take_back(
    State(app): State<App>,
    Path((id, reading)): Path<(String, String)>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let kept = dossier
        .readings
        .iter()
        .find(|kept| kept.record.id.as_str() == reading)
        .ok_or(PageError::NotFound("reading"))?;
    let sentence = format!("Taken back: {} {}", kept.record.field.label().to_lowercase(), kept.record.typed);
    let record = Reading { removed: true, ..kept.record.clone() };
    let changes = acts::act(&form, &house, sentence)?.with_changed(record, kept.revision);
    acts::save(&app, changes, &app.now()).await?;
    let station = if kept.record.club.is_some() { "clubs" } else { "measure" };
    Ok(Redirect::to(&format!("{}/{station}", golfer_path(&dossier))))
}
