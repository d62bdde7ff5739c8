//! Several studios in one database: a fitter who tries to get at another studio, by its name, by ids they know, and by SQL
//! of their own, gets nothing; an owner sees all.

use crate::place::{NOW, golfer, id, measured, new_database};
use sqlx::{AnyConnection, AssertSqlSafe, Connection, Row};
use store::{Address, Chain, Place, Store, StoreError};
use studio::Changes;

/// A chain of two studios, with one fitter each and an owner who is none of the server's own superusers.
struct Pair {
    /// As the server's superuser, who made it.
    address: Address,
    anna: String,
    ben: String,
    olga: String,
}

/// Nothing where no server is named.
async fn pair() -> Option<Pair> {
    let address = Address::parse(&new_database().await?);
    let [anna, ben, olga] =
        ["anna", "ben", "olga"].map(|name| format!("{name}_{}", uuid::Uuid::now_v7().simple()));
    for login in [&anna, &ben, &olga] {
        as_whom(&address, None, &format!("CREATE ROLE {login} LOGIN")).await.unwrap();
    }
    let mut chain = Chain::at(&address).await.unwrap();
    assert_eq!(chain.open_studio("north").await.unwrap(), address.within("north"));
    // the owner is let in between the two: a later studio is hers too
    chain.let_in(&olga, &Place::Owner).await.unwrap();
    chain.open_studio("south-pier").await.unwrap();
    chain.let_in(&anna, &Place::Fitter("north".to_owned())).await.unwrap();
    chain.let_in(&ben, &Place::Fitter("south-pier".to_owned())).await.unwrap();
    chain.close().await.unwrap();
    Some(Pair { address, anna, ben, olga })
}

fn signed_in(address: &Address, login: &str) -> Address {
    let Address::Server(url) = address else { panic!("a chain is on a server") };
    Address::Server(url.replacen("lengthwise@", &format!("{login}@"), 1))
}

/// Runs SQL as someone would with a tool of their own.
async fn as_whom(
    address: &Address,
    login: Option<&str>,
    sql: &str,
) -> Result<Vec<sqlx::any::AnyRow>, sqlx::Error> {
    sqlx::any::install_default_drivers();
    let address = login.map_or_else(|| address.clone(), |login| signed_in(address, login));
    let Address::Server(url) = address else { panic!("a chain is on a server") };
    let mut connection = AnyConnection::connect(&url).await.unwrap();
    let rows = sqlx::raw_sql(AssertSqlSafe(sql.to_owned())).fetch_all(&mut connection).await;
    connection.close().await.unwrap();
    rows
}

fn code(error: &sqlx::Error) -> String {
    error.as_database_error().and_then(|error| error.code()).unwrap_or_default().into_owned()
}

#[tokio::test]
async fn a_fitter_comes_into_their_own_studio_and_no_other() {
    let Some(pair) = pair().await else { return };
    let anna = signed_in(&pair.address, &pair.anna);
    let store = Store::open(&anna).await.unwrap();
    assert_eq!(store.address().studio(), Some("north"), "the only one she may enter needs no naming");
    store.close().await;
    let other = Store::open(&anna.within("south-pier")).await.unwrap_err();
    assert!(matches!(other, StoreError::NotLetIn(name) if name == "south-pier"));
    let none = Store::open(&anna.within("west")).await.unwrap_err();
    assert!(matches!(none, StoreError::NoSuchStudio(name) if name == "west"));
    for name in
        ["south_pier", "studio_south_pier", "north\",\"studio_south_pier", "north%22", "", "NORTH", "public"]
    {
        assert!(Store::open(&anna.within(name)).await.is_err(), "{name}");
    }
}

