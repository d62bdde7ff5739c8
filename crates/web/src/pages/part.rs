//! One part of the shelf: its sizes, what came, what was counted and weighed, and where it went.

use super::shelf::{a_move, part_fields, read_part};
use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::field::{Field, Width};
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::parts::shelf_of_job::piece_words;
use crate::shell::{Last, Page, act_id, page, units_field};
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use studio::{
    Changes, HouseSettings, Id, Kept, Shelf, StockMove, StockWhy, StockedPart, StudioError, read_count,
    read_pieces,
};

/// Most lines of what came and went that are shown.
const MOST_MOVES: i64 = 40;

/// `GET /shelf/{part}`
pub(crate) async fn show(State(app): State<App>, Path(part): Path<String>) -> Result<Markup, PageError> {
    let shelf = app.store.shelf().await?;
    part_page(&app, &shelf, find(&shelf, &part)?, Refused::nothing()).await
}

fn find<'s>(shelf: &'s Shelf, part: &str) -> Result<&'s Kept<StockedPart>, PageError> {
    Id::parse(part).ok().and_then(|id| shelf.part(&id)).ok_or(PageError::NotFound("part"))
}

async fn part_page(
    app: &App,
    shelf: &Shelf,
    kept: &Kept<StockedPart>,
    refused: Refused<'_>,
) -> Result<Markup, PageError> {
    let house = app.house().await?.record;
    let now = app.now().in_words_of(&house);
    let part = &kept.record;
    let path = format!("/shelf/{}", part.id);
    let moves = app.store.stock_moves(&part.id, MOST_MOVES).await?;
    let log = app.store.log(None, 5).await?;
    Ok(page(
        app,
        &Page {
            title: refused.title(&part.name),
            search: "",
            main: html! {
                p class="small soft" { a href="/shelf" { "Shelf" } ", " (part.kind.words()) }
                h1 { (part.name) }
                (summary(refused))
                @if part.removed { p class="note care" { "Taken off the shelf." } }
                p class="big" { (shelf.stock(&part.id)) " " (part.counted_in()) " at hand " span class="pm" { (shelf.reserved(&part.id)) " put aside, " (shelf.free(&part.id)) " free" } }
                (put_aside_for(shelf, part))
                @let pieces = shelf.pieces(&part.id);
                @if !pieces.is_empty() {
                    p { "Weighed: " (pieces.iter().map(|(mass, count)| format!("{count} of {}", piece_words(*mass))).collect::<Vec<_>>().join(", ")) "." }
                }
                @if !part.removed {
                    div class="stacked below" {
                        (one_field(&path, "came", "Came", "How many came.", "Write them down", refused))
                        (one_field(&path, "counted", "Counted", "How many lie there, weighed ones left out.", "Take this count", refused))
                        (one_field(&path, "weighed", "Weighed", "What pieces weigh that were counted, such as 7.8 8.1 g: each is kept apart from then on.", "Keep these apart", refused))
                    }
                }
                details class="below" open[refused.problems.iter().any(|problem| !MOVES.contains(&problem.field.as_str()))] {
                    summary { "Change it" }
                    form method="post" action=(path) class="stacked below" {
                        (act_id())
                        (units_field(&house))
                        input type="hidden" name="seen" value=(kept.revision);
                        (part_fields(Some(part), refused))
                        button { "Save" }
                    }
                    @if !part.removed {
                        form method="post" action=(format!("{path}/take-off")) class="below" {
                            (act_id())
                            input type="hidden" name="seen" value=(kept.revision);
                            button class="quiet" { "Take it off the shelf" }
                        }
                    }
                }
                (history(&moves, &now))
            },
            follows: None,
            last: Last::of(&log, &now, &path),
            help: "shelf",
        },
    ))
}

/// What can be written down about how many there are.
const MOVES: [&str; 3] = ["came", "counted", "weighed"];

fn one_field(path: &str, name: &str, label: &str, hint: &str, button: &str, refused: Refused<'_>) -> Markup {
    html! {
        form method="post" action=(format!("{path}/{name}")) class="states" {
            (act_id())
            (Field { name, label, hint, value: refused.value(name, ""), problem: refused.at(name), width: Width::Number, options: &[] }.draw())
            button class=[(name == "came").then_some("primary")] { (button) }
        }
    }
}

fn put_aside_for(shelf: &Shelf, part: &StockedPart) -> Markup {
    let jobs: Vec<_> = shelf
        .put_aside
        .iter()
        .filter_map(|aside| {
            let uses = aside.uses.iter().filter(|used| used.part == part.id);
            let open: i64 =
                uses.map(|used| (i64::from(used.count) - shelf.taken(&aside.job, used)).max(0)).sum();
            (open > 0).then_some((aside, open))
        })
        .collect();
    html! {
        @if !jobs.is_empty() {
            ul class="plain" {
                @for (aside, open) in jobs {
                    li { (open) " for " a href=(format!("/golfers/{}/jobs/{}", aside.golfer, aside.job)) { "job " (aside.number) } }
                }
            }
        }
    }
}

