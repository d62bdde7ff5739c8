//! Writing the sheets: HTML, or PDF through an installed browser of the Chromium family.

use crate::failure::Failure;
use crate::output::write_together;
use bench::SetPlan;
use jiff::civil::Date;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

/// Names under which a browser of the Chromium family is installed.
const BROWSERS: [&str; 6] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "microsoft-edge",
    "brave-browser",
];
/// Names a browser of the user's own choice.
const BROWSER_VARIABLE: &str = "LENGTHWISE_BROWSER";

/// How long a browser may take for a page. House choice.
const BROWSER_PATIENCE: Duration = Duration::from_secs(60);

/// What a sheet is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Format {
    /// A whole HTML document.
    Html,
    /// A PDF printed by a browser.
    Pdf,
}

impl Format {
    /// Reads the format from a file's name.
    pub(crate) fn of(path: &Path) -> Result<Self, Failure> {
        match path.extension().and_then(|extension| extension.to_str()).map(str::to_lowercase).as_deref() {
            Some("html" | "htm") => Ok(Self::Html),
            Some("pdf") => Ok(Self::Pdf),
            _ => Err(Failure::bad_input(format!(
                "expected a sheet named .html or .pdf, found {}",
                path.display()
            ))
            .field("--sheet")),
        }
    }
}

/// The two sheets as they were written.
#[derive(Debug)]
pub(crate) struct Documents {
    job: PathBuf,
    golfer: PathBuf,
}

impl Documents {
    /// Writes the job sheet to `path` and the golfer's sheet beside it.
    ///
    /// Both are made before either is put in its place: a failure leaves no half-written sheet.
    pub(crate) fn write(
        plan: &SetPlan,
        day: Date,
        path: &Path,
        format: Format,
        card: Option<&Path>,
    ) -> Result<Self, Failure> {
        let documents = Self { job: path.to_owned(), golfer: beside(path) };
        documents.refuse_the_card(card)?;
        let letterhead = sheet::Letterhead::default();
        let (job, golfer) =
            (sheet::job_sheet(plan, day, &letterhead), sheet::golfer_sheet(plan, day, &letterhead));
        let (job, golfer) = match format {
            Format::Html => (job.into_bytes(), golfer.into_bytes()),
            Format::Pdf => {
                let browser = browser()?;
                (printed(&browser, &job)?, printed(&browser, &golfer)?)
            }
        };
        write_together(&[(&documents.golfer, &golfer), (&documents.job, &job)])?;
        Ok(documents)
    }

    /// A sheet never takes the place of the card it comes from.
    fn refuse_the_card(&self, card: Option<&Path>) -> Result<(), Failure> {
        let Some(card) = card.and_then(|card| card.canonicalize().ok()) else {
            return Ok(());
        };
        let is_the_card = |path: &PathBuf| path.canonicalize().is_ok_and(|path| path == card);
        match [&self.job, &self.golfer].into_iter().find(|path| is_the_card(path)) {
            Some(path) => Err(Failure::bad_input(format!(
                "the sheet {} would take the place of the card",
                path.display()
            ))
            .field("--sheet")
            .hint("Give the sheet another name.")),
            None => Ok(()),
        }
    }

    /// Says where they are.
    pub(crate) fn sentence(&self) -> String {
        format!(
            "\nSheets written:\n  for the bench   {}\n  for the golfer  {}\n",
            self.job.display(),
            self.golfer.display()
        )
    }
}

/// `job.html` has `job-golfer.html` beside it.
fn beside(path: &Path) -> PathBuf {
    let mut name = path.file_stem().unwrap_or_default().to_owned();
    name.push("-golfer");
    if let Some(extension) = path.extension() {
        name.push(".");
        name.push(extension);
    }
    path.with_file_name(name)
}

