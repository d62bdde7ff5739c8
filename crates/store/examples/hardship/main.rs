//! A job for the store to do while its disk fails, and a look at what is left afterwards.
//!
//! `work FOLDER STEPS` makes a studio in `FOLDER/data` and does a number of steps; each that the store acknowledged is
//! told on standard output, with the state the studio was in. `restore FOLDER STEPS` then brings the first copy back over
//! it. `careless FOLDER STEPS` does the same past the store,
//! with syncing turned off: what is looked for must be found there. `verify` reads folders from standard input, opens
//! each studio as the product would, and tells what is there in a line of JSON; with `--only-look` it writes nothing.
//! Whoever runs it compares: see `reference/hardship`. It ends with 0, or with 3 after an error of the store.

mod careless;
mod restore;
mod step;
mod verify;
mod work;

use std::process::ExitCode;
use store::StoreError;

/// Ended with an error in the store's words.
const REPORTED: u8 = 3;

fn main() -> Result<ExitCode, Box<dyn std::error::Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        ["work", folder, steps] => {
            let steps = steps.parse()?;
            Ok(told(one_thread()?.block_on(work::work(folder.as_ref(), steps))))
        }
        ["restore", folder, steps] => {
            let steps = steps.parse()?;
            Ok(told(one_thread()?.block_on(restore::work_and_restore(folder.as_ref(), steps))))
        }
        ["careless", folder, steps] => {
            let steps = steps.parse()?;
            Ok(told(one_thread()?.block_on(careless::work(folder.as_ref(), steps))))
        }
        ["verify"] => verify::every_line(false).map(|()| ExitCode::SUCCESS),
        ["verify", "--only-look"] => verify::every_line(true).map(|()| ExitCode::SUCCESS),
        _ => Err("work, restore or careless FOLDER STEPS, or verify [--only-look]".into()),
    }
}

/// One thread, so that the same job makes the same calls.
fn one_thread() -> std::io::Result<tokio::runtime::Runtime> {
    tokio::runtime::Builder::new_current_thread().enable_all().build()
}

fn told(ended: Result<(), StoreError>) -> ExitCode {
    match ended {
        Ok(()) => ExitCode::SUCCESS,
        Err(_) => ExitCode::from(REPORTED),
    }
}