fn history(moves: &[StockMove], now: &Now) -> Markup {
    html! {
        @if !moves.is_empty() {
            h2 { "What came and went" }
            ul class="plain" {
                @for moved in moves {
                    li {
                        @if moved.removed { s { (moved_words(moved)) } " undone" } @else { (moved_words(moved)) }
                        span class="soft" { ", " (now.clock_time(moved.at_ms)) ", " (moved.by) }
                    }
                }
            }
        }
    }
}

fn moved_words(moved: &StockMove) -> String {
    let piece = moved.piece_mg.map(|mass| format!(" of {}", piece_words(mass))).unwrap_or_default();
    let sign = if moved.count < 0 { "\u{2212}" } else { "+" };
    format!("{sign}{}{piece}, {}", moved.count.abs(), moved.why.words())
}

/// `POST /shelf/{part}`: changes what is known of a part.
pub(crate) async fn save(
    State(app): State<App>,
    Path(part): Path<String>,
    form: Form,
) -> Result<Response, PageError> {
    let house = app.house().await?.record;
    let shelf = app.store.shelf().await?;
    let kept = find(&shelf, &part)?;
    let path = format!("/shelf/{}", kept.record.id);
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&path).into_response());
    }
    match read_part(&form, &house, kept.record.id.clone()) {
        Ok(part) => {
            let sentence = format!("Shelf: {} changed", part.name);
            let changes = acts::act(&form, &house, sentence)?.with_changed(part, form.seen_or(kept.revision));
            acts::save_or_ask(&app, changes, &app.now(), &path, &form).await?;
            Ok(Redirect::to(&path).into_response())
        }
        Err(problems) => Ok(drawn_again(part_page(&app, &shelf, kept, Refused::of(&form, &problems)).await?)),
    }
}

/// `POST /shelf/{part}/{came|counted|weighed|take-off}`
pub(crate) async fn moved(
    State(app): State<App>,
    Path((part, what)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let house = app.house().await?.record;
    let shelf = app.store.shelf().await?;
    let kept = find(&shelf, &part)?;
    let path = format!("/shelf/{}", kept.record.id);
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&path).into_response());
    }
    let now = app.now();
    if what == "take-off" {
        let off = StockedPart { removed: true, ..kept.record.clone() };
        let sentence = format!("Shelf: {} taken off", off.name);
        let changes = acts::act(&form, &house, sentence)?.with_changed(off, form.seen_or(kept.revision));
        acts::save_or_ask(&app, changes, &now, &path, &form).await?;
        return Ok(Redirect::to("/shelf").into_response());
    }
    let Some(what) = MOVES.into_iter().find(|known| *known == what) else {
        return Err(PageError::NotFound("page"));
    };
    match moves_of(what, &form, &house, &shelf, &kept.record, &now)? {
        Ok(changes) => {
            acts::save(&app, changes, &now).await?;
            Ok(Redirect::to(&path).into_response())
        }
        Err(error) => {
            let label = what.chars().next().map(|first| first.to_uppercase().to_string()).unwrap_or_default()
                + what.get(1..).unwrap_or_default();
            let problems = [Problem::of(what, &label, &error)];
            Ok(drawn_again(part_page(&app, &shelf, kept, Refused::of(&form, &problems)).await?))
        }
    }
}

/// The act that writes down what came, was counted or weighed; or why it cannot be.
fn moves_of(
    what: &str,
    form: &Form,
    house: &HouseSettings,
    shelf: &Shelf,
    part: &StockedPart,
    now: &Now,
) -> Result<Result<Changes, StudioError>, PageError> {
    let typed = form.get(what).unwrap_or_default();
    let act = |sentence: String| acts::act(form, house, format!("Shelf: {}, {sentence}", part.name));
    let unweighed = shelf.counts.get(&(part.id.clone(), None)).copied().unwrap_or(0);
    let nothing =
        || StudioError::BadValue { message: "expected a number, found nothing".to_owned(), hint: None };
    Ok(match what {
        "weighed" => match read_pieces(typed) {
            Ok(pieces) if pieces.is_empty() => Err(nothing()),
            Ok(pieces) => {
                let count = i64::try_from(pieces.len()).unwrap_or(i64::MAX);
                let mut changes = act(format!("{count} weighed"))?;
                // those that were counted are now known one by one
                let known = count.min(unweighed.max(0));
                if known > 0 {
                    let gone = a_move(&changes, 0, &part.id, StockWhy::Weighed, -known, now);
                    changes.add_new(gone);
                }
                for (place, mass) in pieces.into_iter().enumerate() {
                    let piece = a_move(&changes, place + 1, &part.id, StockWhy::Weighed, 1, now);
                    changes.add_new(StockMove { piece_mg: Some(mass), ..piece });
                }
                Ok(changes)
            }
            Err(error) => Err(error),
        },
        _ => match read_count(typed).and_then(|count| count.ok_or_else(nothing)) {
            Ok(count) => {
                let (why, more) = match what {
                    "came" => (StockWhy::Came, count),
                    _ => (StockWhy::Counted, count - unweighed),
                };
                let changes = act(format!("{count} {what}"))?;
                let moved = a_move(&changes, 0, &part.id, why, more, now);
                Ok(if more == 0 { changes } else { changes.with_new(moved) })
            }
            Err(error) => Err(error),
        },
    })
}
