//! Writing a studio file.

use super::record_lines::RecordLines;
use super::{FORMAT, VERSION};
use crate::HealthRemarks;
use crate::outgoing::by_id;
use serde::Serialize;
use studio::{
    Dossier, FollowUp, GolferFile, HouseSettings, JobFile, Kept, KeptTarget, OwnedClub, Photo, Reading,
    Remark, ShelfRecords, StockMove, StockedPart, StrikeMark, Tick, TrialFile, Visit,
};

/// The document. The keys are part of the format: see `docs/exchange.md`.
#[derive(Serialize)]
struct Document<'d> {
    format: &'static str,
    version: u64,
    house: &'d HouseSettings,
    parts: Vec<&'d StockedPart>,
    stock: Vec<&'d StockMove>,
    golfers: Vec<GolferPart<'d>>,
}

/// A golfer's part of it.
#[derive(Serialize)]
struct GolferPart<'d> {
    golfer: &'d GolferFile,
    visits: Vec<&'d Visit>,
    trials: Vec<&'d TrialFile>,
    strikes: Vec<&'d StrikeMark>,
    readings: Vec<&'d Reading>,
    clubs: Vec<&'d OwnedClub>,
    targets: Vec<&'d KeptTarget>,
    jobs: Vec<&'d JobFile>,
    ticks: Vec<&'d Tick>,
    follow_ups: Vec<&'d FollowUp>,
    remarks: Vec<&'d Remark>,
    photos: Vec<&'d Photo>,
}

fn records<T>(kept: &[Kept<T>]) -> Vec<&T> {
    kept.iter().map(|kept| &kept.record).collect()
}

/// Writes the studio file of these golfers.
///
/// The same records give the same bytes, in whatever order golfers, parts and what came and went are given. The shelf of
/// a single golfer's file is empty: it is the house's. A file that shall be read again
/// stays under [`super::LARGEST_STUDIO_FILE`].
///
/// # Panics
/// Never: records are plain text and numbers, and memory takes them.
#[must_use]
pub fn export_json(
    house: &HouseSettings,
    shelf: &ShelfRecords,
    dossiers: &[Dossier],
    health: HealthRemarks,
) -> String {
    let golfers = by_id(dossiers)
        .into_iter()
        .map(|dossier| GolferPart {
            golfer: &dossier.golfer.record,
            visits: records(&dossier.visits),
            trials: records(&dossier.trials),
            strikes: records(&dossier.strikes),
            readings: records(&dossier.readings),
            clubs: records(&dossier.clubs),
            targets: records(&dossier.targets),
            jobs: records(&dossier.jobs),
            ticks: records(&dossier.ticks),
            follow_ups: records(&dossier.follow_ups),
            remarks: health.of(dossier).collect(),
            photos: records(&dossier.photos),
        })
        .collect();
    let mut bytes = Vec::new();
    let mut serializer = serde_json::Serializer::with_formatter(&mut bytes, RecordLines::default());
    let mut parts: Vec<&StockedPart> = shelf.parts.iter().collect();
    let mut stock: Vec<&StockMove> = shelf.moves.iter().collect();
    parts.sort_by_key(|part| &part.id);
    stock.sort_by_key(|moved| &moved.id);
    Document { format: FORMAT, version: VERSION, house, parts, stock, golfers }
        .serialize(&mut serializer)
        .expect("records have text for keys, and memory takes every byte");
    String::from_utf8(bytes).expect("JSON is written in UTF-8")
}
