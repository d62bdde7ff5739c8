//! Files and folders for their owner alone, and names that are safely on disk.

use crate::StoreError;
use std::fs::File;
use std::io::Write;
use std::path::Path;

/// Writes a file whole or not at all, for its owner alone.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let partial = path.with_extension("partial");
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    let mut file = options.open(&partial)?;
    file.write_all(bytes)?;
    file.sync_all()?;
    std::fs::rename(&partial, path)?;
    sync_folder_of(path)
}

/// Puts a file's name on disk: it is there only when its folder is.
pub(crate) fn sync_folder_of(path: &Path) -> std::io::Result<()> {
    #[cfg(unix)]
    if let Some(folder) = path.parent().filter(|folder| *folder != Path::new("")) {
        File::open(folder)?.sync_all()?;
    }
    Ok(())
}

/// Makes a folder for its owner alone; one that is there keeps its rights.
pub(crate) fn make_private_folder(folder: &Path) -> std::io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    builder.create(folder)
}

/// The studio's file is for its owner alone.
#[cfg(unix)]
pub(crate) fn make_private(path: &Path) -> Result<(), StoreError> {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600))
        .map_err(|error| StoreError::CannotUse { path: path.to_owned(), why: error.to_string() })
}

#[cfg(not(unix))]
pub(crate) fn make_private(_: &Path) -> Result<(), StoreError> {
    Ok(())
}
