//! What the store refuses and what fails, in words a fitter can act on.

use crate::OnlyRead;
use std::path::{Path, PathBuf};
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
    /// It was erased here as its golfer wished, and would be again when the studio is next opened.
    #[error("this was erased here, as the golfer wished")]
    WasErased,
    /// It was undone already, or is no act that can be undone.
    #[error("it cannot be undone")]
    NotUndoable,
    /// Less than nothing of a part would be left on the shelf.
    #[error("the shelf would be {missing} short of {name}")]
    NotOnTheShelf {
        /// The part.
        name: String,
        /// How many are missing.
        missing: i64,
    },
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
    /// The file lies on a network drive.
    #[error(
        "cannot use {}: it lies on a network drive ({kind}), where a power cut or a second program can damage it",
        path.display()
    )]
    OnNetworkDrive {
        /// The path.
        path: PathBuf,
        /// What the system calls the drive.
        kind: String,
    },
    /// The studio is only read.
    #[error("nothing is saved, because {0}")]
    OnlyRead(OnlyRead),
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
        /// The newest copy of it that was verified.
        copy: Option<PathBuf>,
    },
    /// The disk failed, or the file turned out to be damaged, while the studio was open.
    #[error("nothing more is saved, because the disk failed or the file is damaged: {0}")]
    Unsound(String),
    /// A restore was cut off halfway.
    #[error("a restore of {} was cut off halfway", .0.display())]
    HalfRestored(PathBuf),
    /// A copy was put in place and does not open.
    #[error("the copy is in place and does not open: {why}")]
    NotAsBefore {
        /// What was found.
        why: String,
        /// Where what was there lies now.
        set_aside: Option<PathBuf>,
    },
    /// An upgrade went wrong and was taken back.
    #[error("{} could not be upgraded and is as it was: {why}", path.display())]
    NotUpgraded {
        /// The file.
        path: PathBuf,
        /// What was found after it.
        why: String,
    },
    /// The SQLite this program was built with can damage a file.
    #[error(
        "this program was built with SQLite {found}, which can damage a studio; {least} or newer is needed"
    )]
    OldSqlite {
        /// Its version.
        found: String,
        /// The oldest that will do.
        least: String,
    },
    /// The file was written by a newer version.
    #[error("{place} was written by {}, schema {found}; this one knows {known}", by.as_deref().map_or_else(|| "a newer version".to_owned(), |by| format!("Lengthwise {by}")))]
    Newer {
        /// Where.
        place: String,
        /// The version that wrote it, where it says so.
        by: Option<String>,
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
    /// A file was named where a database on a server is meant.
    #[error("expected the address of a PostgreSQL server, postgres://..., found a file")]
    NoServer,
    /// The chain has no such studio.
    #[error("the database has no studio {0}")]
    NoSuchStudio(String),
    /// The login may not enter the studio.
    #[error("this login is not let in to {0}")]
    NotLetIn(String),
    /// The login may enter several studios, and none was named.
    #[error("expected one studio of the chain, found {}", .0.join(", "))]
    WhichStudio(Vec<String>),
    /// The server does not allow this login what was asked.
    #[error("the database server does not allow this login what was asked")]
    Forbidden,
    /// What was asked of a chain cannot be done.
    #[error("{why}")]
    Chain {
        /// Why.
        why: String,
        /// What to do.
        hint: &'static str,
    },
    /// There is no space left.
    #[error("the disk is full")]
    DiskFull,
    /// Others were writing the same; nothing was saved.
    #[error("too much was saved at once: {0}")]
    Busy(String),
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
            Self::Refused(Refusal::SameIdOtherBody) => {
                "Open the page again and enter it once more.".to_owned()
            }
            Self::Refused(Refusal::NotThere) => "Go back to the golfer and open it from there.".to_owned(),
            Self::Refused(Refusal::WasErased) => {
                "Where they want to be kept again, import their file with --though-forgotten.".to_owned()
            }
            Self::Refused(Refusal::NotUndoable) => {
                "Something newer stands on it; undo that first, or enter the value again.".to_owned()
            }
            Self::Refused(Refusal::NotOnTheShelf { .. }) => {
                "Count the part on the Shelf page and write the number down; then save again.".to_owned()
            }
            Self::NoPlace => "Name the file with --data.".to_owned(),
            Self::OnNetworkDrive { .. } => {
                "Put it on a drive of this machine, or use a PostgreSQL server. `lengthwise serve --allow-network-drive` \
                 opens it all the same, for this one program."
                    .to_owned()
            }
            Self::OnlyRead(OnlyRead::Wished) => {
                "All of it can be read and exported. Open it without --read-only to write it.".to_owned()
            }
            Self::OnlyRead(OnlyRead::CannotBeWritten) => {
                "All of it can be read and exported. To work in it, copy its whole folder to a drive that can be \
                 written, or mend its rights."
                    .to_owned()
            }
            Self::CannotUse { .. } => "Choose another place with --data, or mend its rights.".to_owned(),
            Self::NotOurs(_) => "It was not touched. Name the studio's own file with --data.".to_owned(),
            Self::Damaged { path, copy: Some(copy), .. } => format!(
                "It was not touched. The newest copy that was checked comes back with `lengthwise restore --data {} {}`; \
                 what can still be read of the file itself with `lengthwise salvage --data {0} NEW-FILE`.",
                shell_word(path),
                shell_word(copy)
            ),
            Self::Damaged { path, copy: None, .. } => format!(
                "It was not touched. There is no copy beside it; look for one on another drive. What can still be read of \
                 it comes out with `lengthwise salvage --data {} NEW-FILE`.",
                shell_word(path)
            ),
            Self::Unsound(_) => {
                "What was saved before can still be read: export the studio to another drive, stop it, and \
                                 look with `lengthwise check`."
                    .to_owned()
            }
            Self::HalfRestored(path) => format!(
                "What was there lies in a folder named set-aside beside it. Run `lengthwise restore --data {} FILE` once \
                 more.",
                shell_word(path)
            ),
            Self::NotAsBefore { set_aside: Some(folder), .. } => format!(
                "What was there lies in {}; `lengthwise restore {}` brings it back.",
                folder.display(),
                shell_word(&folder.join("studio.db"))
            ),
            Self::NotAsBefore { set_aside: None, .. } => "Restore another copy.".to_owned(),
            Self::NotUpgraded { .. } => {
                "Go on with the version that wrote it, and tell us what is said here.".to_owned()
            }
            Self::OldSqlite { .. } => "Install a newer Lengthwise.".to_owned(),
            Self::Busy(_) => "Save again; the same entry counts once.".to_owned(),
            Self::Newer { .. } => {
                "It was not touched. Install the newer version of Lengthwise to open it.".to_owned()
            }
            Self::Served(_) => "Use that one, or stop it first.".to_owned(),
            Self::UnsafeServer(_) => "Turn the setting on at the server and start again.".to_owned(),
            Self::NoServer => "Name the database with --data postgres://LOGIN@HOST/DATABASE.".to_owned(),
            Self::NoSuchStudio(_) => "`lengthwise chain list` names those there are.".to_owned(),
            Self::NotLetIn(_) => {
                "Whoever owns the chain lets a login in: `lengthwise chain let-in LOGIN --to STUDIO`."
                    .to_owned()
            }
            Self::WhichStudio(_) => "Name it at the end of the address: ?studio=NAME.".to_owned(),
            Self::Forbidden => "Ask whoever owns the chain, or runs the server.".to_owned(),
            Self::Chain { hint, .. } => (*hint).to_owned(),
            Self::DiskFull => "Nothing saved is lost. Make room and save again.".to_owned(),
            Self::Failed(_) => "What was saved is safe. Save again; the same entry counts once.".to_owned(),
        }
    }
}

