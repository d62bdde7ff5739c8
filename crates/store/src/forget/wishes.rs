//! What was to be erased, written down beside the studio: ids alone, a line each, in a document of this machine
//! ([`HostFile`] `erased`) that no copy takes along and no restore puts back. Beside wishes it names pictures that are to
//! go with their golfer and have no record that would say so.

use crate::{Address, HostFile, StoreError};
use std::collections::BTreeSet;
use studio::Id;

/// What marks a line with the id of a photo; an older version reads over it.
const PHOTO: &str = "photo ";
/// The same for a remark.
const REMARK: &str = "remark ";
/// The same for a photo without a record, and its golfer.
const STRAY: &str = "stray ";

/// What was written down.
#[derive(Debug, Default)]
pub(crate) struct Wishes {
    /// Golfers to be forgotten.
    pub(crate) golfers: Vec<Id>,
    /// Photos whose pictures go with them.
    pub(crate) photos: Vec<Id>,
    /// Remarks about health to which consent was taken back.
    pub(crate) remarks: Vec<Id>,
    /// Photos whose records were set aside by going back to a copy, each with its golfer.
    pub(crate) strays: Vec<(Id, Id)>,
}

impl Wishes {
    /// Writes them down beside those that are there.
    pub(crate) fn write_down(&self, address: &Address) -> Result<(), StoreError> {
        let golfers = self.golfers.iter().map(ToString::to_string);
        let photos = self.photos.iter().map(|id| format!("{PHOTO}{id}"));
        let remarks = self.remarks.iter().map(|id| format!("{REMARK}{id}"));
        let strays = self.strays.iter().map(|(photo, golfer)| format!("{STRAY}{photo} {golfer}"));
        let wanted: Vec<String> = golfers.chain(photos).chain(remarks).chain(strays).collect();
        if wanted.is_empty() {
            return Ok(());
        }
        change(address, |lines| {
            for line in wanted {
                if !lines.contains(&line) {
                    lines.push(line);
                }
            }
        })
    }

    /// Reads them.
    pub(crate) fn written_down(address: &Address) -> Result<Self, StoreError> {
        // a studio in memory or a server without a folder for programs has no list
        let Ok(file) = list(address) else { return Ok(Self::default()) };
        let bytes = file.read().map_err(|error| cannot_use(&file, &error))?;
        let text = String::from_utf8_lossy(&bytes.unwrap_or_default()).into_owned();
        let lines = || text.lines().map(str::trim);
        let marked = |mark: &str| {
            lines().filter_map(|line| line.strip_prefix(mark)).filter_map(|id| Id::parse(id).ok()).collect()
        };
        let stray = |line: &str| {
            let (photo, golfer) = line.strip_prefix(STRAY)?.split_once(' ')?;
            Some((Id::parse(photo).ok()?, Id::parse(golfer).ok()?))
        };
        let strays = lines().filter_map(stray).collect();
        Ok(Self { golfers: marked(""), photos: marked(PHOTO), remarks: marked(REMARK), strays })
    }

    /// Takes golfers and photos off the list: what is named is wanted again.
    pub(crate) fn take_off(address: &Address, ids: &BTreeSet<&Id>) -> Result<(), StoreError> {
        let names_one = |line: &str| {
            let id = line.strip_prefix(PHOTO).unwrap_or(line);
            Id::parse(id).is_ok_and(|id| ids.contains(&id))
        };
        change(address, |lines| lines.retain(|line| !names_one(line)))
    }
}

fn list(address: &Address) -> Result<HostFile, StoreError> {
    HostFile::of(address, "erased", |name| std::env::var(name).ok())
}

fn change(address: &Address, change: impl FnOnce(&mut Vec<String>)) -> Result<(), StoreError> {
    let file = list(address)?;
    let written = file.change(|there| {
        let text = String::from_utf8_lossy(&there.unwrap_or_default()).into_owned();
        let mut lines: Vec<String> = text.lines().map(|line| line.trim().to_owned()).collect();
        change(&mut lines);
        let text: String = lines.iter().map(|line| format!("{line}\n")).collect();
        Ok::<_, std::io::Error>((text.into_bytes(), ()))
    });
    written.map_err(|error| cannot_use(&file, &error))
}

fn cannot_use(file: &HostFile, error: &std::io::Error) -> StoreError {
    match error.kind() {
        std::io::ErrorKind::StorageFull => StoreError::DiskFull,
        _ => StoreError::CannotUse { path: file.path().to_owned(), why: error.to_string() },
    }
}
