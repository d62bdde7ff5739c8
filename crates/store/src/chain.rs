//! A chain: several studios in one PostgreSQL database, each in a schema of its own.
//!
//! The server keeps them apart, not our statements. Each studio has a role nobody can sign in as, which may read and write
//! its tables; a fitter's login is made a member of it, and each connection takes that role and no other, so that even a
//! mistake of ours reads nothing of another studio. The tables themselves are the owners' role's: a fitter who could hang a
//! trigger on one would have it run when an owner, who may enter all studios, writes to it. An owner's login is a member of
//! all these roles. What a login may is therefore whatever the server's own catalogue says, and is looked up there at every
//! opening.

use crate::server::connect;
use crate::{Address, Store, StoreError};
use sqlx::{AnyConnection, AssertSqlSafe, Connection, Row};

/// The schema that makes a database a chain; who owns it owns the chain.
const CHAIN: &str = "lengthwise_chain";
/// Before the name of a studio its schema's is made of.
const SCHEMA: &str = "studio_";
/// What tells our schemas from others of a like name.
const MARK: &str = "a studio of Lengthwise";
/// Longest name of a studio. House choice.
const LONGEST: usize = 24;
/// Longest name of a role. Standard: PostgreSQL cuts identifiers at 63 bytes.
const MOST_BYTES: usize = 63;
/// Puts changes of a chain in order.
const ONE_OWNER: &str = "SELECT CAST(pg_advisory_xact_lock(1280799604) AS TEXT)";

/// The role of a studio is the one its schema is open to that its owner is a member of.
const STUDIOS: &str = "SELECT CAST(n.nspname AS TEXT) AS schema, CAST(pg_get_userbyid(n.nspowner) AS TEXT) AS owner, \
                       CAST(pg_get_userbyid(a.grantee) AS TEXT) AS role, pg_has_role(a.grantee, 'MEMBER') AS may_enter, \
                       pg_has_role(n.nspowner, 'MEMBER') AS owns FROM pg_namespace n CROSS JOIN LATERAL \
                       aclexplode(n.nspacl) a WHERE starts_with(n.nspname, $1) AND a.privilege_type = 'USAGE' AND \
                       a.grantee <> n.nspowner AND EXISTS (SELECT 1 FROM pg_auth_members m WHERE m.roleid = a.grantee AND \
                       m.member = n.nspowner) AND obj_description(n.oid, 'pg_namespace') = $2 ORDER BY n.nspname";
/// What stands in other schemas is not asked for: whoever may make functions there could have an owner run them.
const SEE_NOTHING: &str = "SET search_path TO pg_catalog";
const TAKE_ROLE: &str = "SELECT set_config('role', $1, false)";
const SEE_SCHEMA: &str = "SELECT set_config('search_path', quote_ident($1), false)";
const OWNERS: &str =
    "SELECT CAST(pg_get_userbyid(nspowner) AS TEXT) AS role FROM pg_namespace WHERE nspname = $1";
const PLAIN_STUDIO: &str = "SELECT CAST(n.nspname AS TEXT) AS schema FROM pg_class c JOIN pg_namespace n ON n.oid = \
                            c.relnamespace WHERE c.relname = 'studio_schema' AND NOT starts_with(n.nspname, $1) LIMIT 1";
const ROLE_NAMES: &str = "SELECT format('lengthwise_%s_owners', current_database()) AS owners, \
                          format('lengthwise_%s_%s', current_database(), CAST($1 AS TEXT)) AS studio";
const ROLE: &str = "SELECT rolcanlogin AS may_sign_in, rolsuper OR rolcreaterole OR rolbypassrls AS may_do_all FROM pg_roles \
                    WHERE rolname = $1";
const IS_IN: &str = "SELECT pg_has_role(CAST($1 AS name), CAST($2 AS name), 'MEMBER') AS is_in";
/// Names cannot be bound to a statement: the server itself writes them into it, quoted.
const WRITE_STATEMENT: &str =
    "SELECT format(CAST($1 AS TEXT), CAST($2 AS TEXT), CAST($3 AS TEXT)) AS statement";
const LOGINS: &str = "SELECT CAST(m.rolname AS TEXT) AS login, CAST(r.rolname AS TEXT) AS role FROM pg_auth_members a JOIN \
                      pg_roles m ON m.oid = a.member JOIN pg_roles r ON r.oid = a.roleid WHERE m.rolcanlogin ORDER BY 1, 2";
const END_CONNECTIONS: &str = "SELECT CAST(COUNT(pg_terminate_backend(pid)) AS BIGINT) AS ended FROM pg_stat_activity WHERE \
                               datname = current_database() AND usename = $1 AND pid <> pg_backend_pid()";

