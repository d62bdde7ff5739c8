//! The door: whether a request may come in, from this machine and from other devices.
//!
//! The rules are [`access`]'s; here they meet cookies, the clock, chance, and the register's file. This machine's own
//! pages need no passphrase unless the owner wants it so: whoever has an account on the machine can read the file anyway.

mod cookies;
mod entering;
mod need;

use cookies::Cookies;
pub(crate) use cookies::Keeps;
use entering::chance;
pub(crate) use need::{Need, Turned};

use crate::network::listen::Came;
use crate::network::tls::Shown;
use access::{Pace, Passphrase, PassphraseProblem, Register, Secret, TooMany, Tries};
use axum::http::{HeaderMap, HeaderValue};
use std::io::ErrorKind;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use store::{Address, HostFile, Stamp, StoreError};
use tokio::sync::Semaphore;

/// Passphrases that are worked out at once: each takes 19 MiB and a core. House choice.
const AT_ONCE: usize = 2;

/// Whoever asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Visitor {
    /// Where the request comes from.
    pub(crate) came: Came,
    /// The paired device it comes from.
    pub(crate) device: Option<u32>,
    /// The session it belongs to.
    pub(crate) session: Option<u32>,
    /// Whether what is dangerous may be done without typing the passphrase again.
    pub(crate) is_fresh: bool,
    /// Whether this machine's own pages need no passphrase.
    pub(crate) is_at_home: bool,
}

impl Visitor {
    /// Whether what is shut away may be shown: health remarks.
    pub(crate) fn may_open(&self) -> bool {
        self.is_at_home || self.is_fresh
    }
}

/// What is kept of the register in memory, and of which state of the file it is.
#[derive(Debug, Default)]
struct Kept {
    register: Register,
    stamp: Option<Stamp>,
    /// What the file held before a change that could not be written down; until one can be, what that ended stays ended.
    unwritten: Option<Register>,
}

impl Kept {
    /// What counts, with what the file holds now: what was ended and could not be written down is not there any more.
    fn over(&self, mut there: Register, stamp: Stamp) -> Register {
        match &self.unwritten {
            None => there,
            // nobody wrote it since
            Some(_) if self.stamp == Some(stamp) => self.register.clone(),
            Some(before) => {
                there.end_what_ended(before, &self.register);
                there
            }
        }
    }
}

#[derive(Debug)]
struct Inside {
    file: HostFile,
    cookies: Cookies,
    kept: Mutex<Kept>,
    /// Held while the register is changed: one change stands on the other, also where none can be written.
    changing: Mutex<()>,
    /// Tries of passphrases, by devices that were let in.
    tries: Mutex<Tries>,
    /// Tries of codes, by whoever asks: those of strangers take none from the devices'.
    codes: Mutex<Tries>,
    pace: Mutex<Pace>,
    slow: Semaphore,
    always: bool,
    network: Option<Network>,
}

/// How other devices reach the studio.
#[derive(Debug, Clone)]
pub(crate) enum Network {
    /// Over TLS of our own.
    Tls(Arc<Shown>),
    /// Through a proxy that speaks TLS, under these names.
    Proxy(crate::network::names::Names),
}

impl Network {
    pub(crate) fn names(&self) -> crate::network::names::Names {
        match self {
            Self::Tls(shown) => shown.names(),
            Self::Proxy(names) => names.clone(),
        }
    }
}

/// The door of a studio.
#[derive(Debug, Clone)]
pub(crate) struct Door(Arc<Inside>);

/// Why someone was not let in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Refused {
    /// Too many tries.
    TooMany(TooMany),
    /// The passphrase or code is not right; the words are alike, whatever was wrong.
    Wrong,
    /// The device was not let in yet: there is nothing to sign in to.
    NotPaired,
}

