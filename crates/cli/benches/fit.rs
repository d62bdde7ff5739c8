//! How long the main job takes: a 13-club card to plan, report and both sheets.
//!
//! `cargo bench -p cli`. The whole program is timed as a script would run it, start-up and files included;
//! beside it the parts that run inside.
#![expect(clippy::unwrap_used, reason = "a benchmark that cannot run has nothing to time")]

use divan::{Bencher, black_box};
use jiff::civil::date;
use std::process::{Command, Stdio};

const CARD: &str = include_str!("../../../examples/tall.toml");

fn main() {
    assert_eq!(CARD.matches("[[club]]").count(), 13, "the figure in the docs is for 13 clubs");
    divan::main();
}

#[divan::bench]
fn program_fit_with_both_sheets(bencher: Bencher) {
    let folder = tempfile::tempdir().unwrap();
    let (card, sheet) = (folder.path().join("card.toml"), folder.path().join("job.html"));
    std::fs::write(&card, CARD).unwrap();
    bencher.bench(|| {
        let status = Command::new(env!("CARGO_BIN_EXE_lengthwise"))
            .args(["fit".as_ref(), card.as_os_str(), "--sheet".as_ref(), sheet.as_os_str()])
            .stdout(Stdio::null())
            .status()
            .unwrap();
        assert!(status.success());
    });
}

#[divan::bench]
fn read_the_card(bencher: Bencher) {
    bencher.bench(|| card::read(black_box(CARD), date(2026, 11, 3)).unwrap());
}

#[divan::bench]
fn plan_the_set(bencher: Bencher) {
    let card = card::read(CARD, date(2026, 11, 3)).unwrap();
    bencher.bench(|| black_box(&card).plan().unwrap());
}

#[divan::bench]
fn write_the_job_sheet(bencher: Bencher) {
    let plan = card::read(CARD, date(2026, 11, 3)).unwrap().plan().unwrap();
    bencher.bench(|| sheet::job_sheet(black_box(&plan), date(2026, 11, 3), &sheet::Letterhead::default()));
}

#[divan::bench]
fn write_the_golfers_sheet(bencher: Bencher) {
    let plan = card::read(CARD, date(2026, 11, 3)).unwrap().plan().unwrap();
    bencher.bench(|| sheet::golfer_sheet(black_box(&plan), date(2026, 11, 3), &sheet::Letterhead::default()));
}