/// Where a connection works: a studio, its schema, the role that works in it and the one that owns it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Seat {
    pub(crate) studio: String,
    schema: String,
    role: String,
    owner: String,
    /// Whether whoever signed in is an owner, who alone makes and upgrades tables.
    pub(crate) is_owners: bool,
}

impl Seat {
    /// Makes a connection see its own studio, with that studio's rights and no others.
    pub(crate) async fn take(&self, connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
        self.take_as(&self.role, connection).await
    }

    /// Makes a connection see the studio as its owner does, to make and upgrade its tables.
    pub(crate) async fn take_to_upgrade(&self, connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
        self.take_as(&self.owner, connection).await
    }

    async fn take_as(&self, role: &str, connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
        sqlx::query(SEE_NOTHING).execute(&mut *connection).await?;
        sqlx::query(TAKE_ROLE).bind(role.to_owned()).execute(&mut *connection).await?;
        sqlx::query(SEE_SCHEMA).bind(self.schema.clone()).execute(&mut *connection).await?;
        Ok(())
    }

    /// Opens the tables of the studio to those who work in it; of which version they are its owners alone say.
    pub(crate) async fn open_tables(&self, connection: &mut AnyConnection) -> Result<(), StoreError> {
        let (schema, role) = (self.schema.as_str(), self.role.as_str());
        for statement in [
            "GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA %I TO %I",
            "REVOKE INSERT, UPDATE, DELETE ON %I.studio_schema FROM %I",
        ] {
            run(connection, statement, &[schema, role]).await?;
        }
        Ok(())
    }
}

/// The place of whoever signed in: the studio that is named, or the only one they may enter; none in a database that is
/// no chain.
pub(crate) async fn seat(
    connection: &mut AnyConnection,
    address: &Address,
) -> Result<Option<Seat>, StoreError> {
    sqlx::query(SEE_NOTHING).execute(&mut *connection).await?;
    let all = seats(connection).await?;
    if let Some(name) = address.studio() {
        let found = all.into_iter().find(|(seat, _)| seat.studio == name);
        return match found {
            Some((seat, true)) => Ok(Some(seat)),
            Some((_, false)) => Err(StoreError::NotLetIn(name.to_owned())),
            None => Err(StoreError::NoSuchStudio(name.to_owned())),
        };
    }
    if all.is_empty() {
        return Ok(None);
    }
    let mut mine: Vec<Seat> =
        all.into_iter().filter(|(_, may_enter)| *may_enter).map(|(seat, _)| seat).collect();
    match (mine.len(), mine.pop()) {
        (1, Some(only)) => Ok(Some(only)),
        (0, _) | (_, None) => Err(StoreError::NotLetIn("any studio of this database".to_owned())),
        (_, Some(last)) => {
            mine.push(last);
            Err(StoreError::WhichStudio(mine.into_iter().map(|seat| seat.studio).collect()))
        }
    }
}

/// Every studio of the database, each with whether this login may enter it.
async fn seats(connection: &mut AnyConnection) -> Result<Vec<(Seat, bool)>, StoreError> {
    let rows = sqlx::query(STUDIOS).bind(SCHEMA).bind(MARK).fetch_all(connection).await?;
    rows.iter()
        .map(|row| {
            let schema: String = row.try_get("schema")?;
            let studio = schema.strip_prefix(SCHEMA).unwrap_or(&schema).replace('_', "-");
            let (role, owner, is_owners) =
                (row.try_get("role")?, row.try_get("owner")?, row.try_get("owns")?);
            Ok((Seat { studio, schema, role, owner, is_owners }, row.try_get("may_enter")?))
        })
        .collect()
}

/// A studio of a chain, as its catalogue tells of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Branch {
    /// Its name.
    pub name: String,
    /// Whether this login may enter it.
    pub may_enter: bool,
    /// Logins that were let in to it, where this login may know.
    pub logins: Vec<String>,
}

/// Who someone is in a chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// A fitter of one studio.
    Fitter(String),
    /// An owner: every studio, also those that are opened later.
    Owner,
}

/// A database that holds a chain, or shall hold one.
#[derive(Debug)]
pub struct Chain {
    address: Address,
    connection: AnyConnection,
}

impl Chain {
    /// Signs in to the database an address names.
    ///
    /// # Errors
    /// [`StoreError::NoServer`] for a file, and when the server cannot be had.
    pub async fn at(address: &Address) -> Result<Self, StoreError> {
        sqlx::any::install_default_drivers();
        let mut connection = connect(address).await?;
        sqlx::query(SEE_NOTHING).execute(&mut connection).await?;
        Ok(Self { address: address.clone(), connection })
    }

