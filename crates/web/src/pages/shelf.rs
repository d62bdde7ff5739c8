//! The shelf: every part with what is there, put aside and free; what is to be ordered; parts in and out as a table.

use crate::acts;
use crate::app::{App, Now};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::field::{Field, Width};
use crate::parts::problem::{Problem, Refused, drawn_again, summary};
use crate::room;
use crate::shell::{Last, Page, act_id, page, units_field};
use crate::uploads::{Sent, table_fields};
use axum::extract::{Multipart, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use bench::PartKind;
use exchange::{ShelfRow, Source, read_shelf, shelf_csv, shelf_workbook};
use maud::{Markup, html};
use sheet::words::rich;
use studio::{
    Changes, HouseSettings, Id, Kept, Shelf, StockMove, StockWhy, StockedPart, StudioError, TypedPart,
    read_count,
};

/// `GET /shelf`
pub(crate) async fn show(State(app): State<App>) -> Result<Markup, PageError> {
    shelf_page(&app, Refused::nothing()).await
}

async fn shelf_page(app: &App, refused: Refused<'_>) -> Result<Markup, PageError> {
    let house = app.house().await?.record;
    let now = app.now().in_words_of(&house);
    let shelf = app.store.shelf().await?;
    let log = app.store.log(None, 5).await?;
    Ok(page(
        app,
        &Page {
            title: refused.title("Shelf"),
            search: "",
            main: html! {
                h1 { "Shelf" }
                (summary(refused))
                @if shelf.on_it().is_empty() {
                    p class="lead" { "Nothing is on the shelf yet. Write down the parts you keep, or bring them in from a table; a job then puts aside what it needs, and a tick at the bench takes it off." }
                } @else {
                    (to_order(&shelf))
                    (table(&shelf, &house))
                }
                details class="below" open[shelf.on_it().is_empty() || !refused.problems.is_empty()] {
                    summary { "Add a part" }
                    form method="post" action="/shelf" class="stacked below" {
                        (act_id())
                        (units_field(&house))
                        (part_fields(None, refused))
                        (Field {
                            name: "at-hand",
                            label: "At hand",
                            hint: "How many lie there; inches of a tape.",
                            value: refused.value("at-hand", ""),
                            problem: refused.at("at-hand"),
                            width: Width::Number,
                            options: &[],
                        }.draw())
                        button class="primary" { "Put it on the shelf" }
                    }
                }
                details class="below" {
                    summary { "From a table, or as one" }
                    p class="below" { a href="/shelf/table.csv" { "Table for a spreadsheet (CSV)" } " · " a href="/shelf/table.xlsx" { "Workbook (XLSX)" } }
                    form method="post" action="/shelf/import" enctype="multipart/form-data" class="stacked below" {
                        (act_id())
                        (table_fields("Table to bring in", "CSV or a workbook (.xlsx) with a row of names above: kind, name, and any of diameter (in), length (in), mass (g), cost, at hand, low at, note. A part of the same kind and name is the same part; one undo takes all of it back.", refused.value("sheet", "")))
                        button { "Bring it in" }
                    }
                }
            },
            follows: None,
            last: Last::of(&log, &now, "/shelf"),
            help: "shelf",
        },
    ))
}

/// What is low or promised twice.
fn to_order(shelf: &Shelf) -> Markup {
    let low = shelf.low();
    html! {
        @if !low.is_empty() {
            section class="note care" aria-labelledby="to-order" {
                h2 id="to-order" { "To order" }
                ul class="plain" {
                    @for part in low.into_iter().map(|kept| &kept.record) {
                        @let free = shelf.free(&part.id);
                        li {
                            a href=(format!("/shelf/{}", part.id)) { (part.name) }
                            ": " @if free < 0 { (-free) " more put aside than there are" } @else { (free) " free" }
                            @if part.low_at > 0 { ", low at " (part.low_at) }
                        }
                    }
                }
            }
        }
    }
}

fn table(shelf: &Shelf, house: &HouseSettings) -> Markup {
    html! {
        div class="wide" tabindex="0" role="group" aria-label="Parts on the shelf" {
        table class="stack dense parts" {
            caption { (shelf.on_it().len()) " parts. Free is what is neither used nor put aside for a job." }
            thead {
                tr {
                    th class="text" scope="col" { "Part" } th class="text" scope="col" { "Kind" } th class="text" scope="col" { "Sizes" }
                    th scope="col" { "At hand" } th scope="col" { "Put aside" } th scope="col" { "Free" } th scope="col" { "Costs" @if !house.value("currency").is_empty() { ", " (house.value("currency")) } }
                }
            }
            tbody {
                @for part in shelf.on_it().into_iter().map(|kept| &kept.record) {
                    tr {
                        th class="text" scope="row" { a href=(format!("/shelf/{}", part.id)) { (part.name) } @if shelf.is_low(part) { " " b { "low" } } }
                        td class="text" data-is="Kind" { (part.kind.words()) }
                        td class="text" data-is="Sizes" { (rich(&part.sizes())) }
                        td data-is="At hand" { (shelf.stock(&part.id)) @if !part.counted_in().is_empty() { " " (part.counted_in()) } }
                        td data-is="Put aside" { (shelf.reserved(&part.id)) }
                        td data-is="Free" { (shelf.free(&part.id)) }
                        td data-is="Costs" { @if let Some(cost) = part.cost { (cost) } }
                    }
                }
            }
        }
        }
    }
}

/// The fields of a part, as it is kept or as it was typed.
pub(super) fn part_fields(part: Option<&StockedPart>, refused: Refused<'_>) -> Markup {
    let kinds: Vec<&str> = PartKind::ALL.iter().map(|kind| kind.words()).collect();
    let kept = |text: Option<String>| text.unwrap_or_default();
    let inches = |metres: Option<f64>| {
        kept(metres.map(|metres| quantity::Length::metres(metres).decimal_inches(3).to_string()))
    };
    let kind = part.map_or_else(|| "grip".to_owned(), |part| part.kind.words().to_owned());
    let values = [
        ("name", "Name", "What the house calls it.", kept(part.map(|part| part.name.clone())), Width::Name),
        (
            "diameter",
            "Diameter",
            "Of a plug or a shaft the butt it is for, of a grip its core, such as 0.600 in.",
            inches(part.and_then(|part| part.diameter_m)),
            Width::Number,
        ),
        (
            "length",
            "Length",
            "Raw for a shaft, such as 41 in.",
            inches(part.and_then(|part| part.length_m)),
            Width::Number,
        ),
        (
            "mass",
            "Mass",
            "Of one, in grams; of an inch for a tape.",
            kept(
                part.and_then(|part| part.mass_kg)
                    .map(|mass| quantity::Mass::kilograms(mass).grams_printed(2).to_string()),
            ),
            Width::Number,
        ),
        (
            "cost",
            "Costs",
            "What one costs the house.",
            kept(part.and_then(|part| part.cost).map(|cost| cost.to_string())),
            Width::Number,
        ),
        (
            "low-at",
            "Low at",
            "To be ordered when no more than this are free.",
            kept(part.filter(|part| part.low_at > 0).map(|part| part.low_at.to_string())),
            Width::Number,
        ),
        (
            "note",
            "Note",
            "Where it lies, who sells it.",
            kept(part.and_then(|part| part.note.clone())),
            Width::Line,
        ),
    ];
    html! {
        (Field {
            name: "kind",
            label: "Kind",
            hint: "",
            value: refused.value("kind", &kind),
            problem: refused.at("kind"),
            width: Width::Name,
            options: &kinds,
        }.draw())
        @for (name, label, hint, value, width) in &values {
            (Field { name, label, hint, value: refused.value(name, value), problem: refused.at(name), width: *width, options: &[] }.draw())
        }
    }
}

/// A part as it was typed into its fields.
pub(super) fn read_part(form: &Form, house: &HouseSettings, id: Id) -> Result<StockedPart, Vec<Problem>> {
    let typed = |name: &str| form.get(name).unwrap_or_default();
    let part = TypedPart {
        kind: typed("kind"),
        name: typed("name"),
        diameter: typed("diameter"),
        length: typed("length"),
        mass: typed("mass"),
        cost: typed("cost"),
        low_at: typed("low-at"),
        note: typed("note"),
    };
    part.read(id, acts::units(form, house)).map_err(|problems| {
        let named = |(field, error): &(&str, StudioError)| {
            let label = field.chars().next().map(|first| first.to_uppercase().collect::<String>());
            let label = label.unwrap_or_default() + field.get(1..).unwrap_or_default();
            Problem::of(&field.replace(' ', "-"), &label, error)
        };
        problems.iter().map(named).collect()
    })
}

/// Parts that came, or went, by themselves.
pub(super) fn a_move(
    changes: &Changes,
    place: usize,
    part: &Id,
    why: StockWhy,
    count: i64,
    now: &Now,
) -> StockMove {
    StockMove {
        id: acts::record_id(&changes.id, place),
        part: part.clone(),
        count,
        piece_mg: None,
        why,
        job: None,
        step: None,
        by: changes.by.clone(),
        at_ms: now.ms,
        removed: false,
    }
}

/// `POST /shelf`: puts a new part on the shelf.
pub(crate) async fn add(State(app): State<App>, form: Form) -> Result<Response, PageError> {
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to("/shelf").into_response());
    }
    let house = app.house().await?.record;
    let now = app.now();
    let changes = acts::act(&form, &house, "")?;
    let part = read_part(&form, &house, acts::record_id(&changes.id, 0));
    let at_hand = read_count(form.get("at-hand").unwrap_or_default())
        .map_err(|error| Problem::of("at-hand", "At hand", &error));
    let (part, at_hand) = match (part, at_hand) {
        (Ok(part), Ok(at_hand)) => (part, at_hand.unwrap_or(0)),
        (part, at_hand) => {
            let problems: Vec<Problem> =
                part.err().unwrap_or_default().into_iter().chain(at_hand.err()).collect();
            return Ok(drawn_again(shelf_page(&app, Refused::of(&form, &problems)).await?));
        }
    };
    let there = app.store.shelf().await?;
    if let Some(same) = same_part(&there, &part) {
        let error = StudioError::BadValue {
            message: format!("a {} called {} is on the shelf already", part.kind.words(), same.record.name),
            hint: Some("Write on its page what came, or give this one another name.".to_owned()),
        };
        let problems = [Problem::of("name", "Name", &error)];
        return Ok(drawn_again(shelf_page(&app, Refused::of(&form, &problems)).await?));
    }
    let sentence = format!("Shelf: {} added, {at_hand} at hand", part.name);
    let id = part.id.clone();
    let mut changes = Changes { sentence, ..changes }.with_new(part);
    if at_hand > 0 {
        let came = a_move(&changes, 1, &id, StockWhy::Came, at_hand, &now);
        changes.add_new(came);
    }
    acts::save(&app, changes, &now).await?;
    Ok(Redirect::to("/shelf").into_response())
}

