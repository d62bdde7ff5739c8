//! Looking at a file before anything opens it: a damaged, foreign or badly placed file is never touched.

use crate::StoreError;
use crate::private::make_private_folder;
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What lies where the studio should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// Nothing: a new studio is made.
    Nothing,
    /// A SQLite file.
    Database,
}

/// The first bytes of every SQLite 3 file. Standard: SQLite database file format, section 1.2.
const HEADER: &[u8; 16] = b"SQLite format 3\0";

/// Looks at the file; nothing is changed.
///
/// # Errors
/// [`StoreError::NotOurs`] for any other file, [`StoreError::CannotUse`] for a folder, a file with a second name, or
/// a network drive.
pub fn look_at(path: &Path) -> Result<Found, StoreError> {
    let cannot = |why: String| StoreError::CannotUse { path: path.to_owned(), why };
    let on_network = network_drive(path);
    if let Some(kind) = on_network {
        return Err(cannot(format!(
            "it lies on a network drive ({kind}), where a power cut or a second program can damage it"
        )));
    }
    if std::fs::metadata(path).is_ok_and(|metadata| metadata.is_file() && has_second_name(&metadata)) {
        return Err(cannot(
            "the file has a second name (a hard link), under which its journal would be missed".to_owned(),
        ));
    }
    is_database(path)
}

/// The same wherever the file lies: for one that is only read.
pub(crate) fn is_database(path: &Path) -> Result<Found, StoreError> {
    let cannot = |why: String| StoreError::CannotUse { path: path.to_owned(), why };
    let metadata = match std::fs::metadata(path) {
        Ok(metadata) => metadata,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Found::Nothing),
        Err(error) => return Err(cannot(error.to_string())),
    };
    if !metadata.is_file() {
        return Err(cannot("it is a folder or a device, not a file".to_owned()));
    }
    if metadata.len() == 0 {
        // SQLite takes an empty file for a new one
        return Ok(Found::Nothing);
    }
    let mut header = [0; 16];
    let read = File::open(path).and_then(|mut file| file.read_exact(&mut header));
    match read {
        Ok(()) if header == *HEADER => Ok(Found::Database),
        Ok(()) => Err(StoreError::NotOurs(path.to_owned())),
        Err(error) if error.kind() == std::io::ErrorKind::UnexpectedEof => {
            Err(StoreError::NotOurs(path.to_owned()))
        }
        Err(error) => Err(cannot(error.to_string())),
    }
}

/// The name a copy has beside the studio while it is being put in the studio's place.
pub(crate) fn coming_back(path: &Path) -> PathBuf {
    beside(path, ".coming-back")
}

/// The name of one of the files that lie beside a file and are called after it, as SQLite calls its own.
pub(crate) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(ending);
    path.with_file_name(name)
}

/// A restore that was cut off between setting the old file aside and putting the copy in its place leaves no studio: a
/// new, empty one made then would hide it.
pub(crate) fn refuse_a_cut_off_restore(path: &Path, found: Found) -> Result<(), StoreError> {
    if found == Found::Nothing && coming_back(path).exists() {
        return Err(StoreError::HalfRestored(path.to_owned()));
    }
    Ok(())
}

/// Follows symbolic links to the file itself, so that its journal lies beside it; a new file's folder is made.
pub(crate) fn real_path(path: &Path) -> Result<PathBuf, StoreError> {
    let cannot =
        |error: std::io::Error| StoreError::CannotUse { path: path.to_owned(), why: error.to_string() };
    if path.exists() {
        return path.canonicalize().map_err(cannot);
    }
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    make_private_folder(&folder).map_err(cannot)?;
    let name = path
        .file_name()
        .ok_or_else(|| StoreError::CannotUse { path: path.to_owned(), why: "it names no file".to_owned() })?;
    Ok(folder.canonicalize().map_err(cannot)?.join(name))
}

#[cfg(unix)]
fn has_second_name(metadata: &std::fs::Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    metadata.nlink() > 1
}

#[cfg(not(unix))]
fn has_second_name(_: &std::fs::Metadata) -> bool {
    false
}

/// Names the kind of network drive a path lies on, where the system tells.
fn network_drive(path: &Path) -> Option<String> {
    let mounts = std::fs::read_to_string("/proc/mounts").ok()?;
    let whole = std::path::absolute(path).ok()?;
    kind_of_drive(&mounts, &whole).filter(|kind| is_network(kind)).map(str::to_owned)
}

/// The kind of file system of the longest mount point that holds the path.
fn kind_of_drive<'m>(mounts: &'m str, path: &Path) -> Option<&'m str> {
    mounts
        .lines()
        .filter_map(|line| {
            let mut words = line.split(' ');
            let (_, place, kind) = (words.next()?, words.next()?, words.next()?);
            // the table of mounts writes a space by its number
            let place = place.replace("\\040", " ");
            path.starts_with(&place).then_some((place.len(), kind))
        })
        .max_by_key(|(length, _)| *length)
        .map(|(_, kind)| kind)
}

fn is_network(kind: &str) -> bool {
    matches!(kind, "nfs" | "nfs4" | "cifs" | "smb3" | "smbfs" | "afs" | "ncpfs" | "davfs")
        || kind.starts_with("fuse.")
}

#[cfg(test)]
mod tests {
    use super::{Found, is_network, kind_of_drive, look_at};
    use std::path::Path;

    #[test]
    fn a_network_drive_is_known_by_its_mount() {
        let mounts =
            "/dev/a / ext4 rw 0 0\nserver:/x /home/shared nfs4 rw 0 0\nb /home/shared/local ext4 rw 0 0\n";
        assert_eq!(kind_of_drive(mounts, Path::new("/home/shared/studio.db")), Some("nfs4"));
        assert_eq!(kind_of_drive(mounts, Path::new("/home/shared/local/s.db")), Some("ext4"));
        assert_eq!(kind_of_drive(mounts, Path::new("/tmp/s.db")), Some("ext4"));
        let spaced = "/dev/a / ext4 rw 0 0\nserver:/x /mnt/my\\040share cifs rw 0 0\n";
        assert_eq!(kind_of_drive(spaced, Path::new("/mnt/my share/s.db")), Some("cifs"));
        assert!(
            is_network("fuse.sshfs") && is_network("cifs") && !is_network("ext4") && !is_network("overlay")
        );
    }

    #[test]
    fn what_is_no_database_is_named_and_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("studio.db");
        assert_eq!(look_at(&path).unwrap(), Found::Nothing);
        std::fs::write(&path, "").unwrap();
        assert_eq!(look_at(&path).unwrap(), Found::Nothing);
        for text in ["short", "a letter to the golfer, longer than a header"] {
            std::fs::write(&path, text).unwrap();
            assert!(look_at(&path).unwrap_err().to_string().contains("is not a studio"));
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        }
        assert!(look_at(folder.path()).is_err());
    }
}
