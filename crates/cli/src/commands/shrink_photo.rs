//! `lengthwise shrink-photo`: what the studio starts for each photo, [`crate::apart`]. It writes width, height
//! and JPEG.

use crate::{Stop, apart};
use web::{MOST_PHOTO_BYTES, PictureError};

/// Makes the photo on standard input small.
pub(crate) fn run() -> Result<(), Stop> {
    apart::run(MOST_PHOTO_BYTES, |bytes| {
        let picture = web::shrink(bytes).map_err(|error| match error {
            PictureError::NotAPhoto => Stop::Told(2),
            PictureError::Unreadable => Stop::Told(3),
            PictureError::Failed => Stop::Told(70),
        })?;
        let sides = [picture.width, picture.height].map(u32::to_be_bytes);
        Ok([sides.as_flattened(), &picture.jpeg].concat())
    })
}
