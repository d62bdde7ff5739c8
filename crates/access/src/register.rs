//! The register: the passphrase that was set, the devices that were let in, and the sessions that run.

use crate::{CodeRefused, PairingCode};
use serde::{Deserialize, Serialize};

/// A session that nobody used for so long is over. House choice: a day of lessons.
pub const IDLE_MS: i64 = 12 * HOUR_MS;
/// A session is over after this whatever happens. House choice: thirty days.
pub const WHOLE_MS: i64 = 30 * 24 * HOUR_MS;
/// How long after the passphrase was typed it is not asked for again. House choice.
pub const FRESH_MS: i64 = 15 * 60 * 1000;
const HOUR_MS: i64 = 3600 * 1000;
/// "Last seen" is written down this often at most. House choice: a look at a page must not be a write.
const SEEN_EVERY_MS: i64 = 5 * 60 * 1000;
/// Most sessions at once; the one seen longest ago ends for a new one. House choice.
const MOST_SESSIONS: usize = 20;
/// Most devices; House choice: a studio has a handful.
const MOST_DEVICES: usize = 50;
/// Longest name of a device, signs.
const LONGEST_NAME: usize = 40;

/// A device that was let in with a code.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Device {
    /// Its number, never given twice.
    pub number: u32,
    /// What it is called.
    pub name: String,
    /// When it was let in, milliseconds since 1970.
    pub paired_ms: i64,
    secret: String,
}

/// Someone signed in on a device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Session {
    /// Its number, never given twice; the one that stands in the log.
    pub number: u32,
    /// The device it runs on; none on the host itself.
    pub device: Option<u32>,
    /// When it began, milliseconds since 1970.
    pub began_ms: i64,
    /// When it was last seen, to within five minutes.
    pub seen_ms: i64,
    /// When the passphrase was last typed in it.
    pub proved_ms: i64,
    secret: String,
}

impl Session {
    /// Tells whether it still runs. A clock that was put back ends none.
    #[must_use]
    pub fn runs(&self, now_ms: i64) -> bool {
        now_ms - self.seen_ms <= IDLE_MS && now_ms - self.began_ms <= WHOLE_MS
    }

    /// Tells whether the passphrase was typed so lately that it need not be asked again.
    #[must_use]
    pub fn is_fresh(&self, now_ms: i64) -> bool {
        (0..=FRESH_MS).contains(&(now_ms - self.proved_ms))
    }
}

/// What is kept of who may come in.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Register {
    passphrase: Option<String>,
    code: Option<PairingCode>,
    devices: Vec<Device>,
    sessions: Vec<Session>,
    newest_number: u32,
}

impl Register {
    /// What is kept of the passphrase, if one was set.
    #[must_use]
    pub fn passphrase(&self) -> Option<&str> {
        self.passphrase.as_deref()
    }

    /// Sets another passphrase: every session ends but the one it was set in.
    pub fn set_passphrase(&mut self, phc: String, here: Option<u32>) {
        self.passphrase = Some(phc);
        self.sessions.retain(|session| Some(session.number) == here);
    }

    /// Keeps the same passphrase worked out anew, as today's settings ask.
    pub fn rehash(&mut self, phc: String) {
        self.passphrase = Some(phc);
    }

    /// Shows a code: the one before is over.
    pub fn show_code(&mut self, code: PairingCode) {
        self.code = Some(code);
    }

    /// Tells whether a code may be typed now.
    #[must_use]
    pub fn has_code(&self, now_ms: i64) -> bool {
        self.code.as_ref().is_some_and(|code| code.is_good(now_ms))
    }

    /// Lets a device in that typed the code; the code is over then. `secret` is the digest of what the device keeps.
    ///
    /// # Errors
    /// [`CodeRefused`] for another code, one that is over, or with too many devices.
    pub fn pair(&mut self, typed: &str, name: &str, secret: String, now_ms: i64) -> Result<u32, CodeRefused> {
        let is_right = self.code.as_mut().is_some_and(|code| code.is(typed, now_ms));
        if !is_right || self.devices.len() >= MOST_DEVICES {
            return Err(CodeRefused);
        }
        self.code = None;
        let number = self.next_number();
        self.devices.push(Device { number, name: name_of(name, number), paired_ms: now_ms, secret });
        Ok(number)
    }

