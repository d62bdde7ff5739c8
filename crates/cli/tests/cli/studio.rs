//! The studio's commands as a script uses them: out and in, copies, checks, and what is refused.

use crate::common::{err, lengthwise, out};
use jiff::civil::date;
use std::path::Path;
use store::{Address, Store};

/// The invented studio in a file.
fn filled(path: &Path) {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let store = Store::open(&Address::File(path.to_owned())).await.unwrap();
        for act in example::studio(date(2026, 11, 3), 1_793_700_000_000) {
            store.save(act.changes, act.at_ms).await.unwrap();
        }
        store.close().await;
    });
}

fn run(arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = lengthwise(arguments, b"");
    (output.status.code(), out(&output), err(&output))
}

#[test]
fn a_studio_goes_out_and_comes_in_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    filled(&folder.path().join("studio.db"));
    let (code, told, _) = run(&["export", "--data", &at("studio.db"), &at("all.json")]);
    assert_eq!(code, Some(0));
    assert!(told.starts_with("12 golfers written"), "{told}");
    let (code, told, problem) = run(&["import", "--data", &at("other.db"), &at("all.json")]);
    assert_eq!(code, Some(0), "{problem}");
    assert_eq!(told, "12 golfers taken.\n");
    run(&["export", "--data", &at("other.db"), &at("again.json")]);
    let read = |name: &str| std::fs::read(at(name)).unwrap();
    assert!(read("all.json") == read("again.json"), "every byte");
    // brought in twice, nobody is doubled
    let (_, told, _) = run(&["import", "--data", &at("other.db"), &at("all.json")]);
    assert!(told.starts_with("0 golfers taken.\nAlready there"), "{told}");
    let (code, told, _) = run(&["check", "--data", &at("other.db")]);
    assert_eq!(code, Some(0));
    assert!(told.starts_with("The studio is whole: 12 golfers"), "{told}");
}

/// What a command did to a studio stands in its log, and nobody's data.
#[test]
fn commands_write_down_what_they_did() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    filled(&folder.path().join("studio.db"));
    run(&["export", "--data", &at("studio.db"), &at("all.json")]);
    assert!(!folder.path().join("log").exists(), "a studio that was never served has none");
    std::fs::create_dir(folder.path().join("log")).unwrap();
    run(&["export", "--data", &at("studio.db"), &at("all.json")]);
    let all: serde_json::Value = serde_json::from_slice(&std::fs::read(at("all.json")).unwrap()).unwrap();
    let golfer = &all["golfers"][0]["golfer"];
    run(&["forget", "--data", &at("studio.db"), "--yes", golfer["id"].as_str().unwrap()]);
    run(&["backup", "--data", &at("studio.db"), &at("copy.db")]);
    run(&["restore", "--data", &at("studio.db"), &at("copy.db")]);
    run(&["import", "--data", &at("studio.db"), &at("no-such-file.json")]);
    let log = std::fs::read_to_string(folder.path().join("log/lengthwise.log")).unwrap();
    let lines: Vec<serde_json::Value> = log.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let said = |line: &serde_json::Value| {
        let command = line["command"].as_str().map(|command| format!("{command}: ")).unwrap_or_default();
        format!("{command}{}", line["message"].as_str().unwrap())
    };
    assert_eq!(
        lines.iter().map(said).filter(|said| said != "saved").collect::<Vec<_>>(),
        [
            "export: a command begins",
            "done",
            "forget: a command begins",
            "a golfer was forgotten",
            "done",
            "backup: a command begins",
            "done",
            "restore: a command begins",
            "done",
            "import: a command begins",
            "ended early",
        ]
    );
    assert!(!log.contains(golfer["name"].as_str().unwrap()));
}

#[test]
fn a_golfer_who_was_forgotten_comes_in_again_only_when_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    filled(&folder.path().join("studio.db"));
    run(&["export", "--data", &at("studio.db"), &at("all.json")]);
    let all: serde_json::Value = serde_json::from_slice(&std::fs::read(at("all.json")).unwrap()).unwrap();
    let golfers = all["golfers"].as_array().unwrap();
    // one of whom nothing was agreed: nothing is left of them
    let one = golfers.iter().find(|one| one["jobs"].as_array().unwrap().is_empty()).unwrap();
    let (id, name) = (one["golfer"]["id"].as_str().unwrap(), one["golfer"]["name"].as_str().unwrap());
    let (code, _, problem) = run(&["forget", "--data", &at("studio.db"), "--yes", id]);
    assert_eq!(code, Some(0), "{problem}");
    let (code, told, _) = run(&["import", "--data", &at("studio.db"), &at("all.json")]);
    assert_eq!(code, Some(0));
    assert!(told.contains(&format!("Forgotten here and not taken: {name}.")), "{told}");
    let (_, told, _) = run(&["import", "--data", &at("studio.db"), "--though-forgotten", &at("all.json")]);
    assert!(told.starts_with("1 golfer taken.\n"), "{told}");
    // opened again, they are still there
    let (_, told, _) = run(&["check", "--data", &at("studio.db")]);
    assert!(told.starts_with("The studio is whole: 12 golfers"), "{told}");
}

