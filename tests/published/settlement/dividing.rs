//! Published divisions by the largest-remainder method, seats of an assembly among them: a seat is a cent here.

use kernel::{Exact, Money};
use settlement::{explain_split, split};

use super::{cell, rows};

/// The numbers of a cell, which stand apart by a blank.
fn numbers<T: std::str::FromStr<Err: std::fmt::Debug>>(row: &csv::StringRecord, column: usize) -> Vec<T> {
    cell(row, column).split_whitespace().map(|number| number.parse().expect("a number")).collect()
}

#[test]
fn every_published_division() {
    let dollars = "USD".parse().unwrap();
    let rows = rows("largest_remainder.csv");
    assert_eq!(rows.len(), 9);
    for row in rows {
        let id = cell(&row, 0);
        let units: i64 = cell(&row, 1).parse().unwrap();
        let parts: Vec<Exact> = numbers(&row, 2);
        let quotas: Vec<Exact> = numbers(&row, 3);
        let expected: Vec<i64> = numbers(&row, 4);
        let whole = Money::from_minor(units, dollars);
        let shares: Vec<i64> = split(whole, &parts).unwrap().into_iter().map(Money::minor).collect();
        assert_eq!(shares, expected, "{id}");
        assert_eq!(shares.iter().sum::<i64>(), units, "{id}");
        if !quotas.is_empty() {
            let working = explain_split(whole, &parts).unwrap();
            assert_eq!(working.shares.iter().map(|share| share.quota).collect::<Vec<_>>(), quotas, "{id}");
        }
    }
}
