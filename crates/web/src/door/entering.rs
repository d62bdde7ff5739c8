//! Coming in: a device by its code, a person by the passphrase, and the passphrase once more before what is dangerous.

use super::{Door, Refused, Visitor, lock};
use crate::network::listen::Came;
use access::{PairingCode, Passphrase, PassphraseProblem, Secret, Tries};
use std::sync::Mutex;

impl Door {
    /// Shows a code for a new device; the one before is over.
    pub(crate) async fn new_code(&self, now_ms: i64) -> String {
        let (digits, code) = PairingCode::of_chance(chance(), now_ms);
        self.change(move |register| register.show_code(code)).await;
        tracing::info!("a code for a new device is shown");
        digits
    }

    /// Lets a device in by its code, and gives what it shall keep.
    pub(crate) async fn pair(
        &self,
        came: Came,
        typed: String,
        name: String,
        now_ms: i64,
    ) -> Result<Secret, Refused> {
        // without a code there is nothing to guess
        if !self.look(|register| register.has_code(now_ms)) {
            tracing::warn!(%came, "a code was wrong");
            return Err(Refused::Wrong);
        }
        count_a_try(&self.0.codes, came, now_ms)?;
        let secret = Secret::of_chance(chance());
        let digest = secret.digest();
        let paired = self.change(move |register| register.pair(&typed, &name, digest, now_ms)).await;
        let device = paired.map_err(|_| {
            tracing::warn!(%came, "a code was wrong");
            Refused::Wrong
        })?;
        tracing::info!(device, %came, "a device was let in");
        was_right(&self.0.codes, came);
        Ok(secret)
    }

    /// Begins a session with the passphrase, and gives what the browser shall keep.
    pub(crate) async fn sign_in(
        &self,
        visitor: &Visitor,
        typed: String,
        now_ms: i64,
    ) -> Result<Secret, Refused> {
        // a session is worth nothing without its device, so there is nothing to try
        if visitor.device.is_none() && visitor.came != Came::Host {
            tracing::warn!(came = %visitor.came, "a device that was not let in tried to sign in");
            return Err(Refused::NotPaired);
        }
        self.try_passphrase(visitor.came, typed, now_ms).await?;
        let secret = Secret::of_chance(chance());
        let (digest, device) = (secret.digest(), visitor.device);
        let before = visitor.session;
        let session = self
            .change(move |register| {
                // who signs in once more leaves no session behind
                if let Some(number) = before {
                    register.end_session(number);
                }
                register.begin_session(device, digest, now_ms)
            })
            .await;
        tracing::info!(session, device, came = %visitor.came, "signed in");
        Ok(secret)
    }

    /// Takes the passphrase once more, and gives what the browser shall keep where a session runs: it goes on under
    /// another secret.
    pub(crate) async fn prove(
        &self,
        visitor: &Visitor,
        typed: String,
        now_ms: i64,
    ) -> Result<Option<Secret>, Refused> {
        self.try_passphrase(visitor.came, typed, now_ms).await?;
        let Some(session) = visitor.session else { return Ok(None) };
        let secret = Secret::of_chance(chance());
        let digest = secret.digest();
        self.change(move |register| register.prove(session, digest, now_ms)).await;
        tracing::info!(session, came = %visitor.came, "the passphrase was typed once more");
        Ok(Some(secret))
    }

    /// Sets the passphrase; every other session ends.
    pub(crate) async fn set_passphrase(
        &self,
        typed: String,
        studio: &str,
        here: Option<u32>,
    ) -> Result<(), PassphraseProblem> {
        Passphrase::check(&typed, studio)?;
        let phc = self.slowly(move || Passphrase::kept_as(&typed, chance())).await;
        self.change(move |register| register.set_passphrase(phc, here)).await;
        tracing::info!("the passphrase was set");
        Ok(())
    }

    /// Tries a passphrase: counted before anything is worked out.
    async fn try_passphrase(&self, came: Came, typed: String, now_ms: i64) -> Result<(), Refused> {
        count_a_try(&self.0.tries, came, now_ms)?;
        let phc = self.look(|register| register.passphrase().map(str::to_owned));
        let old = phc.as_deref().is_some_and(Passphrase::is_of_old);
        let (is_right, anew) = self
            .slowly(move || {
                let is_right = Passphrase::is_kept(&typed, phc.as_deref());
                (is_right, (is_right && old).then(|| Passphrase::kept_as(&typed, chance())))
            })
            .await;
        if !is_right {
            tracing::warn!(%came, "a passphrase was wrong");
            return Err(Refused::Wrong);
        }
        was_right(&self.0.tries, came);
        if let Some(phc) = anew {
            self.change(move |register| register.rehash(phc)).await;
        }
        Ok(())
    }

    /// Works something slow out beside the answers, two at a time.
    async fn slowly<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> T {
        // it is never closed
        let _place = self.0.slow.acquire().await;
        let worked = tokio::task::spawn_blocking(work).await;
        worked.unwrap_or_else(|panic| std::panic::resume_unwind(panic.into_panic()))
    }
}

/// This machine itself is never locked out.
fn count_a_try(tries: &Mutex<Tries>, came: Came, now_ms: i64) -> Result<(), Refused> {
    match came {
        Came::Network(from) => lock(tries).count(from, now_ms).map_err(|too_many| {
            tracing::warn!(%came, "too many tries from one address, or in a day");
            Refused::TooMany(too_many)
        }),
        Came::Host | Came::Unclear => Ok(()),
    }
}

fn was_right(tries: &Mutex<Tries>, came: Came) {
    if let Came::Network(from) = came {
        lock(tries).was_right(from);
    }
}

/// Chance from the system.
pub(crate) fn chance<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).expect("the system has a source of chance");
    bytes
}