    /// Lists the studios by name.
    ///
    /// # Errors
    /// When the server cannot be read.
    pub async fn studios(&mut self) -> Result<Vec<Branch>, StoreError> {
        let rows = sqlx::query(LOGINS).fetch_all(&mut self.connection).await?;
        let members: Vec<(String, String)> = rows
            .iter()
            .map(|row| Ok((row.try_get("role")?, row.try_get("login")?)))
            .collect::<Result<_, StoreError>>()?;
        let all = seats(&mut self.connection).await?;
        let logins = |role: &str| {
            members.iter().filter(|(of, _)| of == role).map(|(_, login)| login.clone()).collect()
        };
        Ok(all
            .into_iter()
            .map(|(seat, may_enter)| Branch { logins: logins(&seat.role), name: seat.studio, may_enter })
            .collect())
    }

    /// Lists who owns the chain; nobody where there is none yet.
    ///
    /// # Errors
    /// When the server cannot be read.
    pub async fn owners(&mut self) -> Result<Vec<String>, StoreError> {
        let Some(owners) = owners_of(&mut self.connection).await? else { return Ok(Vec::new()) };
        let rows = sqlx::query(LOGINS).fetch_all(&mut self.connection).await?;
        let mut logins = Vec::new();
        for row in &rows {
            if row.try_get::<String, _>("role")? == owners {
                logins.push(row.try_get("login")?);
            }
        }
        Ok(logins)
    }

    /// Makes a studio, and with the first one the chain; whoever makes the chain owns it. Gives the studio's address.
    ///
    /// # Errors
    /// [`StoreError::Chain`] for a name that is none or taken, or a database that holds a studio of its own already; when
    /// the login may not make roles and schemas.
    pub async fn open_studio(&mut self, name: &str) -> Result<Address, StoreError> {
        check_name(name)?;
        let schema = format!("{SCHEMA}{}", name.replace('-', "_"));
        let mut change = self.connection.begin().await?;
        sqlx::query(ONE_OWNER).execute(&mut *change).await?;
        if seats(&mut change).await?.iter().any(|(seat, _)| seat.studio == name) {
            return Err(refused(format!("there is a studio {name} already"), "Choose another name."));
        }
        let plain = sqlx::query(PLAIN_STUDIO).bind(SCHEMA).fetch_optional(&mut *change).await?;
        if plain.is_some() {
            return Err(refused(
                "this database holds one studio that is not of a chain".to_owned(),
                "Make another database for the chain; export the studio and import it there.",
            ));
        }
        let names = sqlx::query(ROLE_NAMES).bind(schema.clone()).fetch_one(&mut *change).await?;
        let (owners, role): (String, String) = (names.try_get("owners")?, names.try_get("studio")?);
        let owners = match owners_of(&mut change).await? {
            Some(owners) => owners,
            None => {
                make_role(&mut change, &owners).await?;
                run(&mut change, "GRANT %I TO CURRENT_USER", &[&owners]).await?;
                run(&mut change, "CREATE SCHEMA %I AUTHORIZATION %I", &[CHAIN, &owners]).await?;
                owners
            }
        };
        make_role(&mut change, &role).await?;
        run(&mut change, "GRANT %I TO %I", &[&role, &owners]).await?;
        run(&mut change, "CREATE SCHEMA %I AUTHORIZATION %I", &[&schema, &owners]).await?;
        run(&mut change, "GRANT USAGE ON SCHEMA %I TO %I", &[&schema, &role]).await?;
        run(&mut change, "COMMENT ON SCHEMA %I IS %L", &[&schema, MARK]).await?;
        change.commit().await?;
        let address = self.address.within(name);
        Store::open(&address).await?.close().await;
        Ok(address)
    }

    /// Lets a login of the server in, which must be there.
    ///
    /// # Errors
    /// [`StoreError::Chain`] for a login that is none, or that may enter every studio by itself and shall be a fitter.
    pub async fn let_in(&mut self, login: &str, place: &Place) -> Result<(), StoreError> {
        let row = sqlx::query(ROLE).bind(login.to_owned()).fetch_optional(&mut self.connection).await?;
        let may = |what: &str| row.as_ref().is_some_and(|row| row.try_get(what).unwrap_or(false));
        if !may("may_sign_in") {
            return Err(refused(
                format!("the server knows no login {login}"),
                "Make it there first: CREATE ROLE name LOGIN PASSWORD '...'.",
            ));
        }
        if matches!(place, Place::Fitter(_)) && may("may_do_all") {
            return Err(refused(
                format!("{login} may do anything at this server, so no studio could be kept from them"),
                "Give the fitter a login that is no superuser and may make no roles.",
            ));
        }
        let role = self.role_of(place).await?;
        run(&mut self.connection, "GRANT %I TO %I", &[&role, login]).await
    }

