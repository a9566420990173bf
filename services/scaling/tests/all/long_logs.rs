//! Logs longer than the longest scaling length: division, taper, and each segment by itself.

use kernel::Exact;
use scaling::{Scaled, StepKind};
use serde_json::{Value, json};

use crate::common::{asked, gross_and_net, scaled};

fn sixteens() -> Value {
    json!({"rule": "doyle", "longest_scaling_length_ft": "16"})
}

fn with(terms: Value, member: &str, value: Value) -> Value {
    let mut terms = terms;
    terms[member] = value;
    terms
}

/// Length and diameter of each segment, as the working shows them.
fn segments(scaled: &Scaled) -> Vec<(String, String)> {
    let figure = |step: &scaling::Step, name: &str| {
        step.figures.iter().find(|figure| figure.name == name).unwrap().value.to_string()
    };
    let steps = scaled.working.iter().filter(|step| step.step == StepKind::Segment);
    steps.map(|step| (figure(step, "length_ft"), figure(step, "diameter_in"))).collect()
}

fn pairs(expected: &[(&str, &str)]) -> Vec<(String, String)> {
    expected.iter().map(|(length, diameter)| ((*length).to_owned(), (*diameter).to_owned())).collect()
}

/// 32 feet, 10 inches at the top and 16 at the butt: 16 feet at 10 and 16 feet at 13, 36 and 81 board feet.
#[test]
fn each_segment_scales_at_its_own_small_end() {
    let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["16"], "length_ft": "32"});
    let scaled = scaled(sixteens(), &log).unwrap();
    assert_eq!(segments(&scaled), pairs(&[("16", "10"), ("16", "13")]));
    assert_eq!(scaled.volume.unwrap().gross, Exact::of(36 + 81));
    assert_eq!(scaled.scaling_diameter_in, Some(Exact::of(10)));
    assert_eq!(scaled.scaling_length_ft, Some(Exact::of(32)));
}

#[test]
fn the_longer_segment_lies_at_the_butt_and_each_is_rounded_by_itself() {
    let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["15"], "length_ft": "30"});
    let raised = scaled(sixteens(), &log).unwrap();
    assert_eq!(segments(&raised), pairs(&[("14", "10"), ("16", "13")]));
    // 36 × 14 / 16 = 31.5, which is 32; 81.
    assert_eq!(raised.volume.unwrap().gross, Exact::of(32 + 81));
    let dropped = scaled(with(sixteens(), "odd_taper", json!("dropped")), &log).unwrap();
    assert_eq!(segments(&dropped), pairs(&[("14", "10"), ("16", "12")]));
}

/// Lengths that no division into 12 to 16 even feet fits: the working says so.
#[test]
fn the_fallback_is_stated_where_twelve_feet_cannot_be_kept() {
    for (feet, parts) in
        [("18", "8 and 10"), ("20", "10 and 10"), ("22", "10 and 12"), ("34", "10 and 12 and 12")]
    {
        let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["16"], "length_ft": feet});
        let scaled = scaled(sixteens(), &log).unwrap();
        let division = scaled.working.iter().find(|step| step.step == StepKind::Division).unwrap();
        assert!(division.says.ends_with(&format!("so near equal: {parts}")), "{}", division.says);
    }
    let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["16"], "length_ft": "24"});
    let even = scaled(sixteens(), &log).unwrap();
    let division = even.working.iter().find(|step| step.step == StepKind::Division).unwrap();
    assert!(division.says.ends_with("as 2 segments") && !division.from_memory, "{}", division.says);
    let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["16"], "length_ft": "26"});
    let uneven = scaled(sixteens(), &log).unwrap();
    let division = uneven.working.iter().find(|step| step.step == StepKind::Division).unwrap();
    assert!(division.says.ends_with("the longer ones at the butt") && division.from_memory);
}

