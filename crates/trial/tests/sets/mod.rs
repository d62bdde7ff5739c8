//! The five simulated trials in `tests/trials`, as tests and benchmarks read them.

use std::path::{Path, PathBuf};
use trial::{Strike, Strikes};

/// Where they lie.
pub(crate) fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trials")
}

/// Reads one of them.
pub(crate) fn strikes(name: &str) -> Strikes {
    let mut reader = csv::Reader::from_path(folder().join(format!("{name}.csv"))).unwrap();
    let rows = reader.records().map(|row| {
        let row = row.unwrap();
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        Strike {
            session: row[0].parse().unwrap(),
            order: row[1].parse().unwrap(),
            offset_in: number(2),
            x_mm: number(3),
            y_mm: number(4),
        }
    });
    Strikes::new(rows.collect()).unwrap()
}