#[test]
fn remarks_about_health_leave_only_with_the_golfer_they_are_about() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    filled(&folder.path().join("studio.db"));
    run(&["export", "--data", &at("studio.db"), &at("all.json")]);
    let all = std::fs::read_to_string(at("all.json")).unwrap();
    let has_health = |text: &str| text.matches("\"health_consent\":\"").count();
    assert_eq!(has_health(&all), 0);
    let golfers: serde_json::Value = serde_json::from_str(&all).unwrap();
    let mut found = 0;
    for golfer in golfers["golfers"].as_array().unwrap() {
        let id = golfer["golfer"]["id"].as_str().unwrap();
        let (code, _, problem) =
            run(&["export", "--data", &at("studio.db"), "--golfer", id, &at("one.json")]);
        assert_eq!(code, Some(0), "{problem}");
        found += has_health(&std::fs::read_to_string(at("one.json")).unwrap());
    }
    assert!(found > 0, "the invented studio has a remark about health");
}

#[test]
fn tables_and_copies_are_written_whole() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    filled(&folder.path().join("studio.db"));
    let (code, _, problem) = run(&["export", "--data", &at("studio.db"), "--tables", &at("tables")]);
    assert_eq!(code, Some(0), "{problem}");
    assert_eq!(std::fs::read_dir(at("tables")).unwrap().count(), 9);
    let (code, told, problem) = run(&["backup", "--data", &at("studio.db"), &at("copy.db")]);
    assert_eq!(code, Some(0), "{problem}");
    assert!(told.contains("12 golfers"), "{told}");
    // a copy never takes another file's place
    let (code, _, problem) = run(&["backup", "--data", &at("studio.db"), &at("copy.db")]);
    assert_eq!(code, Some(3));
    assert!(problem.contains("there is a file of that name already"), "{problem}");
}

#[test]
fn a_copy_comes_back_and_what_was_there_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    filled(&folder.path().join("studio.db"));
    run(&["backup", "--data", &at("studio.db"), &at("copy.db")]);
    // one golfer more than the copy has
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let store = Store::open(&Address::File(folder.path().join("studio.db"))).await.unwrap();
        let id =
            |last: u32| studio::Id::parse(&format!("01938a6e-1b2c-7def-8123-4567890abc{last:02}")).unwrap();
        let file = studio::GolferFile::new(id(1), "Came later", fitting::Handedness::Left).unwrap();
        let act = studio::Changes::new(id(2), "I. F.", "File opened").with_new(file);
        store.save(act, 1_793_800_000_000).await.unwrap();
        store.close().await;
    });
    let (code, told, problem) = run(&["restore", "--data", &at("studio.db"), &at("copy.db")]);
    assert_eq!(code, Some(0), "{problem}");
    assert!(told.starts_with("Back and checked: 12 golfers"), "{told}");
    assert!(told.contains("It holds 1 entry that is not in the copy, of "), "{told}");
    let (_, told, _) = run(&["check", "--data", &at("studio.db")]);
    assert!(told.starts_with("The studio is whole: 12 golfers"), "{told}");
    let (code, _, problem) = run(&["restore", "--data", &at("studio.db"), &at("nothing.db")]);
    assert_eq!(code, Some(3));
    assert!(problem.contains("there is no copy"), "{problem}");
}

#[test]
fn a_damaged_studio_is_named_and_what_is_left_comes_out() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    filled(&folder.path().join("studio.db"));
    let mut bytes = std::fs::read(at("studio.db")).unwrap();
    for page in bytes.chunks_mut(4096).skip(12).step_by(9) {
        page.fill(0xa5);
    }
    std::fs::write(at("studio.db"), &bytes).unwrap();
    let (code, _, problem) = run(&["check", "--data", &at("studio.db")]);
    assert_eq!(code, Some(3), "{problem}");
    assert!(problem.contains("is damaged") && problem.contains("lengthwise salvage --data"), "{problem}");
    let (code, told, problem) = run(&["salvage", "--data", &at("studio.db"), &at("new.db")]);
    assert_eq!(code, Some(0), "{problem}");
    assert!(told.contains("12 golfers") && told.contains("Could not be read"), "{told}");
    let (code, told, problem) = run(&["check", "--data", &at("new.db")]);
    assert_eq!(code, Some(0), "{told}{problem}");
    assert!(std::fs::read(at("studio.db")).unwrap() == bytes, "the damaged file is as it lay");
    let (code, _, problem) = run(&["salvage", "--data", &at("studio.db"), &at("new.db")]);
    assert_eq!(code, Some(3));
    assert!(problem.contains("there is a file of that name already"), "{problem}");
}

#[test]
fn what_is_no_studio_is_named_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::write(at("letter.txt"), "a letter, longer than a header is").unwrap();
    for command in ["check", "backup"] {
        let (code, _, problem) = run(&[command, "--data", &at("letter.txt")]);
        assert_eq!(code, Some(3), "{command}");
        assert!(problem.contains("is not a studio"), "{problem}");
        let (code, _, problem) = run(&[command, "--data", &at("nothing.db")]);
        assert_eq!(code, Some(3), "{command}");
        assert!(problem.contains("there is no studio"), "{problem}");
        assert!(!folder.path().join("nothing.db").exists(), "none is made");
    }
    let (code, _, problem) = run(&["import", "--data", &at("new.db"), &at("letter.txt")]);
    assert_eq!(code, Some(2));
    assert!(problem.contains("studio file"), "{problem}");
    assert!(!folder.path().join("new.db").exists(), "a file that cannot be read makes no studio");
    assert_eq!(std::fs::read_to_string(at("letter.txt")).unwrap(), "a letter, longer than a header is");
}

#[test]
fn only_this_machine_is_served() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("studio.db");
    for address in ["0.0.0.0:0", "192.0.2.1:7700", "[::]:0"] {
        let (code, _, problem) = run(&["serve", "--data", data.to_str().unwrap(), "--listen", address]);
        assert_eq!(code, Some(2), "{address}");
        assert!(problem.contains("address of this machine itself"), "{problem}");
    }
}
