//! Looking at a file before anything opens it: a damaged, foreign or badly placed file is never touched.

use crate::StoreError;
use crate::connect::Manner;
use crate::private::make_private_folder;
use std::fs::File;
use std::io::Read;
use std::ops::Range;
use std::path::{Component, Path, PathBuf, Prefix};

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

/// Bytes of the largest page. Standard: SQLite database file format, section 1.3.2.
const LARGEST_PAGE: usize = 65_536;
/// The first bytes of a rollback journal. Standard: SQLite database file format, section 3.
const JOURNAL: [u8; 8] = [0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7];
/// Where a rollback journal says how many pages the file had before. Standard: the same.
const PAGES_BEFORE: Range<usize> = 16..20;

/// Looks at the file; nothing is changed.
///
/// # Errors
/// [`StoreError::NotOurs`] for any other file, [`StoreError::CannotUse`] for a folder or a file with a second name,
/// [`StoreError::OnNetworkDrive`] for a network drive.
pub fn look_at(path: &Path) -> Result<Found, StoreError> {
    look_at_as(path, Manner::Usual)
}

/// The same for a studio that is opened in a manner of its own: on a network drive where that is allowed.
pub(crate) fn look_at_as(path: &Path, manner: Manner) -> Result<Found, StoreError> {
    let cannot = |why: String| StoreError::CannotUse { path: path.to_owned(), why };
    if manner != Manner::OnNetworkDrive
        && let Some(kind) = network_drive(path)
    {
        return Err(StoreError::OnNetworkDrive { path: path.to_owned(), kind });
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
    match first_bytes(path, HEADER.len()) {
        Ok(header) if header == *HEADER => Ok(Found::Database),
        Ok(_) if never_came_to_its_first_page(path) => Ok(Found::Nothing),
        Ok(_) => Err(StoreError::NotOurs(path.to_owned())),
        Err(error) => Err(cannot(error.to_string())),
    }
}

/// Up to so many bytes from the beginning of a file.
fn first_bytes(path: &Path, most: usize) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::with_capacity(most);
    File::open(path)?.take(most as u64).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Whether power was cut while the very first page of a new studio was written: nothing but zeros are there, and the
/// journal beside it says that there was nothing before. SQLite then takes it back to nothing.
fn never_came_to_its_first_page(path: &Path) -> bool {
    let is_zeros = first_bytes(path, LARGEST_PAGE + 1)
        .is_ok_and(|bytes| bytes.len() <= LARGEST_PAGE && bytes.iter().all(|byte| *byte == 0));
    is_zeros
        && first_bytes(&beside(path, "-journal"), PAGES_BEFORE.end)
            .is_ok_and(|journal| journal.starts_with(&JOURNAL) && journal.get(PAGES_BEFORE) == Some(&[0; 4]))
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
    let whole = std::path::absolute(path).ok()?;
    if is_a_share(&whole) {
        return Some("a share".to_owned());
    }
    kind_of_drive(&mounts()?, &whole).filter(|kind| is_network(kind)).map(str::to_owned)
}

/// Whether a path of Windows leads to another machine, by its name or by a letter that stands for it.
fn is_a_share(path: &Path) -> bool {
    let place = path.parent().and_then(|folder| folder.canonicalize().ok());
    let place = place.as_deref().unwrap_or(path);
    matches!(
        place.components().next(),
        Some(Component::Prefix(start)) if matches!(start.kind(), Prefix::UNC(..) | Prefix::VerbatimUNC(..))
    )
}

/// The table of what is mounted where: a place and a kind each.
#[cfg(target_os = "linux")]
fn mounts() -> Option<Vec<(String, String)>> {
    std::fs::read_to_string("/proc/mounts").ok().map(|table| told_by_linux(&table))
}

/// The table of what is mounted where: a place and a kind each.
#[cfg(target_os = "macos")]
fn mounts() -> Option<Vec<(String, String)>> {
    let told = std::process::Command::new("/sbin/mount").output().ok()?;
    Some(told_by_macos(&String::from_utf8_lossy(&told.stdout)))
}

/// Elsewhere a path itself tells, or nothing does.
#[cfg(not(any(target_os = "linux", target_os = "macos")))]
fn mounts() -> Option<Vec<(String, String)>> {
    None
}

/// Reads lines such as `server:/x /home/shared nfs4 rw 0 0`.
#[cfg(any(target_os = "linux", test))]
fn told_by_linux(table: &str) -> Vec<(String, String)> {
    let mounted = table.lines().filter_map(|line| {
        let mut words = line.split(' ');
        let (_, place, kind) = (words.next()?, words.next()?, words.next()?);
        // the table writes a space by its number
        Some((place.replace("\\040", " "), kind.to_owned()))
    });
    mounted.collect()
}

/// Reads lines such as `//me@server/x on /Volumes/x (smbfs, nodev, nosuid, mounted by me)`.
#[cfg(any(target_os = "macos", test))]
fn told_by_macos(table: &str) -> Vec<(String, String)> {
    let mounted = table.lines().filter_map(|line| {
        let (place, about) = line.split_once(" on ")?.1.rsplit_once(" (")?;
        let kind = about.split([',', ')']).next()?;
        Some((place.to_owned(), kind.to_owned()))
    });
    mounted.collect()
}

/// The kind of file system of the longest mount point that holds the path.
fn kind_of_drive<'m>(mounts: &'m [(String, String)], path: &Path) -> Option<&'m str> {
    let holding = mounts.iter().filter(|(place, _)| path.starts_with(place));
    holding.max_by_key(|(place, _)| place.len()).map(|(_, kind)| kind.as_str())
}

