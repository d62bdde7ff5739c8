//! The studio's log: one line of JSON for each request, act, copy and refusal, in a few files beside the studio that are
//! for its owner alone. Names, contacts, measurements, remarks and what was typed are never in it.

use std::fs::{File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use store::Address;
use tracing_subscriber::filter::{LevelFilter, Targets};
use tracing_subscriber::fmt::MakeWriter;
use tracing_subscriber::layer::SubscriberExt;
use tracing_subscriber::util::SubscriberInitExt;

/// Largest file and how many there are. House choice.
const LARGEST: u64 = 10 * 1024 * 1024;
const FILES: usize = 5;
/// Where it lies beside the studio.
const FOLDER: &str = "log";

/// Begins the log of a studio that opens; says so when it cannot be written, and goes on without. One that was begun goes
/// on.
pub(crate) fn begin(address: &Address) {
    let Some(folder) = folder_of(address) else { return };
    match begin_in(&folder) {
        Ok(()) => tracing::info!(version = env!("CARGO_PKG_VERSION"), "the studio opens"),
        Err(error) => eprintln!("No log is written: {}: {error}", folder.display()),
    }
}

/// Begins the log of a studio that had one, for one command or before it is opened: what is no studio yet, or none of ours,
/// gets nothing beside it.
pub(crate) fn begin_for(command: &'static str, address: &Address) {
    if let Some(folder) = folder_of(address).filter(|folder| folder.join(FOLDER).is_dir())
        && begin_in(&folder).is_ok()
    {
        tracing::info!(version = env!("CARGO_PKG_VERSION"), command, "a command begins");
    }
}

/// The folder a studio's log lies in.
fn folder_of(address: &Address) -> Option<PathBuf> {
    let usual;
    let file = match address {
        Address::File(_) => address,
        Address::Server(_) => {
            usual = Address::usual(|name| std::env::var(name).ok()).ok()?;
            &usual
        }
    };
    // of a bare name it is where we stand
    file.folder()
        .map(|folder| if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder.to_owned() })
}

fn begin_in(folder: &Path) -> io::Result<()> {
    static BEGUN: AtomicBool = AtomicBool::new(false);
    if BEGUN.swap(true, Ordering::Relaxed) {
        return Ok(());
    }
    // what a fault says may be what somebody typed: only its place is told
    std::panic::set_hook(Box::new(|fault| {
        let place = fault.location().map(ToString::to_string).unwrap_or_default();
        tracing::error!(place, "a fault in our own code");
        eprintln!("A fault in our own code at {place}. What was saved is safe.");
    }));
    let file = Rotating::open(folder.join(FOLDER).join("lengthwise.log"), LARGEST)?;
    // only what we say ourselves: a library might tell what was typed
    let ours = ["web", "store", "lengthwise"].map(|name| (name, LevelFilter::INFO));
    let lines =
        tracing_subscriber::fmt::layer().json().flatten_event(true).with_writer(LogFile(Mutex::new(file)));
    let subscriber = tracing_subscriber::registry().with(lines).with(Targets::new().with_targets(ours));
    subscriber.try_init().map_err(io::Error::other)
}

/// A file that is put aside when it is full; the oldest goes.
struct Rotating {
    path: PathBuf,
    file: File,
    size: u64,
    largest: u64,
}

impl Rotating {
    fn open(path: PathBuf, largest: u64) -> io::Result<Self> {
        if let Some(folder) = path.parent() {
            make_private(folder)?;
        }
        let file = opened(&path)?;
        let size = file.metadata()?.len();
        Ok(Self { path, file, size, largest })
    }

    fn put_aside(&mut self) -> io::Result<()> {
        let numbered = |number: usize| self.path.with_extension(format!("{number}.log"));
        for number in (1..FILES - 1).rev() {
            if numbered(number).exists() {
                std::fs::rename(numbered(number), numbered(number + 1))?;
            }
        }
        std::fs::rename(&self.path, numbered(1))?;
        self.file = opened(&self.path)?;
        self.size = 0;
        Ok(())
    }
}

impl Write for Rotating {
    fn write(&mut self, line: &[u8]) -> io::Result<usize> {
        if self.size >= self.largest {
            self.put_aside()?;
        }
        let written = self.file.write(line)?;
        self.size += u64::try_from(written).unwrap_or_default();
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

fn opened(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.append(true).create(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    options.open(path)
}

fn make_private(folder: &Path) -> io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    builder.create(folder)
}

/// Lines from any thread, one after another.
struct LogFile(Mutex<Rotating>);

/// One line being written.
struct Line<'a>(std::sync::MutexGuard<'a, Rotating>);

impl Write for Line<'_> {
    fn write(&mut self, line: &[u8]) -> io::Result<usize> {
        self.0.write(line)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

impl<'a> MakeWriter<'a> for LogFile {
    type Writer = Line<'a>;

    fn make_writer(&'a self) -> Self::Writer {
        Line(self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

#[cfg(test)]
mod tests {
    use super::{FILES, Rotating};
    use std::io::Write;

    #[test]
    fn full_files_are_put_aside_and_the_oldest_goes() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log").join("lengthwise.log");
        let mut log = Rotating::open(path.clone(), 10).unwrap();
        for number in 0..20 {
            log.write_all(format!("line {number:05}\n").as_bytes()).unwrap();
        }
        let mut names: Vec<String> = std::fs::read_dir(path.parent().unwrap())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort_unstable();
        assert_eq!(names.len(), FILES, "{names:?}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "line 00019\n");
        assert_eq!(std::fs::read_to_string(path.with_extension("4.log")).unwrap(), "line 00015\n");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
            assert_eq!((mode(&path), mode(path.parent().unwrap())), (0o600, 0o700));
        }
    }
}
