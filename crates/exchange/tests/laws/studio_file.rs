//! The studio file comes back whole, or is refused.

use crate::studios::{any_golfers, any_house, any_shelf, dossier_of, id_of};
use exchange::{
    ExchangeError, HealthRemarks, ImportedGolfer, ImportedStudio, LARGEST_STUDIO_FILE, MOST_GOLFERS,
    export_json, import_json,
};
use fitting::Handedness;
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::strategy::ValueTree;
use studio::{
    Dossier, GolferFile, HouseSettings, Id, Kept, OwnedClub, Reading, Record, RecordKind, ShelfRecords,
};

fn dossiers(studio: &ImportedStudio) -> Vec<Dossier> {
    studio.golfers.iter().map(|golfer| dossier_of(&golfer.records)).collect()
}

/// The records as a store gives them back that lists a kind by act, and within an act by id.
fn as_kept(golfer: &ImportedGolfer) -> Vec<Record> {
    let mut number = 0;
    let acts = golfer.acts("Ines", || {
        number += 1;
        id_of(1_000_000 + number)
    });
    let mut kept: Vec<(usize, Record)> = acts
        .into_iter()
        .enumerate()
        .flat_map(|(act, changes)| changes.puts.into_iter().map(move |put| (act, put.record)))
        .collect();
    kept.sort_by(|(act, record), (other_act, other)| {
        act.cmp(other_act).then_with(|| record.id().cmp(other.id()))
    });
    kept.into_iter().map(|(_, record)| record).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn export_import_export_is_equal_byte_for_byte(house in any_house(), shelf in any_shelf(), golfers in any_golfers()) {
        let text = export_json(&house, &shelf, &golfers, HealthRemarks::Included);
        let studio = import_json(text.as_bytes()).unwrap();
        prop_assert_eq!(&studio.house, &house);
        let mut sorted = golfers;
        sorted.sort_by(|a, b| a.golfer.record.id.cmp(&b.golfer.record.id));
        prop_assert_eq!(dossiers(&studio), sorted);
        prop_assert_eq!(export_json(&studio.house, &studio.shelf, &dossiers(&studio), HealthRemarks::Included), text);
    }
}

