//! Undoing the last act, or any other.

use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::head::way_on;
use crate::shut_away::ask_first;
use axum::extract::State;
use axum::response::Redirect;
use studio::Id;

/// `POST /undo`: undoes an act and goes back to where it was asked for.
pub(crate) async fn undo(State(app): State<App>, form: Form) -> Result<Redirect, PageError> {
    let of = form.get("of").and_then(|of| Id::parse(of).ok()).ok_or_else(PageError::out_of_date)?;
    let as_id = form.get("act").and_then(|act| Id::parse(act).ok()).ok_or_else(PageError::out_of_date)?;
    ask_first(&app.store.records_of(&of).await?)?;
    let house = app.house().await?.record;
    app.store.undo(&of, as_id, &acts::who(&form, &house)?, app.now().ms).await?;
    Ok(Redirect::to(way_on(form.get("back").unwrap_or_default())))
}
