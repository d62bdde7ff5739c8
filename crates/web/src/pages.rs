//! One file for each page.

pub(crate) mod clubs;
pub(crate) mod export;
pub(crate) mod follow_up;
pub(crate) mod golfer;
pub(crate) mod house;
pub(crate) mod import;
pub(crate) mod job;
pub(crate) mod measure;
pub(crate) mod photo;
pub(crate) mod studio;
pub(crate) mod target;
pub(crate) mod trial;
pub(crate) mod undo;

use crate::app::{App, Now};
use crate::error::PageError;
use crate::parts::problem::Problem;
use crate::shell::{Last, Page, golfer_head, golfer_path};
use ::studio::{Dossier, HouseSettings, StationName};
use maud::{Markup, html};

/// A page of one golfer: head, spine and content, with the last act to be undone.
async fn golfer_page(
    app: &App,
    now: &Now,
    dossier: &Dossier,
    house: &HouseSettings,
    here: Option<StationName>,
    title: &str,
    content: &Markup,
) -> Result<Markup, PageError> {
    page_of(app, now, dossier, house, here, title, content, &[]).await
}

/// The same with what was refused; the title says so first.
#[expect(clippy::too_many_arguments, reason = "what a page of a golfer is made of")]
async fn page_of(
    app: &App,
    now: &Now,
    dossier: &Dossier,
    house: &HouseSettings,
    here: Option<StationName>,
    title: &str,
    content: &Markup,
    problems: &[Problem],
) -> Result<Markup, PageError> {
    let golfer = &dossier.golfer.record;
    let spine = dossier.spine(house, now.day);
    let path =
        here.map_or_else(|| golfer_path(dossier), |here| format!("{}/{}", golfer_path(dossier), here.path()));
    let log = app.store.log(Some(&golfer.id), 5).await?;
    Ok(crate::shell::page(
        app,
        &Page {
            title: format!(
                "{}{title}, {}, Lengthwise",
                if problems.is_empty() { "" } else { "Error: " },
                golfer.name
            ),
            search: "",
            main: html! {
                (golfer_head(dossier, &spine, here, title))
                (content)
            },
            follows: Some(golfer.id.as_str()),
            last: Last::of(&log, now, &path),
        },
    ))
}