#[tokio::test]
async fn records_acts_job_numbers_and_shelves_stay_apart() {
    let Some(pair) = pair().await else { return };
    let north = Store::open(&signed_in(&pair.address, &pair.anna)).await.unwrap();
    let south = Store::open(&signed_in(&pair.address, &pair.ben)).await.unwrap();
    let (theirs, club) = measured(&south, "Sued Golfer").await;
    assert_eq!((north.count_golfers().await.unwrap(), south.count_golfers().await.unwrap()), (0, 1));
    assert!(north.search("Sued", 10).await.unwrap().is_empty());
    assert!(north.log(None, 10).await.unwrap().is_empty());
    assert!(matches!(north.dossier(&theirs.id).await.unwrap_err(), StoreError::Refused(_)));
    assert!(north.record(studio::RecordKind::Golfer, &theirs.id).await.unwrap().is_none());
    // a record that would hang on the other studio's golfer
    let hanging = Changes::new(id(), "A.", "Adds a club").with_new(crate::place::club(&theirs, "9 iron"));
    assert!(matches!(north.save(hanging, NOW).await.unwrap_err(), StoreError::Refused(_)));
    // changing, undoing and forgetting what is the other's
    let renamed = studio::GolferFile { name: "Anna's now".to_owned(), ..theirs.clone() };
    let change = Changes::new(id(), "A.", "Renames").with_changed(renamed, 1);
    assert!(matches!(north.save(change, NOW).await.unwrap_err(), StoreError::Refused(_)));
    let act = south.log(None, 1).await.unwrap()[0].id.clone();
    assert!(north.undo(&act, id(), "A.", NOW).await.is_err());
    assert!(!north.knows(&act).await.unwrap());
    assert!(north.forget(&theirs.id, id(), "A.", NOW).await.is_err());
    // the same act and the same golfer may be in both: each studio keeps its own
    let mine = studio::GolferFile { name: "Nord Golfer".to_owned(), ..theirs.clone() };
    north.save(Changes::new(act, "A.", "Opened").with_new(mine), NOW).await.unwrap();
    assert_eq!(south.dossier(&theirs.id).await.unwrap().golfer.record.name, "Sued Golfer");
    assert_eq!(north.dossier(&theirs.id).await.unwrap().golfer.record.name, "Nord Golfer");
    assert!(north.dossier(&theirs.id).await.unwrap().clubs.is_empty(), "{}", club.name);
    north.close().await;
    south.close().await;
}

#[tokio::test]
async fn no_statement_of_a_fitters_own_reaches_the_other_studio() {
    let Some(pair) = pair().await else { return };
    let south = Store::open(&signed_in(&pair.address, &pair.ben)).await.unwrap();
    measured(&south, "Sued Golfer").await;
    south.close().await;
    let list = "SELECT CAST(c.relname AS TEXT) AS name FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace WHERE \
                n.nspname = 'studio_south_pier' AND c.relkind = 'r'";
    let tables: Vec<String> =
        as_whom(&pair.address, None, list).await.unwrap().iter().map(|row| row.get("name")).collect();
    assert!(tables.len() > 15, "{tables:?}");
    let role = "lengthwise_' || current_database() || '_studio_south_pier";
    let mut tries: Vec<String> = tables
        .iter()
        .flat_map(|table| {
            let table = format!("studio_south_pier.{table}");
            [
                format!("SELECT * FROM {table}"),
                format!("DELETE FROM {table}"),
                format!("TRUNCATE {table} CASCADE"),
                format!("DROP TABLE {table} CASCADE"),
                format!("ALTER TABLE {table} OWNER TO CURRENT_USER"),
                format!("GRANT SELECT ON {table} TO PUBLIC"),
                format!("COPY {table} TO STDOUT"),
                format!("CREATE TABLE mine AS TABLE {table}"),
                format!("CREATE VIEW seen AS TABLE {table}"),
                format!("BEGIN; LOCK TABLE {table}"),
            ]
        })
        .collect();
    tries.extend([
        format!("DO $$ BEGIN EXECUTE 'SET ROLE \"{role}\"'; END $$"),
        format!("DO $$ BEGIN EXECUTE 'GRANT \"{role}\" TO CURRENT_USER'; END $$"),
        format!("DO $$ BEGIN EXECUTE 'SET SESSION AUTHORIZATION \"{}\"'; END $$", pair.ben),
        "SET search_path TO studio_south_pier; SELECT * FROM golfer".to_owned(),
        "ALTER SCHEMA studio_south_pier OWNER TO CURRENT_USER".to_owned(),
        "GRANT USAGE ON SCHEMA studio_south_pier TO CURRENT_USER".to_owned(),
        "DROP SCHEMA studio_south_pier CASCADE".to_owned(),
        "CREATE TABLE studio_south_pier.mine (a INT)".to_owned(),
        "CREATE SCHEMA studio_west".to_owned(),
        "CREATE ROLE another SUPERUSER".to_owned(),
        "COMMENT ON SCHEMA studio_south_pier IS 'mine'".to_owned(),
    ]);
    for sql in &tries {
        let refused = as_whom(&pair.address, Some(&pair.anna), sql).await;
        let Err(error) = refused else { panic!("let through: {sql}") };
        // insufficient privilege, or a table that is not there for her
        assert!(["42501", "42P01"].contains(&code(&error).as_str()), "{sql}: {error}");
    }
    let mut chain = Chain::at(&signed_in(&pair.address, &pair.anna)).await.unwrap();
    let herself = chain.let_in(&pair.anna, &Place::Fitter("south-pier".to_owned())).await;
    assert!(matches!(herself.unwrap_err(), StoreError::Forbidden));
    assert!(matches!(chain.let_in(&pair.anna, &Place::Owner).await.unwrap_err(), StoreError::Forbidden));
    assert!(matches!(chain.open_studio("west").await.unwrap_err(), StoreError::Forbidden));
    let shut = chain.shut_out(&pair.ben, &Place::Fitter("south-pier".to_owned())).await;
    assert!(matches!(shut.unwrap_err(), StoreError::Forbidden));
    chain.close().await.unwrap();
    // a control: Ben's own studio does answer these, so that what was refused was refused for whose it is
    for table in &tables {
        as_whom(&pair.address, Some(&pair.ben), &format!("SELECT * FROM studio_south_pier.{table}"))
            .await
            .unwrap();
    }
    let south = Store::open(&signed_in(&pair.address, &pair.ben)).await.unwrap();
    assert_eq!(south.count_golfers().await.unwrap(), 1);
    south.close().await;
}

