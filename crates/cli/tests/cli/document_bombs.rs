//! Documents nested or repeated to eat the stack or the memory: refused in their words, in less than 300 MB.

use crate::common::{in_little_memory, lengthwise};
use crate::studio_over_http::Served;
use exchange::LARGEST_STUDIO_FILE;

/// What the program says of a document that it refuses.
fn refused(output: &std::process::Output) -> String {
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2), "{said}");
    said
}

#[test]
fn a_studio_file_that_would_fill_the_memory_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let import = format!("import --data {}/studio.db -", folder.path().display());
    let document =
        |rest: &str| format!("{{\"format\":\"lengthwise studio\",\"version\":1,{rest}").into_bytes();
    // as much of it as a studio file may have
    let much = |text: &str| text.repeat((LARGEST_STUDIO_FILE - 200) / text.len());
    for (bytes, says) in [
        (much("[").into_bytes(), "expected a studio file, found another document"),
        (much("{\"a\":").into_bytes(), "the studio file ends in the middle"),
        (document(&format!("\"golfers\":{}", much("["))), "the studio file ends in the middle"),
        (
            document(&format!("\"house\":{{\"matchings\":{{\"a\":[{}\"\"]}}}}}}", much("\"\","))),
            "expected at most 2097152 bytes in a record of a studio file",
        ),
        (
            document(&format!("\"golfers\":[{{\"readings\":[{}0]}}]}}", much("0,"))),
            "expected at most 8000000 values in a studio file",
        ),
    ] {
        let said = refused(&in_little_memory(&import, &bytes));
        assert!(said.contains(says), "{says}: {said}");
    }
    assert!(!folder.path().join("studio.db").exists(), "nothing was made of them");
}

#[test]
fn what_is_nested_without_end_is_refused() {
    let deep = "[".repeat(200_000);
    for card in [
        format!("golfer = {deep}"),
        format!("golfer.name = {{{}", "a={".repeat(60_000)),
        ".a".repeat(100_000),
    ] {
        refused(&lengthwise(&["fit", "-"], card.as_bytes()));
    }
    let studio = Served::open();
    for body in [deep.clone(), format!("{{\"name\":{deep}"), "{\"a\":".repeat(40_000)] {
        let answer = studio.post_json("/api/v1/changes", &body);
        assert_eq!(answer.status, 422, "{}", answer.text());
    }
    assert_eq!(studio.get("/").status, 200);
}
