//! One server for one studio: an advisory lock on a file beside it, with who holds it inside.

use crate::private::for_owner_alone;
use crate::{Address, StoreError};
use std::fs::{File, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;
use std::time::{Duration, Instant};

/// Held while a server runs; let go when it is dropped, or when the process ends however it ends.
#[derive(Debug)]
pub struct ServerLock {
    file: File,
}

impl ServerLock {
    /// Takes the lock; a database on a server needs none.
    ///
    /// # Errors
    /// [`StoreError::Served`] with who holds it.
    pub fn take(address: &Address) -> Result<Option<Self>, StoreError> {
        let Address::File(path) = address else { return Ok(None) };
        let path = crate::file::real_path(path)?.with_extension("lock");
        let cannot =
            |error: std::io::Error| StoreError::CannotUse { path: path.clone(), why: error.to_string() };
        let mut file =
            for_owner_alone().read(true).create(true).truncate(false).open(&path).map_err(cannot)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Self { file })),
            Err(TryLockError::WouldBlock) => {
                let mut holder = String::new();
                file.read_to_string(&mut holder).map_err(cannot)?;
                Err(StoreError::Served(holder.trim().to_owned()))
            }
            Err(TryLockError::Error(error)) => Err(cannot(error)),
        }
    }

    /// Takes the lock of a file, waiting a while for whoever holds it.
    pub(crate) async fn wait_for(path: &Path, patience: Duration) -> Result<Option<Self>, StoreError> {
        let until = Instant::now() + patience;
        loop {
            match Self::take(&Address::File(path.to_owned())) {
                Err(StoreError::Served(_)) if Instant::now() < until => {
                    tokio::time::sleep(Duration::from_millis(50)).await;
                }
                taken => return taken,
            }
        }
    }

    /// Writes down who holds it, for the one that is refused.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn sign(&mut self, holder: &str) -> std::io::Result<()> {
        self.file.set_len(0)?;
        self.file.rewind()?;
        self.file.write_all(holder.as_bytes())?;
        self.file.sync_all()
    }
}

/// A program started meanwhile has the file for a moment too, until it is another program: closing ours alone would leave
/// the lock with it.
fn let_go(file: &File) {
    if let Err(error) = file.unlock() {
        // it goes with the file
        tracing::warn!(%error, "a lock could not be let go");
    }
}

impl Drop for ServerLock {
    fn drop(&mut self) {
        let_go(&self.file);
    }
}

impl Drop for InUse {
    fn drop(&mut self) {
        let_go(&self.file);
    }
}

/// Held by whoever has a studio's file open, by any number at once; what puts another file in its place must be alone.
#[derive(Debug)]
pub(crate) struct InUse {
    file: File,
}

impl InUse {
    /// Takes it beside the others.
    pub(crate) fn shared(path: &Path) -> Result<Self, StoreError> {
        Self::take(path, File::try_lock_shared)
    }

    /// Takes it alone; refused while anybody has the file open.
    pub(crate) fn alone(path: &Path) -> Result<Self, StoreError> {
        Self::take(path, File::try_lock)
    }

    fn take(path: &Path, lock: impl Fn(&File) -> Result<(), TryLockError>) -> Result<Self, StoreError> {
        let path = crate::file::beside(path, ".in-use");
        let cannot =
            |error: std::io::Error| StoreError::CannotUse { path: path.clone(), why: error.to_string() };
        let file = for_owner_alone().create(true).truncate(false).open(&path).map_err(cannot)?;
        match lock(&file) {
            Ok(()) => Ok(Self { file }),
            Err(TryLockError::WouldBlock) => {
                Err(StoreError::Served("a command has it open, or puts another in its place".to_owned()))
            }
            Err(TryLockError::Error(error)) => Err(cannot(error)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{InUse, ServerLock};
    use crate::Address;

    /// As a program that was started while the lock was held has its file too.
    #[test]
    fn a_lock_is_let_go_even_while_another_has_its_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("studio.db");
        let address = Address::File(path.clone());
        let lock = ServerLock::take(&address).unwrap().unwrap();
        let _inherited = lock.file.try_clone().unwrap();
        assert!(ServerLock::take(&address).is_err());
        drop(lock);
        assert!(ServerLock::take(&address).is_ok());
        let alone = InUse::alone(&path).unwrap();
        let _inherited = alone.file.try_clone().unwrap();
        assert!(InUse::shared(&path).is_err());
        drop(alone);
        assert!(InUse::shared(&path).is_ok());
    }
}