/// What hangs on a table runs with whoever writes to it, and an owner may enter every studio: a fitter can hang nothing on
/// those of their own, put nothing in their place and make nothing beside them.
#[tokio::test]
async fn a_fitter_can_make_nothing_that_an_owner_would_run() {
    let Some(pair) = pair().await else { return };
    let north = Store::open(&signed_in(&pair.address, &pair.anna)).await.unwrap();
    measured(&north, "Nord Golfer").await;
    north.close().await;
    let own = "SELECT set_config('search_path', 'studio_north', false)";
    let function = "FUNCTION pg_temp.run() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'";
    let tries = [
        format!(
            "CREATE {function}; CREATE TRIGGER t AFTER INSERT ON change_set FOR EACH ROW EXECUTE FUNCTION pg_temp.run()"
        ),
        "CREATE FUNCTION studio_north.run() RETURNS int LANGUAGE sql AS 'SELECT 1'".to_owned(),
        "CREATE RULE r AS ON INSERT TO change_set DO ALSO SELECT 1".to_owned(),
        "CREATE VIEW studio_north.seen AS SELECT 1".to_owned(),
        "CREATE TABLE studio_north.mine (a INT)".to_owned(),
        "ALTER TABLE golfer RENAME TO other".to_owned(),
        "ALTER TABLE golfer ALTER COLUMN name SET DEFAULT current_user".to_owned(),
        "ALTER TABLE golfer ENABLE ROW LEVEL SECURITY".to_owned(),
        "CREATE POLICY p ON golfer USING (true)".to_owned(),
        "CREATE INDEX ON golfer ((length(name)))".to_owned(),
        "ALTER TABLE golfer ADD CONSTRAINT c CHECK (length(name) > 0)".to_owned(),
        "ALTER SCHEMA studio_north OWNER TO CURRENT_USER".to_owned(),
        "DROP TABLE tick".to_owned(),
        "UPDATE studio_schema SET version = 99".to_owned(),
    ];
    let role = "SELECT set_config('role', format('lengthwise_%s_studio_north', current_database()), false)";
    for (as_herself, sql) in
        [true, false].into_iter().flat_map(|herself| tries.iter().map(move |sql| (herself, sql)))
    {
        let role = if as_herself { "SELECT 1" } else { role };
        let refused = as_whom(&pair.address, Some(&pair.anna), &format!("{role}; {own}; {sql}")).await;
        let Err(error) = refused else { panic!("let through: {sql}") };
        assert_eq!(code(&error), "42501", "{sql}: {error}");
    }
    // a control: she does read and write there
    let sql = format!("{own}; UPDATE golfer SET name = name; SELECT * FROM golfer");
    let rows = as_whom(&pair.address, Some(&pair.anna), &sql).await.unwrap();
    assert!(!rows.is_empty());
}

