//! Reading a studio file: all of it, or nothing and why.

use super::{FORMAT, LARGEST_STUDIO_FILE, MOST_GOLFERS, VERSION, amount, check};
use crate::ExchangeError;
use serde::Deserialize;
use serde_json::error::Category;
use std::collections::{BTreeSet, HashMap};
use studio::{
    Changes, FollowUp, GolferFile, HouseSettings, Id, JobFile, KeptTarget, OwnedClub, Photo, Reading, Record,
    RecordKind, Remark, ShelfRecords, StockMove, StockedPart, StrikeMark, Tick, TrialFile, Visit,
};

/// A studio as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportedStudio {
    /// The house's settings.
    pub house: HouseSettings,
    /// The shelf.
    pub shelf: ShelfRecords,
    /// The golfers, in the order of the file.
    pub golfers: Vec<ImportedGolfer>,
}

/// Most records of the shelf that are brought in by one act. House choice: under what an act may hold.
const SHELF_ACT: usize = 1000;

impl ImportedStudio {
    /// Makes acts that bring the shelf in: the parts, what came, then what went, so that no act takes what is not there
    /// yet.
    #[must_use]
    pub fn shelf_acts(&self, by: &str, mut new_id: impl FnMut() -> Id) -> Vec<Changes> {
        let moves = |came: bool| self.shelf.moves.iter().filter(move |moved| (moved.count > 0) == came);
        let records: Vec<Record> = (self.shelf.parts.iter().cloned().map(Record::from))
            .chain(moves(true).chain(moves(false)).cloned().map(Record::from))
            .collect();
        let acts = records.chunks(SHELF_ACT);
        acts.map(|records| {
            let act = Changes::new(new_id(), by, "The shelf, brought in from a studio file");
            records.iter().cloned().fold(act, Changes::with_new)
        })
        .collect()
    }
}

/// A golfer as read.
#[derive(Debug, Clone, PartialEq)]
pub struct ImportedGolfer {
    /// The golfer.
    pub golfer: Id,
    /// The golfer's file, visits, clubs, jobs and then the rest: what others hang on stands before them. Within a kind the
    /// order is that of the file.
    pub records: Vec<Record>,
}

impl ImportedGolfer {
    /// Returns their name.
    #[must_use]
    pub fn name(&self) -> &str {
        self.records
            .iter()
            .find_map(|record| match record {
                Record::Golfer(file) => Some(file.name.as_str()),
                _ => None,
            })
            .unwrap_or_default()
    }

    /// The same golfer without these records, which nothing else hangs on.
    #[must_use]
    pub fn without(&self, ids: &BTreeSet<Id>) -> Self {
        let records = self.records.iter().filter(|record| !ids.contains(record.id()));
        Self { golfer: self.golfer.clone(), records: records.cloned().collect() }
    }

    /// Makes acts that a store keeps in the order of the file.
    ///
    /// A store lists the records of a kind by act, and within an act by id. So an act ends before a record whose id
    /// stands before that of the one it follows, and the reading that counted where the file was written counts here.
    /// The acts are saved in this order, together: each stands on the ones before it.
    #[must_use]
    pub fn acts(&self, by: &str, mut new_id: impl FnMut() -> Id) -> Vec<Changes> {
        let mut acts: Vec<Vec<&Record>> = Vec::new();
        let mut place_of: HashMap<&Id, usize> = HashMap::new();
        let mut last: Option<(RecordKind, usize, &Id)> = None;
        for record in &self.records {
            let follows = match last {
                Some((kind, act, id)) if kind == record.kind() => act + usize::from(record.id() < id),
                _ => 0,
            };
            let stands_on =
                hangs_on(record).filter_map(|(_, id)| place_of.get(id)).copied().max().unwrap_or(0);
            let act = follows.max(stands_on);
            if acts.len() <= act {
                acts.resize_with(act + 1, Vec::new);
            }
            acts[act].push(record);
            place_of.insert(record.id(), act);
            last = Some((record.kind(), act, record.id()));
        }
        acts.into_iter()
            .map(|records| {
                let act = Changes::new(new_id(), by, "Brought in from a studio file");
                records.into_iter().cloned().fold(act, Changes::with_new)
            })
            .collect()
    }
}

/// The records a record hangs on beside its golfer, with what they are.
pub(super) fn hangs_on(record: &Record) -> impl Iterator<Item = (RecordKind, &Id)> {
    if let Record::Strike(strike) = record {
        return Some((RecordKind::Trial, &strike.trial)).into_iter().chain(None);
    }
    let (club, job) = match record {
        Record::Reading(reading) => (reading.club.as_ref(), reading.job.as_ref()),
        Record::Tick(tick) => (None, Some(&tick.job)),
        Record::FollowUp(follow_up) => (None, follow_up.job.as_ref()),
        Record::Photo(photo) => (photo.club.as_ref(), None),
        Record::Golfer(_)
        | Record::Visit(_)
        | Record::Club(_)
        | Record::Job(_)
        | Record::Trial(_)
        | Record::Strike(_)
        | Record::Target(_)
        | Record::Remark(_)
        | Record::House(_)
        | Record::Part(_)
        | Record::Stock(_) => (None, None),
    };
    club.map(|club| (RecordKind::Club, club)).into_iter().chain(job.map(|job| (RecordKind::Job, job)))
}

