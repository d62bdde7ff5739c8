//! What is done to a photo in a process of its own: decoded within limits, turned upright, made small, encoded anew.

use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};
use std::io::Cursor;

/// Longest side decoded, pixels. House choice, as the numbers below.
const MOST_PIXELS: u32 = 12_000;
/// Most pixels decoded, millions: what is sold as a camera of 50 has up to 50.4.
const MOST_MILLIONS: u64 = 52;
/// Memory the decoder may take, and the picture, bytes.
const MOST_MEMORY: u64 = 256 * 1024 * 1024;
/// Longest side kept, pixels.
pub(crate) const KEPT_PIXELS: u32 = 2048;
/// Quality of the JPEG that is kept, of 100.
const QUALITY: u8 = 85;

/// A photo as it is kept: a JPEG without anything else in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
    /// The JPEG.
    pub jpeg: Vec<u8>,
}

/// Why a photo was not taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PictureError {
    /// Neither JPEG nor PNG by its content.
    #[error("expected a JPEG or PNG photo, found another kind of file")]
    NotAPhoto,
    /// More pixels than are decoded, or a file that is cut off.
    #[error(
        "the photo cannot be read: it is damaged, or larger than {MOST_PIXELS} pixels a side or {MOST_MILLIONS} million in all"
    )]
    Unreadable,
    /// The program that makes it small did not end well.
    #[error("the photo could not be made small")]
    Failed,
}

/// Decodes a photo, turns it upright, makes it small and encodes it anew.
///
/// # Errors
/// [`PictureError`] when it is none or cannot be read.
pub fn shrink(bytes: &[u8]) -> Result<Picture, PictureError> {
    let unreadable = |_| PictureError::Unreadable;
    let mut reader =
        ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|_| PictureError::NotAPhoto)?;
    if !matches!(reader.format(), Some(ImageFormat::Jpeg | ImageFormat::Png)) {
        return Err(PictureError::NotAPhoto);
    }
    if reader.format() == Some(ImageFormat::Jpeg) && is_cut_off(bytes) {
        return Err(PictureError::Unreadable);
    }
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_PIXELS);
    limits.max_image_height = Some(MOST_PIXELS);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(unreadable)?;
    let (width, height) = decoder.dimensions();
    // the decoder keeps the limit for what it needs itself, not for the picture
    let is_too_large = decoder.total_bytes() > MOST_MEMORY;
    if is_too_large || u64::from(width) * u64::from(height) > MOST_MILLIONS * 1_000_000 {
        return Err(PictureError::Unreadable);
    }
    let upright = decoder.orientation().map_err(unreadable)?;
    let mut picture = DynamicImage::from_decoder(decoder).map_err(unreadable)?;
    // made small first: what is turned is there twice
    if picture.width().max(picture.height()) > KEPT_PIXELS {
        picture = picture.thumbnail(KEPT_PIXELS, KEPT_PIXELS);
    }
    picture.apply_orientation(upright);
    let picture = picture.into_rgb8();
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, QUALITY).encode_image(&picture).map_err(unreadable)?;
    Ok(Picture { width: picture.width(), height: picture.height(), jpeg })
}

/// A JPEG that ends before its end marker; decoders fill what is missing with grey. Standard: ITU-T T.81, annex B:
/// inside a scan no marker but the end follows the last start of scan.
fn is_cut_off(jpeg: &[u8]) -> bool {
    const START_OF_SCAN: [u8; 2] = [0xff, 0xda];
    const END_OF_IMAGE: [u8; 2] = [0xff, 0xd9];
    let pairs = || jpeg.windows(2);
    let last_scan = pairs().rposition(|pair| pair == START_OF_SCAN).unwrap_or(jpeg.len());
    !pairs().skip(last_scan).any(|pair| pair == END_OF_IMAGE)
}

#[cfg(test)]
mod tests {
    use super::{KEPT_PIXELS, PictureError, shrink};
    use image::codecs::jpeg::JpegEncoder;
    use image::{ImageEncoder, RgbImage};

    /// A JPEG with a place in its EXIF, lying on its side, and something appended.
    fn photo(width: u32, height: u32) -> Vec<u8> {
        let picture = RgbImage::from_fn(width, height, |x, y| {
            image::Rgb([u8::try_from(x % 256).unwrap(), u8::try_from(y % 256).unwrap(), 7])
        });
        let mut bytes = Vec::new();
        let mut encoder = JpegEncoder::new(&mut bytes);
        // EXIF: big-endian TIFF, one entry, orientation (0x0112) 6: turned a quarter
        let exif =
            [b'M', b'M', 0, 42, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0];
        encoder.set_exif_metadata(exif.to_vec()).unwrap();
        encoder.encode_image(&picture).unwrap();
        bytes.extend_from_slice(b"GPS 51.5, -0.1 appended");
        bytes
    }

    #[test]
    fn a_photo_is_upright_small_and_says_nothing_else() {
        let kept = shrink(&photo(4000, 1000)).unwrap();
        assert_eq!((kept.width, kept.height), (KEPT_PIXELS / 4, KEPT_PIXELS));
        let text = String::from_utf8_lossy(&kept.jpeg).into_owned();
        assert!(!text.contains("GPS") && !text.contains("Exif") && !text.contains("MM"));
    }

    #[test]
    fn what_is_no_photo_is_refused() {
        assert_eq!(shrink(b"<svg onload=alert(1)>"), Err(PictureError::NotAPhoto));
        assert_eq!(shrink(b""), Err(PictureError::NotAPhoto));
        let whole = photo(200, 100);
        assert!(shrink(&whole[..whole.len() / 3]).is_err());
    }

    #[test]
    fn a_bomb_of_pixels_is_refused_before_it_is_decoded() {
        // a PNG that says it has 100,000 pixels a side: signature, IHDR, an empty IDAT
        let mut png =
            vec![0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, b'I', b'H', b'D', b'R'];
        png.extend_from_slice(&100_000_u32.to_be_bytes());
        png.extend_from_slice(&100_000_u32.to_be_bytes());
        png.extend_from_slice(&[8, 2, 0, 0, 0, 0, 0, 0, 0]);
        assert_eq!(shrink(&png), Err(PictureError::Unreadable));
    }
}
