//! A command that is one process apart: the studio starts it for one file, so that a file that eats all memory ends
//! only this process. Standard input to standard output, under a limit of memory.

use crate::Stop;
use std::io::{Read, Write};

/// Address space such a process may have, bytes. House choice.
#[cfg(unix)]
const MOST_MEMORY: u64 = 1024 * 1024 * 1024;

/// Reads standard input, no further than `most` bytes and one, and writes what `answer` makes of it.
pub(crate) fn run(most: usize, answer: impl FnOnce(&[u8]) -> Result<Vec<u8>, Stop>) -> Result<(), Stop> {
    limit_memory();
    let limit = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    let mut bytes = Vec::new();
    std::io::stdin().lock().take(limit).read_to_end(&mut bytes).map_err(|_| Stop::Told(70))?;
    let answer = answer(&bytes)?;
    let mut out = std::io::stdout().lock();
    out.write_all(&answer).and_then(|()| out.flush()).map_err(|_| Stop::Told(70))
}

/// Takes the limit; a lower one that was there stays.
#[cfg(unix)]
fn limit_memory() {
    use rustix::process::{Resource, Rlimit, getrlimit, setrlimit};
    let lower = |there: Option<u64>| Some(there.map_or(MOST_MEMORY, |there| there.min(MOST_MEMORY)));
    let there = getrlimit(Resource::As);
    let limit = Rlimit { current: lower(there.current), maximum: lower(there.maximum) };
    // a system that sets no limit leaves the reader's own
    let _ = setrlimit(Resource::As, limit);
}

#[cfg(not(unix))]
fn limit_memory() {}