proptest! {
    #[test]
    fn the_order_in_which_golfers_are_fetched_does_not_count(house in any_house(), shelf in any_shelf(), mut golfers in any_golfers()) {
        let text = export_json(&house, &shelf, &golfers, HealthRemarks::Included);
        golfers.reverse();
        prop_assert_eq!(export_json(&house, &shelf, &golfers, HealthRemarks::Included), text);
    }

    #[test]
    fn what_others_hang_on_comes_first(house in any_house(), shelf in any_shelf(), golfers in any_golfers()) {
        let studio = import_json(export_json(&house, &shelf, &golfers, HealthRemarks::Included).as_bytes()).unwrap();
        for golfer in &studio.golfers {
            let places: Vec<usize> = golfer
                .records
                .iter()
                .map(|record| RecordKind::ALL.iter().position(|kind| *kind == record.kind()).unwrap())
                .collect();
            prop_assert!(places.is_sorted(), "{:?}", places);
        }
    }

    /// The reading that counts is the last one: it must be the same one behind a store.
    #[test]
    fn a_store_that_lists_by_act_and_id_keeps_the_order(house in any_house(), shelf in any_shelf(), golfers in any_golfers()) {
        let text = export_json(&house, &shelf, &golfers, HealthRemarks::Included);
        let studio = import_json(text.as_bytes()).unwrap();
        let behind: Vec<Dossier> = studio.golfers.iter().map(|golfer| dossier_of(&as_kept(golfer))).collect();
        prop_assert_eq!(export_json(&studio.house, &studio.shelf, &behind, HealthRemarks::Included), text);
        for golfer in &studio.golfers {
            // every act stands on the ones before it
            let mut number = 0;
            let mut met: Vec<Id> = Vec::new();
            for act in golfer.acts("Ines", || { number += 1; id_of(1_000_000 + number) }) {
                prop_assert_eq!(act.golfer(), Some(&golfer.golfer));
                for put in &act.puts {
                    let wanted: Vec<&Id> = match &put.record {
                        Record::Reading(reading) => reading.club.iter().chain(&reading.job).collect(),
                        Record::Tick(tick) => vec![&tick.job],
                        Record::FollowUp(follow_up) => follow_up.job.iter().collect(),
                        Record::Photo(photo) => photo.club.iter().collect(),
                        _ => Vec::new(),
                    };
                    for id in wanted {
                        prop_assert!(met.contains(id));
                    }
                    met.push(put.record.id().clone());
                }
            }
        }
    }

    /// The store refuses an act after which less than nothing would be left: in the order of the acts none does.
    #[test]
    fn what_came_is_brought_in_before_what_went(shelf in any_shelf()) {
        let text = export_json(&HouseSettings::usual(), &shelf, &[], HealthRemarks::Included);
        let studio = import_json(text.as_bytes()).unwrap();
        let (mut number, mut left) = (0, std::collections::BTreeMap::new());
        let acts = studio.shelf_acts("Ines", || { number += 1; id_of(2_000_000 + number) });
        for act in &acts {
            prop_assert!(act.check().is_ok());
            for put in &act.puts {
                if let Record::Stock(moved) = &put.record
                    && !moved.removed
                {
                    *left.entry((moved.part.clone(), moved.piece_mg)).or_insert(0) += moved.count;
                }
            }
            prop_assert!(left.values().all(|count| *count >= 0));
        }
        let records: usize = acts.iter().map(|act| act.puts.len()).sum();
        prop_assert_eq!(records, shelf.parts.len() + shelf.moves.len());
    }

    #[test]
    fn health_remarks_stay_here_when_asked(house in any_house(), shelf in any_shelf(), golfers in any_golfers()) {
        let text = export_json(&house, &shelf, &golfers, HealthRemarks::LeftOut);
        let studio = import_json(text.as_bytes()).unwrap();
        let mut expected = golfers;
        for dossier in &mut expected {
            dossier.remarks.retain(|kept| kept.record.health_consent.is_none());
        }
        expected.sort_by(|a, b| a.golfer.record.id.cmp(&b.golfer.record.id));
        prop_assert_eq!(dossiers(&studio), expected);
    }

    #[test]
    fn a_part_of_a_file_is_refused(house in any_house(), shelf in any_shelf(), golfers in any_golfers(), cuts in prop::collection::vec(any::<Index>(), 8)) {
        let text = export_json(&house, &shelf, &golfers, HealthRemarks::Included);
        for cut in cuts {
            prop_assert_eq!(import_json(&text.as_bytes()[..cut.index(text.len())]), Err(ExchangeError::Cut));
        }
    }

    #[test]
    fn a_byte_that_changed_never_brings_the_program_down(
        house in any_house(), shelf in any_shelf(), golfers in any_golfers(), at in any::<Index>(), byte in any::<u8>()
    ) {
        let mut bytes = export_json(&house, &shelf, &golfers, HealthRemarks::Included).into_bytes();
        let at = at.index(bytes.len());
        bytes[at] = byte;
        // what still reads is a studio that is written and read again
        if let Ok(studio) = import_json(&bytes) {
            let again = export_json(&studio.house, &studio.shelf, &dossiers(&studio), HealthRemarks::Included);
            prop_assert_eq!(import_json(again.as_bytes()).unwrap(), studio);
        }
    }

    #[test]
    fn any_bytes_are_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        prop_assert!(import_json(&bytes).is_err());
    }
}

/// A golfer with a club and a reading of it.
fn small() -> Dossier {
    let golfer = GolferFile::new(id_of(1), "Ines Falk", Handedness::Right).unwrap();
    let club =
        OwnedClub { id: id_of(2), golfer: id_of(1), name: "7 iron".to_owned(), way: None, removed: false };
    let reading = Reading {
        id: id_of(3),
        golfer: id_of(1),
        club: Some(id_of(2)),
        job: None,
        field: studio::Field::ClubLength,
        typed: "37 in".to_owned(),
        value_si: Some(37.0 * 0.0254),
        shoes: None,
        instrument: None,
        by: "Ines".to_owned(),
        day: jiff::civil::date(2026, 11, 3),
        at_ms: 0,
        removed: false,
    };
    let mut dossier = dossier_of(&[Record::Golfer(golfer)]);
    dossier.clubs.push(Kept { record: club, revision: 7 });
    dossier.readings.push(Kept { record: reading, revision: 1 });
    dossier
}

