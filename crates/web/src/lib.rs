//! The studio in the browser: pages that carry a golfer along the spine, live at every device on the same job.
//!
//! Pages are drawn on the server and work without script; script adds what a page cannot do alone. A handler loads,
//! asks the domain, and shows; it works nothing out. On this machine only: any other address is refused.

mod acts;
mod api;
mod app;
mod assets;
mod device;
mod error;
mod events;
mod form;
mod guard;
mod maps;
mod pages;
mod parts;
mod picture;
mod request;
mod rounds;
mod route;
mod server;
mod shell;
mod ticks;
mod uploads;

pub use app::{App, Clock};
pub use picture::{Picture, PictureError, shrink};
pub use server::{ServeError, Server};
pub use uploads::Uploads;
