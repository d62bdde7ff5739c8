//! A fresh store for a test, on one server or the other.

use fitting::{Handedness, Shoes};
use jiff::civil::date;
use sqlx::Connection;
use std::path::{Path, PathBuf};
use store::{Address, Store};
use studio::{Changes, Field, GolferFile, Id, JobFile, JobState, OwnedClub, Reading, Units, Work};
use tempfile::TempDir;

/// A store and what must outlive it.
pub(crate) struct Place {
    pub(crate) store: Store,
    pub(crate) address: Address,
    _folder: Option<TempDir>,
}

pub(crate) const NOW: i64 = 1_793_700_000_000;

pub(crate) fn id() -> Id {
    Id::parse(&uuid::Uuid::now_v7().to_string()).unwrap()
}

/// A studio in a folder of its own.
pub(crate) async fn sqlite() -> Place {
    let folder = tempfile::tempdir().unwrap();
    let address = Address::File(folder.path().join("a studio with ?, % and ü.db"));
    Place { store: Store::open(&address).await.unwrap(), address, _folder: Some(folder) }
}

/// A closed studio with twenty golfers in it.
pub(crate) async fn closed() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("studio.db");
    let store = Store::open(&Address::File(path.clone())).await.unwrap();
    for number in 0..20 {
        measured(&store, &format!("Golfer {number}")).await;
    }
    store.close().await;
    assert!(!path.with_extension("db-wal").exists(), "closing folds the journal in");
    (folder, path)
}

/// A folder in memory, where the system has one: for a test whose subject is not what a disk keeps.
pub(crate) fn folder_in_memory() -> TempDir {
    tempfile::tempdir_in("/dev/shm").or_else(|_| tempfile::tempdir()).unwrap()
}

/// Runs SQL on a file as another program would.
pub(crate) async fn run(path: &Path, sql: &str) {
    sqlx::any::install_default_drivers();
    let mut connection =
        sqlx::AnyConnection::connect(&format!("sqlite://{}?mode=rwc", path.display())).await.unwrap();
    sqlx::raw_sql(sqlx::AssertSqlSafe(sql.to_owned())).execute(&mut connection).await.unwrap();
    connection.close().await.unwrap();
}

/// Every server there is: SQLite always, PostgreSQL where one is named.
pub(crate) async fn every_place() -> Vec<Place> {
    let mut places = vec![sqlite().await];
    if let Some(url) = new_database().await {
        let address = Address::parse(&url);
        places.push(Place { store: Store::open(&address).await.unwrap(), address, _folder: None });
    }
    places
}

/// The URL of a new database, where a server is named.
pub(crate) async fn new_database() -> Option<String> {
    let url = std::env::var("LENGTHWISE_TEST_POSTGRES").ok()?;
    sqlx::any::install_default_drivers();
    let name = format!("t{}", uuid::Uuid::now_v7().simple());
    let mut server = sqlx::AnyConnection::connect(&url).await.unwrap();
    sqlx::raw_sql(sqlx::AssertSqlSafe(format!("CREATE DATABASE {name}"))).execute(&mut server).await.unwrap();
    server.close().await.unwrap();
    let (base, _) = url.rsplit_once('/').unwrap();
    Some(format!("{base}/{name}"))
}

/// Drops a database of its own, so that many of them do not fill the disk.
pub(crate) async fn drop_database(url: &str) {
    let server = std::env::var("LENGTHWISE_TEST_POSTGRES").unwrap();
    let (_, name) = url.rsplit_once('/').unwrap();
    let mut connection = sqlx::AnyConnection::connect(&server).await.unwrap();
    let sql = sqlx::AssertSqlSafe(format!("DROP DATABASE {name} WITH (FORCE)"));
    sqlx::raw_sql(sql).execute(&mut connection).await.unwrap();
    connection.close().await.unwrap();
}

pub(crate) fn golfer(name: &str) -> GolferFile {
    GolferFile::new(id(), name, Handedness::Right).unwrap()
}

/// A job with nothing in it yet.
pub(crate) fn job(golfer: &GolferFile, state: JobState) -> JobFile {
    JobFile {
        id: id(),
        golfer: golfer.id.clone(),
        number: 0,
        state,
        since_ms: NOW,
        cured_ms: None,
        note: None,
        card: String::new(),
        work: Work::default(),
        made_ms: NOW,
        quote: None,
        uses: Vec::new(),
        promised: None,
        removed: false,
    }
}

pub(crate) fn club(golfer: &GolferFile, name: &str) -> OwnedClub {
    OwnedClub { id: id(), golfer: golfer.id.clone(), name: name.to_owned(), way: None, removed: false }
}

pub(crate) fn reading(golfer: &GolferFile, club: Option<&OwnedClub>, field: Field, typed: &str) -> Reading {
    let read = field.read(typed, Units::Inches).unwrap();
    Reading {
        id: id(),
        golfer: golfer.id.clone(),
        club: club.map(|club| club.id.clone()),
        job: None,
        field,
        typed: read.text,
        value_si: read.value_si,
        shoes: club.is_none().then_some(Shoes::On),
        instrument: Some("rule".to_owned()),
        by: "I. F.".to_owned(),
        day: date(2026, 11, 3),
        at_ms: NOW,
        removed: false,
    }
}

/// A golfer with a knuckle height and one weighed club, saved.
pub(crate) async fn measured(store: &Store, name: &str) -> (GolferFile, OwnedClub) {
    let file = golfer(name);
    let seven = club(&file, "7 iron");
    let mut changes = Changes::new(id(), "I. F.", "Opened").with_new(file.clone()).with_new(seven.clone());
    for typed in ["31 1/8 in", "31 in"] {
        changes = changes.with_new(reading(&file, None, Field::KnuckleHeight, typed));
    }
    for (field, typed) in [
        (Field::ClubLength, "36 3/4 in"),
        (Field::Mass, "424 g"),
        (Field::Swingweight, "D0.5"),
        (Field::GripMass, "50 g"),
    ] {
        changes = changes.with_new(reading(&file, Some(&seven), field, typed));
    }
    store.save(changes, NOW).await.unwrap();
    (file, seven)
}
