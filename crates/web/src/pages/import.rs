//! Clubs from a spreadsheet: the file, then how its columns are matched, then one act that can be undone.

use super::GolferPage;
use crate::acts;
use crate::app::{App, new_id};
use crate::error::PageError;
use crate::form::Form;
use crate::parts::problem::drawn_again;
use crate::room;
use crate::shell::{act_id, golfer_path};
use crate::uploads::{Sent, table_fields};
use axum::extract::{Multipart, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use exchange::{
    CellProblem, ClubRules, Column, ExchangeError, Table, file_shape, guess_columns, read_clubs, to_changes,
};
use maud::{Markup, html};
use studio::{HouseSettings, Id, OwnedClub, StationName};

/// Rows shown before anything is taken.
const ROWS_SHOWN: usize = 3;

impl From<ExchangeError> for PageError {
    fn from(error: ExchangeError) -> Self {
        let hint = error.hint();
        Self::bad(format!("The file was not taken: {error}."), hint)
    }
}

/// `GET /golfers/{golfer}/clubs/import`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let content = html! {
        p class="lead" {
            "A table with one club in each row and a row of names above: a workbook (.xlsx), or CSV in UTF-8, up to 5 MB. You "
            "see how its columns are read before anything is taken, and one undo takes all of it back."
        }
        form method="post" enctype="multipart/form-data" class="stacked below" {
            (table_fields("File", "", ""))
            button class="primary" { "Look at the file" }
        }
    };
    let page = GolferPage::fresh(&app, &dossier, &house);
    page.draw(Some(StationName::Clubs), "Clubs from a file", &content).await
}

/// `POST /golfers/{golfer}/clubs/import`: keeps the file for a while and shows how it is read.
pub(crate) async fn look(
    State(app): State<App>,
    Path(id): Path<String>,
    sent: Multipart,
) -> Result<Markup, PageError> {
    room::for_a_file(app.store.address())?;
    let (dossier, house) = app.golfer(&id).await?;
    let (upload, _) = Sent::table(sent).await?;
    let table = upload.table(&app).await?;
    let file = new_id();
    app.uploads.keep(&file, upload);
    let columns = remembered(&house, &table).unwrap_or_else(|| guess_columns(&table));
    matching_page(&GolferPage::fresh(&app, &dossier, &house), &file, &table, &columns, &[]).await
}

/// The columns as they were matched the last time a table of this shape came.
fn remembered(house: &HouseSettings, table: &Table) -> Option<Vec<Option<Column>>> {
    let keys = house.matchings.get(&file_shape(table))?;
    (keys.len() == table.header.cells.len())
        .then(|| keys.iter().map(|key| Column::from_key(key).ok()).collect())
}

async fn matching_page(
    page: &GolferPage<'_>,
    file: &Id,
    table: &Table,
    columns: &[Option<Column>],
    problems: &[CellProblem],
) -> Result<Markup, PageError> {
    let content = html! {
        @if !problems.is_empty() {
            section class="summary" role="alert" tabindex="-1" {
                h2 { "There is a problem" }
                p { "Nothing was taken. Mend the file, or leave the column out." }
                ul class="plain" {
                    @for problem in problems { li { (problem) "." @if let Some(hint) = &problem.hint { " " (hint) } } }
                }
            }
        }
        p class="lead" { (table.rows.len()) " rows, " (table.source) "." }
        form method="post" action=(format!("{}/clubs/import/{file}", golfer_path(page.dossier))) {
            (act_id())
            table class="matching" {
                thead { tr { th class="text" scope="col" { "In the file" } th class="text" scope="col" { "Read as" } th class="text" scope="col" { "First rows" } } }
                tbody {
                    @for (place, (header, column)) in table.header.cells.iter().zip(columns).enumerate() {
                        tr {
                            th class="text" scope="row" { (header) }
                            td class="text" { (choose(place, *column, header)) }
                            td class="text" { (first_rows(table, place)) }
                        }
                    }
                }
            }
            div class="keepbar" { button class="primary" { "Take these clubs" } }
        }
    };
    page.draw(Some(StationName::Clubs), "Clubs from a file", &content).await
}

