//! What a studio file must keep beyond its form: owners, ids, references, and values that can be meant.

use super::incoming::hangs_on;
use super::{ImportedStudio, LONGEST_CARD, LONGEST_TEXT};
use crate::ExchangeError;
use serde_json::Value;
use std::collections::{HashMap, HashSet};
use studio::{HouseSettings, Id, Part, Record, RecordKind, ShelfRecords, StudioError, plain_text};

/// Refuses the first thing a studio does not keep.
pub(super) fn studio(studio: &ImportedStudio) -> Result<(), ExchangeError> {
    house(&studio.house)?;
    let house_id = HouseSettings::fixed_id();
    let mut ids = HashSet::from([&house_id]);
    let mut numbers = HashSet::new();
    shelf(&studio.shelf, &mut ids)?;
    for golfer in &studio.golfers {
        // what was met so far of this golfer: the records stand in an order in which references look back
        let mut met: HashSet<(&'static str, &Id)> = HashSet::new();
        for record in &golfer.records {
            let (kind, id) = (record.kind().word(), record.id());
            if record.golfer() != Some(&golfer.golfer) {
                return Err(ExchangeError::WrongGolfer {
                    kind,
                    id: id.clone(),
                    under: golfer.golfer.clone(),
                });
            }
            if !ids.insert(id) {
                return Err(ExchangeError::SameId(id.clone()));
            }
            if let Some((of, wanted)) = hangs_on(record).find(|(of, id)| !met.contains(&(of.word(), *id))) {
                let wanted = wanted.clone();
                return Err(ExchangeError::NotThere { kind, id: id.clone(), of: of.word(), wanted });
            }
            if matches!(record.kind(), RecordKind::Club | RecordKind::Job | RecordKind::Trial) {
                met.insert((kind, id));
            }
            // number 0 is a job the store has not numbered yet
            if let Record::Job(job) = record
                && job.number != 0
                && !numbers.insert(job.number)
            {
                return Err(ExchangeError::SameJobNumber(job.number));
            }
            content(record).map_err(|why| ExchangeError::BadRecord {
                kind,
                id: id.clone(),
                message: why.message,
                hint: why.hint,
            })?;
        }
    }
    Ok(())
}

/// Parts and what came and went of them: each id once, nothing of a part that is not there, nothing less than nothing.
fn shelf<'s>(shelf: &'s ShelfRecords, ids: &mut HashSet<&'s Id>) -> Result<(), ExchangeError> {
    let mut left: HashMap<(&Id, Option<i64>), i64> = HashMap::new();
    let parts: HashSet<&Id> = shelf.parts.iter().map(|part| &part.id).collect();
    let records =
        (shelf.parts.iter().cloned().map(Record::from).zip(shelf.parts.iter().map(|part| &part.id))).chain(
            shelf.moves.iter().cloned().map(Record::from).zip(shelf.moves.iter().map(|moved| &moved.id)),
        );
    for (record, id) in records {
        let kind = record.kind().word();
        if !ids.insert(id) {
            return Err(ExchangeError::SameId(id.clone()));
        }
        content(&record).map_err(|why| ExchangeError::BadRecord {
            kind,
            id: id.clone(),
            message: why.message,
            hint: why.hint,
        })?;
    }
    for moved in &shelf.moves {
        if !parts.contains(&moved.part) {
            let (kind, of) = (RecordKind::Stock.word(), RecordKind::Part.word());
            return Err(ExchangeError::NotThere {
                kind,
                id: moved.id.clone(),
                of,
                wanted: moved.part.clone(),
            });
        }
        if !moved.removed {
            *left.entry((&moved.part, moved.piece_mg)).or_default() += moved.count;
        }
    }
    match left.into_iter().filter(|(_, count)| *count < 0).map(|((part, _), count)| (part, count)).min() {
        Some((part, count)) => Err(ExchangeError::BadRecord {
            kind: RecordKind::Part.word(),
            id: part.clone(),
            message: format!("expected no more taken from the shelf than came, found {} more", -count),
            hint: None,
        }),
        None => Ok(()),
    }
}

/// What is wrong with a record.
#[derive(Debug)]
struct Why {
    message: String,
    hint: Option<String>,
}

impl Why {
    fn new(message: impl Into<String>) -> Self {
        Self { message: message.into(), hint: None }
    }
}

impl From<StudioError> for Why {
    fn from(error: StudioError) -> Self {
        Self { message: error.to_string(), hint: error.hint() }
    }
}

fn content(record: &Record) -> Result<(), Why> {
    let form = serde_json::to_value(record).map_err(|error| Why::new(error.to_string()))?;
    texts("", &form)?;
    // the same that every other door asks
    Ok(record.check()?)
}

/// Every text of a record is of a length and of signs that can be shown.
fn texts(key: &str, value: &Value) -> Result<(), Why> {
    match value {
        Value::String(text) => one_text(key, text),
        Value::Array(items) => items.iter().try_for_each(|item| texts(key, item)),
        Value::Object(fields) => fields.iter().try_for_each(|(key, value)| texts(key, value)),
        Value::Null | Value::Bool(_) | Value::Number(_) => Ok(()),
    }
}

fn one_text(key: &str, text: &str) -> Result<(), Why> {
    let most = if key == "card" { LONGEST_CARD } else { LONGEST_TEXT };
    let count = text.chars().count();
    if count > most {
        return Err(Why::new(format!("{key}: expected up to {most} characters, found {count}")));
    }
    match text.chars().find(|sign| sign.is_control() && !matches!(sign, '\n' | '\r' | '\t')) {
        Some(sign) => {
            Err(Why::new(format!("{key}: expected signs that can be shown, found U+{:04X}", u32::from(sign))))
        }
        None => Ok(()),
    }
}

/// The settings are known, and the bench takes them together.
fn house(house: &HouseSettings) -> Result<(), ExchangeError> {
    let refused =
        |error: &StudioError| ExchangeError::BadHouse { message: error.to_string(), hint: error.hint() };
    if house.id != HouseSettings::fixed_id() || house.removed {
        let message = "expected the one record of settings, found another".to_owned();
        return Err(ExchangeError::BadHouse { message, hint: None });
    }
    for (key, value) in &house.values {
        // settings of the bench lean on each other and are judged together below
        let judged = match HouseSettings::setting(key).map(|setting| setting.part) {
            Some(Part::Card) => plain_text("setting", value).map(drop),
            Some(Part::Studio) | None => HouseSettings::usual().with(key, value).map(drop),
        };
        judged.map_err(|error| refused(&error))?;
    }
    house.check().map_err(|error| refused(&error))?;
    content(&Record::from(house.clone()))
        .map_err(|why| ExchangeError::BadHouse { message: why.message, hint: why.hint })
}

#[cfg(test)]
mod tests {
    use super::{one_text, texts};
    use serde_json::json;

    #[test]
    fn long_texts_and_control_signs_are_found_wherever_they_stand() {
        assert!(one_text("note", &"x".repeat(4_000)).is_ok());
        assert!(one_text("note", &"x".repeat(4_001)).is_err());
        assert!(one_text("card", &"x".repeat(4_001)).is_ok());
        let deep = json!({ "work": { "sections": [{ "steps": [{ "what": "a\u{0}b" }] }] } });
        assert_eq!(
            texts("", &deep).unwrap_err().message,
            "what: expected signs that can be shown, found U+0000"
        );
        assert!(
            texts("", &json!({ "text": "a\r\n\tb", "done": true, "value_si": 0.5, "none": null })).is_ok()
        );
    }
}