fn small_text() -> String {
    export_json(&HouseSettings::usual(), &ShelfRecords::default(), &[small()], HealthRemarks::Included)
}

#[test]
fn the_document_is_as_it_is_described() {
    let (golfer, club, reading) = (id_of(1), id_of(2), id_of(3));
    let expected = format!(
        r#"{{"format":"lengthwise studio","version":1,"house":{{"id":"00000000-0000-7000-8000-000000000001","values":{{}},"matchings":{{}},"learnt_rule":null,"removed":false}},"parts":[],"stock":[],"golfers":[
{{"golfer":{{"id":"{golfer}","name":"Ines Falk","contact":null,"plays":"right-handed","sex":"","born":null,"consent":null,"overruled":null,"hold":null,"removed":false}},"visits":[],"trials":[],"strikes":[],"readings":[
{{"id":"{reading}","golfer":"{golfer}","club":"{club}","job":null,"field":"length","typed":"37 in","value_si":0.9398,"shoes":null,"instrument":null,"by":"Ines","day":"2026-11-03","at_ms":0,"removed":false}}],"clubs":[
{{"id":"{club}","golfer":"{golfer}","name":"7 iron","way":null,"removed":false}}],"targets":[],"jobs":[],"ticks":[],"follow_ups":[],"remarks":[],"photos":[]}}]}}"#
    );
    assert_eq!(small_text(), expected);
}

#[test]
fn a_file_cut_at_any_byte_is_refused() {
    let text = small_text().replace("Ines Falk", "Łucja \u{1f3cc}");
    assert!(import_json(text.as_bytes()).is_ok());
    for cut in 0..text.len() {
        assert_eq!(import_json(&text.as_bytes()[..cut]), Err(ExchangeError::Cut), "{cut}");
    }
}

/// Changes the small file and tells why it is refused.
fn refused(from: &str, to: &str) -> String {
    let text = small_text();
    assert!(text.contains(from), "{from}");
    import_json(text.replace(from, to).as_bytes()).unwrap_err().to_string()
}

#[test]
fn another_version_is_refused_with_both() {
    let text = small_text().replace("\"version\":1", "\"version\":2,\"and\":{\"more\":[1]}");
    let error = import_json(text.as_bytes()).unwrap_err();
    assert_eq!(error, ExchangeError::UnknownVersion { found: 2, known: 1 });
    assert_eq!(error.to_string(), "the studio file has version 2; this program knows version 1");
    assert!(error.hint().contains("Install the newer version"));
}

#[test]
fn another_file_is_refused() {
    assert_eq!(
        refused("lengthwise studio", "shopping"),
        "expected a studio file, found the format \"shopping\""
    );
    for other in ["{}", "[]", "7", "{\"format\":1,\"version\":1}"] {
        assert!(matches!(import_json(other.as_bytes()), Err(ExchangeError::NotAStudio { .. })), "{other}");
    }
    assert!(matches!(import_json(b"Club,Length\n"), Err(ExchangeError::BadDocument { line: 1, .. })));
    assert_eq!(import_json(b"{\"format\":\"\xff\"}"), Err(ExchangeError::NotText));
    assert_eq!(import_json(b""), Err(ExchangeError::Cut));
    let deep = "[".repeat(100_000);
    assert!(import_json(deep.as_bytes()).is_err());
}

#[test]
fn what_this_version_would_not_write_is_refused_with_its_place() {
    // the fourth line holds the club: its id ends at 45, its golfer at 93, its name at 109; eight signs more are the key
    assert_eq!(
        refused("\"way\":null", "\"colour\":null"),
        "line 4, column 117 of the studio file: unknown field `colour`, expected one of `id`, `golfer`, `name`, `way`, `removed`"
    );
    assert!(refused("\"photos\":[]", "\"photos\":[],\"videos\":[]").contains("unknown field `videos`"));
    assert!(refused(",\"photos\":[]", "").contains("missing field `photos`"));
    assert!(
        refused("\"format\"", "\"format\":\"lengthwise studio\",\"format\"")
            .contains("expected a studio file")
    );
    assert!(refused("[]}]}", "[]}]} {}").contains("trailing characters"));
    assert!(refused("0.9398", "1e999").contains("number out of range"));
    assert!(refused("0.9398", "NaN").contains("expected value"));
}

