//! The trial: a station that explains itself until the trial itself is there.

use super::GolferPage;
use crate::app::App;
use crate::error::PageError;
use crate::shell::golfer_path;
use axum::extract::{Path, State};
use maud::{Markup, html};
use studio::StationName;

/// `GET /golfers/{golfer}/trial`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Markup, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let content = html! {
        div class="lead" {
            p {
                "The rule gives a starting value. What decides are strikes on the face over several days: a good day can make a wrong "
                "length look right, so days count, not balls."
            }
            p {
                "Planning and judging such a trial is not part of this version. By hand: two or three lengths a quarter to half an inch "
                "apart, at least three separate days, eight to twelve counted strikes a day with each, the order mixed, and nobody told "
                "which is which. Write down what you see as a remark."
            }
        }
        p class="next" { a class="button primary" href=(format!("{}/job", golfer_path(&dossier))) { "Go on to the job" } }
    };
    GolferPage::fresh(&app, &dossier, &house).draw(Some(StationName::Trial), "Trial", &content).await
}
