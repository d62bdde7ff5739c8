//! A golfer: the spine, one next step, what was done and why, remarks, and the file itself.

use super::GolferPage;
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::pages::export::links;
use crate::parts::field::{Field, Width, choice, text_area};
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::request::visitor;
use crate::shell::{self, Last, Page, act_id, golfer_path, spine_of};
use crate::shut_away::ask_first;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;
use maud::{Markup, html};
use sheet::words::rich;
use store::LogLine;
use studio::{Consent, Dossier, GolferFile, HouseSettings, Remark, Spine, Visit, plain_text, read_day};

/// Most lines of the timeline on a page.
const MOST_LINES: i64 = 60;

/// `GET /golfers/{golfer}`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    the_page(&GolferPage::fresh(&app, &dossier, &house)).await
}

async fn the_page(page: &GolferPage<'_>) -> Result<Markup, PageError> {
    let GolferPage { app, now, dossier, house, refused } = page;
    let golfer = &dossier.golfer.record;
    let spine = dossier.spine(house, now.day);
    let log = app.store.log(Some(&golfer.id), MOST_LINES).await?;
    let main = html! {
        (summary(*refused))
        div class="who" {
            h1 { (golfer.name) }
            p class="soft" {
                "plays " (golfer.plays.words())
                @if let Some(age) = golfer.age(now.day) { ", " (age) " years" }
                @if let Some(contact) = &golfer.contact { ", " (contact) }
                ". " a href=(format!("{}/file", golfer_path(dossier))) { "Change the file" }
            }
        }
        @if golfer.removed { p class="note care" { "This file is put away. It is not listed and nothing of it is lost." } }
        @if golfer.lacks_consent(now.day) {
            p class="note care" {
                "Under 16: a parent or guardian has to agree before measurements are kept. "
                a href=(format!("{}/file#consent-by", golfer_path(dossier))) { "Write down who agreed" }
            }
        }
        @if golfer.outgrew_consent(now.day) && let Some(consent) = &golfer.consent {
            p class="note care" {
                "16 now: ask the golfer. " (consent.by) " agreed for them on " (now.date(consent.day)) "; from this birthday on the answer is the golfer's own. "
                a href=(format!("{}/file#consent-by", golfer_path(dossier))) { "Write down that the golfer agrees" }
            }
        }
        (spine_of(dossier, &spine, None))
        (next_step(dossier, &spine))
        div class="cols" {
            section { (timeline(&log, now)) }
            section class="aside" { (visits(page)) (remarks(dossier, now, *refused)) (papers(dossier, house)) }
        }
    };
    let path = golfer_path(dossier);
    Ok(shell::page(
        app,
        &Page {
            title: refused.title(&golfer.name),
            search: "",
            main,
            follows: Some(golfer.id.as_str()),
            last: Last::of(&log, now, &path),
            help: "stations",
        },
    ))
}

fn next_step(dossier: &Dossier, spine: &Spine) -> Markup {
    html! {
        p class="next" {
            a class="button primary" href=(format!("{}/{}", golfer_path(dossier), spine.next.at.path())) { (spine.next.label) }
        }
    }
}

fn timeline(log: &[LogLine], now: &Now) -> Markup {
    html! {
        h2 { "What was done" }
        ol class="timeline" {
            @for line in log {
                li class=[line.is_undone.then_some("undone")] {
                    span class="small soft" { (now.clock_time(line.at_ms)) ", " (line.by) }
                    span {
                        (rich(&line.sentence))
                        @if line.is_undone { span class="soft" { " (undone)" } }
                    }
                }
            }
        }
    }
}

/// The days on which the golfer came, and what today's visit is for.
fn visits(page: &GolferPage<'_>) -> Markup {
    let GolferPage { now, dossier, refused, .. } = page;
    let today = dossier.visit_on(now.day);
    let about = today.and_then(|kept| kept.record.about.as_deref()).unwrap_or_default();
    html! {
        h2 { "Visits" }
        ul class="plain days" {
            @for (day, visit, readings) in dossier.days() {
                li {
                    b { (now.date(day)) }
                    @if let Some(about) = visit.and_then(|visit| visit.about.as_ref()) { ", " (about) }
                    span class="small soft" {
                        @if readings > 0 { ", " (counted(readings, "reading")) }
                        @if let Some(visit) = visit { ", " (visit.by) }
                    }
                }
            }
        }
        details open[refused.at("about").is_some()] {
            summary { @if today.is_some() { "Change what today is for" } @else { "Write down today's visit" } }
            form method="post" action=(format!("{}/visits", golfer_path(dossier))) class="stacked" {
                (act_id())
                @if let Some(kept) = today { input type="hidden" name="seen" value=(kept.revision); }
                (Field {
                    name: "about",
                    label: "What they came for",
                    hint: "In their own words. What is about health goes under Remarks.",
                    value: refused.value("about", about),
                    problem: refused.at("about"),
                    width: Width::Line,
                    options: &[],
                }.draw())
                button { "Keep it" }
            }
        }
    }
}

fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// `POST /golfers/{golfer}/visits`: writes down today's visit, or what it is for.
pub(crate) async fn keep_visit(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let about = match plain_text("what they came for", form.get("about").unwrap_or_default()) {
        Ok(about) => about,
        Err(error) => {
            let problems = [Problem::of("about", "What they came for", &error)];
            let page = GolferPage::again(&app, &dossier, &house, Refused::of(&form, &problems));
            return Ok(drawn_again(the_page(&page).await?));
        }
    };
    let sentence = about.as_ref().map_or("A visit".to_owned(), |about| format!("Came for: {about}"));
    let changes = acts::act(&form, &house, sentence)?;
    let changes = match dossier.visit_on(now.day) {
        Some(kept) => {
            // a form drawn before the visit was written down has seen none; where nothing was said yet it is no matter
            let unseen = if kept.record.about.is_some() { 0 } else { kept.revision };
            changes.with_changed(Visit { about, ..kept.record.clone() }, form.seen_or(unseen))
        }
        None => {
            let visit = acts::visit_of(&changes, &dossier, &now, about);
            changes.with_new(visit)
        }
    };
    let path = golfer_path(&dossier);
    acts::save_or_ask(&app, changes, &now, &path, &form).await?;
    Ok(Redirect::to(&path).into_response())
}

fn remarks(dossier: &Dossier, now: &Now, refused: Refused<'_>) -> Markup {
    let all = dossier.remarks.iter().map(|kept| &kept.record);
    let (health, plain): (Vec<&Remark>, Vec<&Remark>) = all.partition(|remark| remark.is_about_health());
    html! {
        h2 { "Remarks" }
        @for remark in plain.iter().filter(|remark| !remark.removed) {
            p class="note" { (remark.text) br; span class="small soft" { (now.clock_time(remark.at_ms)) ", " (remark.by) } }
        }
        @if !health.is_empty() && !visitor().may_open() {
            p { a href=(format!("/confirm?next={}", golfer_path(dossier))) { "About health, " (health.len()) } span class="soft" { ": the passphrase is asked for once more" } }
        } @else if !health.is_empty() {
            // on no paper, opened or not
            details class="on-screen" {
                summary { "About health, " (health.len()) }
                @for remark in &health {
                    p class="note" {
                        (remark.text) br;
                        span class="small soft" { (now.clock_time(remark.at_ms)) ", " (remark.by) }
                        @if let Some(day) = remark.health_consent { span class="small soft" { ", agreed to on " (now.date(day)) } }
                        @if remark.removed { span class="small soft" { ", undone, and still in the history" } }
                    }
                }
                form method="post" action=(format!("{}/remarks/erase", golfer_path(dossier))) class="stacked" {
                    (act_id())
                    label class="check" {
                        input type="checkbox" name="erase" value="yes" required;
                        " " (dossier.golfer.record.name) " no longer agrees: erase these for good, with their history."
                    }
                    p class="hint" { "Copies made before hold them until they go by themselves, within 90 days; brought back on this machine, one loses them again." }
                    button { "Erase them" }
                }
            }
        }
        details open[refused.at("text").is_some()] {
            summary { "Add a remark" }
            form method="post" action=(format!("{}/remarks", golfer_path(dossier))) class="stacked" {
                (act_id())
                (text_area("text", "Remark", "In the golfer's own words where you can.", refused.value("text", ""), refused.at("text")))
                label class="check" {
                    input type="checkbox" name="health" value="yes" checked[refused.value("health", "") == "yes"];
                    " It is about health, and the golfer agrees that it is kept. It stays apart and on no sheet."
                }
                button { "Keep it" }
            }
        }
    }
}

