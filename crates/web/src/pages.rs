//! One file for each page.

pub(crate) mod at_the_bench;
pub(crate) mod bench_bias;
pub(crate) mod chain;
pub(crate) mod clubs;
pub(crate) mod device;
pub(crate) mod devices;
pub(crate) mod entry;
pub(crate) mod export;
pub(crate) mod follow_up;
pub(crate) mod forget;
pub(crate) mod golfer;
pub(crate) mod help;
pub(crate) mod house;
pub(crate) mod import;
pub(crate) mod job;
pub(crate) mod measure;
pub(crate) mod part;
pub(crate) mod photo;
pub(crate) mod promise;
pub(crate) mod quote;
pub(crate) mod rule;
pub(crate) mod set_build;
pub(crate) mod shelf;
pub(crate) mod strikes;
pub(crate) mod studio;
pub(crate) mod target;
pub(crate) mod trial;
pub(crate) mod undo;
pub(crate) mod verdict;

use crate::app::{App, Now};
use crate::error::PageError;
use crate::parts::problem::Refused;
use crate::shell::{Last, Page, golfer_head, golfer_path, who};
use ::studio::{Dossier, HouseSettings, StationName};
use maud::{Markup, html};

/// A page of one golfer while it is drawn.
struct GolferPage<'a> {
    app: &'a App,
    now: Now,
    dossier: &'a Dossier,
    house: &'a HouseSettings,
    refused: Refused<'a>,
}

impl<'a> GolferPage<'a> {
    /// A page nothing was typed on yet.
    fn fresh(app: &'a App, dossier: &'a Dossier, house: &'a HouseSettings) -> Self {
        let now = app.now().in_words_of(house);
        Self { app, now, dossier, house, refused: Refused::nothing() }
    }

    /// The page once more, with what was typed on it and what was wrong.
    fn again(app: &'a App, dossier: &'a Dossier, house: &'a HouseSettings, refused: Refused<'a>) -> Self {
        Self { refused, ..Self::fresh(app, dossier, house) }
    }

    /// Draws head, spine and content, with the last act to be undone.
    async fn draw(
        &self,
        here: Option<StationName>,
        title: &str,
        content: &Markup,
    ) -> Result<Markup, PageError> {
        let base = golfer_path(self.dossier);
        let path = here.map_or_else(|| base.clone(), |here| format!("{base}/{}", here.path()));
        self.draw_at(&path, here, title, content).await
    }

    /// The same for a page under a station's: undoing comes back to `path`.
    async fn draw_at(
        &self,
        path: &str,
        here: Option<StationName>,
        title: &str,
        content: &Markup,
    ) -> Result<Markup, PageError> {
        let spine = self.dossier.spine(self.house, self.now.day);
        let head = golfer_head(self.dossier, &spine, here, title);
        self.draw_under(&head, path, here, title, content).await
    }

    /// Draws a page of a station that is worked on at arm's length: no spine is in the way.
    async fn draw_alone(
        &self,
        path: &str,
        station: StationName,
        title: &str,
        content: &Markup,
    ) -> Result<Markup, PageError> {
        self.draw_under(&who(self.dossier, title), path, Some(station), title, content).await
    }

    async fn draw_under(
        &self,
        head: &Markup,
        path: &str,
        here: Option<StationName>,
        title: &str,
        content: &Markup,
    ) -> Result<Markup, PageError> {
        let golfer = &self.dossier.golfer.record;
        let log = self.app.store.log(Some(&golfer.id), 5).await?;
        Ok(crate::shell::page(
            self.app,
            &Page {
                title: self.refused.title(&format!("{title}, {}", golfer.name)),
                search: "",
                main: html! { (head) (content) },
                follows: Some(golfer.id.as_str()),
                last: Last::of(&log, &self.now, path),
                help: help::about(here),
            },
        ))
    }
}

/// Groove pitch of the drawing where the club's own was not read, mm. Trade practice: near 1/8 in.
const USUAL_PITCH_MM: f64 = 3.175;

/// Pitch of the score lines of a club, mm.
pub(crate) fn pitch_mm(dossier: &Dossier, club: &str) -> f64 {
    let read =
        dossier.club_named(club).and_then(|club| dossier.club_reading(&club, ::studio::Field::GroovePitch));
    read.and_then(|reading| reading.value_si).map_or(USUAL_PITCH_MM, |metres| metres * 1000.0)
}