/// Finds the browser: the one named by the user, else the first that is installed.
fn browser() -> Result<PathBuf, Failure> {
    if let Some(named) = std::env::var_os(BROWSER_VARIABLE).filter(|named| !named.is_empty()) {
        return find(&named).ok_or_else(|| {
            Failure::bad_file(format!(
                "{BROWSER_VARIABLE} names {}, which is not there",
                named.to_string_lossy()
            ))
            .hint("Name an installed browser of the Chromium family, or take the variable away.")
        });
    }
    BROWSERS.iter().find_map(|name| find(&OsString::from(name))).ok_or_else(|| {
        Failure::bad_file("a PDF needs an installed browser of the Chromium family, and none was found").hint(
            format!(
                "Install one, name it in {BROWSER_VARIABLE}, or write .html and print it from any browser."
            ),
        )
    })
}

/// Finds a program by path, or by name along the search path.
fn find(name: &OsString) -> Option<PathBuf> {
    let given = PathBuf::from(name);
    if given.components().count() > 1 {
        return given.is_file().then_some(given);
    }
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|folder| folder.join(name)).find(|program| program.is_file())
}

/// Prints a document to PDF with the browser, in a folder of its own that goes away afterwards.
fn printed(browser: &Path, html: &str) -> Result<Vec<u8>, Failure> {
    let failed =
        |what: &str, error: std::io::Error| Failure::bad_file(format!("{what} for the PDF: {error}"));
    let folder = tempfile::Builder::new()
        .prefix("lengthwise-pdf-")
        .tempdir()
        .map_err(|error| failed("cannot make a temporary folder", error))?;
    let (page, pdf) = (folder.path().join("sheet.html"), folder.path().join("sheet.pdf"));
    std::fs::write(&page, html).map_err(|error| failed("cannot write a temporary page", error))?;
    let mut to_pdf = OsString::from("--print-to-pdf=");
    to_pdf.push(&pdf);
    let mut profile = OsString::from("--user-data-dir=");
    profile.push(folder.path().join("profile"));
    let mut command = Command::new(browser);
    command
        .args(["--headless", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .arg(profile)
        .arg(to_pdf);
    if is_root() {
        // the browser refuses its own sandbox to this user
        command.arg("--no-sandbox");
    }
    command.arg(&page).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let child =
        command.spawn().map_err(|error| failed(&format!("cannot start {}", browser.display()), error))?;
    let status = ended(child).map_err(|error| failed("cannot wait for the browser", error))?;
    let bytes = std::fs::read(&pdf).unwrap_or_default();
    if status.is_some_and(|status| status.success()) && bytes.starts_with(b"%PDF") {
        return Ok(bytes);
    }
    let why = status.map_or("no answer in time".to_owned(), |status| status.to_string());
    Err(Failure::bad_file(format!("{} printed no PDF ({why})", browser.display()))
        .hint("Write .html and print it from a browser."))
}

/// Waits for the browser, and ends it when it hangs; `None` then.
fn ended(mut child: Child) -> std::io::Result<Option<ExitStatus>> {
    let start = Instant::now();
    while start.elapsed() < BROWSER_PATIENCE {
        if let Some(status) = child.try_wait()? {
            return Ok(Some(status));
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    child.kill()?;
    child.wait()?;
    Ok(None)
}

/// Whether the program runs as the system's own user.
#[cfg(target_os = "linux")]
fn is_root() -> bool {
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata("/proc/self").is_ok_and(|process| process.uid() == 0)
}

#[cfg(not(target_os = "linux"))]
fn is_root() -> bool {
    false
}

#[cfg(test)]
mod tests {
    use super::{Format, beside};
    use std::path::Path;

    #[test]
    fn the_golfers_sheet_stands_beside_the_job_sheet() {
        assert_eq!(beside(Path::new("out/job.html")), Path::new("out/job-golfer.html"));
        assert_eq!(beside(Path::new("job.pdf")), Path::new("job-golfer.pdf"));
    }

    #[test]
    fn a_sheet_is_html_or_pdf() {
        assert_eq!(Format::of(Path::new("a/JOB.HTML")).unwrap(), Format::Html);
        assert_eq!(Format::of(Path::new("job.pdf")).unwrap(), Format::Pdf);
        assert!(Format::of(Path::new("job.docx")).is_err());
        assert!(Format::of(Path::new("job")).is_err());
    }
}
