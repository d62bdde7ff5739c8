//! What is shown, and changed, only a short while after the passphrase was typed: remarks about health.

use crate::error::PageError;
use crate::request::visitor;
use axum::http::StatusCode;
use studio::{Dossier, Record};

/// Whether a record is kept from whoever asks.
pub(crate) fn is_shut(record: &Record) -> bool {
    matches!(record, Record::Remark(remark) if remark.is_about_health()) && !visitor().may_open()
}

/// Asks for the passphrase first, where a record is kept from whoever asks.
pub(crate) fn ask_first<'r>(records: impl IntoIterator<Item = &'r Record>) -> Result<(), PageError> {
    if records.into_iter().any(is_shut) {
        let words = "The passphrase is asked for once more before remarks about health.";
        return Err(PageError::Status(StatusCode::UNAUTHORIZED, words.to_owned()));
    }
    Ok(())
}

/// Takes out of a golfer's file what is kept from whoever asks; tells how many records that is.
pub(crate) fn left_out_of(dossier: &mut Dossier) -> usize {
    if visitor().may_open() {
        return 0;
    }
    let all = dossier.remarks.len();
    dossier.remarks.retain(|kept| !kept.record.is_about_health());
    all - dossier.remarks.len()
}
