//! The pictures of photos: one file each, under its record's id, in a folder beside the studio.

use crate::file::make_private_folder;
use crate::{Address, StoreError};
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};
use studio::Id;

/// The folder of a studio's pictures.
#[derive(Debug, Clone)]
pub struct Photos {
    folder: PathBuf,
}

impl Photos {
    /// The pictures of a studio in a file; a database on a server has no folder.
    #[must_use]
    pub fn of(address: &Address) -> Option<Self> {
        address.folder().map(|folder| Self { folder: folder.join("photos") })
    }

    fn path(&self, id: &Id) -> PathBuf {
        // an id is a UUID: no sign of it leads out of the folder
        self.folder.join(format!("{id}.jpg"))
    }

    /// Puts a picture in its place, whole or not at all.
    ///
    /// # Errors
    /// [`StoreError::CannotUse`] or [`StoreError::DiskFull`].
    pub fn put(&self, id: &Id, jpeg: &[u8]) -> Result<(), StoreError> {
        let path = self.path(id);
        self.write(&path, jpeg).map_err(|error| match error.kind() {
            std::io::ErrorKind::StorageFull => StoreError::DiskFull,
            _ => StoreError::CannotUse { path, why: error.to_string() },
        })
    }

    fn write(&self, path: &Path, jpeg: &[u8]) -> std::io::Result<()> {
        make_private_folder(&self.folder)?;
        let partial = path.with_extension("partial");
        let mut file = File::create(&partial)?;
        file.write_all(jpeg)?;
        file.sync_all()?;
        std::fs::rename(&partial, path)?;
        // the name itself is on disk only when its folder is
        #[cfg(unix)]
        File::open(&self.folder)?.sync_all()?;
        Ok(())
    }

    /// Reads a picture; `None` when it is not there.
    #[must_use]
    pub fn get(&self, id: &Id) -> Option<Vec<u8>> {
        std::fs::read(self.path(id)).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::Photos;
    use crate::Address;
    use studio::Id;

    #[test]
    fn a_picture_is_kept_under_its_id() {
        let folder = tempfile::tempdir().unwrap();
        let photos = Photos::of(&Address::File(folder.path().join("studio.db"))).unwrap();
        let id = Id::parse("01938a6e-1b2c-7def-8123-456789abcdef").unwrap();
        assert_eq!(photos.get(&id), None);
        photos.put(&id, b"jpeg").unwrap();
        assert_eq!(photos.get(&id).unwrap(), b"jpeg");
        assert_eq!(
            std::fs::read_dir(folder.path().join("photos")).unwrap().count(),
            1,
            "nothing half written is left"
        );
    }
}
