//! The program as a whole: demo, help, completions, manual page.

use crate::common::{err, lengthwise, out};

#[test]
fn demo_runs_the_whole_job_and_writes_the_sheets() {
    let folder = tempfile::tempdir().unwrap();
    let sheets = folder.path().join("new/folder");
    let output = lengthwise(&["demo", "--no-serve", "--out", sheets.to_str().unwrap()], b"");
    assert!(output.status.success(), "{}", err(&output));
    let text = out(&output);
    for told in ["SIX-IRON  37 3/4 in", "THE SET", "THE JOB", "Sheets written"] {
        assert!(text.contains(told), "{told}\n{text}");
    }
    assert!(sheets.join("job.html").is_file() && sheets.join("job-golfer.html").is_file());
}

#[test]
fn demo_into_a_place_that_is_a_file_is_a_file_matter() {
    let folder = tempfile::tempdir().unwrap();
    let taken = folder.path().join("taken");
    std::fs::write(&taken, "").unwrap();
    let output = lengthwise(&["demo", "--no-serve", "--out", taken.to_str().unwrap()], b"");
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("Choose another with --out."));
}

#[test]
fn an_unknown_command_or_option_is_bad_input() {
    for arguments in [&["fits"][..], &["calc", "everything"], &["fit"], &["demo", "--nonsense"]] {
        assert_eq!(lengthwise(arguments, b"").status.code(), Some(2), "{arguments:?}");
    }
}

#[test]
fn completions_and_the_manual_page_know_every_command() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = out(&lengthwise(&["completions", shell], b""));
        for command in ["fit", "calc", "demo", "serve", "backup", "check", "export", "import"] {
            assert!(script.contains(command), "{shell} does not know {command}");
        }
    }
    let page = out(&lengthwise(&["man"], b""));
    assert!(page.starts_with(".ie") || page.starts_with(".TH") || page.contains(".TH"));
    for option in ["\\-\\-sheet", "\\-\\-schema", "\\-\\-no\\-serve"] {
        assert!(page.contains(option), "{option}");
    }
}

#[test]
fn help_says_what_each_command_is_for() {
    let help = out(&lengthwise(&["--help"], b""));
    for told in ["Plan a set from a fitting card", "JSON in, JSON out", "invented golfer"] {
        assert!(help.contains(told), "{help}");
    }
}
