//! Writing to the terminal and to files: whole or not at all.

use crate::Stop;
use crate::failure::Failure;
use serde_json::Value;
use std::io::{ErrorKind, Read, Write};
use std::path::Path;
use tempfile::NamedTempFile;

/// Prints a failure as a person reads it.
pub(crate) fn failure_text(failure: &Failure) -> String {
    let place = failure.line.map(|line| format!("line {line}: ")).unwrap_or_default();
    let field = failure.field.as_ref().map(|field| format!("{field}: ")).unwrap_or_default();
    let hint = failure.hint.as_ref().map(|hint| format!("\n  Hint: {hint}")).unwrap_or_default();
    let text = format!("Error: {place}{field}{}{hint}", failure.message);
    // what came in from a card or a key may hold signs that a terminal would obey
    text.chars().map(|sign| if sign.is_control() && sign != '\n' { '\u{fffd}' } else { sign }).collect()
}

/// Writes a text to standard output. A reader that has closed the pipe has read enough.
pub(crate) fn print(text: &str) -> Result<(), Stop> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::bad_file(format!("cannot write to standard output: {error}")).into())
        }
        Ok(()) | Err(_) => Ok(()),
    }
}

/// Writes a JSON document to standard output.
pub(crate) fn print_json(document: &Value) -> Result<(), Stop> {
    print(&format!("{document:#}\n"))
}

/// Reads a file, or standard input when the path is `-`, no further than `most` bytes and one.
pub(crate) fn read(path: &Path, most: usize) -> Result<Vec<u8>, Failure> {
    let limit = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    let mut bytes = Vec::new();
    let read = if path == Path::new("-") {
        std::io::stdin().lock().take(limit).read_to_end(&mut bytes)
    } else {
        std::fs::File::open(path).and_then(|file| file.take(limit).read_to_end(&mut bytes))
    };
    read.map_err(|error| {
        Failure::bad_file(format!("cannot read {}: {error}", path.display()))
            .hint("Check the path, and that it is a file you may read.")
    })?;
    Ok(bytes)
}

/// Writes several files, each whole: every one is safely on disk beside its place before the first is put there,
/// so that a full disk or a folder that refuses leaves all of them as they were.
pub(crate) fn write_together(files: &[(&Path, &[u8])]) -> Result<(), Failure> {
    let mut ready = Vec::new();
    for (path, bytes) in files {
        if path.is_dir() {
            return Err(Failure::bad_file(format!("cannot write {}: it is a folder", path.display()))
                .hint("Name a file in it."));
        }
        ready.push((path, neighbour(path, bytes).map_err(|error| refused(path, &error))?));
    }
    for (path, neighbour) in ready {
        neighbour.persist(path).map_err(|error| refused(path, &error.error))?;
    }
    Ok(())
}

fn refused(path: &Path, error: &std::io::Error) -> Failure {
    Failure::bad_file(format!("cannot write {}: {error}", path.display()))
        .hint("Check that the folder is there and may be written to.")
}

/// Writes the bytes to a temporary file in the folder where they will stand.
fn neighbour(path: &Path, bytes: &[u8]) -> std::io::Result<NamedTempFile> {
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    // the library's error would name the temporary file, which tells the user nothing
    let bare = |error: std::io::Error| std::io::Error::from(error.kind());
    let mut file = tempfile::Builder::new().prefix(".lengthwise-").tempfile_in(folder).map_err(bare)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    make_readable(file.as_file())?;
    Ok(file)
}

/// A temporary file is for its owner alone; a sheet is for whoever may read the folder.
#[cfg(unix)]
fn make_readable(file: &std::fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn make_readable(_: &std::fs::File) -> std::io::Result<()> {
    Ok(())
}