    /// The device that keeps a secret.
    #[must_use]
    pub fn device_with(&self, secret: &str) -> Option<&Device> {
        self.devices.iter().find(|device| device.secret == secret)
    }

    /// Every device, the newest first.
    pub fn devices(&self) -> impl Iterator<Item = &Device> {
        self.devices.iter().rev()
    }

    /// The sessions that run, the newest first.
    pub fn sessions(&self, now_ms: i64) -> impl Iterator<Item = &Session> {
        self.sessions.iter().rev().filter(move |session| session.runs(now_ms))
    }

    /// Ends here what one register had and a later one has not: devices and sessions.
    pub fn end_what_ended(&mut self, before: &Self, later: &Self) {
        let had = |number: u32| before.devices.iter().any(|device| device.number == number);
        let has = |number: u32| later.devices.iter().any(|device| device.number == number);
        self.devices.retain(|device| !had(device.number) || has(device.number));
        let had = |number: u32| before.sessions.iter().any(|session| session.number == number);
        let has = |number: u32| later.sessions.iter().any(|session| session.number == number);
        self.sessions.retain(|session| !had(session.number) || has(session.number));
    }

    /// Forgets a device: its sessions end, and it needs a new code.
    pub fn forget_device(&mut self, number: u32) -> bool {
        let count = self.devices.len();
        self.devices.retain(|device| device.number != number);
        self.sessions.retain(|session| session.device != Some(number));
        self.devices.len() < count
    }

    /// Begins a session on a device whose passphrase was right, or on the host itself.
    pub fn begin_session(&mut self, device: Option<u32>, secret: String, now_ms: i64) -> u32 {
        self.sessions.retain(|session| session.runs(now_ms));
        if self.sessions.len() >= MOST_SESSIONS
            && let Some(oldest) =
                self.sessions.iter().min_by_key(|session| session.seen_ms).map(|session| session.number)
        {
            self.end_session(oldest);
        }
        let number = self.next_number();
        let at = now_ms;
        self.sessions.push(Session { number, device, began_ms: at, seen_ms: at, proved_ms: at, secret });
        number
    }

    /// The session that runs under a secret, on the device it began on.
    #[must_use]
    pub fn session_with(&self, secret: &str, device: Option<u32>, now_ms: i64) -> Option<&Session> {
        self.sessions
            .iter()
            .find(|session| session.secret == secret && session.device == device && session.runs(now_ms))
    }

    /// Tells whether the session with a number still runs.
    #[must_use]
    pub fn is_running(&self, number: u32, now_ms: i64) -> bool {
        self.sessions.iter().any(|session| session.number == number && session.runs(now_ms))
    }

    /// Notes that a session was seen; true when that is to be written down.
    pub fn see(&mut self, number: u32, now_ms: i64) -> bool {
        let Some(session) = self.sessions.iter_mut().find(|session| session.number == number) else {
            return false;
        };
        let is_due = now_ms - session.seen_ms >= SEEN_EVERY_MS;
        if is_due {
            session.seen_ms = now_ms;
        }
        is_due
    }

    /// Notes that the passphrase was typed in a session, which goes on under another secret: the one before is worth
    /// nothing from then on (ASVS 5.0 V7.2.4).
    pub fn prove(&mut self, number: u32, secret: String, now_ms: i64) {
        if let Some(session) = self.sessions.iter_mut().find(|session| session.number == number) {
            session.proved_ms = now_ms;
            session.secret = secret;
        }
    }

    /// Ends a session.
    pub fn end_session(&mut self, number: u32) -> bool {
        let count = self.sessions.len();
        self.sessions.retain(|session| session.number != number);
        self.sessions.len() < count
    }

    fn next_number(&mut self) -> u32 {
        self.newest_number = self.newest_number.saturating_add(1);
        self.newest_number
    }
}

/// A name without signs that steer a terminal, cut to what a list shows.
fn name_of(typed: &str, number: u32) -> String {
    let name: String = typed.trim().chars().filter(|sign| !sign.is_control()).take(LONGEST_NAME).collect();
    if name.is_empty() { format!("device {number}") } else { name }
}

#[cfg(test)]
mod tests {
    use super::{FRESH_MS, IDLE_MS, Register, WHOLE_MS};
    use crate::PairingCode;

    const CODE: &str = "12345678";

    fn with_a_tablet() -> (Register, u32) {
        let mut register = Register::default();
        register.show_code(PairingCode::of_chance(12_345_678_u64.to_le_bytes(), 0).1);
        let tablet = register.pair(CODE, "bay tablet", "tablet's".to_owned(), 1).unwrap();
        (register, tablet)
    }