#[test]
fn records_stand_under_their_golfer_and_each_id_once() {
    let (golfer, club, reading) = (id_of(1), id_of(2), id_of(3));
    let other = id_of(9);
    assert_eq!(
        refused(&format!("\"golfer\":\"{golfer}\",\"name\""), &format!("\"golfer\":\"{other}\",\"name\"")),
        format!("club {club} stands under golfer {golfer} and belongs to another")
    );
    assert_eq!(
        refused(&format!("\"id\":\"{reading}\""), &format!("\"id\":\"{club}\"")),
        format!("the id {club} stands twice")
    );
    assert_eq!(
        refused(&format!("\"club\":\"{club}\""), &format!("\"club\":\"{other}\"")),
        format!("reading {reading} is of club {other}, which is not there")
    );
    assert_eq!(
        refused("\"job\":null", &format!("\"job\":\"{club}\"")),
        format!("reading {reading} is of job {club}, which is not there")
    );
    let mut twice = small();
    twice.clubs.clear();
    twice.readings.clear();
    let text = export_json(
        &HouseSettings::usual(),
        &ShelfRecords::default(),
        &[twice.clone(), twice],
        HealthRemarks::Included,
    );
    assert_eq!(import_json(text.as_bytes()), Err(ExchangeError::SameId(golfer)));
}

#[test]
fn values_that_cannot_be_meant_are_refused() {
    let reading = id_of(3);
    assert_eq!(
        refused("\"37 in\"", "\"38 in\""),
        format!("reading {reading}: expected the value 0.9652 of \"38 in\", found 0.9398")
    );
    assert!(refused("\"37 in\"", "\"long\"").contains("expected a length such as"));
    assert!(refused("0.9398", "null").ends_with("found none"));
    assert_eq!(
        refused("\"field\":\"length\"", "\"field\":\"stature\""),
        format!("reading {reading}: expected Stature of the golfer, found a club")
    );
    assert_eq!(
        refused("\"club\":\"", "\"club\":null,\"instrument\":\"").split(": ").last(),
        Some("duplicate field `instrument`")
    );
    assert!(refused("Ines Falk", "a\\nb").contains("signs that cannot be shown"));
    assert!(refused("Ines Falk", " ").ends_with("expected a name, found nothing"));
    assert!(refused("7 iron", "a\\u202eb").contains("signs that cannot be shown"));
    assert!(
        refused("\"by\":\"Ines\"", "\"by\":\"a\\u0000b\"")
            .ends_with("by: expected signs that can be shown, found U+0000")
    );
    let long = format!("\"instrument\":\"{}\"", "x".repeat(4_001));
    assert!(
        refused("\"instrument\":null", &long)
            .ends_with("instrument: expected up to 4000 characters, found 4001")
    );
}

#[test]
fn a_house_the_bench_cannot_have_is_refused() {
    for values in [
        "{\"no_such\":\"1\"}",
        "{\"units\":\"cubits\"}",
        "{\"round_to\":\"1/3 in\"}",
        "{\"plain_extension\":\"3 in\"}",
        "{\"cap\":\"a\\u0000b\"}",
    ] {
        let error = refused("\"values\":{}", &format!("\"values\":{values}"));
        assert!(error.starts_with("house: "), "{values}: {error}");
    }
    let matched = |columns: usize| format!("\"matchings\":{{\"2-a\":[{}\"\"]}}", "\"\",".repeat(columns - 1));
    assert!(import_json(small_text().replace("\"matchings\":{}", &matched(200)).as_bytes()).is_ok());
    let error = refused("\"matchings\":{}", &matched(201));
    assert_eq!(error, "house: expected up to 200 columns of a spreadsheet, found 201");
    // each alone is refused by the other's usual value; together they stand
    let both = small_text().replace(
        "\"values\":{}",
        "\"values\":{\"caution_extension\":\"0.4 in\",\"plain_extension\":\"0.3 in\"}",
    );
    assert!(import_json(both.as_bytes()).is_ok());
    assert!(
        refused("00000000-0000-7000-8000-000000000001", "00000000-0000-7000-8000-000000000002")
            .starts_with("house: ")
    );
}