fn papers(dossier: &Dossier, house: &HouseSettings) -> Markup {
    html! {
        h2 { "Take along" }
        ul class="plain" {
            @if dossier.card(house).is_some() {
                li { a href=(format!("{}/card", golfer_path(dossier))) { "Fitting card, as a text" } }
            }
            li { a href=(format!("{}/archive.zip", golfer_path(dossier))) { "Everything in one archive, with a page to read" } }
            (links(&golfer_path(dossier)))
            li { a href=(format!("{}/forget", golfer_path(dossier))) { "Forget this golfer" } }
        }
    }
}

/// `POST /golfers/{golfer}/remarks`
pub(crate) async fn add_remark(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let is_health = form.get("health") == Some("yes");
    let changes = acts::act(&form, &house, if is_health { "A remark about health" } else { "A remark" })?;
    let remark = Remark {
        id: acts::record_id(&changes.id, 0),
        golfer: dossier.golfer.record.id.clone(),
        text: form.filled("text").unwrap_or_default().replace("\r\n", "\n"),
        health_consent: is_health.then_some(now.day),
        by: changes.by.clone(),
        at_ms: now.ms,
        removed: false,
    };
    let changes = changes.with_new(remark);
    ask_first(changes.puts.iter().map(|put| &put.record))?;
    if let Err(error) = changes.check() {
        let problems = [Problem::of("text", "Remark", &error)];
        let page = GolferPage::again(&app, &dossier, &house, Refused::of(&form, &problems));
        return Ok(drawn_again(the_page(&page).await?));
    }
    acts::save(&app, changes, &now).await?;
    Ok(Redirect::to(&golfer_path(&dossier)).into_response())
}

/// `POST /golfers/{golfer}/remarks/erase`: the golfer takes back that remarks about health are kept.
pub(crate) async fn erase_health_remarks(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    if form.get("erase") != Some("yes") {
        return Err(PageError::bad(
            "Expected the tick beside it, found none. Nothing was erased.",
            "Go back and tick that the golfer no longer agrees.",
        ));
    }
    let changes = acts::act(&form, &house, "")?;
    // sent again it finds nothing more to erase
    let golfer = &dossier.golfer.record.id;
    app.store.take_back_health_consent(golfer, changes.id, &changes.by, app.now().ms).await?;
    Ok(Redirect::to(&golfer_path(&dossier)))
}

/// `GET /golfers/{golfer}/card`: the fitting card the command line takes.
pub(crate) async fn card(State(app): State<App>, Path(id): Path<String>) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let card = dossier
        .card(&house)
        .ok_or_else(|| PageError::not_measured("There is no card without a knuckle height."))?;
    let headers = [
        (header::CONTENT_TYPE, "application/toml; charset=utf-8"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"card.toml\""),
    ];
    Ok((headers, card.as_str().to_owned()).into_response())
}

/// `GET /golfers/{golfer}/file`
pub(crate) async fn show_file(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    file_page(&GolferPage::fresh(&app, &dossier, &house)).await
}

async fn file_page(page: &GolferPage<'_>) -> Result<Markup, PageError> {
    let (dossier, refused) = (page.dossier, page.refused);
    let golfer = &dossier.golfer.record;
    let born = golfer.born.map(|born| page.now.date(born)).unwrap_or_default();
    let consent = golfer.consent.as_ref();
    let consent_day = consent.map(|consent| page.now.date(consent.day)).unwrap_or_default();
    let field = |name, label, hint, kept: &str, width| {
        Field {
            name,
            label,
            hint,
            value: refused.value(name, kept),
            problem: refused.at(name),
            width,
            options: &[],
        }
        .draw()
    };
    let content = html! {
        (summary(refused))
        form method="post" action=(format!("{}/file", golfer_path(dossier))) class="stacked" {
            (act_id())
            input type="hidden" name="seen" value=(dossier.golfer.revision);
            (field("name", "Name", "As it stands on the sheets.", &golfer.name, Width::Name))
            (choice("plays", "Plays", &[("right-handed", "right-handed"), ("left-handed", "left-handed")], refused.value("plays", golfer.plays.words())))
            (field("contact", "How to reach them", "One way is enough.", golfer.contact.as_deref().unwrap_or_default(), Width::Name))
            (choice("sex", "Sex", &[("", "not said"), ("woman", "woman"), ("man", "man")], refused.value("sex", golfer.sex_word())))
            p class="hint" { "Only to judge whether a reading can be believed." }
            (field("born", "Born", "As 2 5 1979. Only where growth matters, under 16.", &born, Width::Number))
            fieldset {
                legend { "A parent or guardian agreed, from 16 on the golfer" }
                (field("consent-by", "Who", "", consent.map_or("", |consent| consent.by.as_str()), Width::Name))
                (field("consent-day", "When", "As 3 11 2026, 3 Nov, or today.", &consent_day, Width::Number))
                (field("consent-how", "How it was checked", "In person, in writing, by telephone.", consent.map_or("", |consent| consent.how.as_str()), Width::Name))
            }
            div class="keepbar" { button class="primary" { "Save the file" } }
        }
        form method="post" action=(format!("{}/file", golfer_path(dossier))) class="stacked below" {
            (act_id())
            input type="hidden" name="seen" value=(dossier.golfer.revision);
            @if golfer.removed {
                button name="put-away" value="no" { "Bring this file back" }
            } @else {
                button name="put-away" value="yes" { "Put this file away" }
                p class="hint" { "It is no longer listed. Nothing of it is lost, and it can be brought back." }
            }
        }
    };
    page.draw(None, "File", &content).await
}

