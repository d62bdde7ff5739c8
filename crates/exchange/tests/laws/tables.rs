//! Tables written for a spreadsheet hold every record, and no cell a spreadsheet would run.

use crate::studios::any_golfers;
use exchange::{Encoding, HealthRemarks, Separator, Source, export_csv, guarded, sniff, unguarded};
use proptest::prelude::*;
use std::collections::HashMap;
use studio::{Dossier, Kind, Subject};

/// A table as rows of header to cell, read by another reader than ours, guards still on.
fn rows(dossiers: &[Dossier], name: &str) -> Vec<HashMap<String, String>> {
    let files = export_csv(dossiers, HealthRemarks::Included);
    let text = &files.iter().find(|file| file.name == name).unwrap().text;
    let plain = text.strip_prefix('\u{feff}').unwrap();
    csv::Reader::from_reader(plain.as_bytes()).deserialize().collect::<Result<_, _>>().unwrap()
}

fn shown(text: Option<&str>) -> String {
    text.unwrap_or_default().to_owned()
}

proptest! {
    #[test]
    fn a_guarded_text_reads_back_and_begins_no_formula(text in prop_oneof!["['=+\\-@\t\r\\x00a]{0,6}", any::<String>()]) {
        let cell = guarded(&text);
        prop_assert_eq!(unguarded(&cell), &text);
        prop_assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\0']));
        // nothing is done to a text that needs nothing
        prop_assert!(cell == text || text.trim_start_matches('\'').starts_with(['=', '+', '-', '@', '\t', '\r', '\0']));
    }

    #[test]
    fn every_table_holds_its_records_in_order(golfers in any_golfers()) {
        let mut golfers = golfers;
        golfers.sort_by(|a, b| a.golfer.record.id.cmp(&b.golfer.record.id));
        let people = rows(&golfers, "golfers.csv");
        prop_assert_eq!(people.len(), golfers.len());
        for (row, golfer) in people.iter().zip(golfers.iter().map(|dossier| &dossier.golfer.record)) {
            prop_assert_eq!(&row["id"], golfer.id.as_str());
            prop_assert_eq!(unguarded(&row["name"]), &golfer.name);
            prop_assert_eq!(unguarded(&row["contact"]), shown(golfer.contact.as_deref()));
            prop_assert_eq!(unguarded(&row["overruled"]), shown(golfer.overruled.as_deref()));
            prop_assert_eq!(&row["plays"], golfer.plays.words());
            prop_assert_eq!(&row["born"], &golfer.born.map(|day| day.to_string()).unwrap_or_default());
            prop_assert_eq!(&row["removed"], if golfer.removed { "yes" } else { "no" });
        }
        let readings: Vec<_> = golfers.iter().flat_map(|dossier| dossier.readings.iter().map(move |kept| (dossier, &kept.record))).collect();
        let table = rows(&golfers, "readings.csv");
        prop_assert_eq!(table.len(), readings.len());
        for (row, (dossier, reading)) in table.iter().zip(readings) {
            prop_assert_eq!(&row["id"], reading.id.as_str());
            prop_assert_eq!(unguarded(&row["golfer"]), &dossier.golfer.record.name);
            prop_assert_eq!(unguarded(&row["typed"]), &reading.typed);
            prop_assert_eq!(unguarded(&row["by"]), &reading.by);
            prop_assert_eq!(&row["field"], reading.field.key());
            prop_assert_eq!(&row["day"], &reading.day.to_string());
            // the value to the last bit, with the unit of its kind
            prop_assert_eq!(row["value_si"].parse::<f64>().ok().map(f64::to_bits), reading.value_si.map(f64::to_bits));
            let unit = match reading.field.kind() {
                Kind::Height | Kind::Small => "m",
                Kind::Mass => "kg",
                Kind::Angle => "rad",
                Kind::Frequency => "Hz",
                Kind::Speed => "m/s",
                Kind::Swingweight => "kg m",
                Kind::Material | Kind::Construction | Kind::Conditions => "",
            };
            prop_assert_eq!(&row["unit"], unit);
            prop_assert_eq!(row["club"].is_empty(), reading.field.subject() == Subject::Body);
            prop_assert_eq!(row["job_number"].is_empty(), reading.job.is_none());
            let at: jiff::Timestamp = row["at_utc"].parse().unwrap();
            prop_assert_eq!(at.as_millisecond(), reading.at_ms);
        }
        let counts = [
            ("clubs.csv", golfers.iter().map(|dossier| dossier.clubs.len()).sum::<usize>()),
            ("jobs.csv", golfers.iter().map(|dossier| dossier.jobs.len()).sum()),
            ("follow_ups.csv", golfers.iter().map(|dossier| dossier.follow_ups.len()).sum()),
            ("remarks.csv", golfers.iter().map(|dossier| dossier.remarks.len()).sum()),
        ];
        for (name, count) in counts {
            prop_assert_eq!(rows(&golfers, name).len(), count, "{}", name);
        }
        let remarks = golfers.iter().flat_map(|dossier| &dossier.remarks);
        for (row, remark) in rows(&golfers, "remarks.csv").iter().zip(remarks) {
            prop_assert_eq!(unguarded(&row["text"]), &remark.record.text);
        }
    }

    #[test]
    fn only_numbers_begin_with_a_sign(golfers in any_golfers()) {
        for file in export_csv(&golfers, HealthRemarks::Included) {
            let plain = file.text.strip_prefix('\u{feff}').unwrap();
            for record in csv::ReaderBuilder::new().from_reader(plain.as_bytes()).into_records() {
                for cell in &record.unwrap() {
                    let begins_a_formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\0']);
                    prop_assert!(!begins_a_formula || cell.parse::<f64>().is_ok_and(f64::is_finite), "{}: {:?}", file.name, cell);
                }
            }
        }
    }

    #[test]
    fn health_remarks_stay_here_when_asked(golfers in any_golfers()) {
        let files = export_csv(&golfers, HealthRemarks::LeftOut);
        let text = &files.iter().find(|file| file.name == "remarks.csv").unwrap().text;
        let left: usize = csv::Reader::from_reader(text.as_bytes()).records().count();
        let plain = golfers.iter().flat_map(|dossier| &dossier.remarks).filter(|kept| kept.record.health_consent.is_none());
        prop_assert_eq!(left, plain.count());
    }

    /// Our own tables are read by our own reader like anybody's.
    #[test]
    fn what_we_write_we_read(golfers in any_golfers()) {
        for file in export_csv(&golfers, HealthRemarks::Included) {
            let theirs: Vec<csv::StringRecord> =
                csv::Reader::from_reader(file.text.as_bytes()).into_records().collect::<Result<_, _>>().unwrap();
            if theirs.is_empty() {
                continue;
            }
            let table = sniff(file.text.as_bytes()).unwrap();
            let source = Source::Text { encoding: Encoding::Utf8, separator: Separator::Comma };
            prop_assert_eq!(table.source, source);
            prop_assert_eq!(table.rows.len(), theirs.len());
            for (row, record) in table.rows.iter().zip(&theirs) {
                let cells: Vec<&str> = record.iter().map(unguarded).collect();
                prop_assert_eq!(&row.cells, &cells);
            }
        }
    }
}
