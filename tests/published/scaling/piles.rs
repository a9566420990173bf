//! Every row of `ranked_piles.csv`: what piles of known sides hold in cubic feet and cords.

use std::collections::BTreeSet;

use kernel::{Exact, Rounding};
use scaling::CUBIC_FEET_IN_A_CORD;
use serde_json::json;

use super::data::{cords, rows};

const STEP: Exact = Exact::fraction(1, 1_000_000);

#[test]
fn every_ranked_pile() {
    let sources: BTreeSet<String> = rows("sources.csv").iter().map(|row| row[0].to_owned()).collect();
    let rows = rows("ranked_piles.csv");
    assert_eq!(rows.len(), 6);
    for row in &rows {
        let id = &row[0];
        assert!(&row[7] == "ours" || sources.contains(&row[7]), "{id}: {} is no known source", &row[7]);
        let found = cords(json!({"length_ft": &row[1], "heights": [{"feet": &row[2]}],
            "stick_length_ft": &row[3], "stick_length_in": &row[4]}));
        let printed: Exact = row[6].parse().unwrap();
        assert_eq!(Ok(found), printed.rounded_to(STEP, Rounding::HalfUp), "{id}: cords");
        // Cubic feet are held against print to as many decimals as were printed.
        let places = row[5].split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let printed_step = Exact::fraction(1, 10_i128.pow(u32::try_from(places).unwrap()));
        let cubic_feet = found.times(CUBIC_FEET_IN_A_CORD).unwrap();
        let rounded = cubic_feet.rounded_to(printed_step, Rounding::HalfUp).unwrap();
        assert_eq!(rounded, row[5].parse().unwrap(), "{id}: cubic feet");
    }
}