impl Door {
    pub(crate) fn new(file: HostFile, studio: Option<&str>, always: bool, network: Option<Network>) -> Self {
        Self(Arc::new(Inside {
            file,
            cookies: Cookies::of(studio),
            kept: Mutex::default(),
            changing: Mutex::default(),
            tries: Mutex::default(),
            codes: Mutex::default(),
            pace: Mutex::default(),
            slow: Semaphore::new(AT_ONCE),
            always,
            network,
        }))
    }

    /// How other devices reach the studio, where they may.
    pub(crate) fn network(&self) -> Option<&Network> {
        self.0.network.as_ref()
    }

    /// Whether this machine's own pages need the passphrase too.
    pub(crate) fn is_always_shut(&self) -> bool {
        self.0.always
    }

    /// Who asks, by what their browser keeps.
    pub(crate) fn visitor(&self, came: Came, headers: &HeaderMap, now_ms: i64) -> Visitor {
        let is_at_home = came == Came::Host && !self.0.always;
        if is_at_home {
            return Visitor { came, is_at_home, ..Visitor::default() };
        }
        let digest = |what| {
            let text = self.0.cookies.read(headers, what)?;
            Secret::parse(&text).map(|secret| secret.digest())
        };
        let (device, session) = (digest(Keeps::Device), digest(Keeps::Session));
        self.look(|register| {
            let device = device.and_then(|secret| register.device_with(&secret)).map(|device| device.number);
            // a session of the network is worth nothing without its device
            let may = device.is_some() || came == Came::Host;
            let session = session.filter(|_| may);
            let session = session.and_then(|secret| register.session_with(&secret, device, now_ms));
            Visitor {
                came,
                device,
                session: session.map(|session| session.number),
                is_fresh: session.is_some_and(|session| session.is_fresh(now_ms)),
                is_at_home,
            }
        })
    }

    /// The header that has a browser keep a secret.
    pub(crate) fn keeps(&self, what: Keeps, secret: &Secret) -> HeaderValue {
        self.0.cookies.kept(what, secret)
    }

    /// The header that has a browser drop one.
    pub(crate) fn drops(&self, what: Keeps) -> HeaderValue {
        self.0.cookies.dropped(what)
    }

    /// Whether a change of the register could not be written down: it holds until the program ends.
    pub(crate) fn is_unwritten(&self) -> bool {
        lock(&self.0.kept).unwritten.is_some()
    }

    /// Notes that a session was seen, at most every five minutes; a failure to write it down is no reason to turn anyone
    /// away.
    pub(crate) async fn see(&self, session: u32, now_ms: i64) {
        let is_due = self.look(|register| register.clone()).see(session, now_ms);
        if is_due {
            self.change(move |register| register.see(session, now_ms)).await;
        }
    }

    /// Whether a session still runs.
    pub(crate) fn is_running(&self, session: u32, now_ms: i64) -> bool {
        self.look(|register| register.is_running(session, now_ms))
    }

    /// Whether an address asks no faster than it may.
    pub(crate) fn is_in_pace(&self, came: Came, now_ms: i64) -> bool {
        match came {
            Came::Network(from) => lock(&self.0.pace).allows(from, now_ms),
            Came::Host | Came::Unclear => true,
        }
    }

    /// Reads the register, anew when its file was changed.
    pub(crate) fn look<T>(&self, look: impl FnOnce(&Register) -> T) -> T {
        let mut kept = lock(&self.0.kept);
        let stamp = self.0.file.stamp();
        if kept.stamp != Some(stamp) {
            match self.0.file.read().map(parsed) {
                Ok(Ok(there)) => {
                    let register = kept.over(there, stamp);
                    *kept = Kept { register, stamp: Some(stamp), unwritten: kept.unwritten.take() };
                }
                // who cannot be known is not let in; what was known before is kept only while it can be read
                Ok(Err(error)) => {
                    tracing::error!(%error, "the register of devices cannot be read: nobody is let in from the network");
                    *kept = Kept { stamp: Some(stamp), ..Kept::default() };
                }
                Err(error) => tracing::error!(%error, "the register of devices cannot be read"),
            }
        }
        look(&kept.register)
    }

