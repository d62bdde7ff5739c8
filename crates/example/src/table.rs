//! A table of clubs as a fitter writes it: a row a club, a column a reading.

use studio::Field;

/// Readings of several clubs.
#[derive(Debug)]
pub(crate) struct Table {
    /// What was read, a column each.
    pub(crate) columns: &'static [Field],
    /// The clubs: name, and the readings in the order of the columns. A row may end early, and an empty cell was not
    /// read.
    pub(crate) rows: &'static [(&'static str, &'static [&'static str])],
    /// What is the same on every club of the table.
    pub(crate) each: &'static [(Field, &'static str)],
}

/// A row: the club's name and its readings.
pub(crate) type Row = (&'static str, Vec<(Field, &'static str)>);

impl Table {
    /// Returns the rows.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Row> {
        self.rows.iter().map(|(name, cells)| {
            let own = self.columns.iter().copied().zip(cells.iter().copied());
            (*name, own.filter(|(_, cell)| !cell.is_empty()).chain(self.each.iter().copied()).collect())
        })
    }

    /// Returns one club's row.
    pub(crate) fn row(&self, club: &str) -> Option<Row> {
        self.rows().find(|(name, _)| *name == club)
    }
}

#[cfg(test)]
mod tests {
    use super::Table;
    use studio::Field;

    #[test]
    fn an_empty_cell_was_not_read_and_what_each_has_stands_in_every_row() {
        let table = Table {
            columns: &[Field::ClubLength, Field::Lie, Field::Mass],
            rows: &[("7 iron", &["37 in", "", "426 g"]), ("8 iron", &["36 1/2 in"])],
            each: &[(Field::GripMass, "50 g")],
        };
        let grip = (Field::GripMass, "50 g");
        let rows: Vec<_> = table.rows().collect();
        let seven = vec![(Field::ClubLength, "37 in"), (Field::Mass, "426 g"), grip];
        assert_eq!(rows[0], ("7 iron", seven));
        assert_eq!(table.row("8 iron").unwrap().1, [(Field::ClubLength, "36 1/2 in"), grip]);
        assert_eq!(table.row("9 iron"), None);
    }
}
