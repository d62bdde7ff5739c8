//! Making a photo small and clean: what a camera hides in it, and anything appended, is gone.
//!
//! Decoding what someone sends can run out of memory, which nothing catches; so it is done by a program of its own
//! ([`shrink()`] there, [`shrunk_by`] here), whose end is an ordinary refusal ([`crate::apart`]).

mod shrink;

pub use shrink::{Picture, PictureError, shrink};

use crate::apart::Apart;
use axum::body::Bytes;

/// Largest photo taken, bytes. House choice.
pub const MOST_BYTES: usize = 20 * 1024 * 1024;

/// Has a process apart make the photo small; it writes the width, the height and the JPEG.
///
/// # Errors
/// [`PictureError`], also when the process runs out of memory or time.
pub(crate) async fn shrunk_by(apart: &Apart, bytes: Bytes) -> Result<Picture, PictureError> {
    let ended = apart.run(&["shrink-photo"], bytes, MOST_BYTES).await.map_err(|_| PictureError::Failed)?;
    match ended.code {
        0 => {}
        2 => return Err(PictureError::NotAPhoto),
        3 => return Err(PictureError::Unreadable),
        _ => return Err(PictureError::Failed),
    }
    let (head, jpeg) = ended.written.split_at_checked(8).ok_or(PictureError::Failed)?;
    let number = |at: usize| head[at..at + 4].try_into().map(u32::from_be_bytes).unwrap_or_default();
    Ok(Picture { width: number(0), height: number(4), jpeg: jpeg.to_vec() })
}
