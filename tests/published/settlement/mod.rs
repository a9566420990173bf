//! Published figures of pay: rounding, dividing, and ties by the piece. Sources are in `data/settlement/sources.csv`.
#![expect(clippy::expect_used, reason = "a check that cannot read its figures has failed")]

mod dividing;
mod rounding;
mod ties;
mod wages;

use std::collections::BTreeSet;
use std::path::PathBuf;

/// The rows of a file of `data/settlement`, each cell by its column's name; every row must name a known source.
fn rows(file: &str) -> Vec<csv::StringRecord> {
    let known: BTreeSet<String> = records("sources.csv").iter().map(|row| cell(row, 0).to_owned()).collect();
    let rows = records(file);
    assert!(!rows.is_empty(), "{file} has no rows");
    for row in &rows {
        // The last two columns are the source and what of it was seen in print.
        let source = cell(row, row.len() - 2);
        assert!(known.contains(source), "{file}: the source {source} of {} is not listed", cell(row, 0));
    }
    rows
}

fn records(file: &str) -> Vec<csv::StringRecord> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data/settlement");
    let mut reader = csv::Reader::from_path(folder.join(file)).expect("the file is there");
    reader.records().collect::<Result<_, _>>().expect("the file is in good order")
}

/// One cell of a row.
fn cell(row: &csv::StringRecord, column: usize) -> &str {
    row.get(column).expect("the row has the column")
}
