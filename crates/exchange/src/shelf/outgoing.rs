//! The shelf going out.

use super::COLUMNS;
use crate::tables::cells::TableWriter;
use crate::{ExchangeError, guarded};
use quantity::{Length, Mass};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};
use studio::{Shelf, StockedPart};

/// Digits behind the point: a thousandth of an inch is what a caliper reads, a hundredth of a gram what a scale does.
const INCH_DIGITS: f64 = 1000.0;
const GRAM_DIGITS: f64 = 100.0;

/// The day a workbook says it was made on. Definition: the day before which archives tell no time.
const WRITTEN_ON: (u16, u8, u8) = (1980, 1, 1);

/// The sizes of a part as the table has them.
fn sizes(part: &StockedPart) -> [Option<f64>; 3] {
    let inches =
        |metres: Option<f64>| metres.map(|metres| rounded(Length::metres(metres).as_inches(), INCH_DIGITS));
    let grams = part.mass_kg.map(|mass| rounded(Mass::kilograms(mass).as_grams(), GRAM_DIGITS));
    [inches(part.diameter_m), inches(part.length_m), grams]
}

fn rounded(value: f64, steps: f64) -> f64 {
    (value * steps).round() / steps
}

/// Writes the parts on the shelf as a table of commas; texts are [guarded](crate::guarded()).
#[must_use]
pub fn shelf_csv(shelf: &Shelf) -> String {
    let mut table = TableWriter::new(&COLUMNS);
    for part in shelf.on_it().into_iter().map(|kept| &kept.record) {
        table.text(part.kind.words());
        table.text(&part.name);
        for size in sizes(part) {
            table.some_number(size);
        }
        table.some_text(part.cost.map(|cost| cost.to_string()).as_deref());
        table.some_integer(Some(shelf.stock(&part.id)));
        table.some_integer(Some(shelf.reserved(&part.id)));
        table.some_integer(Some(part.low_at.into()));
        table.some_text(part.note.as_deref());
        table.end_row();
    }
    table.finish()
}

/// Writes the parts on the shelf as a workbook (Office Open XML): texts as texts, numbers as numbers.
///
/// Texts are [guarded](crate::guarded()) for the day somebody saves the sheet as text. The first row stays in sight.
///
/// # Errors
/// [`ExchangeError::NotWritten`] when the workbook cannot be put together.
pub fn shelf_workbook(shelf: &Shelf) -> Result<Vec<u8>, ExchangeError> {
    workbook(shelf).map_err(|error| ExchangeError::NotWritten { what: "workbook", why: error.to_string() })
}

fn workbook(shelf: &Shelf) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    // the writer would put the time of writing in; the same shelf gives the same bytes
    let (year, month, day) = WRITTEN_ON;
    let written_on = ExcelDateTime::from_ymd(year, month, day)?;
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&written_on));
    let head = Format::new().set_bold();
    let money = Format::new().set_num_format("0.00");
    let sheet = workbook.add_worksheet().set_name("Shelf")?;
    for (column, name) in (0_u16..).zip(COLUMNS) {
        sheet.write_string_with_format(0, column, name, &head)?;
    }
    sheet.set_freeze_panes(1, 0)?;
    for (row, part) in (1_u32..).zip(shelf.on_it().into_iter().map(|kept| &kept.record)) {
        sheet.write_string(row, 0, part.kind.words())?;
        sheet.write_string(row, 1, guarded(&part.name))?;
        for (column, size) in (2_u16..).zip(sizes(part)) {
            if let Some(size) = size {
                sheet.write_number(row, column, size)?;
            }
        }
        if let Some(cost) = part.cost {
            sheet.write_number_with_format(row, 5, whole(cost.as_cents()) / 100.0, &money)?;
        }
        sheet.write_number(row, 6, whole(shelf.stock(&part.id)))?;
        sheet.write_number(row, 7, whole(shelf.reserved(&part.id)))?;
        sheet.write_number(row, 8, f64::from(part.low_at))?;
        sheet.write_string(row, 9, guarded(part.note.as_deref().unwrap_or_default()))?;
    }
    sheet.set_column_width(1, 32)?;
    workbook.save_to_buffer()
}

/// A count or an amount as a cell's number.
#[expect(clippy::cast_precision_loss, reason = "counts and cents far below 2^53")]
fn whole(number: i64) -> f64 {
    number as f64
}