#[test]
fn two_jobs_of_one_number_are_refused() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let golfers = loop {
        let golfers = any_golfers().new_tree(&mut runner).unwrap().current();
        if golfers.iter().map(|dossier| dossier.jobs.len()).sum::<usize>() == 2 {
            break golfers;
        }
    };
    let text =
        export_json(&HouseSettings::usual(), &ShelfRecords::default(), &golfers, HealthRemarks::Included);
    assert!(import_json(text.as_bytes()).is_ok());
    let same = text.replace("\"number\":2,", "\"number\":1,");
    assert_eq!(import_json(same.as_bytes()), Err(ExchangeError::SameJobNumber(1)));
    assert!(import_json(text.replace("\"number\":2,", "\"number\":-2,").as_bytes()).is_err());
}

#[test]
fn limits_are_kept_and_what_stands_on_them_passes() {
    let golfers = |count: usize| -> Vec<Dossier> {
        (1..=count as u64)
            .map(|number| {
                dossier_of(&[Record::Golfer(GolferFile::new(id_of(number), "A", Handedness::Left).unwrap())])
            })
            .collect()
    };
    let read = |count: usize| {
        let text = export_json(
            &HouseSettings::usual(),
            &ShelfRecords::default(),
            &golfers(count),
            HealthRemarks::Included,
        );
        import_json(text.as_bytes())
    };
    assert_eq!(read(MOST_GOLFERS).unwrap().golfers.len(), MOST_GOLFERS);
    assert_eq!(
        read(MOST_GOLFERS + 1).unwrap_err().to_string(),
        "expected at most 20000 golfers in a studio file, found 20001"
    );
    let mut text = small_text();
    text.extend(std::iter::repeat_n(' ', LARGEST_STUDIO_FILE - text.len()));
    assert!(import_json(text.as_bytes()).is_ok());
    text.push(' ');
    assert_eq!(
        import_json(text.as_bytes()).unwrap_err().to_string(),
        "expected at most 67108864 bytes in a studio file, found 67108865"
    );
    // refused before anything is built from them
    let house = |columns: usize| {
        let columns = "0,".repeat(columns);
        refused("\"matchings\":{}", &format!("\"matchings\":{{\"2-a\":[{columns}0]}}"))
    };
    assert!(
        house(1_100_000).starts_with("expected at most 2097152 bytes in a record of a studio file, found")
    );
}

/// A shelf of one part, and what is wrong with it.
fn broken_shelf(break_it: impl Fn(&mut ShelfRecords)) -> ExchangeError {
    let mut shelf = crate::studios::small_shelf();
    break_it(&mut shelf);
    let text = export_json(&HouseSettings::usual(), &shelf, &[small()], HealthRemarks::Included);
    import_json(text.as_bytes()).unwrap_err()
}

#[test]
fn a_shelf_that_cannot_be_is_refused() {
    assert!(matches!(broken_shelf(|shelf| shelf.moves[0].count = -1), ExchangeError::BadRecord { .. }));
    assert!(matches!(broken_shelf(|shelf| shelf.moves[0].count = 0), ExchangeError::BadRecord { .. }));
    assert!(matches!(broken_shelf(|shelf| shelf.moves[0].part = id_of(77)), ExchangeError::NotThere { .. }));
    assert!(matches!(
        broken_shelf(|shelf| shelf.moves[0].id = shelf.parts[0].id.clone()),
        ExchangeError::SameId(_)
    ));
    assert!(matches!(
        broken_shelf(|shelf| shelf.parts[0].cost = Some(studio::Money::cents(-1))),
        ExchangeError::BadRecord { .. }
    ));
    assert!(matches!(
        broken_shelf(|shelf| shelf.parts[0].diameter_m = Some(1e308)),
        ExchangeError::BadRecord { .. }
    ));
}

/// A file from before the shelf was kept has none.
#[test]
fn a_file_without_a_shelf_is_read() {
    let text =
        export_json(&HouseSettings::usual(), &ShelfRecords::default(), &[small()], HealthRemarks::Included);
    let older = text.replace("\"parts\":[],\"stock\":[],", "");
    assert_ne!(older, text);
    assert_eq!(import_json(older.as_bytes()).unwrap(), import_json(text.as_bytes()).unwrap());
}
