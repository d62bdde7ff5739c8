//! The strike file: one ball a row, as a trial writes it and reads it back.
//!
//! Columns `session`, `order`, `offset_in`, `x_mm`, `y_mm`, in any order, and what was read besides where it was:
//! `head_speed_mps`, `ball_speed_mps`, `carry_m`, `tempo`. Others are passed over and named. A file is taken whole or not
//! at all.

use crate::ExchangeError;
use crate::spreadsheet::{Row, Table};
use std::fmt::Write as _;
use trial::{Response, Responses, Strike};

/// What a strike file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct StrikeFile {
    /// The balls, as they stand in the file, with what was read besides.
    pub balls: Vec<(Strike, Responses)>,
    /// Columns that were passed over.
    pub passed_over: Vec<String>,
}

/// How decimals are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Decimals {
    /// 7.8
    Point,
    /// 7,8
    Comma,
}

const NEEDED: [&str; 5] = ["session", "order", "offset_in", "x_mm", "y_mm"];

/// Reads the strikes of a table.
///
/// # Errors
/// A column that is missing or there twice, or the first cell that is no number; decimal
/// commas unless they were asked for.
pub fn read_strikes(table: &Table, decimals: Decimals) -> Result<StrikeFile, ExchangeError> {
    let names: Vec<String> = table.header.cells.iter().map(|name| name.trim().to_lowercase()).collect();
    let place = |wanted: &str| names.iter().position(|name| name == wanted);
    for name in NEEDED.into_iter().chain(Response::ALL.map(Response::column)) {
        if names.iter().filter(|other| *other == name).count() > 1 {
            return Err(ExchangeError::StrikeColumns { problem: format!("the column {name} twice") });
        }
    }
    let missing: Vec<&str> = NEEDED.into_iter().filter(|name| place(name).is_none()).collect();
    if !missing.is_empty() {
        let problem = format!("no column {}", missing.join(", "));
        return Err(ExchangeError::StrikeColumns { problem });
    }
    let columns = NEEDED.map(|name| place(name).unwrap_or_default());
    let reader = Reader { table, decimals };
    let read_besides: Vec<(Response, usize)> = Response::ALL
        .into_iter()
        .filter_map(|response| Some((response, place(response.column())?)))
        .collect();
    let mut balls = Vec::with_capacity(table.rows.len());
    for row in &table.rows {
        let strike = Strike {
            session: reader.whole(row, columns[0])?,
            order: reader.whole(row, columns[1])?,
            offset_in: reader.number(row, columns[2])?,
            x_mm: reader.number(row, columns[3])?,
            y_mm: reader.number(row, columns[4])?,
        };
        let mut responses = Responses::default();
        for (response, column) in &read_besides {
            if !row.cells[*column].trim().is_empty() {
                responses.set(*response, reader.response(row, *column, *response)?);
            }
        }
        balls.push((strike, responses));
    }
    let passed_over = names
        .iter()
        .zip(&table.header.cells)
        .filter(|(name, _)| {
            let is_read = |column: &str| column == name.as_str();
            !NEEDED.into_iter().any(is_read) && !Response::ALL.map(Response::column).into_iter().any(is_read)
        })
        .map(|(_, cell)| cell.clone())
        .collect();
    Ok(StrikeFile { balls, passed_over })
}

/// Writes a strike file, in the order of the balls given; a column for all that was read with any of them.
#[must_use]
pub fn strike_file(balls: &[(Strike, Responses)]) -> String {
    let read = |response: &Response| balls.iter().any(|(_, responses)| responses.get(*response).is_some());
    let read: Vec<Response> = Response::ALL.into_iter().filter(read).collect();
    let mut text = NEEDED.join(",");
    for response in &read {
        text += ",";
        text += response.column();
    }
    text += "\n";
    for (strike, responses) in balls {
        let Strike { session, order, offset_in, x_mm, y_mm } = strike;
        // writing to a String never fails
        let _ = write!(text, "{session},{order},{offset_in},{x_mm},{y_mm}");
        for response in &read {
            let value = responses.get(*response).map(|value| value.to_string()).unwrap_or_default();
            let _ = write!(text, ",{value}");
        }
        text += "\n";
    }
    text
}

struct Reader<'a> {
    table: &'a Table,
    decimals: Decimals,
}

