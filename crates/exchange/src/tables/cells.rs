//! Writing a table cell by cell: texts guarded, numbers as numbers, days and times in one form.

use crate::guarded;
use jiff::Timestamp;
use jiff::civil::Date;

/// The mark by which spreadsheet programs know UTF-8.
const MARK: &str = "\u{feff}";

/// A table in the making.
pub(crate) struct TableWriter {
    writer: csv::Writer<Vec<u8>>,
}

impl TableWriter {
    pub(crate) fn new(header: &[&str]) -> Self {
        let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(MARK.into());
        writer.write_record(header).expect("memory takes every row");
        Self { writer }
    }

    fn cell(&mut self, cell: &str) {
        self.writer.write_field(cell).expect("memory takes every cell");
    }

    pub(crate) fn text(&mut self, text: &str) {
        self.cell(&guarded(text));
    }

    pub(crate) fn some_text(&mut self, text: Option<&str>) {
        self.text(text.unwrap_or_default());
    }

    pub(crate) fn some_number(&mut self, number: Option<f64>) {
        self.cell(&number.map(|number| number.to_string()).unwrap_or_default());
    }

    pub(crate) fn some_integer(&mut self, number: Option<i64>) {
        self.cell(&number.map(|number| number.to_string()).unwrap_or_default());
    }

    pub(crate) fn day(&mut self, day: Option<Date>) {
        self.text(&day.map(|day| day.to_string()).unwrap_or_default());
    }

    /// Writes milliseconds UTC as `2026-11-03T09:30:00Z`; beyond the calendar as so many milliseconds.
    pub(crate) fn time(&mut self, ms: Option<i64>) {
        let words =
            |ms| Timestamp::from_millisecond(ms).map_or_else(|_| format!("{ms} ms"), |at| at.to_string());
        self.text(&ms.map(words).unwrap_or_default());
    }

    pub(crate) fn flag(&mut self, flag: bool) {
        self.cell(if flag { "yes" } else { "no" });
    }

    pub(crate) fn end_row(&mut self) {
        self.writer.write_record(None::<&[u8]>).expect("memory takes every row, and every row has its cells");
    }

    pub(crate) fn finish(self) -> String {
        let bytes = self.writer.into_inner().expect("memory takes every row");
        String::from_utf8(bytes).expect("cells are text")
    }
}

#[cfg(test)]
mod tests {
    use super::TableWriter;
    use jiff::civil::date;

    #[test]
    fn numbers_stay_numbers_and_texts_are_guarded() {
        let mut table = TableWriter::new(&["a", "b", "c", "d", "e", "f"]);
        table.some_number(Some(-0.5));
        table.text("-0.5");
        table.text("say \"=1+1\", twice");
        table.day(Some(date(2026, 11, 3)));
        // 1 793 696 400 s: 20 760 days and 9 h after 1970-01-01
        table.time(Some(1_793_696_400_000));
        table.flag(true);
        table.end_row();
        assert_eq!(
            table.finish(),
            "\u{feff}a,b,c,d,e,f\r\n-0.5,'-0.5,\"say \"\"=1+1\"\", twice\",2026-11-03,2026-11-03T09:00:00Z,yes\r\n"
        );
    }
}
