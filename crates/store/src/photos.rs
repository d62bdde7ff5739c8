//! The pictures of photos: one file each, under its record's id, in a folder beside the studio.

use crate::manifest::{self, Listed};
use crate::private::{copy_bytes, make_private_folder, sync_folder_of, write_whole};
use crate::{Address, StoreError};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
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
        match address {
            Address::File(path) => Some(Self { folder: folder_beside(path) }),
            Address::Server(_) => None,
        }
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
        make_private_folder(&self.folder).and_then(|()| write_whole(&path, jpeg)).map_err(|error| match error
            .kind()
        {
            std::io::ErrorKind::StorageFull => StoreError::DiskFull,
            _ => StoreError::CannotUse { path, why: error.to_string() },
        })
    }

    /// Reads a picture; `None` when it is not there.
    #[must_use]
    pub fn get(&self, id: &Id) -> Option<Vec<u8>> {
        std::fs::read(self.path(id)).ok()
    }

    /// Removes a picture; one that is not there is gone already.
    ///
    /// # Errors
    /// [`StoreError::CannotUse`] when it stays.
    pub fn remove(&self, id: &Id) -> Result<(), StoreError> {
        let path = self.path(id);
        match std::fs::remove_file(&path) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                Err(StoreError::CannotUse { path, why: error.to_string() })
            }
            _ => Ok(()),
        }
    }

    /// Holds the pictures against the photos that have a record: the ids of those without a picture, and the names of files
    /// that belong to none.
    ///
    /// # Errors
    /// When the folder is there and cannot be read.
    pub(crate) fn against(&self, named: &[Id]) -> Result<(Vec<Id>, Vec<String>), StoreError> {
        let missing = named.iter().filter(|id| !self.path(id).is_file()).cloned().collect();
        let mut unnamed = names_in(&self.folder)
            .map_err(|error| StoreError::CannotUse { path: self.folder.clone(), why: error.to_string() })?;
        unnamed.retain(|name| !named.iter().any(|id| name.strip_suffix(".jpg") == Some(id.as_str())));
        Ok((missing, unnamed))
    }
}

/// How the pictures of a copy are laid beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Laid {
    /// As second names of the same files: quick, and no use when the disk fails.
    AsLinks,
    /// As files of their own.
    AsCopies,
}

/// What each picture of a copy is, by its SHA-256 (`manifest`).
const MANIFEST: &str = "manifest.sha256";

const FOLDER: &str = "photos";

/// The folder of the pictures beside a studio.
pub(crate) fn folder_beside(path: &Path) -> PathBuf {
    path.with_file_name(FOLDER)
}

/// The folder with the pictures of a copy: its own, else that of the studio it is or lies beside.
pub(crate) fn of_a_copy(copy: &Path) -> Option<PathBuf> {
    let folders = [crate::backup::photos_of(copy), folder_beside(copy)];
    folders.into_iter().find(|folder| folder.is_dir())
}

/// Lays the pictures of a folder into another, safely on disk, where they are not there already; names them.
pub(crate) fn lay_into(from: &Path, to: &Path, laid: Laid) -> std::io::Result<Vec<String>> {
    let names = pictures_in(from)?;
    if !names.is_empty() {
        make_private_folder(to)?;
    }
    for name in &names {
        let (there, here) = (from.join(name), to.join(name));
        // a picture is never changed: one of the same name is the same
        if here.is_file() {
            continue;
        }
        if laid == Laid::AsCopies || std::fs::hard_link(&there, &here).is_err() {
            copy_bytes(&there, &here)?;
        }
    }
    if !names.is_empty() {
        sync_folder_of(&to.join("-"))?;
    }
    Ok(names)
}

/// Lays the pictures of a folder beside a copy, with their manifest; counts them. Without pictures no folder is made.
pub(crate) fn lay_beside(from: &Path, to: &Path, laid: Laid) -> std::io::Result<usize> {
    if pictures_in(from)?.is_empty() {
        return Ok(0);
    }
    let partial = to.with_extension("photos.partial");
    let laid = lay_with_manifest(from, &partial, laid).and_then(|count| {
        std::fs::rename(&partial, to)?;
        sync_folder_of(to)?;
        Ok(count)
    });
    if laid.is_err() {
        // a disk that is full is not kept so
        drop(std::fs::remove_dir_all(&partial));
    }
    laid
}

fn lay_with_manifest(from: &Path, partial: &Path, laid: Laid) -> std::io::Result<usize> {
    if partial.exists() {
        std::fs::remove_dir_all(partial)?;
    }
    make_private_folder(partial)?;
    let names = lay_into(from, partial, laid)?;
    let mut manifest = String::new();
    for name in &names {
        manifest.push_str(&manifest::line(&digest(&partial.join(name))?, name));
    }
    write_whole(&partial.join(MANIFEST), manifest.as_bytes())?;
    Ok(names.len())
}

/// Reads the pictures of a copy against their manifest; names the first that is not as it was. The pictures of a studio
/// have none.
pub(crate) fn verify(folder: &Path) -> Result<usize, String> {
    if folder.file_name().is_some_and(|name| name == FOLDER) && !folder.join(MANIFEST).exists() {
        let names = pictures_in(folder).map_err(|error| format!("its photos cannot be read: {error}"))?;
        return Ok(names.len());
    }
    let manifest = std::fs::read_to_string(folder.join(MANIFEST))
        .map_err(|error| format!("the manifest of its photos cannot be read: {error}"))?;
    let listed = manifest::read(&manifest)?;
    for Listed { digest: wanted, name } in &listed {
        match digest(&folder.join(name)) {
            Ok(found) if found == *wanted => {}
            Ok(_) => return Err(format!("the photo {name} is damaged")),
            Err(error) => return Err(format!("the photo {name} cannot be read: {error}")),
        }
    }
    Ok(listed.len())
}

fn digest(path: &Path) -> std::io::Result<String> {
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(std::fs::read(path)?) {
        let _ = write!(hex, "{byte:02x}");
    }
    Ok(hex)
}

fn pictures_in(folder: &Path) -> std::io::Result<Vec<String>> {
    let mut names = names_in(folder)?;
    names.retain(|name| manifest::is_picture(name));
    Ok(names)
}

/// The names in a folder; none where there is no folder. One that cannot be read is an error: it would pass for empty,
/// and a copy of it for whole.
fn names_in(folder: &Path) -> std::io::Result<Vec<String>> {
    let entries = match std::fs::read_dir(folder) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let mut names = Vec::new();
    for entry in entries {
        // one that is no UTF-8 is no picture of ours
        names.extend(entry?.file_name().into_string().ok());
    }
    names.sort_unstable();
    Ok(names)
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

    /// What stands where the folder should be, and cannot be read as one, as on a failing disk.
    #[test]
    fn pictures_that_cannot_be_read_are_not_taken_for_none() {
        let folder = tempfile::tempdir().unwrap();
        let photos = Photos::of(&Address::File(folder.path().join("studio.db"))).unwrap();
        let beside = folder.path().join("copy.photos");
        assert_eq!(super::lay_beside(&photos.folder, &beside, super::Laid::AsCopies).unwrap(), 0);
        std::fs::write(&photos.folder, "no folder").unwrap();
        assert!(super::lay_beside(&photos.folder, &beside, super::Laid::AsCopies).is_err());
        assert!(!beside.exists());
        assert!(photos.against(&[]).is_err());
    }
}
