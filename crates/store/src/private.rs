//! Files and folders for their owner alone, and names that are safely on disk.
//!
//! A file is on disk when its bytes and its name are: the bytes are synced with the file, the name with its folder.

use crate::StoreError;
use crate::file::beside;
use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Write};
use std::path::Path;

/// Opens files for writing; one that is made is for its owner alone from its first moment.
pub(crate) fn for_owner_alone() -> OpenOptions {
    let mut options = OpenOptions::new();
    options.write(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    options
}

/// Writes a file whole or not at all, for its owner alone.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let partial = path.with_extension("partial");
    let mut file = for_owner_alone().create(true).truncate(true).open(&partial)?;
    file.write_all(bytes)?;
    file.sync_all()?;
    std::fs::rename(&partial, path)?;
    sync_folder_of(path)
}

/// Copies a file for its owner alone, whatever the rights of the one it is copied from; its bytes are on disk
/// afterwards, its name when the folder is synced.
pub(crate) fn copy_bytes(from: &Path, to: &Path) -> std::io::Result<()> {
    let mut source = File::open(from)?;
    let mut file = for_owner_alone().create(true).truncate(true).open(to)?;
    std::io::copy(&mut source, &mut file)?;
    file.sync_all()
}

/// Puts a name on disk: it is there only when its folder says so.
pub(crate) fn sync_folder_of(path: &Path) -> std::io::Result<()> {
    #[cfg(unix)]
    if let Some(folder) = path.parent() {
        let folder = if folder == Path::new("") { Path::new(".") } else { folder };
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

/// Makes a folder for its owner alone, and those above it that are missing, each on disk before the next; one that is
/// there keeps its rights.
pub(crate) fn make_private_folder(folder: &Path) -> std::io::Result<()> {
    if folder == Path::new("") || folder.is_dir() {
        return Ok(());
    }
    if let Some(above) = folder.parent() {
        make_private_folder(above)?;
    }
    let mut builder = std::fs::DirBuilder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    match builder.create(folder) {
        // another was quicker; whoever relies on it syncs it
        Err(error) if error.kind() == ErrorKind::AlreadyExists && folder.is_dir() => {}
        made => made?,
    }
    sync_folder_of(folder)
}

/// Makes the empty file in which SQLite makes a database; one that is there already stays as it is.
///
/// SQLite's own file would be readable for others until its rights are changed, and gives them on to its journal.
pub(crate) fn make_empty(path: &Path) -> std::io::Result<()> {
    match for_owner_alone().create_new(true).open(path) {
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Ok(()),
        made => made.map(drop),
    }
}

/// Takes everybody else's rights to a studio's file and its journal away; its owner's stay as they are.
#[cfg(unix)]
pub(crate) fn make_private(path: &Path) -> Result<(), StoreError> {
    for part in [path.to_owned(), beside(path, "-wal"), beside(path, "-shm")] {
        match keep_for_owner(&part) {
            // the journal goes when the last who has the file open closes it
            Err(error) if error.kind() == ErrorKind::NotFound && part != path => {}
            set => {
                set.map_err(|error| StoreError::CannotUse { path: part.clone(), why: error.to_string() })?;
            }
        }
    }
    Ok(())
}

#[cfg(unix)]
fn keep_for_owner(path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let rights = std::fs::metadata(path)?.permissions().mode() & 0o777;
    if rights & !0o600 == 0 {
        return Ok(());
    }
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(rights & 0o600))
}

#[cfg(not(unix))]
pub(crate) fn make_private(_: &Path) -> Result<(), StoreError> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::make_private_folder;

    #[cfg(unix)]
    #[test]
    fn only_the_rights_of_others_are_taken_away() {
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("studio.db");
        std::fs::write(&path, "").unwrap();
        for (before, after) in
            [(0o644, 0o600), (0o600, 0o600), (0o755, 0o600), (0o444, 0o400), (0o400, 0o400)]
        {
            std::fs::set_permissions(&path, std::fs::Permissions::from_mode(before)).unwrap();
            super::make_private(&path).unwrap();
            assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, after, "{before:o}");
        }
    }

    #[test]
    fn a_folder_is_made_with_those_above_it_for_its_owner_alone() {
        let folder = tempfile::tempdir().unwrap();
        let deep = folder.path().join("a/b/c");
        make_private_folder(&deep).unwrap();
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            for made in ["a", "a/b", "a/b/c"] {
                let metadata = std::fs::metadata(folder.path().join(made)).unwrap();
                assert_eq!(metadata.permissions().mode() & 0o777, 0o700, "{made}");
            }
        }
        // one that is there is left as it is, and a file in its place is an error
        make_private_folder(&deep).unwrap();
        std::fs::write(deep.join("file"), "").unwrap();
        assert!(make_private_folder(&deep.join("file")).is_err());
        assert!(make_private_folder(&deep.join("file/below")).is_err());
    }
}
