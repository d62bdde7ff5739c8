//! Files between being looked at and being taken: a few, in memory, for a while.

use crate::error::PageError;
use axum::body::Bytes;
use axum::extract::Multipart;
use axum::http::StatusCode;
use std::collections::VecDeque;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};
use studio::Id;

/// Largest file. House choice.
pub(crate) const MOST_BYTES: usize = 5 * 1024 * 1024;
/// Most files kept; the oldest goes first.
const MOST_FILES: usize = 4;

/// Reads the one file a form was sent with.
///
/// # Errors
/// More than [`MOST_BYTES`], or none.
pub(crate) async fn sent_file(mut sent: Multipart) -> Result<Bytes, PageError> {
    let too_large = || {
        let most = MOST_BYTES / (1024 * 1024);
        let words = format!("Expected a file of at most {most} MB, found more. Nothing was saved.");
        PageError::Status(StatusCode::PAYLOAD_TOO_LARGE, words)
    };
    let mut bytes = None;
    while let Some(part) = sent.next_field().await.map_err(|_| too_large())? {
        if part.name() == Some("file") {
            bytes = Some(part.bytes().await.map_err(|_| too_large())?);
        }
    }
    bytes
        .filter(|bytes| !bytes.is_empty())
        .ok_or_else(|| PageError::bad("Expected a file, found none.", "Go back and choose one."))
}

/// A file and its id.
type File = (Id, Arc<Vec<u8>>);

/// The files at hand.
#[derive(Clone, Default)]
pub struct Uploads(Arc<Mutex<VecDeque<File>>>);

impl Uploads {
    /// Keeps a file.
    pub(crate) fn keep(&self, id: &Id, bytes: Vec<u8>) {
        let mut files = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        files.push_back((id.clone(), Arc::new(bytes)));
        while files.len() > MOST_FILES {
            files.pop_front();
        }
    }

    /// Finds a file.
    pub(crate) fn get(&self, id: &Id) -> Option<Arc<Vec<u8>>> {
        let files = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        files.iter().find(|(known, _)| known == id).map(|(_, bytes)| Arc::clone(bytes))
    }
}

impl fmt::Debug for Uploads {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Uploads")
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_FILES, Uploads};
    use crate::app::new_id;

    #[test]
    fn a_few_files_are_kept_and_the_oldest_goes_first() {
        let uploads = Uploads::default();
        let ids: Vec<_> = (0..=MOST_FILES).map(|_| new_id()).collect();
        for id in &ids {
            uploads.keep(id, vec![1, 2, 3]);
        }
        assert!(uploads.get(&ids[0]).is_none());
        assert!(uploads.get(&ids[MOST_FILES]).is_some());
    }
}
