//! What the store refuses and what fails, in words a fitter can act on.

use std::path::PathBuf;
use studio::Record;

/// Why a change was refused; nothing of it was written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// A record was changed by someone else since it was seen.
    #[error("it was changed elsewhere since this page was opened")]
    ChangedElsewhere {
        /// The record as it is now, where there is one.
        theirs: Option<Box<Record>>,
        /// Its revision now.
        revision: i64,
    },
    /// The same id was sent with something else in it.
    #[error("this entry was sent before with something else in it")]
    SameIdOtherBody,
    /// A record it hangs on is not there.
    #[error("a record it belongs to is not there")]
    NotThere,
    /// It was undone already, or is no act that can be undone.
    #[error("it cannot be undone")]
    NotUndoable,
}

/// Why the store could not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The change was refused.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// No folder for data is known.
    #[error("no folder for data is known on this machine")]
    NoPlace,
    /// The folder or file cannot be used.
    #[error("cannot use {}: {why}", path.display())]
    CannotUse {
        /// The path.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// The file is not a studio.
    #[error("{} is not a studio of Lengthwise", .0.display())]
    NotOurs(PathBuf),
    /// The file is damaged.
    #[error("{} is damaged: {why}", path.display())]
    Damaged {
        /// The path.
        path: PathBuf,
        /// What was found.
        why: String,
    },
    /// The file was written by a newer version.
    #[error("{place} was written by a newer version (schema {found}; this one knows {known})")]
    Newer {
        /// Where.
        place: String,
        /// Its schema.
        found: i64,
        /// The newest schema known here.
        known: i64,
    },
    /// Another server has the studio open.
    #[error("another Lengthwise is serving this studio: {0}")]
    Served(String),
    /// The server is set up in a way that can lose what it acknowledged.
    #[error("the database server has {0}: what it acknowledges may be lost")]
    UnsafeServer(String),
    /// There is no space left.
    #[error("the disk is full")]
    DiskFull,
    /// The database failed; whether the last change was saved is not known.
    #[error("the store failed: {0}")]
    Failed(String),
}

impl StoreError {
    /// Returns what to do.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Refused(Refusal::ChangedElsewhere { .. }) => "Look at both and save again.".to_owned(),
            Self::Refused(Refusal::SameIdOtherBody) => "Open the page again and enter it once more.".to_owned(),
            Self::Refused(Refusal::NotThere) => "Go back to the golfer and open it from there.".to_owned(),
            Self::Refused(Refusal::NotUndoable) => {
                "Something newer stands on it; undo that first, or enter the value again.".to_owned()
            }
            Self::NoPlace => "Name the file with --data.".to_owned(),
            Self::CannotUse { .. } => "Choose another place with --data, or mend its rights.".to_owned(),
            Self::NotOurs(_) => "It was not touched. Name the studio's own file with --data.".to_owned(),
            Self::Damaged { .. } => {
                "It was not touched. Copy the newest file of the backups folder beside it to a new name and open that \
                 with --data."
                    .to_owned()
            }
            Self::Newer { .. } => "It was not touched. Install the newer version of Lengthwise to open it.".to_owned(),
            Self::Served(_) => "Use that one, or stop it first.".to_owned(),
            Self::UnsafeServer(_) => "Turn the setting on at the server and start again.".to_owned(),
            Self::DiskFull => "Nothing saved is lost. Make room and save again.".to_owned(),
            Self::Failed(_) => "What was saved is safe. Save again; the same entry counts once.".to_owned(),
        }
    }
}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        if let sqlx::Error::Database(database) = &error {
            if database.is_foreign_key_violation() {
                return Refusal::NotThere.into();
            }
            let message = database.message();
            if message.contains("disk is full") || message.contains("No space left") {
                return Self::DiskFull;
            }
        }
        Self::Failed(error.to_string())
    }
}

impl From<serde_json::Error> for StoreError {
    fn from(error: serde_json::Error) -> Self {
        Self::Failed(format!("a record could not be read: {error}"))
    }
}
