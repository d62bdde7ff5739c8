//! Any bytes taken for a photo become a small JPEG with nothing else in it, or are refused; making it small once more
//! keeps its sides.
//!
//! The decoder of PNG goes by its checksums only outside of fuzzing, so the fuzzer reaches what lies behind them.
#![no_main]

#[path = "../../crates/web/src/picture/shrink.rs"]
mod shrink;

use libfuzzer_sys::fuzz_target;
use shrink::{KEPT_PIXELS, PictureError, shrink};

fuzz_target!(|bytes: &[u8]| {
    let small = match shrink(bytes) {
        Ok(small) => small,
        Err(problem) => return assert_ne!(problem, PictureError::Failed),
    };
    assert!((1..=KEPT_PIXELS).contains(&small.width) && (1..=KEPT_PIXELS).contains(&small.height));
    for (at, kind) in markers(&small.jpeg) {
        assert!(!matches!(kind, 0xe1..=0xef | 0xfe), "a segment {kind:#x} at {at}: no place, no time, no comment");
    }
    assert!(small.jpeg.ends_with(&[0xff, 0xd9]));
    let again = shrink(&small.jpeg).expect("what is kept is a photo");
    assert_eq!((again.width, again.height), (small.width, small.height));
});

/// The segments of a JPEG before its scan. Standard: ITU-T T.81, annex B.
fn markers(jpeg: &[u8]) -> Vec<(usize, u8)> {
    const START_OF_SCAN: u8 = 0xda;
    let (mut at, mut markers) = (2, Vec::new());
    while let Some([0xff, kind, high, low]) = jpeg.get(at..at + 4) {
        markers.push((at, *kind));
        if *kind == START_OF_SCAN {
            return markers;
        }
        at += 2 + usize::from(u16::from_be_bytes([*high, *low]));
    }
    panic!("no scan after {markers:?}");
}
