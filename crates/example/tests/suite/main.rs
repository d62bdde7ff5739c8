//! The example studio in a real store: it is taken whole, shows every state there is, and is believed by the tool's
//! own plan.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod jobs;
mod people;
mod place;
mod saving;
mod spine;
