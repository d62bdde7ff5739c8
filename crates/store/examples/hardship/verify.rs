//! What is left of a studio: opened as the product opens it, looked through, and written on.

use crate::restore::{first_copy, restored};
use crate::step::{act_id, number_of, picture};
use crate::work::{acted, state, studio_in};
use serde_json::{Value, json};
use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use store::{Address, Photos, Store, StoreError};
use tokio::sync::Semaphore;

/// Studios looked at side by side.
const AT_ONCE: usize = 2;

/// A line of standard input.
#[derive(serde::Deserialize)]
struct Asked {
    folder: PathBuf,
    copies: Vec<String>,
}

/// Looks at every folder named on standard input, `{"folder": …, "copies": [names to bring back]}` a line; answers a line of
/// JSON for each, in no order.
pub(crate) fn every_line(only_look: bool) -> Result<(), Box<dyn std::error::Error>> {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(AT_ONCE).enable_all().build()?;
    runtime.block_on(async {
        let places = Arc::new(Semaphore::new(AT_ONCE));
        let mut looks = tokio::task::JoinSet::new();
        for line in std::io::stdin().lock().lines() {
            let asked: Asked = serde_json::from_str(&line?)?;
            let place = Arc::clone(&places).acquire_owned().await?;
            looks.spawn(async move {
                let mut found = found_in(&asked, only_look).await;
                found["folder"] = json!(asked.folder);
                drop(place);
                let mut out = std::io::stdout().lock();
                writeln!(out, "{found}").and_then(|()| out.flush())
            });
        }
        while let Some(looked) = looks.join_next().await {
            looked??;
        }
        Ok(())
    })
}

async fn found_in(asked: &Asked, only_look: bool) -> Value {
    match looked_at(asked, only_look).await {
        Ok(found) => found,
        Err(error) => json!({ "error": error.to_string(), "hint": error.hint() }),
    }
}

async fn looked_at(asked: &Asked, only_look: bool) -> Result<Value, StoreError> {
    let address = Address::File(studio_in(&asked.folder));
    let (store, was_cut_off) = match Store::open(&address).await {
        // what the error says to do
        Err(StoreError::HalfRestored(_)) => {
            restored(&asked.folder, &first_copy(&asked.folder)?).await?;
            (Store::open(&address).await?, true)
        }
        opened => (opened?, false),
    };
    let checked = store.check().await?;
    let acts = acts(&store).await?;
    let mut found = json!({
        "faults": checked.faults,
        "missing_photos": checked.missing_photos,
        "wrong_photos": wrong_photos(&store).await?,
        "acts": acts,
        "state": state(&store).await?,
        "was_cut_off": was_cut_off,
    });
    if !only_look {
        found["copies"] = json!(copies(asked).await);
        found["set_aside"] = json!(set_aside(&asked.folder).await);
        found["sent_again"] = sent_again(&store, acts.last()).await?;
    }
    store.close().await;
    Ok(found)
}

/// The id of every act, in their sequence.
async fn acts(store: &Store) -> Result<Vec<String>, StoreError> {
    Ok(store.log_since(0, i64::MAX).await?.iter().map(|line| line.id.to_string()).collect())
}

/// Photos whose picture is there and not the one that was kept.
async fn wrong_photos(store: &Store) -> Result<Vec<String>, StoreError> {
    let Some(photos) = Photos::of(store.address()) else { return Ok(Vec::new()) };
    let mut wrong = Vec::new();
    for kept in store.everything().await?.dossiers.into_iter().flat_map(|dossier| dossier.photos) {
        let id = kept.record.id;
        let wanted = number_of(&id).map(picture);
        if photos.get(&id).is_some_and(|found| Some(found) != wanted) {
            wrong.push(id.to_string());
        }
    }
    Ok(wrong)
}

/// Sends the last act that is there once more, as a page does that had no answer, and does the next one: the first may
/// not count twice, and the studio must go on.
async fn sent_again(store: &Store, last: Option<&String>) -> Result<Value, StoreError> {
    let Some(last) = last else { return Ok(Value::Null) };
    let id = studio::Id::parse(last).map_err(|error| StoreError::Failed(error.to_string()))?;
    let number = number_of(&id).unwrap_or_default();
    let before = state(store).await?;
    acted(store, number).await?;
    let is_unchanged = state(store).await? == before;
    // some steps are no act
    for next in number + 1.. {
        acted(store, next).await?;
        if store.knows(&act_id(next)).await? {
            break;
        }
    }
    Ok(json!({ "is_unchanged": is_unchanged, "acts": acts(store).await? }))
}

/// Brings copies back beside the studio, and tells the state each holds.
async fn copies(asked: &Asked) -> Vec<Value> {
    let mut found = Vec::new();
    for name in &asked.copies {
        let copy = asked.folder.join("data/backups").join(name);
        found.push(match brought_back(&copy, &asked.folder.join(format!("back-{name}"))).await {
            Ok(state) => json!({ "name": name, "state": state }),
            Err(error) => json!({ "name": name, "error": error.to_string() }),
        });
    }
    found
}

/// The state of each studio that a restore set aside.
async fn set_aside(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder.join("data")).into_iter().flatten().flatten();
    let mut states = Vec::new();
    for aside in entries.map(|entry| entry.path()) {
        let name = aside.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if name.starts_with("set-aside-") && aside.join("studio.db").exists() {
            let studio = aside.join("studio.db");
            // one that was not closed well lies there with its journal, and is opened where it lies
            let has_journal = std::fs::metadata(aside.join("studio.db-wal")).is_ok_and(|wal| wal.len() > 0);
            let back = match has_journal {
                true => whole_state(&studio).await,
                false => brought_back(&studio, &folder.join(format!("back-{name}"))).await,
            };
            states.push(back.unwrap_or_else(|error| error.to_string()));
        }
    }
    states
}

async fn brought_back(copy: &Path, to: &Path) -> Result<String, StoreError> {
    restored(to, copy).await?;
    whole_state(&studio_in(to)).await
}

/// The state of a studio that has all its photos.
async fn whole_state(path: &Path) -> Result<String, StoreError> {
    let store = Store::open(&Address::File(path.to_owned())).await?;
    let missing = store.check().await?.missing_photos.len();
    let wrong = wrong_photos(&store).await?.len();
    let state = state(&store).await?;
    store.close().await;
    match (missing, wrong) {
        (0, 0) => Ok(state),
        (missing, wrong) => Err(StoreError::Failed(format!("{missing} photos missing, {wrong} wrong"))),
    }
}