#[test]
fn taper_comes_from_the_butt_free_of_flare_then_the_large_end_then_the_contract() {
    let log = |large: Option<&str>, butt: Option<&str>| {
        let mut log = json!({"small_diameter_in": ["10"], "length_ft": "32"});
        for (member, reading) in [("large_diameter_in", large), ("butt_diameter_in", butt)] {
            if let Some(reading) = reading {
                log[member] = json!([reading]);
            }
        }
        log
    };
    let second = |terms: Value, log: &Value| segments(&scaled(terms, log).unwrap())[1].1.clone();
    assert_eq!(second(sixteens(), &log(Some("20"), None)), "15");
    assert_eq!(second(sixteens(), &log(Some("20"), Some("16"))), "13");
    let assumed = || with(sixteens(), "taper_in_per_feet", json!({"inches": "1", "feet": "10"}));
    assert_eq!(second(assumed(), &log(None, None)), "12"); // 11.6, raised
    assert_eq!(second(assumed(), &log(Some("20"), None)), "15"); // what is measured goes first
    assert_eq!(scaled(sixteens(), &log(None, None)).unwrap_err().code(), "missing-measurement");
    assert_eq!(scaled(sixteens(), &log(Some("9"), None)).unwrap_err().code(), "butt-under-top");
}

#[test]
fn rules_by_both_ends_take_each_segments_own_ends() {
    let terms = json!({"rule": "smalian", "longest_scaling_length_ft": "16"});
    let log = json!({"small_diameter_in": ["12"], "large_diameter_in": ["16"], "length_ft": "32"});
    let part = |small: &str, large: &str| {
        asked(json!({"rule": "smalian", "small_diameter_in": small, "large_diameter_in": large,
            "length_ft": "16"}))
        .unwrap()
        .gross
    };
    let expected = part("12", "14").plus(part("14", "16")).unwrap();
    assert_eq!(scaled(terms, &log).unwrap().volume.unwrap().gross, expected);
}

#[test]
fn a_rule_by_the_middle_cannot_divide_a_log() {
    let terms = json!({"rule": "huber", "longest_scaling_length_ft": "16"});
    let log = json!({"small_diameter_in": ["12"], "middle_diameter_in": ["14"], "large_diameter_in": ["16"],
        "length_ft": "32"});
    assert_eq!(scaled(terms, &log).unwrap_err().code(), "too-long");
}

#[test]
fn georgia_divides_below_the_longest_length_and_more_finely_only_past_it() {
    let lengths = |longest: &str, feet: &str| {
        let terms = json!({"rule": "doyle", "division": "georgia", "longest_scaling_length_ft": longest});
        let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["20"], "length_ft": feet});
        segments(&scaled(terms, &log).unwrap()).into_iter().map(|(length, _)| length).collect::<Vec<_>>()
    };
    assert!(lengths("40", "16").is_empty());
    assert_eq!(lengths("40", "18"), ["8", "10"]);
    assert_eq!(lengths("40", "34"), ["10", "12", "12"]);
    assert_eq!(lengths("40", "60"), ["20", "20", "20"]);
    assert_eq!(lengths("16", "60"), ["14", "14", "16", "16"]);
}

/// 32 feet in two: 36 and 81 board feet.
fn losses(defects: Value) -> Result<(String, String), &'static str> {
    let terms = with(with(sixteens(), "deduction_rounding", json!("none")), "cull_share", json!("0"));
    let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["16"], "length_ft": "32",
        "length_in": "6", "defects": defects});
    let scaled = scaled(terms, &log).map_err(|problem| problem.code())?;
    let deductions: Vec<Exact> = scaled
        .working
        .iter()
        .filter(|step| step.step == StepKind::Deduction)
        .map(|step| step.figures.iter().find(|figure| figure.name == "deduction").unwrap().value)
        .collect();
    assert_eq!(deductions.len(), 2);
    Ok((deductions[0].to_string(), deductions[1].to_string()))
}

fn lost(top: &str, butt: &str) -> Result<(String, String), &'static str> {
    Ok((top.to_owned(), butt.to_owned()))
}

#[test]
fn a_defect_counts_in_the_segments_in_which_it_lies() {
    let cut = |from: &str, length: &str| json!([{"kind": "break", "method": "length_cut", "length_ft": length, "from_small_end_ft": from}]);
    assert_eq!(losses(cut("0", "4")), lost("9", "0"));
    assert_eq!(losses(cut("20", "4")), lost("0", "20.25"));
    assert_eq!(losses(cut("12", "8")), lost("9", "20.25")); // 4 feet in each
    // The trim at the butt has no volume.
    assert_eq!(losses(cut("28", "4.5")), lost("0", "20.25"));
    assert_eq!(losses(cut("28.25", "4.5")), Err("defect-does-not-fit"));
}