/// A path as a shell takes it.
fn shell_word(path: &Path) -> String {
    let text = path.display().to_string();
    let is_plain = |sign: char| sign.is_alphanumeric() || matches!(sign, '/' | '\\' | ':' | '.' | '-' | '_');
    if text.chars().all(is_plain) { text } else { format!("'{}'", text.replace('\'', "'\\''")) }
}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        if let sqlx::Error::Database(database) = &error {
            if database.is_foreign_key_violation() {
                return Refusal::NotThere.into();
            }
            match database.code().as_deref().and_then(Told::of) {
                Some(Told::Full) => return Self::DiskFull,
                Some(Told::Busy) => return Self::Busy(error.to_string()),
                Some(Told::Unsound) => return Self::Unsound(error.to_string()),
                Some(Told::Forbidden) => return Self::Forbidden,
                None => {}
            }
        }
        Self::Failed(error.to_string())
    }
}

/// What a server's code tells of the disk and of others who write.
#[derive(Debug, PartialEq, Eq)]
enum Told {
    Full,
    Busy,
    Unsound,
    Forbidden,
}

impl Told {
    /// Reads a code. Standard: SQLite result codes (the last byte is the kind: 5 busy, 6 locked, 10 input or output, 11
    /// corrupt, 13 full, 26 not a database); PostgreSQL error codes of five signs, appendix A of its manual.
    fn of(code: &str) -> Option<Self> {
        if code.len() == 5 {
            return match code {
                "53100" => Some(Self::Full),
                "40001" | "40P01" => Some(Self::Busy),
                "42501" => Some(Self::Forbidden),
                "58030" | "XX001" | "XX002" => Some(Self::Unsound),
                _ => None,
            };
        }
        match code.parse::<u32>().ok()? & 0xff {
            13 => Some(Self::Full),
            5 | 6 => Some(Self::Busy),
            10 | 11 | 26 => Some(Self::Unsound),
            _ => None,
        }
    }
}

impl From<serde_json::Error> for StoreError {
    fn from(error: serde_json::Error) -> Self {
        // what the parser found may be what somebody typed: only its place is told
        Self::Failed(format!("a record could not be read, line {} column {}", error.line(), error.column()))
    }
}

#[cfg(test)]
mod tests {
    use super::{Told, shell_word};
    use std::path::Path;

    #[test]
    fn a_code_tells_what_the_disk_did() {
        // SQLITE_IOERR_FSYNC is 10 | 4 << 8, SQLITE_BUSY_SNAPSHOT 5 | 2 << 8, SQLITE_CONSTRAINT_UNIQUE 19 | 8 << 8
        assert_eq!(Told::of("1034"), Some(Told::Unsound));
        assert_eq!(Told::of("517"), Some(Told::Busy));
        assert_eq!(Told::of("2067"), None);
        assert_eq!(Told::of("13"), Some(Told::Full));
        assert_eq!(Told::of("40001"), Some(Told::Busy));
        assert_eq!(Told::of("42501"), Some(Told::Forbidden));
        assert_eq!(Told::of("23505"), None);
    }

    #[test]
    fn a_command_can_be_copied_whatever_the_file_is_called() {
        assert_eq!(shell_word(Path::new("/a/studio.db")), "/a/studio.db");
        assert_eq!(shell_word(Path::new("/a b/it's.db")), "'/a b/it'\\''s.db'");
    }
}
