//! Published vectors of seals: canonical documents, Merkle trees and their proofs. Sources are in `data/seal/sources.csv`.
#![expect(clippy::expect_used, reason = "a check that cannot read its figures has failed")]

mod canonical;
mod proofs;
mod trees;

use std::collections::BTreeSet;
use std::path::PathBuf;

use seal::Hash;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data/seal")
}

/// The rows of a file of `data/seal`; every row must name a known source.
fn rows(file: &str) -> Vec<csv::StringRecord> {
    let known: BTreeSet<String> = records("sources.csv").iter().map(|row| cell(row, 0).to_owned()).collect();
    let rows = records(file);
    assert!(!rows.is_empty(), "{file} has no rows");
    for row in &rows {
        // The last two columns are the source and what of it was seen in print.
        assert!(known.contains(cell(row, row.len() - 2)), "{file}: the source of {row:?} is not listed");
    }
    rows
}

fn records(file: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_path(folder().join(file)).expect("the file is there");
    reader.records().collect::<Result<_, _>>().expect("the file is in good order")
}

/// One cell of a row.
fn cell(row: &csv::StringRecord, column: usize) -> &str {
    row.get(column).expect("the row has the column")
}

/// One cell as a count.
fn count(row: &csv::StringRecord, column: usize) -> usize {
    cell(row, column).parse().expect("a count")
}

/// The hashes of the published leaves.
fn leaves() -> Vec<Hash> {
    let byte = |pair: &[u8]| {
        let digits = std::str::from_utf8(pair).expect("digits");
        u8::from_str_radix(digits, 16).expect("a byte")
    };
    let leaf = |row: &csv::StringRecord| {
        let bytes: Vec<u8> = cell(row, 1).as_bytes().chunks(2).map(byte).collect();
        Hash::of_leaf(&bytes)
    };
    rows("leaves.csv").iter().map(leaf).collect()
}
