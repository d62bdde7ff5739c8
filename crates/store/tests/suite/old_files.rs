//! Studios of every schema that was ever released open, whole, after a verified copy.

use crate::place::{id, new_database, run};
use sqlx::Connection;
use std::path::{Path, PathBuf};
use store::{Address, Store};
use studio::Id;
use tempfile::TempDir;

/// Each schema's statements, and a studio of it with rows in every table.
const RELEASED: [(&str, &str); 2] = [
    (include_str!("../../migrations/0001_records.sql"), include_str!("../old/schema_1.sql")),
    (
        include_str!("../../migrations/0002_visits.sql"),
        concat!(include_str!("../old/schema_1.sql"), include_str!("../old/schema_2.sql")),
    ),
];

const MAKE_VERSION: &str = "CREATE TABLE IF NOT EXISTS studio_schema (version BIGINT NOT NULL);";

/// The golfer of the studios above.
const GOLFER: &str = "01a213a9-f4c5-76d1-9632-4b5136210317";

/// The statements that make the oldest schema, and those that fill it; its golfer has the id given here, so that one who
/// is forgotten in one studio is not in another.
pub(crate) fn oldest_of(golfer: &Id) -> (String, String) {
    let (schema, rows) = RELEASED[0];
    (format!("{MAKE_VERSION}{schema}"), rows.replace(GOLFER, golfer.as_str()))
}

/// The oldest studio there is, in a file.
pub(crate) async fn old_in_a_file(folder: &TempDir) -> PathBuf {
    let path = folder.path().join("studio.db");
    oldest_in_a_file(&path, &id()).await;
    path
}

/// The same under a name and with the golfer's id that are wanted.
pub(crate) async fn oldest_in_a_file(path: &Path, golfer: &Id) {
    let (schema, rows) = oldest_of(golfer);
    in_a_file(path, &schema, &rows).await;
}

/// Makes a file of an old schema as the version of its time left it.
async fn in_a_file(path: &Path, schema: &str, rows: &str) {
    run(path, schema).await;
    run(path, &format!("PRAGMA application_id=1280799604; PRAGMA journal_mode=WAL; {rows}")).await;
}

/// The same on a server, where one is named.
pub(crate) async fn old_on_a_server() -> Option<Address> {
    oldest_on_a_server(&id()).await
}

/// The same with the golfer's id that is wanted.
pub(crate) async fn oldest_on_a_server(golfer: &Id) -> Option<Address> {
    let (schema, rows) = oldest_of(golfer);
    let url = new_database().await?;
    let mut connection = sqlx::AnyConnection::connect(&url).await.unwrap();
    sqlx::raw_sql(sqlx::AssertSqlSafe(format!("{schema}{rows}"))).execute(&mut connection).await.unwrap();
    connection.close().await.unwrap();
    Some(Address::parse(&url))
}

/// Every schema that was released, the oldest first, in a file of its own in this folder.
pub(crate) async fn every_released(folder: &Path) -> Vec<PathBuf> {
    let mut made = MAKE_VERSION.to_owned();
    let mut paths = Vec::new();
    for (place, (schema, rows)) in RELEASED.iter().enumerate() {
        made += schema;
        let path = folder.join(format!("schema-{}.db", place + 1));
        in_a_file(&path, &made, rows).await;
        paths.push(path);
    }
    paths
}

#[tokio::test]
async fn an_old_studio_on_a_server_opens() {
    let Some(address) = old_on_a_server().await else { return };
    let store = Store::open(&address).await.unwrap();
    let dossier = store.dossier(&store.search("rehor", 1).await.unwrap()[0].golfer.id).await.unwrap();
    assert_eq!(dossier.readings.len(), 13);
    assert!(dossier.visits.is_empty());
}

#[tokio::test]
async fn every_old_studio_opens_after_a_copy_of_it_was_made() {
    let mut made = MAKE_VERSION.to_owned();
    for (place, (schema, rows)) in RELEASED.iter().enumerate() {
        made += schema;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("studio.db");
        in_a_file(&path, &made, rows).await;
        let tables: Vec<&str> =
            schema.lines().filter_map(|line| line.strip_prefix("CREATE TABLE ")?.split(' ').next()).collect();
        for table in tables {
            assert!(
                rows.contains(&format!("INSERT INTO {table} VALUES")),
                "{table} has a row in schema {}",
                place + 1
            );
        }
        let store = Store::open(&Address::File(path.clone())).await.unwrap();
        let checked = store.check().await.unwrap();
        assert!(checked.faults.is_empty(), "{:?}", checked.faults);
        // its picture is not part of the statements
        assert_eq!(checked.missing_photos.len(), 1);
        assert_eq!(checked.counts, [1, 13, 1]);
        let hit = store.search("rehor", 1).await.unwrap().remove(0);
        let dossier = store.dossier(&hit.golfer.id).await.unwrap();
        assert_eq!(dossier.remarks[0].record.text, "left hip\nsince spring");
        assert_eq!(dossier.visits.len(), place, "the first schema had none");
        assert!(dossier.trials.is_empty() && dossier.strikes.is_empty());
        assert_eq!(dossier.days().len(), 1, "the day of the readings is a visit all the same");
        assert_eq!(store.house().await.unwrap().record.value("round_to"), "1/16 in");
        store.close().await;
        // opened once more there is nothing to upgrade, and no second copy is made
        let store = Store::open(&Address::File(path.clone())).await.unwrap();
        store.close().await;
        let copies: Vec<String> = std::fs::read_dir(folder.path().join("backups"))
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        assert_eq!(copies.len(), 1, "{copies:?}");
        assert!(copies[0].ends_with("-upgrade.db"), "{copies:?}");
    }
}

#[tokio::test]
async fn an_upgrade_that_goes_wrong_leaves_the_old_studio() {
    let (schema, rows) = RELEASED[0];
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("studio.db");
    run(&path, &format!("{MAKE_VERSION}{schema}")).await;
    // a table of the name the upgrade wants to make: not ours, and in its way
    run(
        &path,
        &format!("PRAGMA application_id=1280799604; {rows} CREATE TABLE visit (mine TEXT); INSERT INTO visit VALUES ('x')"),
    )
    .await;
    // and so it is each time, with the one copy of it
    for _ in 0..2 {
        let refused = Store::open(&Address::File(path.clone())).await.unwrap_err();
        assert!(refused.to_string().contains("visit"), "{refused}");
    }
    let mut left = sqlx::AnyConnection::connect_with(
        &format!("sqlite://{}", path.display()).parse::<sqlx::any::AnyConnectOptions>().unwrap(),
    )
    .await
    .unwrap();
    use sqlx::Row;
    let versions = sqlx::query("SELECT version FROM studio_schema").fetch_all(&mut left).await.unwrap();
    assert_eq!(versions.len(), 1);
    assert_eq!(versions[0].get::<i64, _>(0), 1, "it is the old schema");
    let mine = sqlx::query("SELECT mine FROM visit").fetch_one(&mut left).await.unwrap();
    assert_eq!(mine.get::<String, _>(0), "x");
    left.close().await.unwrap();
}