impl Reader<'_> {
    fn number(&self, row: &Row, column: usize) -> Result<f64, ExchangeError> {
        let cell = row.cells[column].trim();
        let is_comma = cell.contains(',') && !cell.contains('.');
        if is_comma && self.decimals == Decimals::Point {
            return Err(ExchangeError::DecimalCommas { line: row.line, found: cell.to_owned() });
        }
        let text = if self.decimals == Decimals::Comma { cell.replace(',', ".") } else { cell.to_owned() };
        let is_plain = text.chars().all(|sign| sign.is_ascii_digit() || "+-.eE".contains(sign));
        match text.parse::<f64>() {
            Ok(number) if is_plain && number.is_finite() => Ok(number),
            _ => Err(self.bad(row, column, "a number")),
        }
    }

    fn response(&self, row: &Row, column: usize, response: Response) -> Result<f64, ExchangeError> {
        let value = self.number(row, column)?;
        let mut alone = Responses::default();
        alone.set(response, value);
        match alone.check() {
            Ok(()) => Ok(value),
            Err(_) => Err(self.bad(row, column, response.believable_words())),
        }
    }

    fn whole(&self, row: &Row, column: usize) -> Result<u32, ExchangeError> {
        row.cells[column].trim().parse().map_err(|_| self.bad(row, column, "a whole number from 0"))
    }

    fn bad(&self, row: &Row, column: usize, expected: &'static str) -> ExchangeError {
        let found: String = row.cells[column].chars().take(40).collect();
        ExchangeError::BadStrike {
            line: row.line,
            column: self.table.header.cells[column].clone(),
            expected,
            found,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Decimals, StrikeFile, strike_file};
    use crate::{ExchangeError, sniff};

    const FILE: &str = "session,order,offset_in,x_mm,y_mm\n1,1,0.5,7.8,-8.2\n1,2,-0.25,8.1,4.5\n";

    fn read(text: &[u8], decimals: Decimals) -> Result<StrikeFile, ExchangeError> {
        super::read_strikes(&sniff(text)?, decimals)
    }

    #[test]
    fn what_is_written_is_read_back() {
        let file = read(FILE.as_bytes(), Decimals::Point).unwrap();
        assert_eq!(file.balls.len(), 2);
        assert_eq!(strike_file(&file.balls), FILE);
    }

    #[test]
    fn what_was_read_besides_is_written_and_read_back_where_it_was() {
        let file = "session,order,offset_in,x_mm,y_mm,head_speed_mps,tempo\n1,1,0.5,7.8,-8.2,36.5,\n1,2,-0.25,8.1,4.5,,3.1\n";
        let found = read(file.as_bytes(), Decimals::Point).unwrap();
        assert_eq!(found.passed_over, Vec::<String>::new());
        assert_eq!(found.balls[0].1.head_speed_mps, Some(36.5));
        assert_eq!(found.balls[1].1.tempo, Some(3.1));
        assert_eq!(strike_file(&found.balls), file);
        let slip = file.replace("36.5", "365");
        let refused = read(slip.as_bytes(), Decimals::Point).unwrap_err().to_string();
        assert!(refused.contains("line 2") && refused.contains("5 to 80 m/s"), "{refused}");
    }

    #[test]
    fn line_ends_marks_order_of_columns_and_other_columns_change_nothing() {
        let plain = read(FILE.as_bytes(), Decimals::Point).unwrap().balls;
        let windows = format!("\u{feff}{}", FILE.replace('\n', "\r\n"));
        assert_eq!(read(windows.as_bytes(), Decimals::Point).unwrap().balls, plain);
        let other = "y_mm,Note,x_mm,offset_in,order,session\n-8.2,a,7.8,0.5,1,1\n4.5,b,8.1,-0.25,2,1\n";
        let found = read(other.as_bytes(), Decimals::Point).unwrap();
        assert_eq!(found.balls, plain);
        assert_eq!(found.passed_over, ["Note"]);
    }

    #[test]
    fn decimal_commas_are_offered_and_not_guessed() {
        let comma = FILE.replace(',', ";").replace('.', ",");
        let refused = read(comma.as_bytes(), Decimals::Point).unwrap_err();
        assert!(matches!(refused, ExchangeError::DecimalCommas { line: 2, .. }), "{refused}");
        assert!(refused.hint().contains("decimal commas"), "{}", refused.hint());
        let found = read(comma.as_bytes(), Decimals::Comma).unwrap();
        assert_eq!(found.balls, read(FILE.as_bytes(), Decimals::Point).unwrap().balls);
    }

    #[test]
    fn what_is_no_strike_file_says_where() {
        for (file, line) in [
            ("session,order,offset_in,x_mm,y_mm\n1,1,0.5,seven,1\n", "line 2"),
            ("session,order,offset_in,x_mm,y_mm\n1,1,0.5,7,1\n1,2,0.5,NaN,1\n", "line 3"),
            ("session,order,offset_in,x_mm,y_mm\n1,1,0.5,1e999,1\n", "line 2"),
            ("session,order,offset_in,x_mm,y_mm\n-1,1,0.5,1,1\n", "line 2"),
            ("session,order,offset_in,x_mm\n1,1,0.5,1\n", "y_mm"),
            ("session,order,offset_in,x_mm,y_mm,x_mm\n1,1,0.5,1,1,1\n", "twice"),
        ] {
            let refused = read(file.as_bytes(), Decimals::Point).unwrap_err().to_string();
            assert!(refused.contains(line), "{refused}");
        }
    }
}