/// Who makes functions where an owner's program would look first has them not run; a right that another role is given,
/// for copies, makes nobody's seat another.
#[tokio::test]
async fn functions_and_grants_beside_the_studios_change_nothing() {
    let Some(pair) = pair().await else { return };
    let lure =
        "SELECT pg_catalog.set_config('role', '', false); CREATE TABLE public.run_by_an_owner AS SELECT 1";
    let beside = format!(
        "GRANT CREATE ON SCHEMA public TO {anna}; SET ROLE {anna}; \
         CREATE FUNCTION public.format(text, text, text) RETURNS text LANGUAGE sql AS $$ SELECT '{lure}' $$; \
         CREATE FUNCTION public.starts_with(name, text) RETURNS bool LANGUAGE sql AS 'SELECT false'; RESET ROLE; \
         CREATE ROLE copies_{anna}; GRANT USAGE ON SCHEMA studio_north TO copies_{anna}",
        anna = pair.anna,
        lure = lure.replace('\'', "''"),
    );
    as_whom(&pair.address, None, &beside).await.unwrap();
    let mut chain = Chain::at(&pair.address).await.unwrap();
    let names: Vec<String> = chain.studios().await.unwrap().into_iter().map(|studio| studio.name).collect();
    assert_eq!(names, ["north", "south-pier"]);
    chain.open_studio("west").await.unwrap();
    chain.let_in(&pair.ben, &Place::Fitter("west".to_owned())).await.unwrap();
    chain.close().await.unwrap();
    let store = Store::open(&signed_in(&pair.address, &pair.anna)).await.unwrap();
    measured(&store, "Nord Golfer").await;
    store.close().await;
    let run = as_whom(&pair.address, None, "SELECT * FROM public.run_by_an_owner").await;
    assert_eq!(code(&run.err().unwrap()), "42P01", "it was not run");
}

/// The tables of a chain are made and upgraded by its owners alone.
#[tokio::test]
async fn a_studio_of_an_older_version_waits_for_an_owner() {
    let Some(pair) = pair().await else { return };
    let older = "UPDATE studio_north.studio_schema SET version = version - 1 WHERE version > 1";
    as_whom(&pair.address, None, older).await.unwrap();
    let refused = Store::open(&signed_in(&pair.address, &pair.anna)).await.unwrap_err();
    assert!(refused.to_string().contains("an owner of the chain has to open it first"), "{refused}");
}

/// Even a connection of an owner's program, once it works in one studio, has the rights of that studio alone.
#[tokio::test]
async fn a_connection_has_the_rights_of_one_studio() {
    let Some(pair) = pair().await else { return };
    let role_of = "SELECT format('lengthwise_%s_studio_north', current_database()) AS role";
    let role: String = as_whom(&pair.address, None, role_of).await.unwrap()[0].get("role");
    let as_the_program = |sql: &str| format!("SELECT set_config('role', '{role}', false); {sql}");
    let theirs = as_the_program("SELECT * FROM studio_south_pier.golfer");
    let error = as_whom(&pair.address, Some(&pair.olga), &theirs).await.err().unwrap();
    assert_eq!(code(&error), "42501");
    let own = as_the_program("SELECT * FROM studio_north.golfer");
    as_whom(&pair.address, Some(&pair.olga), &own).await.unwrap();
}

