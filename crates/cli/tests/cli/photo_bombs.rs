//! Photos made to eat memory: each refused, or made small, by a process that is given less than 300 MB.

use crate::common::in_little_memory;
use flate2::write::ZlibEncoder;
use flate2::{Compression, Crc};
use std::io::Write;

/// What the process ends with.
const TAKEN: Option<i32> = Some(0);
const NOT_A_PHOTO: Option<i32> = Some(2);
const UNREADABLE: Option<i32> = Some(3);

/// A PNG of one colour, which packs to next to nothing: `depth` bits of each of `channels`.
pub(crate) fn png(width: u32, height: u32, channels: u8, depth: u8) -> Vec<u8> {
    let colour = [0, 0, 0, 2, 6][usize::from(channels)];
    let mut head = [width.to_be_bytes(), height.to_be_bytes()].concat();
    head.extend([depth, colour, 0, 0, 0]);
    // a filter and the pixels of a line, again and again
    let line = vec![0; 1 + usize::try_from(width).unwrap() * usize::from(channels) * usize::from(depth / 8)];
    let mut pixels = ZlibEncoder::new(Vec::new(), Compression::fast());
    for _ in 0..height {
        pixels.write_all(&line).unwrap();
    }
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    for (kind, data) in [(b"IHDR", head), (b"IDAT", pixels.finish().unwrap()), (b"IEND", Vec::new())] {
        let mut sum = Crc::new();
        sum.update(kind);
        sum.update(&data);
        bytes.extend(u32::try_from(data.len()).unwrap().to_be_bytes());
        bytes.extend(kind);
        bytes.extend(data);
        bytes.extend(sum.sum().to_be_bytes());
    }
    bytes
}

/// How the process ended, and the sides of what it made.
fn shrunk(bytes: &[u8]) -> (Option<i32>, Vec<u32>) {
    assert!(bytes.len() <= web::MOST_PHOTO_BYTES, "{} bytes: a bomb is small", bytes.len());
    let output = in_little_memory("shrink-photo", bytes);
    let sides = output.stdout.chunks_exact(4).take(2);
    let sides = sides.map(|side| u32::from_be_bytes(side.try_into().unwrap())).collect();
    (output.status.code(), sides)
}

#[test]
fn what_has_too_many_pixels_is_refused() {
    // one side too long, too many in all, and too much of each
    for (width, height, channels, depth) in [(12_001, 10, 3, 8), (8_000, 6_501, 3, 8), (5_900, 5_900, 4, 16)]
    {
        let found = shrunk(&png(width, height, channels, depth));
        assert_eq!(found, (UNREADABLE, Vec::new()), "{width} x {height}, {channels} x {depth} bits");
    }
}

#[test]
fn what_says_less_or_more_than_it_holds_is_refused() {
    let whole = png(300, 200, 3, 8);
    let height = 20..24;
    let mut lying = whole.clone();
    lying[height].copy_from_slice(&4_000_000_u32.to_be_bytes());
    assert_eq!(shrunk(&lying).0, UNREADABLE);
    assert_eq!(shrunk(&whole[..whole.len() / 2]).0, UNREADABLE);
    assert_eq!(shrunk(b"GIF89a").0, NOT_A_PHOTO);
}

/// What is just taken stays below the memory too.
#[test]
fn what_is_just_taken_is_made_small_in_the_same_memory() {
    assert_eq!(shrunk(&png(300, 200, 3, 8)), (TAKEN, vec![300, 200]));
    assert_eq!(shrunk(&png(8_192, 6_144, 3, 8)), (TAKEN, vec![2048, 1536]));
}
