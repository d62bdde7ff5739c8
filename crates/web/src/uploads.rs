//! Files that are sent with a form, and tables between being looked at and being taken: a few, in memory, for a while.

use crate::app::App;
use crate::error::PageError;
use crate::form::Form;
use crate::table::read_table;
use axum::body::Bytes;
use axum::extract::Multipart;
use axum::http::StatusCode;
use exchange::{ExchangeError, Table};
use maud::{Markup, html};
use sha2::{Digest, Sha256};
use std::collections::VecDeque;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};
use studio::{Id, plain_text};

/// Largest file. House choice.
pub(crate) const MOST_BYTES: usize = 5 * 1024 * 1024;
/// Most files kept; the oldest goes first.
const MOST_FILES: usize = 4;

/// A form that was sent with a file.
pub(crate) struct Sent {
    /// The file; an empty one is none.
    pub(crate) file: Option<Bytes>,
    /// The fields beside it, and under the file's name what tells it from another.
    pub(crate) form: Form,
}

impl Sent {
    /// Reads a form whose field `file` holds a file of at most `most` bytes.
    ///
    /// # Errors
    /// More than that, two files, or a field that stands there twice.
    pub(crate) async fn read(mut sent: Multipart, file: &str, most: usize) -> Result<Self, PageError> {
        let too_large = || {
            let most = most / (1024 * 1024);
            let words = format!("Expected a file of at most {most} MB, found more. Nothing was saved.");
            PageError::Status(StatusCode::PAYLOAD_TOO_LARGE, words)
        };
        let (mut bytes, mut fields) = (None, Vec::new());
        while let Some(part) = sent.next_field().await.map_err(|_| too_large())? {
            let name = part.name().unwrap_or_default().to_owned();
            if name == file {
                let sent = part.bytes().await.map_err(|_| too_large())?;
                if sent.len() > most {
                    return Err(too_large());
                }
                if bytes.is_some() {
                    return Err(PageError::bad("Two files were sent.", "Send one after the other."));
                }
                fields.push((name, digest(&sent)));
                bytes = Some(sent);
            } else {
                fields.push((name, part.text().await.map_err(|_| too_large())?));
            }
        }
        Ok(Self { file: bytes.filter(|sent| !sent.is_empty()), form: Form::of_parts(fields)? })
    }

    /// Reads a form that was sent with a table.
    ///
    /// # Errors
    /// No file, more than [`MOST_BYTES`], or a name of a sheet that can be none.
    pub(crate) async fn table(sent: Multipart) -> Result<(Upload, Form), PageError> {
        let Self { file, form } = Self::read(sent, "file", MOST_BYTES).await?;
        let bytes =
            file.ok_or_else(|| PageError::bad("Expected a file, found none.", "Go back and choose one."))?;
        let sheet = plain_text("sheet", form.get("sheet").unwrap_or_default())?;
        Ok((Upload { bytes, sheet }, form))
    }
}

/// What tells a file from another: its SHA-256.
fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A file that may hold a table.
#[derive(Clone)]
pub(crate) struct Upload {
    /// What is in it.
    pub(crate) bytes: Bytes,
    /// Of a workbook, the sheet that was asked for.
    pub(crate) sheet: Option<String>,
}

impl Upload {
    /// Reads its table.
    ///
    /// # Errors
    /// As [`read_table`] has it.
    pub(crate) async fn table(&self, app: &App) -> Result<Table, ExchangeError> {
        read_table(app.apart.as_ref(), self.bytes.clone(), self.sheet.as_deref()).await
    }
}

/// The fields of a form that brings in a table; the sheet as it was typed.
pub(crate) fn table_fields(label: &str, hint: &str, sheet: &str) -> Markup {
    html! {
        div class="entry" {
            label for="file" { (label) }
            @if !hint.is_empty() { p class="hint" { (hint) } }
            input id="file" class="field" type="file" name="file" accept=".csv,.tsv,.txt,.xlsx,text/csv" required;
        }
        div class="entry" {
            label for="sheet" { "Sheet" }
            p class="hint" id="sheet-hint" { "Of a workbook, by its name; the first when empty." }
            input id="sheet" class="field name" type="text" name="sheet" value=(sheet) autocomplete="off" aria-describedby="sheet-hint";
        }
    }
}

/// The files at hand, by their ids.
#[derive(Clone, Default)]
pub struct Uploads(Arc<Mutex<VecDeque<(Id, Upload)>>>);

impl Uploads {
    /// Keeps a file.
    pub(crate) fn keep(&self, id: &Id, file: Upload) {
        let mut files = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        files.push_back((id.clone(), file));
        while files.len() > MOST_FILES {
            files.pop_front();
        }
    }

    /// Finds a file.
    pub(crate) fn get(&self, id: &Id) -> Option<Upload> {
        let files = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        files.iter().find(|(known, _)| known == id).map(|(_, file)| file.clone())
    }
}

impl fmt::Debug for Uploads {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Uploads")
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_FILES, Upload, Uploads};
    use crate::app::new_id;

    #[test]
    fn a_few_files_are_kept_and_the_oldest_goes_first() {
        let uploads = Uploads::default();
        let ids: Vec<_> = (0..=MOST_FILES).map(|_| new_id()).collect();
        for id in &ids {
            uploads.keep(id, Upload { bytes: vec![1, 2, 3].into(), sheet: None });
        }
        assert!(uploads.get(&ids[0]).is_none());
        assert!(uploads.get(&ids[MOST_FILES]).is_some());
    }
}