    /// Changes the register and writes it down; where the disk does not take it, it holds in memory, and is written with the
    /// next change that can be.
    pub(crate) async fn change<T: Send + 'static>(
        &self,
        change: impl FnOnce(&mut Register) -> T + Send + 'static,
    ) -> T {
        let door = self.clone();
        let changed = tokio::task::spawn_blocking(move || door.change_now(change)).await;
        changed.unwrap_or_else(|panic| std::panic::resume_unwind(panic.into_panic()))
    }

    fn change_now<T>(&self, change: impl FnOnce(&mut Register) -> T) -> T {
        let _alone = lock(&self.0.changing);
        let mut change = Some(change);
        let mut made = |mut register: Register| {
            let change = change.take().expect("a change is made once");
            let answer = change(&mut register);
            (register, answer)
        };
        // what the file held, what it is to hold, and the answer
        let mut done = None;
        let written = self.0.file.change(|bytes| {
            let there = parsed(bytes)?;
            let counts = lock(&self.0.kept).over(there.clone(), self.0.file.stamp());
            let (register, answer) = made(counts);
            let bytes = serde_json::to_vec(&register)?;
            done = Some((there, register, answer));
            Ok::<_, std::io::Error>((bytes, ()))
        });
        let mut kept = lock(&self.0.kept);
        if let Err(error) = &written {
            tracing::error!(%error, "the register of devices could not be written: it holds in memory");
        }
        let (there, register, answer) = done.unwrap_or_else(|| {
            let there = kept.register.clone();
            let (register, answer) = made(there.clone());
            (there, register, answer)
        });
        // another program may have written since: what is on disk is read again, once it has what is in memory
        let stamp = written.is_err().then(|| self.0.file.stamp());
        let unwritten = match written {
            Ok(()) => None,
            // one that cannot be read is nobody's to write over
            Err(error) if error.kind() == ErrorKind::InvalidData => None,
            Err(_) => Some(kept.unwritten.take().unwrap_or(there)),
        };
        *kept = Kept { register, stamp, unwritten };
        answer
    }
}

/// Reads a register; an empty one where there is none yet.
fn parsed(bytes: Option<Vec<u8>>) -> std::io::Result<Register> {
    let there = bytes.map(|bytes| serde_json::from_slice(&bytes)).transpose();
    let there = there.map_err(|error| std::io::Error::new(ErrorKind::InvalidData, error));
    there.map(Option::unwrap_or_default)
}

