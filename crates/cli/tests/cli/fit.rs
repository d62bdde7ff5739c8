//! `fit` as a fitter and a script use it: good cards, hostile cards, sheets whole or not at all.

use crate::common::{err, example, lengthwise, out};
use serde_json::Value;
use std::path::Path;

const DATE: [&str; 2] = ["--date", "2026-11-03"];

fn fit(card: &Path, more: &[&str]) -> std::process::Output {
    let mut arguments = vec!["fit", card.to_str().unwrap()];
    arguments.extend(DATE);
    arguments.extend(more);
    lengthwise(&arguments, b"")
}

fn planned(card: &str) -> Value {
    let output = fit(&example(card), &["--json"]);
    assert!(output.status.success(), "{}", out(&output));
    serde_json::from_str(&out(&output)).unwrap()
}

#[test]
fn a_card_gives_target_ways_and_job() {
    let plan = planned("tall.toml");
    assert_eq!(plan["version"], 1);
    // three readings of mean 31.125 in: 37 + 0.25 * 3.125 = 37.78125, built at 37 3/4
    assert!((plan["target"]["six_iron_length_in"].as_f64().unwrap() - 37.781_25).abs() < 1e-9);
    assert!((plan["target"]["six_iron_build_in"].as_f64().unwrap() - 37.75).abs() < 1e-9);
    let clubs = plan["clubs"].as_array().unwrap();
    let seven = clubs.iter().find(|club| club["name"] == "7 iron").unwrap();
    assert_eq!(seven["chosen"]["way"], "extend");
    // half an inch over grooves 0.140 in apart
    assert!((seven["gap_in_groove_pitches"].as_f64().unwrap() - 0.5 / 0.14).abs() < 1e-9);
    let driver = clubs.iter().find(|club| club["name"] == "driver").unwrap();
    assert_eq!(driver["in_the_rule"], false);
    assert_eq!(plan["job"]["first_club"], "7 iron");
}

#[test]
fn what_holds_a_job_is_the_first_thing_said() {
    let doubtful = std::fs::read_to_string(example("tall.toml"))
        .unwrap()
        .replace("[\"31 1/8 in\", \"31 in\", \"31 1/4 in\"]", "\"34 1/2 in\"");
    let text = out(&lengthwise(&["fit", "-", DATE[0], DATE[1]], doubtful.as_bytes()));
    assert!(text.starts_with("HOLD"), "{text}");
    let plain = out(&fit(&example("tall.toml"), &[]));
    assert!(!plain.contains("HOLD"), "{plain}");
}

#[test]
fn a_junior_goes_by_the_chart_in_text_and_json() {
    let text = out(&fit(&example("junior.toml"), &[]));
    assert!(text.contains("SEVEN-IRON  33 in to 34 1/2 in, by a junior chart"), "{text}");
    assert!(!text.contains("SIX-IRON"), "{text}");
    let plan = planned("junior.toml");
    let seven = plan["clubs"].as_array().unwrap().iter().find(|club| club["name"] == "7 iron").unwrap();
    assert_eq!(seven["target_from"], "junior chart");
    assert_eq!(seven["target_range_in"], serde_json::json!([33.0, 34.5]));
    assert!(seven.get("half_width_80_in").is_none_or(Value::is_null), "{seven}");
}

#[test]
fn what_was_found_is_said_of_every_club_and_the_rule_on_length_of_those_it_troubles() {
    let card = std::fs::read_to_string(example("tall.toml")).unwrap();
    let card = card.replace(
        "name = \"driver\"\nlength = \"44 1/2 in\"",
        "name = \"driver\"\ncondition = [\"cracked\"]\nlength = \"46 1/2 in\"",
    );
    let text = out(&lengthwise(&["fit", "-", DATE[0], DATE[1]], card.as_bytes()));
    assert!(text.contains("driver cracked: not played until it has a new shaft."), "{text}");
    assert!(text.contains("\ndriver: "), "{text}");
    assert!(text.contains("All other lengths appear to fit"), "{text}");
}

#[test]
fn text_and_json_agree_and_the_text_fits_80_columns() {
    for card in ["tall.toml", "short.toml", "junior.toml", "left-handed.toml", "five-minutes.toml"] {
        let output = fit(&example(card), &["--all"]);
        assert!(output.status.success(), "{card}: {}", err(&output));
        let text = out(&output);
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{card}: {line}");
        }
        for club in planned(card)["clubs"].as_array().unwrap() {
            assert!(text.contains(club["name"].as_str().unwrap()), "{card}: {club}");
        }
    }
}

