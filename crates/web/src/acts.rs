//! Saving what a form asks for: one act, under the id the form carried.

use crate::app::{App, Now, new_id};
use crate::error::PageError;
use crate::form::Form;
use studio::{Changes, Dossier, HouseSettings, Id, Record, Units, Visit, plain_text};

/// Begins the act of a form: its id is the one the page was drawn with, so that sending twice counts once.
pub(crate) fn act(
    form: &Form,
    house: &HouseSettings,
    sentence: impl Into<String>,
) -> Result<Changes, PageError> {
    let id = match form.get("act") {
        Some(text) => Id::parse(text).map_err(|_| PageError::out_of_date())?,
        None => new_id(),
    };
    Ok(Changes { sent: Some(form.to_text()), ..Changes::new(id, &who(form, house)?, sentence) })
}

/// Tells whether the act of a form was saved already: what follows from sending it again is not asked anew. A form that
/// was changed since and sent under the same id is refused.
pub(crate) async fn is_known(app: &App, form: &Form) -> Result<bool, PageError> {
    match form.get("act").and_then(|act| Id::parse(act).ok()) {
        Some(act) => Ok(app.store.was_saved(&act, &form.to_text()).await?),
        None => Ok(false),
    }
}

/// The visit an act begins: its id is made from the act's own.
pub(crate) fn visit_of(changes: &Changes, dossier: &Dossier, now: &Now, about: Option<String>) -> Visit {
    Visit {
        // behind the records that are counted from the front
        id: record_id(&changes.id, usize::MAX),
        golfer: dossier.golfer.record.id.clone(),
        day: now.day,
        about,
        by: changes.by.clone(),
        at_ms: now.ms,
        removed: false,
    }
}

/// Who is at work: as typed, or the house's.
pub(crate) fn who(form: &Form, house: &HouseSettings) -> Result<String, PageError> {
    let typed = plain_text("by", form.get("by").unwrap_or_default())?;
    Ok(typed.unwrap_or_else(|| house.value("fitter").to_owned()))
}

/// The units the page was drawn in, whatever the house has changed to since.
pub(crate) fn units(form: &Form, house: &HouseSettings) -> Units {
    form.get("units").and_then(Units::from_word).unwrap_or_else(|| house.units())
}

/// Saves an act that holds something; one without records is nothing to save.
pub(crate) async fn save(app: &App, changes: Changes, now: &Now) -> Result<(), PageError> {
    if !changes.puts.is_empty() {
        changes.check()?;
        app.store.save(changes, now.ms).await?;
    }
    Ok(())
}

/// The same for a form that changes what is there: when someone changed it meanwhile, both sides are shown, and the form
/// can be sent again to `path`.
pub(crate) async fn save_or_ask(
    app: &App,
    changes: Changes,
    now: &Now,
    path: &str,
    form: &Form,
) -> Result<(), PageError> {
    let wished: Vec<Record> = changes.puts.iter().map(|put| put.record.clone()).collect();
    save(app, changes, now).await.map_err(|error| {
        let theirs = match &error {
            PageError::Conflict { theirs, .. } => theirs.as_ref().map(|record| record.id().clone()),
            _ => None,
        };
        match wished.into_iter().find(|record| Some(record.id()) == theirs.as_ref()) {
            Some(yours) => error.with_form(path, form, yours),
            None => error,
        }
    })
}

/// The id for the `place`th record of an act: made from the act's own, so that the same form sent twice makes the same
/// records, and the store can tell that it is the same act.
pub(crate) fn record_id(act: &Id, place: usize) -> Id {
    id_of_name(&format!("{act}/{place}"))
}

/// An id made from a name: the same name makes the same id on every device.
pub(crate) fn id_of_name(name: &str) -> Id {
    let mut bytes = [0_u8; 16];
    for (to, from) in bytes.iter_mut().zip(<sha2::Sha256 as sha2::Digest>::digest(name)) {
        *to = from;
    }
    Id::of_bytes(uuid::Builder::from_custom_bytes(bytes).into_uuid().into_bytes())
}

#[cfg(test)]
mod tests {
    use super::record_id;
    use crate::app::new_id;

    #[test]
    fn an_act_sent_twice_makes_the_same_records() {
        let act = new_id();
        assert_eq!(record_id(&act, 3), record_id(&act, 3));
        assert_ne!(record_id(&act, 3), record_id(&act, 4));
        assert_ne!(record_id(&act, 3), record_id(&new_id(), 3));
    }
}