/// Why no passphrase was set from this machine.
#[derive(Debug, thiserror::Error)]
pub enum NotSet {
    /// It is none.
    #[error(transparent)]
    Problem(#[from] PassphraseProblem),
    /// There is no place for it.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// It could not be written down.
    #[error("the register of devices cannot be changed: {0}")]
    File(#[from] std::io::Error),
}

/// The register of a studio.
pub(crate) fn register_of(address: &Address) -> Result<HostFile, StoreError> {
    HostFile::of(address, "access", |name| std::env::var(name).ok())
}

/// Sets a studio's passphrase from this machine, where the one before was forgotten: every session ends. A studio that is
/// open takes it at once.
///
/// # Errors
/// [`NotSet`], with what was found.
pub fn set_passphrase(address: &Address, typed: &str, studio: &str) -> Result<(), NotSet> {
    Passphrase::check(typed, studio)?;
    let phc = Passphrase::kept_as(typed, chance());
    register_of(address)?.change(|bytes| {
        let mut register = parsed(bytes)?;
        register.set_passphrase(phc, None);
        Ok((serde_json::to_vec(&register).map_err(std::io::Error::from)?, ()))
    })
}

/// Draws a passphrase of five words.
#[must_use]
pub fn drawn_passphrase() -> String {
    let bytes: [u8; 20] = chance();
    let mut halves = [0_u16; 10];
    for (half, pair) in halves.iter_mut().zip(bytes.chunks(2)) {
        *half = pair.iter().fold(0, |half, byte| half << 8 | u16::from(*byte));
    }
    access::drawn_words(halves)
}

fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::Door;
    use std::path::PathBuf;
    use store::{Address, HostFile};

    /// A folder with a register in it.
    struct Beside(tempfile::TempDir);

    impl Beside {
        fn new() -> Self {
            Self(tempfile::tempdir().unwrap())
        }

        fn path(&self, ending: &str) -> PathBuf {
            self.0.path().join(format!("studio.{ending}"))
        }

        /// The door as a program that begins now has it.
        fn door(&self) -> Door {
            let file = HostFile::of(&Address::File(self.path("db")), "access", |_| None).unwrap();
            Door::new(file, None, false, None)
        }

        /// As on a full disk: nobody can lock a folder for a file.
        fn let_nothing_be_written(&self) {
            std::fs::remove_file(self.path("access-lock")).unwrap();
            std::fs::create_dir(self.path("access-lock")).unwrap();
        }

        fn let_it_be_written(&self) {
            std::fs::remove_dir(self.path("access-lock")).unwrap();
        }
    }

    fn begins(door: &Door, secret: &str) -> u32 {
        door.change_now(|register| register.begin_session(None, secret.to_owned(), 0))
    }

    fn ends(door: &Door, session: u32) {
        door.change_now(|register| register.end_session(session));
    }

    /// What cannot be written holds, whatever the file still says, and is written once it can be.
    #[test]
    fn who_was_shut_out_stays_out_when_the_disk_does_not_take_it() {
        let beside = Beside::new();
        let open = beside.door();
        let (one, other) = (begins(&open, "one"), begins(&open, "other"));
        beside.let_nothing_be_written();
        ends(&open, one);
        assert!(open.is_unwritten());
        let third = begins(&open, "third");
        let running = |door: &Door| [one, other, third].map(|number| door.is_running(number, 1));
        assert_eq!(running(&open), [false, true, true]);
        assert_eq!(running(&beside.door()), [true, true, false], "the file does not know yet");
        beside.let_it_be_written();
        ends(&open, other);
        assert!(!open.is_unwritten());
        assert_eq!(running(&open), [false, false, true]);
        assert_eq!(running(&beside.door()), [false, false, true]);
    }

    /// What another program writes meanwhile counts, and what was ended stays ended.
    #[test]
    fn what_a_command_sets_while_the_disk_took_nothing_is_kept() {
        let beside = Beside::new();
        let open = beside.door();
        let (one, other) = (begins(&open, "one"), begins(&open, "other"));
        beside.let_nothing_be_written();
        ends(&open, one);
        beside.let_it_be_written();
        // as `lengthwise passphrase` does, but that a session is left
        beside.door().change_now(|register| register.set_passphrase("another".to_owned(), Some(one)));
        let passphrase = |door: &Door| door.look(|register| register.passphrase().map(str::to_owned));
        assert_eq!(passphrase(&open).as_deref(), Some("another"));
        assert_eq!([one, other].map(|number| open.is_running(number, 1)), [false, false]);
        ends(&open, other);
        let anew = beside.door();
        assert_eq!(passphrase(&anew).as_deref(), Some("another"));
        assert!(!anew.is_running(one, 1));
    }

    /// A register that cannot be read, damaged or a newer version's, is left as it lies.
    #[test]
    fn what_cannot_be_read_is_not_written_over() {
        let beside = Beside::new();
        let damaged = b"{\"passphrase\":";
        std::fs::write(beside.path("access"), damaged).unwrap();
        let open = beside.door();
        for secret in ["one", "other"] {
            begins(&open, secret);
        }
        assert_eq!(std::fs::read(beside.path("access")).unwrap(), damaged);
    }
}
