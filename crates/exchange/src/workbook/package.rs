//! The archive a workbook is: unpacked once, and counted, before anything in it is believed.
//!
//! Sizes in an archive's headers may lie and many entries may share the same bytes, so each entry is unpacked and
//! counted. The reader of the format keeps something for every tag of most parts, so tags are counted too, by their
//! opening sign. Each format of cells gets copies of the texts it names, so tags are weighed by the longest there. And
//! room is made for as many texts as a workbook says it has, so that number is looked at.

use super::{WorkbookProblem, kind};
use crate::spreadsheet::LARGEST_TABLE;
use std::io::{Cursor, Read};
use zip::ZipArchive;
use zip::result::ZipError;

/// Most files in the archive. Definition of what the tool takes.
const MOST_ENTRIES: usize = 200;
/// Most that is unpacked, MiB. Definition of what the tool takes.
const MOST_UNPACKED_MIB: usize = 50;
/// Most tags of a sheet, or of the texts sheets share. Derived: 500,000 cells of four tags each, and as much again.
const MOST_TAGS: usize = 4_000_000;
/// Most tags of any other part. Definition of what the tool takes: three for each of the 65,490 formats of cells that
/// spreadsheet programs allow.
const MOST_TAGS_BESIDES: usize = 200_000;
/// Most that formats of cells may take when each names the longest text, bytes. House choice: far above what programs
/// write, a fifth of the memory a bomb may reach.
const MOST_OF_FORMATS: usize = 64 * 1024 * 1024;
/// Most texts the sheets share. Definition of what the tool takes: as many as a sheet has cells.
const MOST_TEXTS: usize = super::cells::MOST_CELLS;

/// Refuses an archive that is no workbook, or more than is taken.
pub(super) fn check(bytes: &[u8]) -> Result<(), WorkbookProblem> {
    if bytes.len() > LARGEST_TABLE {
        return Err(WorkbookProblem::too_much("bytes in a workbook", LARGEST_TABLE, bytes.len()));
    }
    kind::check(bytes)?;
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| refused(&error))?;
    if archive.len() > MOST_ENTRIES {
        return Err(WorkbookProblem::too_much("files in a workbook", MOST_ENTRIES, archive.len()));
    }
    let mut left = MOST_UNPACKED_MIB * 1024 * 1024;
    let mut has_a_book = false;
    for place in 0..archive.len() {
        let entry = archive.by_index(place).map_err(|error| refused(&error))?;
        let name = entry.name().map_err(|error| refused(&error))?.to_ascii_lowercase();
        let part = unpacked(entry, left)?;
        left -= part.len();
        match name.as_str() {
            "mimetype" if part.starts_with(b"application/vnd.oasis.opendocument") => {
                return Err(WorkbookProblem::other("an OpenDocument file (.ods)"));
            }
            "xl/workbook.bin" => return Err(WorkbookProblem::other("a binary workbook (.xlsb)")),
            _ => check_part(&name, &part)?,
        }
        has_a_book |= file_of(&name).starts_with("workbook");
    }
    if has_a_book { Ok(()) } else { Err(WorkbookProblem::other("a zip archive of other files")) }
}

/// Unpacks an entry, no further than one byte more than is left.
fn unpacked(entry: impl Read, left: usize) -> Result<Vec<u8>, WorkbookProblem> {
    let limit = u64::try_from(left).unwrap_or(u64::MAX).saturating_add(1);
    let mut part = Vec::new();
    let read = entry.take(limit).read_to_end(&mut part);
    if part.len() > left {
        return Err(WorkbookProblem::TooLarge { most_mib: MOST_UNPACKED_MIB });
    }
    read.map(|_| part).map_err(|_| WorkbookProblem::Damaged)
}

fn check_part(name: &str, part: &[u8]) -> Result<(), WorkbookProblem> {
    let file = file_of(name);
    if (file.ends_with(".xml") || file.ends_with(".rels")) && find(part, b"<!DOCTYPE").is_some() {
        return Err(WorkbookProblem::Entities);
    }
    let is_of_cells =
        file == "sharedstrings.xml" || (name.contains("worksheets") && file.starts_with("sheet"));
    let most = if is_of_cells && file.ends_with(".xml") { MOST_TAGS } else { MOST_TAGS_BESIDES };
    let tags = part.iter().filter(|byte| **byte == b'<').count();
    if tags > most {
        return Err(WorkbookProblem::too_much("tags in a part of a workbook", most, tags));
    }
    if file == "styles.xml" {
        let longest = part.split(|byte| *byte == b'<').map(<[u8]>::len).max().unwrap_or_default();
        if longest.saturating_mul(tags) > MOST_OF_FORMATS {
            let found = longest.saturating_mul(tags);
            return Err(WorkbookProblem::too_much("bytes in formats of cells", MOST_OF_FORMATS, found));
        }
    }
    match texts_announced(part) {
        Some(texts) if texts > MOST_TEXTS => {
            Err(WorkbookProblem::too_much("texts in a workbook", MOST_TEXTS, texts))
        }
        Some(_) | None => Ok(()),
    }
}

/// The last piece of a name.
fn file_of(name: &str) -> &str {
    name.rsplit(['/', '\\']).next().unwrap_or_default()
}

/// The largest number of texts that a part says it has.
fn texts_announced(part: &[u8]) -> Option<usize> {
    const SAID: &[u8] = b"uniqueCount";
    let mut rest = part;
    let mut most = None;
    while let Some(at) = find(rest, SAID) {
        rest = &rest[at + SAID.len()..];
        let digits = rest
            .iter()
            .skip_while(|byte| byte.is_ascii_whitespace() || b"=\"'+".contains(byte))
            .take_while(|byte| byte.is_ascii_digit());
        let number = digits.fold(0_usize, |number, digit| {
            number.saturating_mul(10).saturating_add(usize::from(digit - b'0'))
        });
        most = most.max(Some(number));
    }
    most
}

fn find(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    let first = *wanted.first()?;
    let mut from = 0;
    while let Some(at) = bytes.get(from..)?.iter().position(|byte| *byte == first) {
        if bytes[from + at..].starts_with(wanted) {
            return Some(from + at);
        }
        from += at + 1;
    }
    None
}

fn refused(error: &ZipError) -> WorkbookProblem {
    match error {
        ZipError::UnsupportedArchive(ZipError::PASSWORD_REQUIRED) => WorkbookProblem::Locked,
        _ => WorkbookProblem::Damaged,
    }
}

#[cfg(test)]
mod tests {
    use super::texts_announced;

    #[test]
    fn the_number_of_texts_is_read_however_it_is_written() {
        for (part, texts) in [
            ("<sst count=\"7\" uniqueCount=\"3\">", Some(3)),
            ("<sst uniqueCount = '12'><si/>", Some(12)),
            ("<sst uniqueCount=\"99999999999999999999999\">", Some(usize::MAX)),
            ("<sst uniqueCount=\"1\"/><sst uniqueCount=\"500\"/>", Some(500)),
            ("<sst count=\"7\">", None),
        ] {
            assert_eq!(texts_announced(part.as_bytes()), texts, "{part}");
        }
    }
}
