//! How much a document holds, counted before anything is built from it: a value of two bytes can take fifty in memory.

use super::{LARGEST_RECORD, MOST_VALUES};
use crate::ExchangeError;

/// Refuses more values, or a larger record, than a studio has. Whether the document is well formed is not its subject.
pub(super) fn check(text: &str) -> Result<(), ExchangeError> {
    let mut bytes = text.bytes().enumerate();
    let mut values = 0_usize;
    let mut depth = 0_usize;
    // where what is open at each depth began, if it is a record
    let mut records = [None; DEEPEST_RECORD + 1];
    while let Some((at, byte)) = bytes.next() {
        match byte {
            b'"' => skip_string(&mut bytes),
            b',' => values += 1,
            b'{' | b'[' => {
                values += 1;
                depth += 1;
                if let Some(record) = records.get_mut(depth) {
                    *record = (byte == b'{' && is_record(depth)).then_some(at);
                }
            }
            b'}' | b']' => {
                let begun = records.get_mut(depth).and_then(Option::take);
                let found = begun.map_or(0, |begun| at + 1 - begun);
                if found > LARGEST_RECORD {
                    return Err(ExchangeError::TooMuch {
                        what: "bytes in a record of a studio file",
                        most: LARGEST_RECORD,
                        found,
                    });
                }
                depth = depth.saturating_sub(1);
            }
            _ => {}
        }
    }
    if values > MOST_VALUES {
        return Err(ExchangeError::TooMuch {
            what: "values in a studio file",
            most: MOST_VALUES,
            found: values,
        });
    }
    Ok(())
}

/// How deep the deepest record stands.
const DEEPEST_RECORD: usize = 5;

/// Whether an object at this depth is a record that can be long: the house in the document (2), a golfer's own (4) and
/// what hangs on the golfer (5). At 3 stand whole golfers, and parts, which have nothing long in them.
fn is_record(depth: usize) -> bool {
    matches!(depth, 2 | 4 | DEEPEST_RECORD)
}

/// Goes on behind the end of a string.
fn skip_string(bytes: &mut impl Iterator<Item = (usize, u8)>) {
    while let Some((_, byte)) = bytes.next() {
        match byte {
            b'\\' => drop(bytes.next()),
            b'"' => return,
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{LARGEST_RECORD, MOST_VALUES, check};

    fn refused(text: &str) -> String {
        check(text).unwrap_err().to_string()
    }

    #[test]
    fn each_value_counts_and_nothing_within_a_string() {
        let zeros = |count: usize| format!("[{}0]", "0,".repeat(count - 1));
        assert!(check(&zeros(MOST_VALUES)).is_ok());
        let more =
            format!("expected at most {MOST_VALUES} values in a studio file, found {}", MOST_VALUES + 1);
        assert_eq!(refused(&zeros(MOST_VALUES + 1)), more);
        let text = format!("[\"{}\"]", r#",[{\",\\\""#.repeat(MOST_VALUES / 4));
        assert!(check(&text).is_ok());
    }

    #[test]
    fn a_record_is_no_larger_than_a_studio_has() {
        // each with what stands around it in a document
        let around = [
            (r#"{"house":"#, ""),
            (r#"{"golfers":[{"golfer":"#, ""),
            (r#"{"golfers":[{"golfer":{"id":"a"},"jobs":[{},"#, ",{}]}]}"),
        ];
        for (before, after) in around {
            let record = |bytes: usize| {
                let open = r#"{"card":""#;
                format!("{before}{open}{}\"}}{after}", "x".repeat(bytes - open.len() - 2))
            };
            assert!(check(&record(LARGEST_RECORD)).is_ok(), "{before}");
            let found = LARGEST_RECORD + 1;
            let more = format!(
                "expected at most {LARGEST_RECORD} bytes in a record of a studio file, found {found}"
            );
            assert_eq!(refused(&record(found)), more, "{before}");
        }
        // a golfer and a list of records are as large as they are
        let many = r#"{"id":"a"},"#.repeat(LARGEST_RECORD / 4);
        assert!(check(&format!(r#"{{"golfers":[{{"readings":[{many}{{}}]}}]}}"#)).is_ok());
    }

    #[test]
    fn what_is_not_well_formed_is_left_to_the_parser() {
        for text in ["]]]]]]}}}}", "{{{{{{{{", "\"", "\"\\", "", "}{", &"[".repeat(100_000)] {
            assert!(check(text).is_ok(), "{text:.20}");
        }
    }
}
