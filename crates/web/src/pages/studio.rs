//! The studio: who is due today, finding a golfer, opening a new file.

use crate::acts;
use crate::app::{App, Now, new_id};
use crate::error::PageError;
use crate::form::{Asked, Form};
use crate::parts::field::{Field, Width, choice};
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::shell::{Page, act_id, page};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use store::{Address, Due, DueKind, Hit};
use studio::{GolferFile, HouseSettings};

/// Most golfers a search shows.
const MOST_HITS: i64 = 12;

/// A copy on another drive is asked for when the last is this old, days. House choice.
const DAYS_BETWEEN_COPIES: i32 = 7;

/// What is looked for.
fn looked_for(asked: &Form) -> String {
    asked.get("q").unwrap_or_default().chars().take(120).collect()
}

/// `GET /`: the studio, or what a search found.
pub(crate) async fn show(State(app): State<App>, Asked(asked): Asked) -> Result<Markup, PageError> {
    let typed = looked_for(&asked);
    if typed.trim().is_empty() {
        return studio(&app, Refused::nothing()).await;
    }
    let hits = app.store.search(&typed, MOST_HITS).await?;
    Ok(page(
        &app,
        &Page {
            title: format!("Golfers like \"{typed}\", Lengthwise"),
            search: &typed,
            main: html! {
                h1 { "Golfers like \u{201c}" (typed) "\u{201d}" }
                (found(&hits, &typed))
            },
            follows: None,
            last: None,
            help: "",
        },
    ))
}

/// `GET /search`: what was found so far, under the search field.
pub(crate) async fn search(State(app): State<App>, Asked(asked): Asked) -> Result<Markup, PageError> {
    let typed = looked_for(&asked);
    if typed.trim().is_empty() {
        return Ok(html! {});
    }
    let hits = app.store.search(&typed, MOST_HITS).await?;
    Ok(html! { div class="hits" { (found(&hits, &typed)) } })
}

fn found(hits: &[Hit], typed: &str) -> Markup {
    html! {
        p class="small soft" role="status" {
            @match hits.len() {
                0 => { "No one is called \u{201c}" (typed.trim()) "\u{201d}." },
                1 => "1 golfer",
                count => { (count) " golfers" },
            }
        }
        ul class="people" { @for hit in hits { li { (person(hit)) } } }
        form method="post" action="/golfers" class="add" {
            (act_id())
            input type="hidden" name="name" value=(typed.trim());
            button name="plays" value="right-handed" { "Add " (typed.trim()) ", right-handed" }
            button name="plays" value="left-handed" { "left-handed" }
        }
    }
}

fn person(hit: &Hit) -> Markup {
    let station = match (&hit.job, hit.is_measured) {
        (Some((number, state)), _) => format!("job {number}, {}", state.words()),
        (None, true) => "measured".to_owned(),
        (None, false) => "not measured yet".to_owned(),
    };
    html! {
        a href=(format!("/golfers/{}", hit.golfer.id)) {
            b { (hit.golfer.name) }
            span class="soft" { (station) }
        }
    }
}

async fn studio(app: &App, refused: Refused<'_>) -> Result<Markup, PageError> {
    let house = app.house().await?.record;
    let now = app.now().in_words_of(&house);
    let (due, recent) = (app.store.due(now.day, now.ms).await?, app.store.search("", MOST_HITS).await?);
    let count = app.store.count_golfers().await?;
    let log = app.store.log(None, 5).await?;
    Ok(page(
        app,
        &Page {
            title: refused.title("Studio"),
            search: "",
            main: html! {
                (summary(refused))
                div class="cols" {
                    section {
                        h1 { (studio_name(&house)) }
                        @if count == 0 {
                            (empty())
                        } @else {
                            (due_today(&due, &now))
                            h2 { "Last worked on" }
                            ul class="people" { @for hit in &recent { li { (person(hit)) } } }
                            @if count > MOST_HITS { p class="soft small" { (count) " golfers in all. Find the others by name, telephone or job number." } }
                            (copy_elsewhere(app, &now))
                        }
                    }
                    section class="aside" { (new_golfer(refused)) }
                }
            },
            follows: Some("all"),
            last: crate::shell::Last::of(&log, &now, "/"),
            help: "",
        },
    ))
}

/// Reminds of a copy on another drive, week by week.
fn copy_elsewhere(app: &App, now: &Now) -> Markup {
    let last = app.store.last_copy_elsewhere();
    let is_due = last.is_none_or(|last| (now.day - last).get_days() >= DAYS_BETWEEN_COPIES);
    html! {
        @if is_due && !app.is_temporary && matches!(app.store.address(), Address::File(_)) {
            p class="note" {
                @match last {
                    Some(last) => { "The last copy of this studio on another drive is of " (now.date(last)) ". " },
                    None => "No copy of this studio lies on another drive yet. ",
                }
                "Should this drive fail, such a copy is what is left: "
                code { "lengthwise backup /media/stick/studio-" (now.day) ".db" }
            }
        }
    }
}

