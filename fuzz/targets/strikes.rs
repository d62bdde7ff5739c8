//! Any bytes taken for a strike file are read or refused, and what was read comes back the same when it is written.
#![no_main]

use exchange::{Decimals, read_strikes, strike_file};
use libfuzzer_sys::fuzz_target;
use trial::{Strike, Strikes};

fuzz_target!(|bytes: &[u8]| {
    for decimals in [Decimals::Point, Decimals::Comma] {
        let Ok(read) = read_strikes(bytes, decimals) else { continue };
        let again = read_strikes(strike_file(&read.balls).as_bytes(), Decimals::Point);
        assert_eq!(again.expect("what the studio writes it reads").balls, read.balls);
        let strikes: Vec<Strike> = read.balls.iter().map(|(strike, _)| *strike).collect();
        let count = strikes.len();
        if let Ok(strikes) = Strikes::new(strikes) {
            assert_eq!(strikes.balls(), count);
        }
    }
});
