//! Which kind of file bytes are, told by their content and never by a name.

use super::WorkbookProblem;

/// How a zip archive begins. Standard: the local file header of the ZIP file format.
const ZIP: &[u8] = b"PK\x03\x04";
/// How a compound file begins: a workbook of the older kind, or a locked one. Published by the maker of the format.
const COMPOUND: &[u8] = b"\xd0\xcf\x11\xe0";
/// The stream of a compound file that holds a locked workbook, as its directory writes it: UTF-16, low byte first.
/// Published by the maker of the format.
const LOCKED: &str = "EncryptedPackage";

/// Tells whether bytes are a workbook, or an archive that may be one, rather than a text.
#[must_use]
pub fn is_workbook(bytes: &[u8]) -> bool {
    bytes.starts_with(ZIP) || bytes.starts_with(COMPOUND)
}

/// Refuses what is no archive.
pub(super) fn check(bytes: &[u8]) -> Result<(), WorkbookProblem> {
    if bytes.is_empty() {
        return Err(WorkbookProblem::other("an empty file"));
    }
    if bytes.starts_with(COMPOUND) {
        let locked: Vec<u8> = LOCKED.encode_utf16().flat_map(u16::to_le_bytes).collect();
        return Err(if bytes.windows(locked.len()).any(|window| window == locked) {
            WorkbookProblem::Locked
        } else {
            WorkbookProblem::other("a workbook of the older kind (.xls)")
        });
    }
    if bytes.starts_with(ZIP) { Ok(()) } else { Err(WorkbookProblem::other("another file")) }
}