#[tokio::test]
async fn an_owner_sees_every_studio_also_those_opened_later() {
    let Some(pair) = pair().await else { return };
    let olga = signed_in(&pair.address, &pair.olga);
    let which = Store::open(&olga).await.unwrap_err();
    assert!(matches!(which, StoreError::WhichStudio(names) if names == ["north", "south-pier"]));
    for name in ["north", "south-pier"] {
        let store = Store::open(&olga.within(name)).await.unwrap();
        let file = golfer("Golfer of the owner's");
        store.save(Changes::new(id(), "O.", "Opened").with_new(file), NOW).await.unwrap();
        assert_eq!(store.count_golfers().await.unwrap(), 1);
        store.close().await;
    }
    let mut chain = Chain::at(&olga).await.unwrap();
    let studios = chain.studios().await.unwrap();
    assert!(studios.iter().all(|studio| studio.may_enter));
    assert_eq!(studios[1].logins, std::slice::from_ref(&pair.ben));
    assert!(chain.owners().await.unwrap().contains(&pair.olga));
    chain.close().await.unwrap();
    let mut seen_by_anna = Chain::at(&signed_in(&pair.address, &pair.anna)).await.unwrap();
    let may: Vec<bool> =
        seen_by_anna.studios().await.unwrap().iter().map(|studio| studio.may_enter).collect();
    assert_eq!(may, [true, false]);
}

#[tokio::test]
async fn who_is_shut_out_is_out_at_once_where_the_server_lets_it() {
    let Some(pair) = pair().await else { return };
    let anna = signed_in(&pair.address, &pair.anna);
    let open = Store::open(&anna).await.unwrap();
    assert_eq!(open.count_golfers().await.unwrap(), 0);
    let place = Place::Fitter("north".to_owned());
    let mut chain = Chain::at(&pair.address).await.unwrap();
    assert!(chain.shut_out(&pair.anna, &place).await.unwrap(), "a superuser may end connections");
    assert!(
        open.count_golfers().await.is_err(),
        "the connection that was open is gone, and there is no new one"
    );
    assert!(matches!(Store::open(&anna).await.unwrap_err(), StoreError::NotLetIn(_)));
    let again = chain.shut_out(&pair.anna, &place).await.unwrap_err();
    assert!(matches!(again, StoreError::Chain { .. }), "{again}");
    // an owner who was a fitter too is still in, and it is said
    chain.let_in(&pair.olga, &place).await.unwrap();
    assert!(chain.shut_out(&pair.olga, &place).await.unwrap_err().to_string().contains("still in"));
    chain.shut_out(&pair.olga, &Place::Owner).await.unwrap();
    assert!(Store::open(&signed_in(&pair.address, &pair.olga).within("north")).await.is_err());
}

#[tokio::test]
async fn what_cannot_be_done_to_a_chain_is_said() {
    let Some(pair) = pair().await else { return };
    let mut chain = Chain::at(&pair.address).await.unwrap();
    let fitter = Place::Fitter("north".to_owned());
    for (done, wanted) in [
        (chain.open_studio("north").await.err(), "there is a studio north already"),
        (chain.open_studio("a_b").await.err(), "small letters"),
        (chain.let_in("nobody-such", &fitter).await.err(), "knows no login"),
        (chain.let_in("lengthwise", &fitter).await.err(), "may do anything"),
        (chain.let_in(&pair.anna, &Place::Fitter("west".to_owned())).await.err(), "has no studio west"),
    ] {
        let found = done.map(|error| error.to_string()).unwrap_or_default();
        assert!(found.contains(wanted), "{found}");
    }
    assert!(matches!(Chain::at(&Address::parse("studio.db")).await.unwrap_err(), StoreError::NoServer));
    // a database with a studio of its own becomes no chain: its golfers would be out of sight
    let plain = Address::parse(&new_database().await.unwrap());
    Store::open(&plain).await.unwrap().close().await;
    let error = Chain::at(&plain).await.unwrap().open_studio("north").await.unwrap_err();
    assert!(error.to_string().contains("not of a chain"), "{error}");
    assert!(Store::open(&plain.within("north")).await.is_err());
    let mut none = Chain::at(&plain).await.unwrap();
    assert!(none.let_in(&pair.anna, &Place::Owner).await.unwrap_err().to_string().contains("no chain yet"));
    assert!(none.owners().await.unwrap().is_empty() && none.studios().await.unwrap().is_empty());
}

