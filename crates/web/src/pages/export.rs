//! What a golfer, or the fitter, takes along: the studio file, and tables for a spreadsheet.

use crate::app::App;
use crate::error::PageError;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use exchange::{HealthRemarks, archive, export_csv, export_json};
use maud::{Markup, html};
use store::Everything;
use studio::{Dossier, RecordKind, ShelfRecords};

/// The tables there are, with what they hold.
const TABLES: [(&str, RecordKind); 9] = [
    ("golfers.csv", RecordKind::Golfer),
    ("visits.csv", RecordKind::Visit),
    ("readings.csv", RecordKind::Reading),
    ("clubs.csv", RecordKind::Club),
    ("trials.csv", RecordKind::Trial),
    ("strikes.csv", RecordKind::Strike),
    ("jobs.csv", RecordKind::Job),
    ("follow_ups.csv", RecordKind::FollowUp),
    ("remarks.csv", RecordKind::Remark),
];

/// Lists what can be taken along under an address.
pub(crate) fn links(base: &str) -> Markup {
    html! {
        li { a href=(format!("{base}/export.json")) { "Studio file, everything in it" } }
        li class="bare" {
            details {
                summary { "Tables for a spreadsheet" }
                ul class="plain" { @for (name, kind) in TABLES { li { a href=(format!("{base}/tables/{name}")) { (kind.word()) "s" } } } }
            }
        }
    }
}

/// `GET /golfers/{golfer}/export.json`: everything of one golfer, health remarks too: it is theirs.
pub(crate) async fn golfer(State(app): State<App>, Path(id): Path<String>) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    Ok(json(export_json(&house, &ShelfRecords::default(), &[dossier], HealthRemarks::Included)))
}

/// `GET /golfers/{golfer}/archive.zip`: the same with tables, pictures, and a page to read.
pub(crate) async fn archive_of(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Response, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let photos = app.photos.clone();
    let packed = tokio::task::spawn_blocking(move || {
        let ids = dossier.photos.iter().map(|kept| kept.record.id.clone());
        let pictures = ids.filter_map(|id| Some((id.clone(), photos.as_ref()?.get(&id)?)));
        archive(&house, &dossier, &pictures.collect::<Vec<_>>())
    });
    let bytes = packed.await.map_err(|_| PageError::bad("The archive could not be packed.", "Try again."))?;
    let headers = [
        (header::CONTENT_TYPE, "application/zip"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"golfer.zip\""),
    ];
    Ok((headers, bytes).into_response())
}

/// `GET /golfers/{golfer}/tables/{name}`
pub(crate) async fn golfer_table(
    State(app): State<App>,
    Path((id, name)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let (dossier, _) = app.golfer(&id).await?;
    table(&[dossier], HealthRemarks::Included, &name)
}

/// `GET /export.json`: the whole studio, without remarks about health.
pub(crate) async fn studio(State(app): State<App>) -> Result<Response, PageError> {
    let Everything { house, shelf, dossiers } = app.store.everything().await?;
    Ok(json(export_json(&house, &shelf, &dossiers, HealthRemarks::LeftOut)))
}

/// `GET /tables/{name}`
pub(crate) async fn studio_table(
    State(app): State<App>,
    Path(name): Path<String>,
) -> Result<Response, PageError> {
    table(&app.store.everything().await?.dossiers, HealthRemarks::LeftOut, &name)
}

fn json(text: String) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/json"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"lengthwise.json\""),
    ];
    (headers, text).into_response()
}

fn table(dossiers: &[Dossier], health: HealthRemarks, name: &str) -> Result<Response, PageError> {
    let tables = export_csv(dossiers, health);
    let file = tables.into_iter().find(|file| file.name == name).ok_or(PageError::NotFound("table"))?;
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{}\"", file.name)),
    ];
    Ok((headers, file.text).into_response())
}
