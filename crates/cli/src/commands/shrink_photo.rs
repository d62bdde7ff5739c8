//! `lengthwise shrink-photo`: what the studio starts for each photo, so that a photo that eats all memory ends only
//! this program. Standard input to standard output: width, height, JPEG.

use crate::Stop;
use std::io::{Read, Write};
use web::PictureError;

/// Address space this program may have. House choice.
#[cfg(unix)]
const MOST_MEMORY: u64 = 1024 * 1024 * 1024;

/// Makes the photo on standard input small.
pub(crate) fn run() -> Result<(), Stop> {
    limit_memory();
    let mut bytes = Vec::new();
    std::io::stdin().lock().read_to_end(&mut bytes).map_err(|_| Stop::Told(70))?;
    let picture = web::shrink(&bytes).map_err(|error| match error {
        PictureError::NotAPhoto => Stop::Told(2),
        PictureError::Unreadable => Stop::Told(3),
        PictureError::Failed => Stop::Told(70),
    })?;
    let mut out = std::io::stdout().lock();
    let written = out
        .write_all(&picture.width.to_be_bytes())
        .and_then(|()| out.write_all(&picture.height.to_be_bytes()))
        .and_then(|()| out.write_all(&picture.jpeg))
        .and_then(|()| out.flush());
    written.map_err(|_| Stop::Told(70))
}

#[cfg(unix)]
fn limit_memory() {
    use rustix::process::{Resource, Rlimit, setrlimit};
    let limit = Rlimit { current: Some(MOST_MEMORY), maximum: Some(MOST_MEMORY) };
    // a system that sets no limit leaves the decoder's own
    let _ = setrlimit(Resource::As, limit);
}

#[cfg(not(unix))]
fn limit_memory() {}
