//! Photos of clubs: taken at the bench, kept small and clean in files beside the studio.

use super::clubs::find;
use crate::acts;
use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::picture::{MOST_BYTES, shrunk_by};
use crate::room;
use crate::shell::golfer_path;
use crate::uploads::Sent;
use axum::extract::{Multipart, Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use studio::{Id, Photo, RecordKind, plain_text};

/// `POST /golfers/{golfer}/clubs/{club}/photo`
pub(crate) async fn take(
    State(app): State<App>,
    Path((id, club)): Path<(String, String)>,
    sent: Multipart,
) -> Result<Redirect, PageError> {
    room::for_a_file(app.store.address())?;
    let (dossier, house) = app.golfer(&id).await?;
    let club = find(&dossier, &club)?.record.clone();
    let Sent { file, form } = Sent::read(sent, "photo", MOST_BYTES).await?;
    let caption = plain_text("caption", form.get("caption").unwrap_or_default())?;
    let back = format!("{}/clubs/{}", golfer_path(&dossier), club.id);
    if acts::is_known(&app, &form).await? {
        return Ok(Redirect::to(&back));
    }
    app.store.refuse_when_stopped()?;
    let (Some(apart), Some(photos)) = (&app.apart, &app.photos) else {
        return Err(PageError::bad("This studio keeps no photos.", "Open it with `lengthwise serve`."));
    };
    let picture = shrunk_by(apart, file.unwrap_or_default()).await.map_err(|error| {
        PageError::bad(format!("The photo was not taken: {error}."), "Choose another, JPEG or PNG.")
    })?;
    let now = app.now();
    let changes = acts::act(&form, &house, format!("{}: a photo", club.name))?;
    let photo = Photo {
        // its own, should another picture be sent under this act at the same moment
        id: acts::id_of_name(&format!("{}/{}", changes.id, form.get("photo").unwrap_or_default())),
        golfer: dossier.golfer.record.id.clone(),
        club: Some(club.id.clone()),
        caption,
        bytes: i64::try_from(picture.jpeg.len()).unwrap_or(i64::MAX),
        width: i64::from(picture.width),
        height: i64::from(picture.height),
        by: house.value("fitter").to_owned(),
        at_ms: now.ms,
        removed: false,
    };
    // to its end, even when the page goes away
    let (app, photos) = (app.clone(), photos.clone());
    let kept = tokio::spawn(async move {
        let id = photo.id.clone();
        // the picture first, then its record: a record without its picture is never seen
        photos.put(&id, &picture.jpeg)?;
        let saved = acts::save(&app, changes.with_new(photo), &now).await;
        if saved.is_err() && app.store.record(RecordKind::Photo, &id).await.is_ok_and(|found| found.is_none())
        {
            // a picture without a record would outlive its golfer
            photos.remove(&id)?;
        }
        saved
    });
    kept.await.map_err(|_| PageError::bad("The photo could not be kept.", "Take it again."))??;
    Ok(Redirect::to(&back))
}

/// `POST /golfers/{golfer}/photos/{photo}/take-back`: the photo is kept and no longer shown.
pub(crate) async fn take_back(
    State(app): State<App>,
    Path((id, photo)): Path<(String, String)>,
    form: Form,
) -> Result<Redirect, PageError> {
    let (dossier, house) = app.golfer(&id).await?;
    let kept = dossier
        .photos
        .iter()
        .find(|kept| kept.record.id.as_str() == photo)
        .ok_or(PageError::NotFound("photo"))?;
    let changes = acts::act(&form, &house, "A photo taken back")?
        .with_changed(Photo { removed: true, ..kept.record.clone() }, kept.revision);
    acts::save(&app, changes, &app.now()).await?;
    let back = kept.record.club.as_ref().map(|club| format!("/{club}")).unwrap_or_default();
    Ok(Redirect::to(&format!("{}/clubs{back}", golfer_path(&dossier))))
}

/// `GET /photos/{photo}`
pub(crate) async fn show(State(app): State<App>, Path(id): Path<String>) -> Result<Response, PageError> {
    let id = Id::parse(&id).map_err(|_| PageError::NotFound("photo"))?;
    // only what a record names is served, never a file that merely lies there
    app.store.record(RecordKind::Photo, &id).await?.ok_or(PageError::NotFound("photo"))?;
    let jpeg = app.photos.as_ref().and_then(|photos| photos.get(&id)).ok_or(PageError::NotFound("photo"))?;
    Ok(([(header::CONTENT_TYPE, "image/jpeg")], jpeg).into_response())
}
