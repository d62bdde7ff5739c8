//! Opening a studio on a PostgreSQL server, which must show that it is the one it says it is and keeps what it
//! acknowledges. Where the database is a chain, every connection takes the role of its studio and sees that alone.

use crate::address::without_studio;
use crate::chain::{self, Seat};
use crate::connect::Manner;
use crate::only_read::{NO_STUDIO, OLDER};
use crate::{Address, StoreError, schema};
use sqlx::any::{AnyConnectOptions, AnyPoolOptions};
use sqlx::{AnyConnection, AnyPool, Connection, Row};
use std::str::FromStr;
use std::time::Duration;

/// Connections to a server. House choice.
const CONNECTIONS: u32 = 8;
/// How long a connection is used. Someone who was shut out of a studio keeps an open one no longer. House choice.
const RENEWED_AFTER: Duration = Duration::from_secs(600);
/// How long a page waits for a connection. House choice.
const PATIENCE: Duration = Duration::from_secs(10);

/// Puts writes of one studio in order, so that the sequence of changes is that of their commits. Studios of one database
/// do not wait for each other.
pub(crate) const ONE_WRITER: &str =
    "SELECT CAST(pg_advisory_xact_lock(1280799604, hashtext(current_schema())) AS TEXT)";
const ACKNOWLEDGE_ON_DISK: &str = "SET synchronous_commit = on";
const READ_ONLY: &str = "SET default_transaction_read_only = on";
const HAS_VERSIONS: &str = "SELECT CAST(COUNT(*) AS BIGINT) AS count FROM information_schema.tables WHERE table_schema = \
                            current_schema() AND table_name = 'studio_schema'";
/// Why a fitter does not open a studio that an older version wrote.
const NOT_UPGRADED: &str =
    "an older version wrote it: an owner of the chain has to open it first, which upgrades it";
const READ_SETTING: &str = "SELECT current_setting($1) AS value";

/// Opens a studio and brings it up to this version, unless it is only to be read; gives its address with the studio of a
/// chain named.
pub(crate) async fn open(address: &Address, manner: Manner) -> Result<(AnyPool, Address), StoreError> {
    let mut first = connect(address).await?;
    let seat = chain::seat(&mut first, address).await;
    first.close().await?;
    let seat = seat?;
    let may_change = seat.as_ref().is_none_or(|seat| seat.is_owners);
    let address = seat.as_ref().map_or_else(|| address.clone(), |seat| address.within(&seat.studio));
    let seated = seat.clone();
    let pool = AnyPoolOptions::new()
        .max_connections(CONNECTIONS)
        .acquire_timeout(PATIENCE)
        .max_lifetime(RENEWED_AFTER)
        .after_connect(move |connection, _| {
            let seat = seated.clone();
            Box::pin(async move { prepare(connection, seat.as_ref(), manner).await })
        })
        .connect_with(options(&address)?)
        .await?;
    let mut connection = pool.acquire().await?;
    match manner {
        // nothing is made or upgraded by reading
        Manner::OnlyRead => refuse_unless_current(&mut connection, &address, OLDER).await?,
        Manner::Usual | Manner::OnNetworkDrive => {
            refuse_unsafe(&mut connection).await?;
            if may_change {
                bring_up(&address, seat.as_ref()).await?;
            } else {
                refuse_unless_current(&mut connection, &address, NOT_UPGRADED).await?;
            }
        }
    }
    drop(connection);
    Ok((pool, address))
}

/// Makes what this version knows, on a connection of its own: the tables of a chain are made by its owners.
async fn bring_up(address: &Address, seat: Option<&Seat>) -> Result<(), StoreError> {
    let mut connection = connect(address).await?;
    if let Some(seat) = seat {
        seat.take_to_upgrade(&mut connection).await?;
    }
    let brought = bring_up_with(&mut connection, address, seat).await;
    connection.close().await?;
    brought
}

async fn bring_up_with(
    connection: &mut AnyConnection,
    address: &Address,
    seat: Option<&Seat>,
) -> Result<(), StoreError> {
    sqlx::query(ACKNOWLEDGE_ON_DISK).execute(&mut *connection).await?;
    let mut upgrade = connection.begin().await?;
    sqlx::query(ONE_WRITER).execute(&mut *upgrade).await?;
    let version = schema::version(&mut upgrade).await?;
    if version > schema::NEWEST {
        return Err(schema::newer(&mut upgrade, address.to_string(), version).await);
    }
    if version < schema::NEWEST {
        schema::upgrade(&mut upgrade, version).await?;
        if let Some(seat) = seat {
            seat.open_tables(&mut upgrade).await?;
        }
    }
    upgrade.commit().await?;
    schema::note_upgrade(version);
    Ok(())
}

/// Refuses a studio that is not as this version makes it; `older` says why it cannot be upgraded here.
async fn refuse_unless_current(
    connection: &mut AnyConnection,
    address: &Address,
    older: &str,
) -> Result<(), StoreError> {
    let versions: i64 = sqlx::query(HAS_VERSIONS).fetch_one(&mut *connection).await?.try_get("count")?;
    let version = if versions == 0 { 0 } else { schema::version_there(connection).await? };
    if version > schema::NEWEST {
        return Err(schema::newer(connection, address.to_string(), version).await);
    }
    let why = match version {
        schema::NEWEST => return Ok(()),
        0 => NO_STUDIO,
        _ => older,
    };
    Err(StoreError::CannotUse { path: address.to_string().into(), why: why.to_owned() })
}

