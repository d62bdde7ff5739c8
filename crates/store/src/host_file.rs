//! A document of this machine beside the studio: not part of it, in no copy and no export, its owner's alone.

use crate::private::{for_owner_alone, make_private_folder, write_whole};
use crate::{Address, StoreError};
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Tells one state of a document from another without reading it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp(Option<(SystemTime, u64)>);

/// Such a document.
#[derive(Debug, Clone)]
pub struct HostFile {
    path: PathBuf,
    /// Where an older version kept it, which is read until it is written here.
    older: Option<PathBuf>,
}

impl HostFile {
    /// The document of a studio with this ending: beside its file, or in the platform's folder for a studio on a server.
    /// `find` reads the environment.
    ///
    /// # Errors
    /// [`StoreError::NoPlace`] when the environment names no folder.
    pub fn of(
        address: &Address,
        ending: &str,
        find: impl Fn(&str) -> Option<String>,
    ) -> Result<Self, StoreError> {
        let (file, older) = match address {
            Address::File(path) => (crate::file::real_path(path)?, None),
            Address::Server(_) => match Address::usual(find)? {
                Address::File(path) => {
                    // one for every database there was, at first
                    let older = address.studio().is_none().then(|| path.with_file_name("server"));
                    (path.with_file_name(on_server(address)), older)
                }
                Address::Server(_) => return Err(StoreError::NoPlace),
            },
        };
        Ok(Self { path: file.with_extension(ending), older: older.map(|older| older.with_extension(ending)) })
    }

    /// Where it lies.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Reads it; nothing when it is not there.
    ///
    /// # Errors
    /// When it is there and cannot be read.
    pub fn read(&self) -> std::io::Result<Option<Vec<u8>>> {
        for path in self.places() {
            match std::fs::read(path) {
                Err(error) if error.kind() == ErrorKind::NotFound => {}
                read => return read.map(Some),
            }
        }
        Ok(None)
    }

    /// Where it may lie, the newest first.
    fn places(&self) -> impl Iterator<Item = &Path> {
        std::iter::once(self.path.as_path()).chain(self.older.as_deref())
    }

    /// Its state, to be compared with a later one.
    #[must_use]
    pub fn stamp(&self) -> Stamp {
        let metadata = self.places().find_map(|path| std::fs::metadata(path).ok());
        Stamp(metadata.and_then(|metadata| Some((metadata.modified().ok()?, metadata.len()))))
    }

    /// Changes it, one at a time whichever program asks: `change` takes what is there and gives what shall be.
    ///
    /// # Errors
    /// When it cannot be read or written; then it stays as it was. What `change` refuses is passed on.
    pub fn change<T, E: From<std::io::Error>>(
        &self,
        change: impl FnOnce(Option<Vec<u8>>) -> Result<(Vec<u8>, T), E>,
    ) -> Result<T, E> {
        if let Some(folder) = self.path.parent() {
            make_private_folder(folder)?;
        }
        let lock: File =
            for_owner_alone().create(true).truncate(false).open(crate::file::beside(&self.path, "-lock"))?;
        lock.lock()?;
        let (bytes, answer) = change(self.read()?)?;
        write_whole(&self.path, &bytes)?;
        Ok(answer)
    }
}

/// The stem of a document of a studio on a server: each database, and each studio of a chain, has its own.
fn on_server(address: &Address) -> String {
    let studio = address.studio().map(|studio| format!("{studio}-")).unwrap_or_default();
    let digest = Sha256::digest(plainly(address));
    let digits: String = digest.iter().take(4).map(|byte| format!("{byte:02x}")).collect();
    format!("server-{studio}{digits}")
}

/// The address as everyone writes it: two ways to write it name one database.
fn plainly(address: &Address) -> String {
    let shown = address.to_string();
    let rest = shown.split_once("://").map_or(shown.as_str(), |(_, rest)| rest);
    let (host, database) = rest.split_once('/').unwrap_or((rest, ""));
    // behind a bracket stands an address of IPv6
    let has_port = host.rsplit(']').next().is_some_and(|host| host.contains(':'));
    format!("{}{}/{database}", host.to_lowercase(), if has_port { "" } else { ":5432" })
}

#[cfg(test)]
mod tests {
    use super::HostFile;
    use crate::Address;

    #[test]
    fn many_who_change_it_at_once_lose_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let address = Address::File(folder.path().join("studio.db"));
        let file = HostFile::of(&address, "access", |_| None).unwrap();
        assert_eq!(file.read().unwrap(), None);
        let before = file.stamp();
        let threads = (0..8).map(|_| {
            let file = file.clone();
            std::thread::spawn(move || {
                for _ in 0..25 {
                    let longer = |there: Option<Vec<u8>>| {
                        let mut bytes = there.unwrap_or_default();
                        bytes.push(b'x');
                        Ok::<_, std::io::Error>((bytes, ()))
                    };
                    file.change(longer).unwrap();
                }
            })
        });
        for thread in threads.collect::<Vec<_>>() {
            thread.join().unwrap();
        }
        assert_eq!(file.read().unwrap().unwrap().len(), 200);
        assert_ne!(file.stamp(), before);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(std::fs::metadata(file.path()).unwrap().permissions().mode() & 0o777, 0o600);
        }
    }

    #[test]
    fn each_database_has_its_own_and_an_older_one_is_read_until_it_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let home = folder.path().to_str().unwrap().to_owned();
        let of = |url: &str| HostFile::of(&Address::parse(url), "erased", |_| Some(home.clone())).unwrap();
        let [one, other] = ["one", "other"].map(|name| of(&format!("postgres://a@127.0.0.1/{name}")));
        assert_ne!(one.path(), other.path());
        for same in ["postgresql://b@127.0.0.1:5432/one", "postgres://127.0.0.1/one?sslmode=disable"] {
            assert_eq!(of(same).path(), one.path());
        }
        assert_ne!(of("postgres://127.0.0.1:5433/one").path(), one.path());
        let older = one.path().with_file_name("server.erased");
        std::fs::create_dir_all(older.parent().unwrap()).unwrap();
        std::fs::write(&older, b"older").unwrap();
        let (before, bytes) = (one.stamp(), one.read().unwrap());
        assert_eq!(bytes.unwrap(), b"older");
        one.change(|there| Ok::<_, std::io::Error>(([there.unwrap(), b", newer".to_vec()].concat(), ())))
            .unwrap();
        assert_eq!(one.read().unwrap().unwrap(), b"older, newer");
        assert_ne!(one.stamp(), before);
        assert_eq!(other.read().unwrap().unwrap(), b"older");
        // a studio of a chain never had it
        assert_eq!(of("postgres://a@127.0.0.1/one?studio=north").read().unwrap(), None);
    }

    #[test]
    fn what_is_refused_leaves_it_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let address = Address::File(folder.path().join("studio.db"));
        let file = HostFile::of(&address, "access", |_| None).unwrap();
        file.change(|_| Ok::<_, std::io::Error>((b"one".to_vec(), ()))).unwrap();
        let refused = file.change(|_| Err::<(Vec<u8>, ()), _>(std::io::Error::other("no")));
        assert!(refused.is_err());
        assert_eq!(file.read().unwrap().unwrap(), b"one");
    }
}
