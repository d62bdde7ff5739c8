//! Any bytes taken for a strike file are read or refused, and what was read comes back the same when it is written.
#![no_main]

use exchange::{Decimals, read_strikes, strike_file};
use libfuzzer_sys::fuzz_target;
use trial::Strikes;

fuzz_target!(|bytes: &[u8]| {
    for decimals in [Decimals::Point, Decimals::Comma] {
        let Ok(read) = read_strikes(bytes, decimals) else { continue };
        let again = read_strikes(strike_file(&read.strikes).as_bytes(), Decimals::Point);
        assert_eq!(again.expect("what the studio writes it reads").strikes, read.strikes);
        if let Ok(strikes) = Strikes::new(read.strikes.clone()) {
            assert_eq!(strikes.balls(), read.strikes.len());
        }
    }
});