/// One connection to the server an address names, as whoever signs in there.
pub(crate) async fn connect(address: &Address) -> Result<AnyConnection, StoreError> {
    Ok(AnyConnection::connect_with(&options(address)?).await?)
}

fn options(address: &Address) -> Result<AnyConnectOptions, StoreError> {
    let Address::Server(url) = address else { return Err(StoreError::NoServer) };
    let url = sure_of_whom_it_talks_to(&without_studio(url), |name| std::env::var(name).ok())?;
    Ok(AnyConnectOptions::from_str(&url)?)
}

async fn prepare(
    connection: &mut AnyConnection,
    seat: Option<&Seat>,
    manner: Manner,
) -> Result<(), sqlx::Error> {
    let setting = if manner == Manner::OnlyRead { READ_ONLY } else { ACKNOWLEDGE_ON_DISK };
    sqlx::query(setting).execute(&mut *connection).await?;
    match seat {
        Some(seat) => seat.take(connection).await,
        None => Ok(()),
    }
}

async fn refuse_unsafe(connection: &mut AnyConnection) -> Result<(), StoreError> {
    for setting in ["fsync", "full_page_writes"] {
        let row = sqlx::query(READ_SETTING).bind(setting).fetch_one(&mut *connection).await?;
        if row.try_get::<String, _>("value")? == "off" {
            return Err(StoreError::UnsafeServer(format!("{setting} off")));
        }
    }
    Ok(())
}

/// Returns the URL with the server's certificate verified, unless the server is on this machine.
///
/// # Errors
/// [`StoreError::UnsafeServer`] when the URL asks for less.
pub(crate) fn sure_of_whom_it_talks_to(
    url: &str,
    find: impl Fn(&str) -> Option<String>,
) -> Result<String, StoreError> {
    let asked = parameter(url, "sslmode").or_else(|| parameter(url, "ssl-mode"));
    match asked {
        _ if is_local(url, find) => Ok(url.to_owned()),
        Some("verify-full") => Ok(url.to_owned()),
        Some(less) => Err(StoreError::UnsafeServer(format!(
            "sslmode={}: whoever stands in between can read and change everything",
            less.chars().take(20).collect::<String>()
        ))),
        None => Ok(format!("{url}{}sslmode=verify-full", if url.contains('?') { '&' } else { '?' })),
    }
}

fn parameter<'u>(url: &'u str, name: &str) -> Option<&'u str> {
    let (_, query) = url.split_once('?')?;
    // the last one counts
    query.split('&').rev().find_map(|pair| pair.strip_prefix(name)?.strip_prefix('='))
}

/// A server of this machine: by its loopback name, or by a socket in a folder.
fn is_local(url: &str, find: impl Fn(&str) -> Option<String>) -> bool {
    let after_scheme = url.split_once("://").map_or(url, |(_, rest)| rest);
    let authority = after_scheme.split(['/', '?']).next().unwrap_or_default();
    let place = authority.rsplit('@').next().unwrap_or_default();
    let host = match place.strip_prefix('[') {
        Some(rest) => rest.split(']').next().unwrap_or_default(),
        None => place.split(':').next().unwrap_or_default(),
    };
    let host = parameter(url, "hostaddr").or_else(|| parameter(url, "host")).unwrap_or(host);
    // without a host the environment names one
    if host.is_empty() && ["PGHOSTADDR", "PGHOST"].iter().any(|name| find(name).is_some()) {
        return false;
    }
    matches!(host, "localhost" | "127.0.0.1" | "::1" | "") || host.starts_with('/') || host.starts_with("%2F")
}

#[cfg(test)]
mod tests {
    use super::sure_of_whom_it_talks_to;

    #[test]
    fn a_server_elsewhere_is_verified() {
        for local in [
            "postgres://a@127.0.0.1:5432/s",
            "postgres://localhost/s",
            "postgres://a:b@[::1]/s?sslmode=disable",
            "postgres:///s?host=/run/postgresql",
        ] {
            assert_eq!(sure_of_whom_it_talks_to(local, |_| None).unwrap(), local);
        }
        for (url, wanted) in [
            ("postgres://a:b@db.example/s", "postgres://a:b@db.example/s?sslmode=verify-full"),
            (
                "postgres://a@db.example/s?sslrootcert=x",
                "postgres://a@db.example/s?sslrootcert=x&sslmode=verify-full",
            ),
            ("postgres://db.example/s?sslmode=verify-full", "postgres://db.example/s?sslmode=verify-full"),
        ] {
            assert_eq!(sure_of_whom_it_talks_to(url, |_| None).unwrap(), wanted);
        }
        let elsewhere = |name: &str| (name == "PGHOST").then(|| "db.example".to_owned());
        assert_eq!(
            sure_of_whom_it_talks_to("postgres:///s", elsewhere).unwrap(),
            "postgres:///s?sslmode=verify-full"
        );
        for url in [
            "postgres://a@db.example/s?sslmode=require",
            "postgres://localhost@db.example/s?sslmode=disable",
            "postgres://127.0.0.1/s?host=db.example&sslmode=prefer",
            "postgres://localhost/s?hostaddr=10.0.0.5&sslmode=disable",
            "postgres://db.example/s?sslmode=verify-full&sslmode=disable",
        ] {
            assert!(sure_of_whom_it_talks_to(url, |_| None).is_err(), "{url}");
        }
    }
}
