//! Who may come in from another device: a passphrase, paired devices, sessions, and how often one may try.
//!
//! Pure: time comes in as milliseconds since 1970 (UTC), chance as bytes, and what is kept ([`Register`]) is a document
//! that the caller writes down. Secrets are kept as digests alone: who reads the register cannot come in with it.

mod code;
mod pace;
mod passphrase;
mod register;
mod secret;
mod tries;

pub use code::{CODE_LASTS_MS, CodeRefused, PairingCode};
pub use pace::Pace;
pub use passphrase::{LEAST_BYTES, MOST_BYTES, Passphrase, PassphraseProblem, drawn_words};
pub use register::{Device, FRESH_MS, IDLE_MS, Register, Session, WHOLE_MS};
pub use secret::Secret;
pub use tries::{TooMany, Tries, network_of};
