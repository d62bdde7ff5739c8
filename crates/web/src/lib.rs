//! The studio in the browser: pages that carry a golfer along the spine, live at every device on the same job.
//!
//! Pages are drawn on the server and work without script; script adds what a page cannot do alone. A handler loads,
//! asks the domain, and shows; it works nothing out. Other devices come in over
//! TLS, paired and signed in (`door`).

mod acts;
mod apart;
mod api;
mod app;
mod assets;
mod device;
mod door;
mod error;
mod events;
mod fields;
mod form;
mod guard;
mod head;
mod heavy;
mod maps;
mod network;
mod pages;
mod parts;
mod picture;
mod request;
mod room;
mod rounds;
mod route;
mod server;
mod shell;
mod shut_away;
mod table;
mod ticks;
mod uploads;

pub use apart::Apart;
pub use app::{App, Clock};
pub use door::{NotSet, drawn_passphrase, set_passphrase};
pub use network::tls::TlsError;
pub use picture::{MOST_BYTES as MOST_PHOTO_BYTES, Picture, PictureError, shrink};
pub use server::{Lan, Opening, ServeError, Server};
pub use table::read_table;
pub use uploads::Uploads;
