//! The table of a file somebody sent: a text is read here, the sheet of a workbook in a process apart.

use crate::apart::Apart;
use exchange::{ExchangeError, Sheet, Table, WorkbookProblem, is_workbook, sniff};

/// Most bytes the process answers with. Derived: the texts of a sheet, 5 MiB, each byte written as six at worst; 20,001
/// rows of 200 cells, three bytes round each; names.
const MOST_ANSWER: usize = 48 * 1024 * 1024;

/// Reads the table of a file: of a workbook the sheet by this name, or the first that is not hidden.
///
/// # Errors
/// [`ExchangeError`], also when there is no program to read a workbook apart, or it did not come to its end.
pub async fn read_table(
    apart: Option<&Apart>,
    bytes: impl AsRef<[u8]> + Send + 'static,
    sheet: Option<&str>,
) -> Result<Table, ExchangeError> {
    if !is_workbook(bytes.as_ref()) {
        return match sheet {
            Some(wanted) => Err(ExchangeError::NoSheets { wanted: wanted.to_owned() }),
            None => sniff(bytes.as_ref()),
        };
    }
    let apart = apart.ok_or(ExchangeError::Workbook)?;
    let sheet = sheet.map(|sheet| format!("--sheet={sheet}"));
    let arguments: Vec<&str> = std::iter::once("read-workbook").chain(sheet.as_deref()).collect();
    let gave_up = || ExchangeError::from(WorkbookProblem::GaveUp);
    let ended = apart.run(&arguments, bytes, MOST_ANSWER).await.map_err(|_| gave_up())?;
    if ended.code != 0 {
        return Err(gave_up());
    }
    // a large answer is taken apart where it keeps no page waiting
    let table = tokio::task::spawn_blocking(move || {
        let answer: Result<Sheet, WorkbookProblem> =
            serde_json::from_slice(&ended.written).map_err(|_| gave_up())?;
        answer?.into_table()
    });
    table.await.map_err(|_| gave_up())?
}
