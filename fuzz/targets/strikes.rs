//! Any bytes taken for a strike file are read or refused, and what was read comes back the same when it is written.
#![no_main]

use exchange::{Decimals, read_strikes, sniff, strike_file};
use libfuzzer_sys::fuzz_target;
use trial::{Strike, Strikes};

fuzz_target!(|bytes: &[u8]| {
    let Ok(table) = sniff(bytes) else { return };
    for decimals in [Decimals::Point, Decimals::Comma] {
        let Ok(read) = read_strikes(&table, decimals) else { continue };
        let written = sniff(strike_file(&read.balls).as_bytes()).expect("what the studio writes is a table");
        let again = read_strikes(&written, Decimals::Point);
        assert_eq!(again.expect("what the studio writes it reads").balls, read.balls);
        let strikes: Vec<Strike> = read.balls.iter().map(|(strike, _)| *strike).collect();
        let count = strikes.len();
        if let Ok(strikes) = Strikes::new(strikes) {
            assert_eq!(strikes.balls(), count);
        }
    }
});