/// The part of the same kind and name, if it is on the shelf.
fn same_part<'s>(shelf: &'s Shelf, part: &StockedPart) -> Option<&'s Kept<StockedPart>> {
    shelf.on_it().into_iter().find(|kept| {
        kept.record.kind == part.kind && kept.record.name == part.name && kept.record.id != part.id
    })
}

/// `POST /shelf/import`: takes a table of parts, all or none.
pub(crate) async fn import(State(app): State<App>, sent: Multipart) -> Result<Response, PageError> {
    room::for_a_file(app.store.address())?;
    let (upload, form) = Sent::table(sent).await?;
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to("/shelf").into_response());
    }
    let house = app.house().await?.record;
    let now = app.now();
    let changes = acts::act(&form, &house, "")?;
    let table = upload.table(&app).await?;
    let mut place = 0;
    let rows = read_shelf(&table, house.units(), || {
        place += 2;
        acts::record_id(&changes.id, place)
    });
    let rows = match rows {
        Ok(rows) => rows,
        Err(problems) => {
            let words = |problem: exchange::CellProblem| {
                let hint = problem.hint.as_ref().map(|hint| format!(" {hint}")).unwrap_or_default();
                let place = match &table.source {
                    Source::Text { .. } => String::new(),
                    Source::Sheet { name, .. } => format!("sheet \"{name}\", "),
                };
                Problem { field: "file".to_owned(), words: format!("{place}{problem}.{hint}") }
            };
            let problems: Vec<Problem> = problems.into_iter().map(words).collect();
            return Ok(drawn_again(shelf_page(&app, Refused::of(&form, &problems)).await?));
        }
    };
    let shelf = app.store.shelf().await?;
    let sentence = format!("Shelf: {} parts from {}", rows.len(), table.source.words());
    let changes = brought_in(Changes { sentence, ..changes }, rows, &shelf, &now);
    if !changes.puts.is_empty() {
        app.store.backup_before_import(app.clock.now().datetime()).await?;
    }
    acts::save(&app, changes, &now).await?;
    Ok(Redirect::to("/shelf").into_response())
}

