//! Files between being looked at and being taken: a few, in memory, for a while.

use std::collections::VecDeque;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};
use studio::Id;

/// Largest file. House choice.
pub(crate) const MOST_BYTES: usize = 5 * 1024 * 1024;
/// Most files kept; the oldest goes first.
const MOST_FILES: usize = 4;

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
