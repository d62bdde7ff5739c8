//! The example studio, saved into a fresh store.

use example::Act;
use jiff::civil::{Date, date};
use store::{Address, Store};
use studio::{Dossier, HouseSettings, Record};
use tempfile::TempDir;

/// A Wednesday late in the season, and a time of day on it.
pub(crate) const TODAY: Date = date(2026, 11, 25);
pub(crate) const NOW_MS: i64 = 1_795_610_000_000;

/// A store that holds the example.
pub(crate) struct Place {
    pub(crate) store: Store,
    pub(crate) acts: Vec<Act>,
    pub(crate) house: HouseSettings,
    _folder: TempDir,
}

/// Saves the example into a fresh store.
pub(crate) async fn filled() -> Place {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&Address::File(folder.path().join("example.db"))).await.unwrap();
    let acts = example::studio(TODAY, NOW_MS);
    for act in &acts {
        let saved = store.save(act.changes.clone(), act.at_ms).await;
        let saved = saved.unwrap_or_else(|error| panic!("{}: {error}", act.changes.sentence));
        assert!(!saved.was_known, "{}", act.changes.sentence);
    }
    let house = store.house().await.unwrap().record;
    Place { store, acts, house, _folder: folder }
}

impl Place {
    /// Every golfer's dossier as the store has it, in the order in which they first came.
    pub(crate) async fn dossiers(&self) -> Vec<Dossier> {
        let mut dossiers = Vec::new();
        for put in self.acts.iter().flat_map(|act| &act.changes.puts) {
            if let (Record::Golfer(golfer), None) = (&put.record, put.seen) {
                dossiers.push(self.store.dossier(&golfer.id).await.unwrap());
            }
        }
        dossiers
    }

    /// One golfer's dossier.
    pub(crate) async fn dossier(&self, name: &str) -> Dossier {
        let dossiers = self.dossiers().await;
        dossiers.into_iter().find(|dossier| dossier.golfer.record.name == name).unwrap()
    }
}