/// `POST /golfers/{golfer}/file`
pub(crate) async fn save_file(
    State(app): State<App>,
    Path(id): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    let path = golfer_path(&dossier);
    let kept = &dossier.golfer;
    let (golfer, sentence) = match form.get("put-away") {
        Some(put_away) => {
            let removed = put_away == "yes";
            let sentence = if removed { "File put away" } else { "File brought back" };
            (GolferFile { removed, ..kept.record.clone() }, sentence)
        }
        None => match typed_file(&kept.record, &form, now.day) {
            Ok(golfer) => (golfer, "File changed"),
            Err(problems) => {
                let page = GolferPage::again(&app, &dossier, &house, Refused::of(&form, &problems));
                return Ok(drawn_again(file_page(&page).await?));
            }
        },
    };
    let seen = form.seen_or(kept.revision);
    let changes = acts::act(&form, &house, sentence)?.with_changed(golfer, seen);
    acts::save_or_ask(&app, changes, &now, &format!("{path}/file"), &form).await?;
    Ok(Redirect::to(&path).into_response())
}

/// The file as typed, or everything that is wrong with it.
fn typed_file(kept: &GolferFile, form: &Form, today: Date) -> Result<GolferFile, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut text =
        |name: &'static str, label: &str| match plain_text(name, form.get(name).unwrap_or_default()) {
            Ok(text) => text,
            Err(error) => {
                problems.push(Problem::of(name, label, &error));
                None
            }
        };
    let (name, contact) = (text("name", "Name"), text("contact", "How to reach them"));
    let (by, how) = (text("consent-by", "Who agreed"), text("consent-how", "How it was checked"));
    let mut day = |name: &str, label: &str| -> Option<Date> {
        let typed = form.filled(name)?;
        let read = read_day(typed, today);
        if read.is_none() {
            let words = format!(
                "{label}: expected a day such as 2 5 1979, found \u{201c}{}\u{201d}.",
                typed.chars().take(40).collect::<String>()
            );
            problems.push(Problem { field: name.to_owned(), words });
        }
        read
    };
    let (born, consent_day) = (day("born", "Born"), day("consent-day", "When"));
    if name.is_none() && !problems.iter().any(|problem| problem.field == "name") {
        problems.push(Problem {
            field: "name".to_owned(),
            words: "Name: expected a name, found nothing.".to_owned(),
        });
    }
    let consent = match (by, consent_day, how) {
        (Some(by), Some(day), Some(how)) => Some(Consent { by, day, how }),
        (None, None, None) => None,
        _ => {
            let words =
                "Who agreed: expected who, when and how it was checked, all three or none.".to_owned();
            problems.push(Problem { field: "consent-by".to_owned(), words });
            None
        }
    };
    if !problems.is_empty() {
        return Err(problems);
    }
    Ok(GolferFile {
        name: name.unwrap_or_else(|| kept.name.clone()),
        contact,
        plays: form.get("plays").and_then(GolferFile::plays_from).unwrap_or(kept.plays),
        sex: form.get("sex").and_then(GolferFile::sex_from).unwrap_or(kept.sex),
        born,
        consent,
        ..kept.clone()
    })
}
