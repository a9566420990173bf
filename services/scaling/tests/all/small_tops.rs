//! The least top: which log meets it, which is cull, and which is cut back.

use kernel::Exact;
use serde_json::{Value, json};

use crate::common::scaled;

fn terms(exactly: &str, below: &str) -> Value {
    json!({"rule": "doyle", "cull_share": "0",
        "least_top": {"narrow_way_in": "5.5", "exactly": exactly, "below": below}})
}

/// Idaho Board of Scaling Practices: 6 inches nominal is 5.51 actual; whether exactly 5.50 is in is a term.
#[test]
fn exactly_the_limit_is_in_or_out_as_the_contract_says() {
    let cull = |exactly: &str, reading: &str| {
        let log = json!({"small_diameter_in": [reading], "length_ft": "16"});
        scaled(terms(exactly, "cull"), &log).unwrap().cull.is_some()
    };
    for (reading, exactly, expected) in
        [("5.5", "in", false), ("5.5", "out", true), ("5.51", "out", false), ("5.49", "in", true)]
    {
        assert_eq!(cull(exactly, reading), expected, "{reading} {exactly}");
    }
}

#[test]
fn the_narrow_way_decides_and_not_the_average() {
    let log = json!({"small_diameter_in": ["9", "5"], "length_ft": "16"});
    let cull = scaled(terms("in", "cull"), &log).unwrap().cull;
    assert_eq!(cull.as_deref(), Some("5 inches the narrow way is under the least top of 5.5 inches"));
}

/// 5 inches at the top of 16 feet and 9 at the butt: a quarter of an inch a foot, so two feet off leave 5.5.
#[test]
fn a_small_top_is_cut_back_by_length_classes() {
    let log = |inches: &str| json!({"small_diameter_in": ["5"], "large_diameter_in": ["9"], "length_ft": "16", "length_in": inches});
    let cut = scaled(terms("in", "cut_back"), &log("0")).unwrap();
    assert_eq!((cut.cull, cut.scaling_length_ft), (None, Some(Exact::of(14))));
    assert_eq!(cut.scaling_diameter_in, Some(Exact::of(6))); // 5 1/2, a half up
    // Exactly the limit being out, it takes another two feet.
    let out = scaled(terms("out", "cut_back"), &log("0")).unwrap();
    assert_eq!(out.scaling_length_ft, Some(Exact::of(12)));
    assert_eq!(out.volume.unwrap().gross, Exact::of(3)); // (6 - 4)² × 12 / 16
    assert!(out.working.iter().any(|step| step.says.starts_with("cut back: 5 inches the narrow way")));
}

#[test]
fn the_assumed_taper_serves_where_no_butt_was_measured_and_without_either_the_log_is_cull() {
    let log = json!({"small_diameter_in": ["5"], "length_ft": "16"});
    assert!(scaled(terms("in", "cut_back"), &log).unwrap().cull.is_some());
    let mut assumed = terms("in", "cut_back");
    assumed["taper_in_per_feet"] = json!({"inches": "1", "feet": "8"});
    assert_eq!(scaled(assumed, &log).unwrap().scaling_length_ft, Some(Exact::of(12)));
    let tapers_the_wrong_way =
        json!({"small_diameter_in": ["5"], "large_diameter_in": ["5"], "length_ft": "16"});
    assert!(scaled(terms("in", "cut_back"), &tapers_the_wrong_way).unwrap().cull.is_some());
}

/// What lay in the part that is cut off is gone, and what lies beyond it keeps its place on the log.
#[test]
fn defects_keep_their_place_when_a_log_is_cut_back() {
    let net = |from: &str| {
        let log = json!({"small_diameter_in": ["5"], "large_diameter_in": ["21"], "length_ft": "16",
            "defects": [{"kind": "break", "method": "length_cut", "length_ft": "2", "from_small_end_ft": from}]});
        let mut terms = terms("in", "cut_back");
        terms["deduction_rounding"] = json!("none");
        let scaled = scaled(terms, &log).unwrap();
        assert_eq!(scaled.scaling_length_ft, Some(Exact::of(14)));
        let volume = scaled.volume.unwrap();
        volume.gross.minus(volume.net).unwrap().over(volume.gross).unwrap()
    };
    assert_eq!(net("0"), Exact::ZERO);
    assert_eq!(net("1"), Exact::fraction(1, 14));
    assert_eq!(net("14"), Exact::fraction(2, 14));
}

/// Segments are made from the length that is left.
#[test]
fn a_log_is_cut_back_before_it_is_divided() {
    let mut terms = terms("in", "cut_back");
    terms["longest_scaling_length_ft"] = json!("16");
    let log = json!({"small_diameter_in": ["5"], "large_diameter_in": ["21"], "length_ft": "34"});
    let scaled = scaled(terms, &log).unwrap();
    assert_eq!(scaled.scaling_length_ft, Some(Exact::of(32)));
    assert!(scaled.working.iter().any(|step| step.says.starts_with("segment 2 of 2")));
}
