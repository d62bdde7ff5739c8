//! Any bytes taken for a studio file are read or refused; what is read holds only records that may be kept.
#![no_main]

use exchange::import_json;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Ok(studio) = import_json(bytes) {
        for golfer in studio.golfers {
            for record in &golfer.records {
                assert_eq!(record.golfer(), Some(&golfer.golfer));
                assert!(record.check().is_ok(), "{record:?}");
            }
        }
    }
});
