//! Everything of one golfer in one archive (ZIP): the studio file, tables, pictures, and a page anybody can read.
//!
//! The page is made of the same records as the file, field by field, so that nothing can be in one and not in the other.

use crate::{HealthRemarks, export_csv, export_json};
use serde_json::Value;
use std::io::{Cursor, Write};
use studio::{Dossier, HouseSettings, Id, ShelfRecords};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

/// Writes the archive; `pictures` are the golfer's photos as they are kept.
///
/// # Panics
/// Never: memory takes what is written, and names are our own.
#[must_use]
pub fn archive(house: &HouseSettings, dossier: &Dossier, pictures: &[(Id, Vec<u8>)]) -> Vec<u8> {
    let dossiers = std::slice::from_ref(dossier);
    let json = export_json(house, &ShelfRecords::default(), dossiers, HealthRemarks::Included);
    let page = page(&json);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let text = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    let picture = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    let mut add = |name: &str, options: SimpleFileOptions, bytes: &[u8]| {
        zip.start_file(name, options).and_then(|()| Ok(zip.write_all(bytes)?)).expect("memory takes it");
    };
    add("read-me.html", text, page.as_bytes());
    add("golfer.json", text, json.as_bytes());
    for table in export_csv(dossiers, HealthRemarks::Included) {
        add(&format!("tables/{}", table.name), text, table.text.as_bytes());
    }
    for (id, bytes) in pictures {
        add(&format!("photos/{id}.jpg"), picture, bytes);
    }
    zip.finish().expect("memory takes it").into_inner()
}

/// The records as a page: one heading for each kind, one list for each record.
fn page(json: &str) -> String {
    let document: Value = serde_json::from_str(json).unwrap_or_default();
    let golfer = &document["golfers"][0];
    let name = golfer["golfer"]["name"].as_str().unwrap_or_default();
    let mut body = String::new();
    for (kind, records) in golfer.as_object().into_iter().flatten() {
        let records: Vec<&Value> = match records {
            Value::Array(records) => records.iter().collect(),
            one => vec![one],
        };
        if records.is_empty() {
            continue;
        }
        body += &format!("<h2>{}</h2>\n", escaped(&worded(kind)));
        for record in records {
            body += &listed(record);
        }
    }
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{name}</title><style>body{{font-family:sans-serif;max-width:50em;margin:2em auto;line-height:1.4}}dl{{border-top:1px solid #999;padding-top:.5em}}dt{{font-weight:bold}}dd{{margin:0 0 .3em 1em;overflow-wrap:anywhere;white-space:pre-wrap}}</style></head>\n<body><h1>{name}</h1>\n<p>Everything the studio keeps of this golfer. The same stands in golfer.json and, for a spreadsheet, in tables; photos are in the folder of that name. Lengths that end in _m are metres, masses in _kg kilograms, moments in _ms milliseconds since 1970.</p>\n{body}</body></html>\n",
        name = escaped(name),
    )
}

fn listed(record: &Value) -> String {
    let fields = record.as_object().into_iter().flatten().filter(|(_, value)| !value.is_null());
    let lines: String = fields
        .map(|(name, value)| {
            format!("<dt>{}</dt><dd>{}</dd>\n", escaped(&worded(name)), escaped(&plain(value)))
        })
        .collect();
    format!("<dl>\n{lines}</dl>\n")
}

fn worded(name: &str) -> String {
    name.replace('_', " ")
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Bool(flag) => if *flag { "yes" } else { "no" }.to_owned(),
        other => other.to_string(),
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::{archive, escaped};
    use fitting::Handedness;
    use std::io::{Cursor, Read};
    use studio::{Dossier, GolferFile, HouseSettings, Id, Kept, Photo, Remark};
    use zip::ZipArchive;

    fn id(last: u8) -> Id {
        Id::parse(&format!("01938a6e-1b2c-7def-8123-4567890000{last:02}")).unwrap()
    }

    fn dossier() -> Dossier {
        let golfer = GolferFile {
            contact: Some("Quokka01 <b>".to_owned()),
            ..GolferFile::new(id(1), "Ona & Bo", Handedness::Left).unwrap()
        };
        let remark = Remark {
            id: id(2),
            golfer: id(1),
            text: "Quokka02".to_owned(),
            health_consent: Some(jiff::civil::date(2026, 11, 20)),
            by: "Quokka03".to_owned(),
            at_ms: 1,
            removed: false,
        };
        let photo = Photo {
            id: id(3),
            golfer: id(1),
            club: None,
            caption: Some("Quokka04".to_owned()),
            bytes: 3,
            width: 1,
            height: 1,
            by: "Quokka05".to_owned(),
            at_ms: 1,
            removed: false,
        };
        Dossier {
            golfer: Kept { record: golfer, revision: 1 },
            remarks: vec![Kept { record: remark, revision: 1 }],
            photos: vec![Kept { record: photo, revision: 1 }],
            visits: Vec::new(),
            readings: Vec::new(),
            clubs: Vec::new(),
            targets: Vec::new(),
            trials: Vec::new(),
            strikes: Vec::new(),
            jobs: Vec::new(),
            ticks: Vec::new(),
            follow_ups: Vec::new(),
        }
    }

    #[test]
    fn every_value_stands_in_the_file_and_on_the_page() {
        let bytes = archive(&HouseSettings::usual(), &dossier(), &[(id(3), b"jpg".to_vec())]);
        let mut zip = ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut text = |name: &str| {
            let mut text = String::new();
            zip.by_name(name).unwrap().read_to_string(&mut text).unwrap();
            text
        };
        let (page, json) = (text("read-me.html"), text("golfer.json"));
        assert_eq!(text(&format!("photos/{}.jpg", id(3))), "jpg");
        assert!(text("tables/remarks.csv").contains("Quokka02"));
        for place in 1..=5 {
            let word = format!("Quokka{place:02}");
            assert!(page.contains(&word) && json.contains(&word), "{word}");
        }
        assert!(page.contains("Ona &amp; Bo") && !page.contains("<b>"));
    }

    #[test]
    fn what_is_typed_is_text() {
        assert_eq!(escaped("<i>\"&"), "&lt;i&gt;&quot;&amp;");
    }
}
