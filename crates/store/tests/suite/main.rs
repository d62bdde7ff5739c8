//! The store on both servers: the same suite against a SQLite file and, where `LENGTHWISE_TEST_POSTGRES` names one,
//! a real PostgreSQL server.
#![expect(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod chain;
mod copies;
mod damage;
mod forget;
mod journal;
mod kill_loop;
mod kills;
mod manners;
mod model;
mod moves;
mod old_files;
mod place;
mod private;
mod races;
mod records;
mod restore;
mod salvage;
mod shelf;
mod size;
mod stopped;
mod writes;