fn studio_name(house: &HouseSettings) -> &str {
    match house.value("name") {
        "" => "Studio",
        name => name,
    }
}

fn empty() -> Markup {
    html! {
        p class="lead" {
            "Here will stand who is due today and whom you worked on last. Begin with a golfer: a name and the side they play from."
        }
        form method="post" action="/example" class="below" {
            (act_id())
            p class="soft" { "Or look around first: an invented studio with twelve golfers at all stations." }
            button { "Fill in the invented studio" }
        }
    }
}

fn due_today(due: &[Due], now: &Now) -> Markup {
    let groups = [
        (DueKind::FollowUp, "To see again"),
        (DueKind::Promised, "Promised, not ready"),
        (DueKind::Cured, "Cured"),
        (DueKind::Ready, "Ready to hand over"),
        (DueKind::OnTheBench, "On the bench"),
        (DueKind::WaitingForParts, "Waiting for parts"),
    ];
    html! {
        h2 { "Today, " (now.date(now.day)) }
        @if due.is_empty() { p class="soft" { "Nobody is due and nothing waits." } }
        @for (kind, words) in groups {
            @let of_kind: Vec<&Due> = due.iter().filter(|due| due.kind == kind).collect();
            @if !of_kind.is_empty() {
                h3 class="below" { (words) }
                ul class="people" { @for due in of_kind { li { (due_line(due, now)) } } }
            }
        }
    }
}

fn due_line(due: &Due, now: &Now) -> Markup {
    let golfer = format!("/golfers/{}", due.golfer);
    let (path, what) = match (&due.job, due.day) {
        (Some((job, number)), _) => {
            let until = match due.cured_ms {
                Some(cured) if cured > now.ms => format!(", cures until {}", now.clock_time(cured)),
                _ => String::new(),
            };
            (format!("{golfer}/jobs/{job}"), format!("job {number}{until}"))
        }
        (None, Some(day)) if day < now.day => {
            (format!("{golfer}/follow-up"), format!("since {}", now.date(day)))
        }
        (None, _) => (format!("{golfer}/follow-up"), "today".to_owned()),
    };
    html! { a href=(path) { b { (due.name) } span class="soft" { (what) } } }
}

fn new_golfer(refused: Refused<'_>) -> Markup {
    html! {
        h2 { "New golfer" }
        form method="post" action="/golfers" class="stacked" {
            (act_id())
            (Field {
                name: "name",
                label: "Name",
                hint: "",
                value: refused.value("name", ""),
                problem: refused.at("name"),
                width: Width::Name,
                options: &[],
            }.draw())
            (choice("plays", "Plays", &[("right-handed", "right-handed"), ("left-handed", "left-handed")], refused.value("plays", "right-handed")))
            button class="primary" { "Open a file" }
        }
    }
}

/// `POST /golfers`: opens a file and goes to it.
pub(crate) async fn open_golfer(State(app): State<App>, form: Form) -> Result<Response, PageError> {
    let house = app.house().await?.record;
    let now = app.now().in_words_of(&house);
    let plays = GolferFile::plays_from(form.get("plays").unwrap_or_default()).ok_or_else(|| {
        PageError::bad("Say which side the golfer plays from.", "Choose right-handed or left-handed.")
    })?;
    let changes = acts::act(&form, &house, "File opened")?;
    let id = if form.get("act").is_some() { acts::record_id(&changes.id, 0) } else { new_id() };
    let golfer = match GolferFile::new(id, form.get("name").unwrap_or_default(), plays) {
        Ok(golfer) => golfer,
        Err(error) => {
            let problems = [Problem::of("name", "Name", &error)];
            return Ok(drawn_again(studio(&app, Refused::of(&form, &problems)).await?));
        }
    };
    let path = format!("/golfers/{}", golfer.id);
    acts::save(&app, changes.with_new(golfer), &now).await?;
    Ok(Redirect::to(&path).into_response())
}

/// `POST /example`: fills an empty studio with the invented one.
pub(crate) async fn fill_in_the_example(State(app): State<App>) -> Result<Redirect, PageError> {
    if app.store.count_golfers().await? > 0 {
        return Err(PageError::bad(
            "The invented studio is only for an empty one; here are golfers already.",
            "Start `lengthwise demo` to see it beside your own.",
        ));
    }
    let now = app.now();
    let has_house = app.house().await?.revision > 0;
    for act in example::studio(now.day, now.ms) {
        // what the owner set of the house stays
        if has_house && act.changes.golfer().is_none() {
            continue;
        }
        app.store.save(act.changes, act.at_ms).await?;
    }
    Ok(Redirect::to("/"))
}