    /// Shuts a login out; tells whether its open connections were ended. Where the server does not let us end them, they
    /// go on until they are renewed, ten minutes at most.
    ///
    /// # Errors
    /// [`StoreError::NoSuchStudio`]; [`StoreError::Chain`] when the login was not in, or is still in as an owner.
    pub async fn shut_out(&mut self, login: &str, place: &Place) -> Result<bool, StoreError> {
        let role = self.role_of(place).await?;
        let seen = sqlx::query(ROLE).bind(login.to_owned()).fetch_optional(&mut self.connection).await?;
        if seen.is_none() || !self.is_in(login, &role).await? {
            return Err(refused(format!("{login} is not in"), "See who is: `lengthwise chain list`."));
        }
        run(&mut self.connection, "REVOKE %I FROM %I", &[&role, login]).await?;
        if self.is_in(login, &role).await? {
            return Err(refused(
                format!("{login} is still in: as an owner of the chain, or as the server's own superuser"),
                "An owner is shut out with --owner.",
            ));
        }
        let ended = sqlx::query(END_CONNECTIONS).bind(login.to_owned()).fetch_one(&mut self.connection).await;
        Ok(ended.is_ok())
    }

    async fn is_in(&mut self, login: &str, role: &str) -> Result<bool, StoreError> {
        let row = sqlx::query(IS_IN).bind(login.to_owned()).bind(role.to_owned());
        Ok(row.fetch_one(&mut self.connection).await?.try_get("is_in")?)
    }

    async fn role_of(&mut self, place: &Place) -> Result<String, StoreError> {
        match place {
            Place::Fitter(name) => {
                let found =
                    seats(&mut self.connection).await?.into_iter().find(|(seat, _)| seat.studio == *name);
                found.map(|(seat, _)| seat.role).ok_or_else(|| StoreError::NoSuchStudio(name.clone()))
            }
            Place::Owner => owners_of(&mut self.connection).await?.ok_or_else(|| {
                refused(
                    "this database is no chain yet".to_owned(),
                    "Open the first studio: `lengthwise chain open NAME`.",
                )
            }),
        }
    }

    /// Closes the connection.
    ///
    /// # Errors
    /// When the server does not take it.
    pub async fn close(self) -> Result<(), StoreError> {
        Ok(self.connection.close().await?)
    }
}

fn refused(why: String, hint: &'static str) -> StoreError {
    StoreError::Chain { why, hint }
}

fn check_name(name: &str) -> Result<(), StoreError> {
    let is_plain = name.chars().all(|sign| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-');
    if is_plain && name.starts_with(|sign: char| sign.is_ascii_lowercase()) && name.len() <= LONGEST {
        return Ok(());
    }
    Err(refused(
        format!(
            "a studio's name is 1 to {LONGEST} small letters, digits and hyphens, a letter first, found {name:?}"
        ),
        "Name it for instance north-pier; what stands on sheets is set on the page House.",
    ))
}

async fn owners_of(connection: &mut AnyConnection) -> Result<Option<String>, StoreError> {
    let row = sqlx::query(OWNERS).bind(CHAIN).fetch_optional(connection).await?;
    row.map(|row| Ok(row.try_get("role")?)).transpose()
}

/// Makes a role nobody signs in as. One that is there already is another's: who is in it would be in the studio.
async fn make_role(connection: &mut AnyConnection, role: &str) -> Result<(), StoreError> {
    if role.len() > MOST_BYTES {
        return Err(refused(
            format!("the role {role} would have more than {MOST_BYTES} bytes, which the server cuts"),
            "Choose a shorter name for the studio, or for the database.",
        ));
    }
    if sqlx::query(ROLE).bind(role.to_owned()).fetch_optional(&mut *connection).await?.is_some() {
        return Err(refused(
            format!("the server has a role {role} already"),
            "Choose another name, or drop that role if it is left over.",
        ));
    }
    run(connection, "CREATE ROLE %I NOLOGIN", &[role]).await
}

async fn run(connection: &mut AnyConnection, template: &str, names: &[&str]) -> Result<(), StoreError> {
    let name = |place: usize| names.get(place).copied().unwrap_or_default().to_owned();
    let row = sqlx::query(WRITE_STATEMENT).bind(template.to_owned()).bind(name(0)).bind(name(1));
    let statement: String = row.fetch_one(&mut *connection).await?.try_get("statement")?;
    sqlx::raw_sql(AssertSqlSafe(statement)).execute(connection).await?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::check_name;

    #[test]
    fn a_name_is_one_plain_word() {
        for name in ["north", "pier-2", "a"] {
            check_name(name).unwrap();
        }
        for name in ["", "2", "-a", "North", "a b", "a_b", "a\"; drop", "ü", "abcdefghijklmnopqrstuvwxy"] {
            assert!(check_name(name).is_err(), "{name}");
        }
    }
}