/// Roles are the whole server's: a chain in another database must not take up those of the first.
#[tokio::test]
async fn two_chains_on_one_server_have_nothing_in_common() {
    let (Some(one), Some(other)) = (pair().await, pair().await) else { return };
    let stranger = Store::open(&signed_in(&other.address, &one.anna).within("north")).await.unwrap_err();
    assert!(matches!(stranger, StoreError::NotLetIn(_)), "{stranger}");
    let owner = Store::open(&signed_in(&other.address, &one.olga).within("north")).await.unwrap_err();
    assert!(matches!(owner, StoreError::NotLetIn(_)), "{owner}");
}

/// Twenty writers in each of two studios at once: none waits for the other studio's, each counts its own.
#[tokio::test]
async fn studios_write_side_by_side() {
    let Some(pair) = pair().await else { return };
    let north = Store::open(&signed_in(&pair.address, &pair.anna)).await.unwrap();
    let south = Store::open(&signed_in(&pair.address, &pair.ben)).await.unwrap();
    let Address::Server(url) = &pair.address else { panic!("a chain is on a server") };
    let mut holder = AnyConnection::connect(url).await.unwrap();
    // somebody holds the turn of the southern studio for long
    let hold = "BEGIN; SET LOCAL search_path TO studio_south_pier; SELECT CAST(pg_advisory_xact_lock(1280799604, \
                hashtext(current_schema())) AS TEXT)";
    sqlx::raw_sql(hold).execute(&mut holder).await.unwrap();
    let waits = tokio::spawn(async move {
        let file = golfer("waits");
        south.save(Changes::new(id(), "B.", "Opened").with_new(file), NOW).await.unwrap();
        south.close().await;
    });
    for number in 0..20 {
        let file = golfer(&format!("Golfer {number}"));
        north.save(Changes::new(id(), "A.", "Opened").with_new(file), NOW).await.unwrap();
    }
    assert!(!waits.is_finished());
    holder.close().await.unwrap();
    waits.await.unwrap();
    assert_eq!(north.count_golfers().await.unwrap(), 20);
    north.close().await;
}

/// Whoever may make roles and schemas makes a chain and lets fitters in; who is only let in as an owner cannot.
#[tokio::test]
async fn a_chain_is_made_by_a_login_that_is_no_superuser() {
    let Some(url) = new_database().await else { return };
    let address = Address::parse(&url);
    let [oscar, anna, olga] =
        ["oscar", "anna", "olga"].map(|name| format!("{name}_{}", uuid::Uuid::now_v7().simple()));
    let database = url.rsplit('/').next().unwrap();
    for sql in [
        format!("CREATE ROLE {oscar} LOGIN CREATEROLE"),
        format!("GRANT CREATE ON DATABASE {database} TO {oscar}"),
        format!("CREATE ROLE {anna} LOGIN"),
        format!("CREATE ROLE {olga} LOGIN"),
    ] {
        as_whom(&address, None, &sql).await.unwrap();
    }
    let mut chain = Chain::at(&signed_in(&address, &oscar)).await.unwrap();
    chain.open_studio("north").await.unwrap();
    chain.open_studio("south").await.unwrap();
    let north = Place::Fitter("north".to_owned());
    chain.let_in(&anna, &north).await.unwrap();
    chain.let_in(&olga, &Place::Owner).await.unwrap();
    assert!(chain.let_in(&oscar, &north).await.unwrap_err().to_string().contains("may do anything"));
    let store = Store::open(&signed_in(&address, &anna)).await.unwrap();
    measured(&store, "Nord Golfer").await;
    let seen = Store::open(&signed_in(&address, &olga).within("north")).await.unwrap();
    assert_eq!(seen.count_golfers().await.unwrap(), 1);
    seen.close().await;
    let mut as_olga = Chain::at(&signed_in(&address, &olga)).await.unwrap();
    assert!(matches!(as_olga.open_studio("west").await.unwrap_err(), StoreError::Forbidden));
    let is_ended = chain.shut_out(&anna, &north).await.unwrap();
    assert!(!is_ended, "who is no superuser cannot end another's connections");
    store.close().await;
    assert!(Store::open(&signed_in(&address, &anna)).await.is_err());
}