#[test]
fn the_plan_of_the_left_handed_example_points_the_other_way() {
    let folder = tempfile::tempdir().unwrap();
    let card = std::fs::read_to_string(example("left-handed.toml")).unwrap();
    let mirrored = folder.path().join("right.toml");
    std::fs::write(&mirrored, card.replace("left-handed", "right-handed")).unwrap();
    let (left, right) = (planned("left-handed.toml"), {
        let output = fit(&mirrored, &["--json"]);
        serde_json::from_str::<Value>(&out(&output)).unwrap()
    });
    assert_eq!(
        (&left["golfer"]["lead_side"], &right["golfer"]["lead_side"]),
        (&"right".into(), &"left".into())
    );
    for (left, right) in left["clubs"].as_array().unwrap().iter().zip(right["clubs"].as_array().unwrap()) {
        assert_eq!(left["build_length_in"], right["build_length_in"]);
        assert_eq!(left["ways"], right["ways"]);
        let side = |club: &Value| club["face_if_lie_is_left"]["keeping_hand_height"]["side"].clone();
        assert_ne!(side(left), side(right), "{}", left["name"]);
        let degrees =
            |club: &Value| club["face_if_lie_is_left"]["keeping_hand_height"]["toward_lead_side_deg"].clone();
        assert_eq!(degrees(left), degrees(right));
    }
}

#[test]
fn the_bad_example_names_every_slip_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("job.html");
    let output = fit(&example("bad-input.toml"), &["--sheet", sheet.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    assert!(out(&output).is_empty());
    let text = err(&output);
    for told in [
        "line 6: golfer, knuckle_height: a comma in a number can be read two ways: \"29,25 in\"",
        "Write a decimal point: \"29.25 in\".",
        "line 8: golfer, statur: this key is not known",
        "Did you mean \"stature\"?",
        "line 12: club \"7 iron\", length: ",
        "line 13: club \"7 iron\", mass: the unit \"gr\" in \"426 gr\" is not one of g, kg, oz, lb",
        "line 14: club \"7 iron\", swingweight: ",
        "line 19: club \"8 iron\", head.construction: ",
    ] {
        assert!(text.contains(told), "{told}\n--\n{text}");
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is left behind");
}

#[test]
fn with_json_the_errors_are_a_document_too() {
    let output = fit(&example("bad-input.toml"), &["--json"]);
    assert_eq!(output.status.code(), Some(2));
    let document: Value = serde_json::from_str(&out(&output)).unwrap();
    assert_eq!(document["error"]["kind"], "bad_input");
    assert_eq!(document["error"]["line"], 6);
    assert_eq!(document["errors"].as_array().unwrap().len(), 6);
    assert!(err(&output).is_empty());
}

#[test]
fn hostile_cards_are_refused_with_exit_code_2_and_no_sheet() {
    let good = std::fs::read_to_string(example("five-minutes.toml")).unwrap();
    let huge = vec![b'#'; 10 * 1024 * 1024];
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("empty", Vec::new(), "empty file"),
        ("ten megabytes", huge, "at most 256 kB"),
        ("UTF-16", b"\xff\xfeg\0o\0".to_vec(), "UTF-16"),
        ("latin letters", good.replace("Rosa", "Ros\u{e9}").chars().map(|c| c as u8).collect(), "UTF-8"),
        ("unknown key", good.replace("shoes", "shoos").into_bytes(), "Did you mean \"shoes\"?"),
        ("duplicate club", good.replace("9i", "7 iron").into_bytes(), "stands twice"),
        ("negative mass", format!("{good}mass = \"-426 g\"\n").into_bytes(), "outside 150 to 800 g"),
        ("not a number", format!("{good}mass = nan\n").into_bytes(), "expected a mass"),
        ("infinite", format!("{good}mass = inf\n").into_bytes(), "expected a mass"),
        ("units mixed", good.replace("28 3/4 in", "28 3/4 mm").into_bytes(), "fractions belong to inches"),
        ("inches as millimetres", good.replace("28 3/4 in", "28.75 mm").into_bytes(), "28.75 in?"),
        ("half a file", good.as_bytes()[..good.find("length").unwrap() + 4].to_vec(), "line "),
        ("binary", vec![0, 159, 146, 150, 0, 1, 2], "UTF-8"),
    ];
    for (name, bytes, told) in cases {
        let folder = tempfile::tempdir().unwrap();
        let (card, sheet) = (folder.path().join("card.toml"), folder.path().join("job.html"));
        std::fs::write(&card, &bytes).unwrap();
        let output = fit(&card, &["--sheet", sheet.to_str().unwrap()]);
        let text = err(&output);
        assert_eq!(output.status.code(), Some(2), "{name}: {text}");
        assert!(text.contains(told), "{name}: {text}");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "{name}: only the card is there");
    }
}