    #[test]
    fn a_code_lets_one_device_in() {
        let (mut register, tablet) = with_a_tablet();
        assert_eq!(register.device_with("tablet's").unwrap().number, tablet);
        assert!(register.pair(CODE, "another", "another's".to_owned(), 1).is_err());
        assert!(register.device_with("another's").is_none());
        assert!(Register::default().pair(CODE, "", String::new(), 1).is_err(), "without a code nobody");
    }

    #[test]
    fn a_session_ends_when_it_is_left_when_it_is_old_and_when_it_is_ended() {
        let (mut register, tablet) = with_a_tablet();
        let number = register.begin_session(Some(tablet), "s".to_owned(), 0);
        let runs = |register: &Register, at| register.session_with("s", Some(tablet), at).is_some();
        assert!(runs(&register, IDLE_MS) && !runs(&register, IDLE_MS + 1));
        // seen again and again it lasts, but not for ever
        let mut at = 0;
        while at < WHOLE_MS {
            at += IDLE_MS;
            assert!(register.see(number, at));
        }
        assert!(runs(&register, WHOLE_MS) && !runs(&register, WHOLE_MS + 1));
        assert!(register.end_session(number) && !runs(&register, 1));
    }

    #[test]
    fn a_session_is_of_its_device_alone_and_goes_with_it() {
        let (mut register, tablet) = with_a_tablet();
        register.begin_session(Some(tablet), "s".to_owned(), 0);
        assert!(register.session_with("s", None, 1).is_none());
        assert!(register.session_with("s", Some(tablet + 1), 1).is_none());
        assert!(register.forget_device(tablet));
        assert!(register.session_with("s", Some(tablet), 1).is_none());
        assert!(!register.forget_device(tablet));
    }

    #[test]
    fn another_passphrase_ends_every_other_session() {
        let mut register = Register::default();
        let (one, other) = (
            register.begin_session(None, "1".to_owned(), 0),
            register.begin_session(None, "2".to_owned(), 0),
        );
        register.set_passphrase("phc".to_owned(), Some(one));
        assert!(register.is_running(one, 1) && !register.is_running(other, 1));
    }

    #[test]
    fn being_seen_is_written_down_every_five_minutes() {
        let mut register = Register::default();
        let number = register.begin_session(None, "s".to_owned(), 0);
        assert!(
            !register.see(number, 299_999) && register.see(number, 300_000) && !register.see(number, 300_001)
        );
    }

    #[test]
    fn the_passphrase_is_asked_again_after_a_quarter_of_an_hour() {
        let mut register = Register::default();
        let number = register.begin_session(None, "s".to_owned(), 0);
        let is_fresh = |register: &Register, at| register.session_with("s", None, at).unwrap().is_fresh(at);
        assert!(is_fresh(&register, FRESH_MS) && !is_fresh(&register, FRESH_MS + 1));
        register.prove(number, "t".to_owned(), 10 * FRESH_MS);
        assert_eq!(register.session_with("s", None, 10 * FRESH_MS), None, "it goes on under another secret");
        let is_fresh = |register: &Register, at| register.session_with("t", None, at).unwrap().is_fresh(at);
        assert!(is_fresh(&register, 11 * FRESH_MS));
        assert!(!is_fresh(&register, 9 * FRESH_MS), "a clock that was put back proves nothing");
    }

    #[test]
    fn the_twenty_first_session_ends_the_one_seen_longest_ago() {
        let mut register = Register::default();
        for place in 0..21 {
            register.begin_session(None, format!("{place}"), place);
        }
        assert_eq!(register.sessions(100).count(), 20);
        assert!(
            register.session_with("0", None, 100).is_none()
                && register.session_with("20", None, 100).is_some()
        );
    }

    #[test]
    fn what_is_written_down_comes_back_and_holds_no_secret() {
        let (mut register, tablet) = with_a_tablet();
        register.begin_session(Some(tablet), "digest".to_owned(), 5);
        register.show_code(PairingCode::of_chance(87_654_321_u64.to_le_bytes(), 6).1);
        let text = serde_json::to_string(&register).unwrap();
        assert!(!text.contains("87654321"));
        assert_eq!(serde_json::from_str::<Register>(&text).unwrap(), register);
    }
}
