//! The last instant that was written down while the studio was open, and whether the clock can be believed beside it.
//!
//! A clock that was set wrong makes young copies look old. While it stands behind the last instant, or a day and more ahead
//! of it, no copy is removed until a person has said that it is right. The order of entries never hangs on it.

use crate::{Address, HostFile, Store};
use std::sync::{Mutex, PoisonError};

/// How far behind the last instant a clock may stand: it is set by a time server now and then. House choice.
const BEHIND_MS: i64 = 5 * 60 * 1000;
/// How far ahead of it a clock may stand before it is asked whether the studio was closed for so long. House choice.
const AHEAD_MS: i64 = 24 * 3600 * 1000;
/// The instant is written down this often at most. House choice: as far as a clock may stand behind.
const WRITTEN_EVERY_MS: i64 = 5 * 60 * 1000;

/// How the clock stands beside the last instant that was written down, milliseconds since 1970.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClockStands {
    /// As it should, or nothing was written down yet.
    Right,
    /// Before the last instant.
    Behind {
        /// The last instant.
        last_ms: i64,
    },
    /// So long after it that it may be wrong.
    Ahead {
        /// The last instant.
        last_ms: i64,
    },
}

/// Where instants are written down, and the last of them.
#[derive(Debug)]
pub(crate) struct Instants {
    file: Option<HostFile>,
    kept: Mutex<Kept>,
}

#[derive(Debug, Clone, Copy, Default)]
struct Kept {
    last_ms: Option<i64>,
    written_ms: Option<i64>,
    is_in_doubt: bool,
}

impl Instants {
    /// Those of a studio; a place that has none, or cannot be read, has no last instant.
    pub(crate) fn of(address: &Address) -> Self {
        let file = HostFile::of(address, "instant", |name| std::env::var(name).ok()).ok();
        let bytes = file.as_ref().and_then(|file| file.read().ok().flatten());
        let last_ms = bytes.and_then(|bytes| String::from_utf8(bytes).ok()?.trim().parse().ok());
        let kept = Kept { last_ms, written_ms: last_ms, is_in_doubt: false };
        Self { file, kept: Mutex::new(kept) }
    }

    fn kept(&self) -> Kept {
        *self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes an instant for the last, and writes it down when that is due.
    fn take(&self, now_ms: i64, is_due: bool) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let written_ms = if is_due { Some(now_ms) } else { kept.written_ms };
        *kept = Kept { last_ms: Some(now_ms), written_ms, is_in_doubt: false };
        drop(kept);
        let Some(file) = self.file.as_ref().filter(|_| is_due) else { return };
        let written = file.change(|_| Ok::<_, std::io::Error>((now_ms.to_string().into_bytes(), ())));
        if let Err(error) = written {
            tracing::warn!(%error, "the time could not be written down");
        }
    }
}

fn judged(last_ms: Option<i64>, now_ms: i64) -> ClockStands {
    match last_ms {
        Some(last_ms) if now_ms < last_ms - BEHIND_MS => ClockStands::Behind { last_ms },
        Some(last_ms) if now_ms > last_ms + AHEAD_MS => ClockStands::Ahead { last_ms },
        Some(_) | None => ClockStands::Right,
    }
}

impl Store {
    /// How a clock that shows `now_ms` stands; one beside a studio that is only read is not judged.
    #[must_use]
    pub fn clock_stands(&self, now_ms: i64) -> ClockStands {
        match self.only_read() {
            Some(_) => ClockStands::Right,
            None => judged(self.inner.instants.kept().last_ms, now_ms),
        }
    }

    /// Notes what the clock shows, as is done while the studio is open. Where it cannot be believed, copies are no longer
    /// removed. It may write to the disk, every five minutes at most.
    pub fn note_instant(&self, now_ms: i64) {
        if self.only_read().is_some() {
            return;
        }
        let instants = &self.inner.instants;
        let kept = instants.kept();
        if judged(kept.last_ms, now_ms) == ClockStands::Right {
            let now_ms = kept.last_ms.map_or(now_ms, |last_ms| last_ms.max(now_ms));
            let is_due = kept.written_ms.is_none_or(|written_ms| now_ms - written_ms >= WRITTEN_EVERY_MS);
            instants.take(now_ms, is_due);
        } else if !kept.is_in_doubt {
            tracing::warn!("the clock may be wrong: no copy is removed until somebody says that it is right");
            instants.kept.lock().unwrap_or_else(PoisonError::into_inner).is_in_doubt = true;
        }
    }

