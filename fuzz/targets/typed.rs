//! Any text typed into any field is read or refused; what is read reads the same again from what is kept.
#![no_main]

use libfuzzer_sys::fuzz_target;
use studio::{Field, Units};

fuzz_target!(|input: (u8, bool, &str)| {
    let (field, is_metric, typed) = input;
    let field = Field::ALL[usize::from(field) % Field::ALL.len()];
    let units = if is_metric { Units::Metric } else { Units::Inches };
    if let Ok(read) = field.read(typed, units) {
        assert!(read.value_si.is_none_or(f64::is_finite));
        let again = field.read(&read.text, Units::Inches).expect("what is kept can be read");
        assert_eq!(again.value_si.map(f64::to_bits), read.value_si.map(f64::to_bits));
        let bare = field.bare(&read.text, units);
        assert_eq!(field.read(&bare, units).ok().and_then(|read| read.value_si), read.value_si);
    }
});
