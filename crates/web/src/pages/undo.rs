//! Undoing the last act, or any other.

use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use axum::extract::State;
use axum::response::Redirect;
use studio::Id;

/// `POST /undo`: undoes an act and goes back to where it was asked for.
pub(crate) async fn undo(State(app): State<App>, form: Form) -> Result<Redirect, PageError> {
    let of = form.get("of").and_then(|of| Id::parse(of).ok()).ok_or_else(PageError::out_of_date)?;
    let as_id = form.get("act").and_then(|act| Id::parse(act).ok()).ok_or_else(PageError::out_of_date)?;
    let house = app.house().await?.record;
    app.store.undo(&of, as_id, &acts::who(&form, &house)?, app.now().ms).await?;
    Ok(Redirect::to(local(form.get("back").unwrap_or("/"))))
}

/// Only a path of this studio is gone back to.
fn local(path: &str) -> &str {
    let is_local = path.starts_with('/')
        && !path.starts_with("//")
        && !path.contains('\\')
        && path.bytes().all(|byte| byte.is_ascii_graphic());
    if is_local { path } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::local;

    #[test]
    fn nobody_is_led_away() {
        assert_eq!(local("/golfers/x/clubs"), "/golfers/x/clubs");
        for away in ["//evil.example", "https://evil.example", "/\\evil.example", "", "/a\r\nSet-Cookie: x"] {
            assert_eq!(local(away), "/", "{away}");
        }
    }
}