#[test]
fn a_defect_without_a_place_is_known_to_lie_at_the_butt_or_everywhere_or_is_refused() {
    let cut = |kind: &str, length: &str| json!([{"kind": kind, "method": "length_cut", "length_ft": length}]);
    assert_eq!(losses(cut("butt_rot", "4")), lost("0", "20.25"));
    assert_eq!(losses(cut("butt_rot", "20")), lost("9", "81"));
    assert_eq!(losses(cut("break", "4")), Err("defect-place-needed"));
    let pie = json!([{"kind": "frost_crack", "method": "pie_cut", "angle_degrees": "40", "length_ft": "32"}]);
    assert_eq!(losses(pie), lost("4", "9"));
}

/// A ring goes all round and a bow all along. A bow of 8 inches over 32 feet is one of 2 over each 16, which is allowed;
/// 12 is 3 over each, of which 1 counts.
#[test]
fn rings_and_bows_count_in_every_segment() {
    let ring = json!([{"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1"}]);
    assert_eq!(losses(ring), lost("20", "32")); // 36 - 16 and 81 - 49
    let bow = |inches: &str| json!([{"kind": "sweep", "method": "sweep", "departure_in": inches}]);
    assert_eq!(losses(bow("8")), lost("0", "0"));
    assert_eq!(losses(bow("12")), lost("3.6", "81/13"));
}

#[test]
fn each_segment_rounds_its_own_deduction() {
    let half = |from: &str| {
        json!({"kind": "heart_rot", "method": "squared", "width_in": "4.5", "height_in": "5", "length_ft": "3",
            "from_small_end_ft": from})
    };
    let net = |defects: Value| {
        let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["16"], "length_ft": "32",
            "defects": defects});
        gross_and_net(sixteens(), &log).1
    };
    // 4.5 in each segment is 5 in each; 9 in one segment is 9.
    assert_eq!(net(json!([half("0"), half("20")])), "107");
    assert_eq!(net(json!([half("0"), half("8")])), "108");
}

/// The working of a segmented log, from top to bottom.
#[test]
fn the_working_goes_segment_by_segment() {
    let log = json!({"small_diameter_in": ["10"], "large_diameter_in": ["15"], "length_ft": "32",
        "defects": [{"kind": "butt_rot", "method": "length_cut", "length_ft": "4"}]});
    let scaled = scaled(sixteens(), &log).unwrap();
    let says: Vec<&str> = scaled.working.iter().map(|step| step.says.as_str()).collect();
    assert_eq!(
        says,
        [
            "small end: 10 inches, taken as 10 (to the nearest 1, a half up)",
            "32 feet with at least 0 inches of trim, in multiples of 2 feet, scales as 32 feet",
            "large end: 15 inches, taken as 15 (to the nearest 1, a half up)",
            "32 feet are scaled as 2 segments",
            "segment 1 of 2 from the small end, 16 feet at 10 inches",
            "(10 - 4)² × 16 ÷ 16 = 36 board feet",
            "gross: 36 board feet",
            "losses of 0 board feet become 0 (to the nearest 1, a half up)",
            "net: 36 - 0 = 36 board feet",
            "segment 2 of 2 from the small end, 16 feet at 13 inches: 1/2 of the taper from 10 to 15 inches",
            "(13 - 4)² × 16 ÷ 16 = 81 board feet",
            "gross: 81 board feet",
            "length cut of 4 feet, in proportion: 81 × 4 ÷ 16 = 20.25 board feet",
            "losses of 20.25 board feet become 20 (to the nearest 1, a half up)",
            "net: 81 - 20 = 61 board feet",
            "gross of the 2 segments: 117 board feet",
            "net of the 2 segments: 97 board feet",
            "not cull: 97 net is not less than 1/3 of 117 gross, which is 39",
        ]
    );
}