#[test]
fn a_card_that_is_not_there_or_a_folder_that_is_not_is_a_file_matter() {
    let output = fit(Path::new("nowhere/card.toml"), &[]);
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("cannot read nowhere/card.toml"), "{}", err(&output));
    let output = fit(&example("tall.toml"), &["--sheet", "nowhere/at/all/job.html"]);
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("Check that the folder is there"));
    let output = fit(&example("tall.toml"), &["--sheet", "job.docx"]);
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn both_sheets_are_written_whole_and_a_second_run_replaces_them() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("job.html");
    for _ in 0..2 {
        assert!(fit(&example("tall.toml"), &["--sheet", sheet.to_str().unwrap()]).status.success());
        let mut names: Vec<_> = std::fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        assert_eq!(names, ["job-golfer.html", "job.html"]);
        for name in names {
            let text = std::fs::read_to_string(folder.path().join(name)).unwrap();
            assert!(text.starts_with("<!DOCTYPE html>") && text.ends_with("</html>"));
        }
    }
}

#[test]
fn two_runs_at_once_leave_one_whole_sheet() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("job.html");
    std::thread::scope(|scope| {
        for card in ["tall.toml", "short.toml", "tall.toml", "short.toml"] {
            let sheet = &sheet;
            scope.spawn(move || {
                assert!(fit(&example(card), &["--sheet", sheet.to_str().unwrap()]).status.success());
            });
        }
    });
    let text = std::fs::read_to_string(&sheet).unwrap();
    assert!(text.ends_with("</html>"));
    assert!(text.contains("Marta Lindqvist") ^ text.contains("Benita Okafor"), "one of the two, whole");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
}

#[test]
fn a_card_comes_from_standard_input_too() {
    let card = std::fs::read(example("five-minutes.toml")).unwrap();
    let output = lengthwise(&["fit", "-", "--json"], &card);
    assert!(output.status.success());
    assert!(out(&output).contains("Rosa Iglesias"));
}

#[test]
fn a_pdf_without_a_browser_says_what_is_missing() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = folder.path().join("job.pdf");
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_lengthwise"))
        .arg("fit")
        .arg(example("tall.toml"))
        .arg("--sheet")
        .arg(&sheet)
        .env("LENGTHWISE_BROWSER", "/nonexistent/browser")
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(err(&output).contains("LENGTHWISE_BROWSER names /nonexistent/browser, which is not there"));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_sheet_never_takes_the_place_of_the_card_or_of_half_a_pair() {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(example("tall.toml")).unwrap();
    for (card, sheet) in
        [("same.html", "same.html"), ("x-golfer.html", "x.html"), ("same.html", "../same.html")]
    {
        let inner = folder.path().join("inner");
        std::fs::create_dir_all(&inner).unwrap();
        let card = folder.path().join(card);
        std::fs::write(&card, &text).unwrap();
        let sheet = if sheet.starts_with("..") { inner.join(sheet) } else { folder.path().join(sheet) };
        let output = fit(&card, &["--sheet", sheet.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(2), "{}", err(&output));
        assert!(err(&output).contains("would take the place of the card"));
        assert_eq!(std::fs::read_to_string(&card).unwrap(), text, "the card stands as it was");
        std::fs::remove_file(&card).unwrap();
        std::fs::remove_dir(&inner).unwrap();
    }
    let taken = folder.path().join("job.html");
    std::fs::create_dir(&taken).unwrap();
    let output = fit(&example("tall.toml"), &["--sheet", taken.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(3));
    assert!(!folder.path().join("job-golfer.html").exists(), "both sheets or neither");
}

#[test]
fn a_wrong_date_is_told_as_json_where_json_was_asked_for() {
    let output = lengthwise(&["fit", "card.toml", "--json", "--date", "tomorrow"], b"");
    assert_eq!(output.status.code(), Some(2));
    let document: Value = serde_json::from_str(&out(&output)).unwrap();
    assert_eq!(document["error"]["field"], "--date");
}

#[test]
fn signs_a_terminal_would_obey_are_not_passed_on() {
    let folder = tempfile::tempdir().unwrap();
    let card = folder.path().join("card.toml");
    std::fs::write(&card, "\"\\u001b[31mred\" = 1\n").unwrap();
    let output = fit(&card, &[]);
    assert_eq!(output.status.code(), Some(2));
    assert!(!err(&output).contains('\u{1b}'), "{:?}", err(&output));
}

#[test]
fn a_height_typed_in_the_other_unit_is_named_even_when_bare() {
    let good = std::fs::read_to_string(example("five-minutes.toml")).unwrap();
    let output = lengthwise(&["fit", "-"], good.replace("\"28 3/4 in\"", "762").as_bytes());
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("762 mm? That would be 30 in (762 mm)."), "{}", err(&output));
}
