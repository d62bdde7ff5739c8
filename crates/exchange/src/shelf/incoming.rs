//! The shelf coming in from a spreadsheet.

use crate::clubs::CellProblem;
use crate::spreadsheet::{Row, Table};
use crate::unit::HeaderUnit;
use crate::{ExchangeError, MOST_PROBLEMS};
use studio::{Id, StockedPart, StudioError, TypedPart, Units, read_count};

/// Most parts that are brought in at once. Definition of what the tool takes: an act holds two records of each.
const MOST_PARTS: usize = 900;

/// A part as it stands in a row.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfRow {
    /// The line it stands in.
    pub line: usize,
    /// The part, under the id it was given.
    pub part: StockedPart,
    /// How many there are, where the table says so.
    pub at_hand: Option<i64>,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Holds {
    Kind,
    Name,
    Diameter,
    Length,
    Mass,
    Cost,
    AtHand,
    LowAt,
    Note,
    /// Worked out by the studio itself.
    PutAside,
}

impl Holds {
    /// What a header says, by its words without the unit.
    fn of(words: &str) -> Option<Self> {
        Some(match words {
            "kind" => Self::Kind,
            "name" | "part" => Self::Name,
            "diameter" | "core" | "butt" => Self::Diameter,
            "length" => Self::Length,
            "mass" | "weight" => Self::Mass,
            "cost" | "price" => Self::Cost,
            "at hand" | "count" | "stock" => Self::AtHand,
            "low at" => Self::LowAt,
            "note" => Self::Note,
            "put aside" => Self::PutAside,
            _ => return None,
        })
    }
}

/// A column: what it holds, and the unit of its bare numbers.
type Column = Option<(Holds, Option<HeaderUnit>)>;

fn column_of(header: &str) -> Column {
    let lower = header.to_lowercase();
    let words: Vec<&str> =
        lower.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let unit = words.last().and_then(|word| HeaderUnit::from_word(word));
    let name = if unit.is_some() { words.get(..words.len() - 1)? } else { words.as_slice() };
    Some((Holds::of(&name.join(" "))?, unit))
}

/// Reads the parts of a table; a column whose header says nothing known is left out. `new_id` gives each part its id.
///
/// # Errors
/// One problem for each cell that cannot be taken, the first [`MOST_PROBLEMS`] in the order of the file; or the one of
/// the header, when kind or name are missing or stand twice.
pub fn read_shelf(
    table: &Table,
    units: Units,
    mut new_id: impl FnMut() -> Id,
) -> Result<Vec<ShelfRow>, Vec<CellProblem>> {
    let columns: Vec<Column> = table.header.cells.iter().map(|header| column_of(header)).collect();
    let header_problem = |message: String| {
        let hint =
            "Name the columns kind, name, diameter (in), length (in), mass (g), cost, at hand, low at, note.";
        vec![CellProblem { line: table.header.line, column: 1, message, hint: Some(hint.to_owned()) }]
    };
    for (holds, word) in [(Holds::Kind, "kind"), (Holds::Name, "name")] {
        let found = columns.iter().flatten().filter(|(column, _)| *column == holds).count();
        if found != 1 {
            return Err(header_problem(format!("expected one column {word}, found {found}")));
        }
    }
    if table.rows.len() > MOST_PARTS {
        let found = table.rows.len();
        let error = ExchangeError::TooMuch { what: "parts in a table", most: MOST_PARTS, found };
        return Err(header_problem(error.to_string()));
    }
    let (mut rows, mut problems) = (Vec::new(), Vec::new());
    let mut met = std::collections::HashMap::new();
    for row in &table.rows {
        match read_row(table, &columns, row, units, new_id()) {
            Ok(read) => {
                let key = (read.part.kind, read.part.name.clone());
                if let Some(first) = met.insert(key, row.line) {
                    let message = format!(
                        "{} {} stands in line {first} already",
                        read.part.kind.words(),
                        read.part.name
                    );
                    problems.push(CellProblem { line: row.line, column: 1, message, hint: None });
                }
                rows.push(read);
            }
            Err(found) => problems.extend(found),
        }
    }
    problems.truncate(MOST_PROBLEMS);
    if problems.is_empty() { Ok(rows) } else { Err(problems) }
}

fn read_row(
    table: &Table,
    columns: &[Column],
    row: &Row,
    units: Units,
    id: Id,
) -> Result<ShelfRow, Vec<CellProblem>> {
    let place_of = |holds: Holds| columns.iter().position(|column| column.is_some_and(|(of, _)| of == holds));
    let cell = |holds: Holds| {
        let Some(place) = place_of(holds) else { return String::new() };
        let text = row.cells.get(place).map_or("", |cell| cell.trim());
        match columns.get(place).copied().flatten().and_then(|(_, unit)| unit) {
            Some(unit) if !text.is_empty() => unit.beside(text),
            _ => text.to_owned(),
        }
    };
    let problem = |holds: Holds, error: &StudioError| {
        CellProblem::of(table, row, place_of(holds).unwrap_or_default(), error)
    };
    let [kind, name, diameter, length, mass, cost, low_at, note] = [
        Holds::Kind,
        Holds::Name,
        Holds::Diameter,
        Holds::Length,
        Holds::Mass,
        Holds::Cost,
        Holds::LowAt,
        Holds::Note,
    ]
    .map(cell);
    let typed = TypedPart {
        kind: &kind,
        name: &name,
        diameter: &diameter,
        length: &length,
        mass: &mass,
        cost: &cost,
        low_at: &low_at,
        note: &note,
    };
    let at_hand = read_count(&cell(Holds::AtHand)).map_err(|error| problem(Holds::AtHand, &error));
    match (typed.read(id, units), at_hand) {
        (Ok(part), Ok(at_hand)) => Ok(ShelfRow { line: row.line, part, at_hand }),
        (read, at_hand) => {
            let fields = read.err().unwrap_or_default();
            let of_fields =
                fields.iter().map(|(field, error)| problem(Holds::of(field).unwrap_or(Holds::Kind), error));
            Err(of_fields.chain(at_hand.err()).collect())
        }
    }
}