/// The act that brings rows in: a part that is there keeps its id and takes what the row says, the count the difference.
fn brought_in(mut changes: Changes, rows: Vec<ShelfRow>, shelf: &Shelf, now: &Now) -> Changes {
    for (place, row) in rows.into_iter().enumerate() {
        let there = same_part(shelf, &row.part);
        let part = StockedPart {
            id: there.map_or_else(|| row.part.id.clone(), |kept| kept.record.id.clone()),
            ..row.part
        };
        let count = row.at_hand.map_or(0, |at_hand| at_hand - shelf.stock(&part.id));
        let why = if there.is_some() { StockWhy::Counted } else { StockWhy::Came };
        let moved = (count != 0).then(|| a_move(&changes, 2 * place + 1, &part.id, why, count, now));
        match there {
            Some(kept) if kept.record == part => {}
            Some(kept) => changes.add_changed(part, kept.revision),
            None => changes.add_new(part),
        }
        moved.into_iter().for_each(|moved| changes.add_new(moved));
    }
    changes
}

/// `GET /shelf/table.csv`
pub(crate) async fn csv(State(app): State<App>) -> Result<Response, PageError> {
    Ok(file("text/csv; charset=utf-8", "shelf.csv", shelf_csv(&app.store.shelf().await?).into_bytes()))
}

/// `GET /shelf/table.xlsx`
pub(crate) async fn workbook(State(app): State<App>) -> Result<Response, PageError> {
    let kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    Ok(file(kind, "shelf.xlsx", shelf_workbook(&app.store.shelf().await?)?))
}

fn file(kind: &'static str, name: &str, bytes: Vec<u8>) -> Response {
    let as_file = format!("attachment; filename=\"{name}\"");
    ([(header::CONTENT_TYPE, kind.to_owned()), (header::CONTENT_DISPOSITION, as_file)], bytes).into_response()
}
