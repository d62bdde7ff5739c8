//! Any bytes taken for a table are read or refused, and so are the clubs in it.
#![no_main]

use exchange::{ClubRules, file_shape, guess_columns, read_clubs, sniff};
use libfuzzer_sys::fuzz_target;
use studio::{OwnedClub, Units};

fuzz_target!(|bytes: &[u8]| {
    let Ok(table) = sniff(bytes) else { return };
    let columns = guess_columns(&table);
    assert_eq!(columns.len(), table.header.cells.len());
    assert!(!file_shape(&table).is_empty());
    let rules = ClubRules { units: Units::Inches, owned: &["7 iron"], is_club: &OwnedClub::check_name };
    match read_clubs(&table, &columns, &rules) {
        Ok(clubs) => assert!(clubs.iter().all(|club| OwnedClub::check_name(&club.name).is_ok())),
        Err(problems) => assert!(!problems.is_empty()),
    }
});