    /// Takes a person's word that the clock is right.
    pub fn believe_clock(&self, now_ms: i64) {
        if self.only_read().is_none() {
            self.inner.instants.take(now_ms, true);
        }
    }

    /// Whether copies stay, however old they look.
    pub(crate) fn is_clock_in_doubt(&self) -> bool {
        self.inner.instants.kept().is_in_doubt
    }
}

#[cfg(test)]
mod tests {
    use super::{AHEAD_MS, BEHIND_MS, ClockStands, judged};
    use crate::{Address, Store};
    use jiff::ToSpan;
    use jiff::civil::datetime;

    const LAST: i64 = 1_793_700_000_000;

    #[test]
    fn a_clock_may_stand_a_little_behind_and_a_day_ahead() {
        assert_eq!(judged(None, 0), ClockStands::Right);
        for right in [LAST - BEHIND_MS, LAST, LAST + AHEAD_MS] {
            assert_eq!(judged(Some(LAST), right), ClockStands::Right);
        }
        assert_eq!(judged(Some(LAST), LAST - BEHIND_MS - 1), ClockStands::Behind { last_ms: LAST });
        assert_eq!(judged(Some(LAST), LAST + AHEAD_MS + 1), ClockStands::Ahead { last_ms: LAST });
    }

    #[tokio::test]
    async fn the_last_instant_outlives_the_studio_and_a_persons_word_settles_it() {
        let folder = tempfile::tempdir().unwrap();
        let address = Address::File(folder.path().join("studio.db"));
        let store = Store::open(&address).await.unwrap();
        assert_eq!(store.clock_stands(LAST), ClockStands::Right);
        store.note_instant(LAST);
        // a minute later it is known, and not worth writing down
        store.note_instant(LAST + 60_000);
        assert_eq!(store.clock_stands(LAST - BEHIND_MS), ClockStands::Behind { last_ms: LAST + 60_000 });
        store.close().await;
        drop(store);
        let again = Store::open(&address).await.unwrap();
        let years_ahead = LAST + 1000 * AHEAD_MS;
        assert_eq!(again.clock_stands(years_ahead), ClockStands::Ahead { last_ms: LAST });
        again.note_instant(years_ahead);
        assert!(again.is_clock_in_doubt());
        assert_eq!(
            again.clock_stands(LAST),
            ClockStands::Right,
            "what is in doubt is not taken for the last"
        );
        again.believe_clock(years_ahead);
        assert!(!again.is_clock_in_doubt());
        assert_eq!(again.clock_stands(years_ahead), ClockStands::Right);
        assert_eq!(again.clock_stands(LAST), ClockStands::Behind { last_ms: years_ahead });
    }

    /// The clock jumps four years ahead: every copy is older than any that is kept.
    #[tokio::test]
    async fn no_copy_is_removed_by_a_clock_in_doubt() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&Address::File(folder.path().join("studio.db"))).await.unwrap();
        let first = datetime(2026, 11, 3, 12, 0, 0, 0);
        store.note_instant(LAST);
        for day in 0..3 {
            store.backup_when_due(first.checked_add(day.days()).unwrap(), true).await.unwrap().unwrap();
        }
        let count = || std::fs::read_dir(folder.path().join("backups")).unwrap().count();
        assert_eq!(count(), 3);
        let jumped = first.checked_add(4.years()).unwrap();
        store.note_instant(LAST + 4 * 365 * AHEAD_MS);
        store.backup_when_due(jumped, true).await.unwrap().unwrap();
        assert_eq!(count(), 4, "three that look four years old, and the new one");
        store.believe_clock(LAST + 4 * 365 * AHEAD_MS);
        store.backup_when_due(jumped.checked_add(1.day()).unwrap(), true).await.unwrap().unwrap();
        assert_eq!(count(), 2, "the word of a person counts");
    }
}