/// What every version of the format begins with.
#[derive(Deserialize)]
struct Head {
    format: String,
    version: u64,
}

/// The document of this version.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Document {
    #[serde(rename = "format")]
    _format: String,
    #[serde(rename = "version")]
    _version: u64,
    house: HouseSettings,
    #[serde(default)]
    parts: Vec<StockedPart>,
    #[serde(default)]
    stock: Vec<StockMove>,
    golfers: Vec<GolferPart>,
}

/// A golfer's part of it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct GolferPart {
    golfer: GolferFile,
    visits: Vec<Visit>,
    #[serde(default)]
    trials: Vec<TrialFile>,
    #[serde(default)]
    strikes: Vec<StrikeMark>,
    readings: Vec<Reading>,
    clubs: Vec<OwnedClub>,
    targets: Vec<KeptTarget>,
    jobs: Vec<JobFile>,
    ticks: Vec<Tick>,
    follow_ups: Vec<FollowUp>,
    remarks: Vec<Remark>,
    photos: Vec<Photo>,
}

impl From<GolferPart> for ImportedGolfer {
    fn from(part: GolferPart) -> Self {
        fn all<T: Into<Record>>(records: Vec<T>) -> impl Iterator<Item = Record> {
            records.into_iter().map(Into::into)
        }
        let golfer = part.golfer.id.clone();
        let records = std::iter::once(Record::from(part.golfer))
            .chain(all(part.visits))
            .chain(all(part.clubs))
            .chain(all(part.jobs))
            .chain(all(part.trials))
            .chain(all(part.readings))
            .chain(all(part.targets))
            .chain(all(part.ticks))
            .chain(all(part.strikes))
            .chain(all(part.follow_ups))
            .chain(all(part.remarks))
            .chain(all(part.photos))
            .collect();
        Self { golfer, records }
    }
}

/// Reads a studio file.
///
/// # Errors
/// The first thing this version would not have written: too large, another format or version, a field that is not
/// known, a record under another golfer, an id or job number twice, a record that hangs on one that is not there, a
/// reading that cannot be read, a name that is none.
pub fn import_json(bytes: &[u8]) -> Result<ImportedStudio, ExchangeError> {
    if bytes.len() > LARGEST_STUDIO_FILE {
        return Err(ExchangeError::TooMuch {
            what: "bytes in a studio file",
            most: LARGEST_STUDIO_FILE,
            found: bytes.len(),
        });
    }
    let text = std::str::from_utf8(bytes).map_err(|error| match error.error_len() {
        None => ExchangeError::Cut,
        Some(_) => ExchangeError::NotText,
    })?;
    let head: Head = serde_json::from_str(text).map_err(|error| match error.classify() {
        Category::Data => ExchangeError::NotAStudio { found: "another document".to_owned() },
        Category::Io | Category::Syntax | Category::Eof => refused(text, &error),
    })?;
    if head.format != FORMAT {
        let found: String = head.format.chars().take(40).collect();
        return Err(ExchangeError::NotAStudio { found: format!("the format \"{found}\"") });
    }
    if head.version != VERSION {
        return Err(ExchangeError::UnknownVersion { found: head.version, known: VERSION });
    }
    amount::check(text)?;
    let document: Document = serde_json::from_str(text).map_err(|error| refused(text, &error))?;
    if document.golfers.len() > MOST_GOLFERS {
        return Err(ExchangeError::TooMuch {
            what: "golfers in a studio file",
            most: MOST_GOLFERS,
            found: document.golfers.len(),
        });
    }
    let studio = ImportedStudio {
        house: document.house,
        shelf: ShelfRecords { parts: document.parts, moves: document.stock },
        golfers: document.golfers.into_iter().map(ImportedGolfer::from).collect(),
    };
    check::studio(&studio)?;
    Ok(studio)
}

/// Says what the parser found, with its place apart.
fn refused(text: &str, error: &serde_json::Error) -> ExchangeError {
    if error.classify() == Category::Eof || ends_in_a_number(text, error) {
        return ExchangeError::Cut;
    }
    let message = error.to_string();
    let place = format!(" at line {} column {}", error.line(), error.column());
    ExchangeError::BadDocument {
        line: error.line(),
        column: error.column(),
        message: message.strip_suffix(&place).unwrap_or(&message).to_owned(),
    }
}

/// Tells whether the text was cut behind `0.` or the like, which the parser calls a bad number and not an end.
fn ends_in_a_number(text: &str, error: &serde_json::Error) -> bool {
    let last_line = text.rsplit('\n').next().unwrap_or_default();
    error.line() == text.matches('\n').count() + 1
        && error.column() == last_line.len()
        && last_line.ends_with(['.', 'e', 'E', '+', '-'])
}