/// What the first rows hold in a column.
fn first_rows(table: &Table, place: usize) -> Markup {
    html! {
        @for row in table.rows.iter().take(ROWS_SHOWN) { div { (row.cells.get(place).map_or("", String::as_str)) } }
        @if table.rows.len() > ROWS_SHOWN { div class="soft" { "\u{2026}" } }
    }
}

fn choose(place: usize, chosen: Option<Column>, header: &str) -> Markup {
    html! {
        select class="field" name=(format!("column.{place}")) aria-label=(format!("What {header} is")) {
            option value="" selected[chosen.is_none()] { "left out" }
            @for column in Column::choices() {
                option value=(column.key()) selected[chosen == Some(column)] { (column) }
            }
        }
    }
}

/// `POST /golfers/{golfer}/clubs/import/{file}`: takes the clubs, all or none.
pub(crate) async fn take(
    State(app): State<App>,
    Path((id, file)): Path<(String, String)>,
    form: Form,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let now = app.now();
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&format!("{}/clubs", golfer_path(&dossier))).into_response());
    }
    let file = Id::parse(&file).map_err(|_| PageError::NotFound("file"))?;
    let upload = app.uploads.get(&file).ok_or_else(|| {
        PageError::bad("The file is no longer at hand.", "Choose it again; nothing was taken.")
    })?;
    let table = upload.table(&app).await?;
    let columns: Vec<Option<Column>> = (0..table.header.cells.len())
        .map(|place| form.filled(&format!("column.{place}")).map(Column::from_key).transpose())
        .collect::<Result<_, _>>()?;
    let owned: Vec<&str> = dossier.live_clubs().map(|kept| kept.record.name.as_str()).collect();
    let rules = ClubRules { units: house.units(), owned: &owned, is_club: &OwnedClub::check_name };
    let clubs = match read_clubs(&table, &columns, &rules) {
        Ok(clubs) => clubs,
        Err(problems) => {
            let page = GolferPage::fresh(&app, &dossier, &house);
            return Ok(drawn_again(matching_page(&page, &file, &table, &columns, &problems).await?));
        }
    };
    let act = acts::act(&form, &house, "")?;
    let mut place = 0;
    let golfer = &dossier.golfer.record.id;
    let mut changes = to_changes(&clubs, golfer, &act.by, now.day, now.ms, || {
        // the first id asked for is the act's own
        place += 1;
        if place == 1 { act.id.clone() } else { acts::record_id(&act.id, place) }
    });
    changes.sent.clone_from(&act.sent);
    app.store.backup_before_import(app.clock.now().datetime()).await?;
    acts::save(&app, changes, &now).await?;
    remember(&app, &table, &columns).await?;
    Ok(Redirect::to(&format!("{}/clubs", golfer_path(&dossier))).into_response())
}

/// Remembers how a table of this shape was matched; the clubs are taken already, so a failure here loses nothing.
async fn remember(app: &App, table: &Table, columns: &[Option<Column>]) -> Result<(), PageError> {
    let kept = app.house().await?;
    let keys: Vec<String> =
        columns.iter().map(|column| column.map(Column::key).unwrap_or_default()).collect();
    let shape = file_shape(table);
    let known = kept.record.matchings.get(&shape);
    let is_full = kept.record.matchings.len() >= HouseSettings::MOST_MATCHINGS;
    if known == Some(&keys) || (known.is_none() && is_full) {
        return Ok(());
    }
    let mut house = kept.record.clone();
    house.matchings.insert(shape, keys);
    let changes = acts::act(&Form::default(), &house, "How a spreadsheet's columns are read")?;
    let changes =
        if kept.revision == 0 { changes.with_new(house) } else { changes.with_changed(house, kept.revision) };
    acts::save(app, changes, &app.now()).await
}