fn is_network(kind: &str) -> bool {
    const KINDS: [&str; 11] =
        ["nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ncpfs", "davfs", "afpfs", "webdav", "9p"];
    KINDS.contains(&kind) || kind.starts_with("fuse.")
}

#[cfg(test)]
mod tests {
    use super::{Found, is_network, kind_of_drive, look_at, told_by_linux, told_by_macos};
    use std::path::Path;

    #[test]
    fn a_network_drive_is_known_by_its_mount() {
        let mounts = told_by_linux(
            "/dev/a / ext4 rw 0 0\nserver:/x /home/shared nfs4 rw 0 0\nb /home/shared/local ext4 rw 0 0\n",
        );
        assert_eq!(kind_of_drive(&mounts, Path::new("/home/shared/studio.db")), Some("nfs4"));
        assert_eq!(kind_of_drive(&mounts, Path::new("/home/shared/local/s.db")), Some("ext4"));
        assert_eq!(kind_of_drive(&mounts, Path::new("/tmp/s.db")), Some("ext4"));
        let spaced = told_by_linux("/dev/a / ext4 rw 0 0\nserver:/x /mnt/my\\040share cifs rw 0 0\n");
        assert_eq!(kind_of_drive(&spaced, Path::new("/mnt/my share/s.db")), Some("cifs"));
        for kind in ["fuse.sshfs", "cifs", "smbfs", "webdav"] {
            assert!(is_network(kind), "{kind}");
        }
        for kind in ["ext4", "overlay", "apfs", "tmpfs", "fuseblk"] {
            assert!(!is_network(kind), "{kind}");
        }
    }

    #[test]
    fn macos_tells_the_same_in_other_words() {
        let mounts = told_by_macos(
            "/dev/disk3s1 on / (apfs, sealed, local, read-only, journaled)\n\
             //me@server/my%20share on /Volumes/my share (smbfs, nodev, nosuid, mounted by me)\n",
        );
        assert_eq!(kind_of_drive(&mounts, Path::new("/Volumes/my share/s.db")), Some("smbfs"));
        assert_eq!(kind_of_drive(&mounts, Path::new("/Users/me/s.db")), Some("apfs"));
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
