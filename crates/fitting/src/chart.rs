//! A chart of common practice: bands of a measure, each with a range of lengths.

use quantity::Length;

/// The rows of a compiled-in table, without remarks and the header.
pub(crate) fn table_rows(table: &str) -> impl Iterator<Item = &str> {
    table.lines().filter(|line| !line.starts_with('#')).skip(1)
}

/// Reads a compiled-in chart of four columns in inches: band from, band to, least, most.
///
/// On the border of two bands both speak; in the gap between two bands both neighbours do. `None` outside
/// the chart.
pub(crate) fn look_up(table: &str, measure: Length) -> Option<(Length, Length)> {
    let rows: Vec<[f64; 4]> = table_rows(table).filter_map(row).collect();
    let at = measure.as_inches();
    let dust = 1e-9; // a length is kept in metres: 34 in comes back as 34 to the last digit or two
    let holds = |row: &&[f64; 4]| row[0] - dust <= at && at <= row[1] + dust;
    let mut speaking: Vec<&[f64; 4]> = rows.iter().filter(holds).collect();
    if speaking.is_empty() {
        let below = rows.iter().rfind(|row| row[1] < at)?;
        let above = rows.iter().find(|row| row[0] > at)?;
        speaking = vec![below, above];
    }
    let least = speaking.iter().map(|row| row[2]).fold(f64::INFINITY, f64::min);
    let most = speaking.iter().map(|row| row[3]).fold(f64::NEG_INFINITY, f64::max);
    Some((Length::inches(least), Length::inches(most)))
}

fn row(line: &str) -> Option<[f64; 4]> {
    let cells: Vec<f64> = line.split(',').filter_map(|cell| cell.parse().ok()).collect();
    cells.try_into().ok()
}

#[cfg(test)]
mod tests {
    use super::{look_up, table_rows};
    use quantity::Length;

    #[test]
    fn a_border_and_a_gap_take_both_neighbours() {
        let table = "from,to,least,most\n1,2,10,11\n2,3,12,13\n5,6,14,15\n";
        let at = |inches| {
            look_up(table, Length::inches(inches))
                .map(|(least, most)| (least.as_inches().round(), most.as_inches().round()))
        };
        assert_eq!(at(1.5), Some((10.0, 11.0)));
        assert_eq!(at(2.0), Some((10.0, 13.0)));
        assert_eq!(at(4.0), Some((12.0, 15.0)));
        assert_eq!(at(0.5), None);
        assert_eq!(at(7.0), None);
    }

    #[test]
    fn the_compiled_in_charts_are_read_whole() {
        for (table, rows) in [
            (include_str!("wrist_chart.csv"), 9),
            (include_str!("stature_chart.csv"), 8),
            (include_str!("junior_chart.csv"), 9),
        ] {
            assert_eq!(table_rows(table).filter_map(super::row).count(), rows);
        }
    }
}
