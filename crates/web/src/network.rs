//! How the studio is reached: the listeners, the names it answers to, and TLS for other devices.

pub(crate) mod listen;
pub(crate) mod names;
mod places;
pub(crate) mod tls;
