//! Any bytes taken for a fitting card are read, or refused with the line of each problem; what is read is planned, or
//! refused the same way.
#![no_main]

use card::CardProblem;
use jiff::civil::date;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let text = match card::decode(bytes) {
        Ok(text) => text,
        Err(problem) => return is_told(&[problem], bytes),
    };
    match card::read(text, date(2026, 11, 28)) {
        Ok(card) => {
            if let Err(problems) = card.plan() {
                is_told(&problems, bytes);
            }
        }
        Err(problems) => is_told(&problems, bytes),
    }
});

/// There is a problem, it says something, and its line is one of the card's.
fn is_told(problems: &[CardProblem], bytes: &[u8]) {
    assert!(!problems.is_empty());
    let lines = 1 + bytes.iter().filter(|byte| **byte == b'\n').count();
    for problem in problems {
        assert!(!problem.message.is_empty());
        assert!(problem.line.is_none_or(|line| (1..=lines).contains(&line)), "{problem} of {lines} lines");
    }
    assert!(problems.is_sorted_by_key(|problem| problem.line));
}
