//! Any bytes taken for a form or for what is asked behind the question mark: each field once, the same again when it is
//! written; what a list is asked for is found or not, and never ends the program.
#![no_main]

#[path = "../../crates/web/src/fields.rs"]
mod fields;

use fields::{FieldsProblem, MOST_FIELDS};
use libfuzzer_sys::fuzz_target;
use studio::{Id, digits, folded, plain_text};

fuzz_target!(|sent: &[u8]| {
    let pairs = sent.split(|byte| *byte == b'&').filter(|pair| !pair.is_empty()).count();
    let read = match fields::read(sent) {
        Ok(read) => read,
        Err(FieldsProblem::TooMany) => return assert!(pairs > MOST_FIELDS),
        Err(FieldsProblem::Twice(_)) => return assert!(pairs > 1),
    };
    assert!(read.len() == pairs && pairs <= MOST_FIELDS);
    assert_eq!(fields::read(fields::to_text(&read).as_bytes()).expect("what is written can be read"), read);
    for value in read.values() {
        let found = folded(value);
        assert!(!found.contains(char::is_uppercase) || value.chars().any(|sign| !sign.is_ascii()));
        assert!(digits(value).bytes().all(|byte| byte.is_ascii_digit()));
        if let Ok(id) = Id::parse(value) {
            assert_eq!(id.as_str(), value);
        }
        if let Ok(Some(text)) = plain_text("text", value) {
            assert!(!text.is_empty() && !text.chars().any(char::is_control) && text.trim() == text);
        }
    }
});
