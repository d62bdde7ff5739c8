//! Lines and tables of 80 columns.

use comfy_table::{CellAlignment, ContentArrangement, Table, presets};

const WIDTH: usize = 80;

pub(crate) fn new_table(header: &[&str]) -> Table {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Disabled)
        .set_header(header.iter().copied());
    table
}

/// Prints a table with numbers to the right and no space at the line ends.
pub(crate) fn aligned(mut table: Table, right: &[usize]) -> String {
    for column in right {
        if let Some(column) = table.column_mut(*column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 1));
    }
    table.to_string().lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

pub(crate) fn wrapped(text: &str) -> String {
    indented(text, "", "")
}

pub(crate) fn item(text: &str) -> String {
    indented(text, "  - ", "    ")
}

pub(crate) fn numbered(number: usize, text: &str) -> String {
    indented(text, &format!("  {number:>2}. "), "      ")
}

/// Breaks a text at spaces so that no line is over the width.
pub(crate) fn indented(text: &str, first: &str, others: &str) -> String {
    let mut lines = String::new();
    let mut line = first.to_owned();
    let mut is_empty = true;
    for word in text.split_whitespace() {
        if !is_empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines += line.trim_end();
            lines.push('\n');
            others.clone_into(&mut line);
            is_empty = true;
        }
        if !is_empty {
            line.push(' ');
        }
        line += word;
        is_empty = false;
    }
    lines + line.trim_end() + "\n"
}
