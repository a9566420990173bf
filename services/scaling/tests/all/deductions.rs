//! Losses for defect, against figures made by hand and against one another.

use kernel::Exact;
use serde_json::{Value, json};

use crate::common::{gross_and_net, scaled};

/// A 16-foot Doyle log of 20 inches scales 256; the losses are seen without rounding.
fn loss(defects: Value) -> Result<Exact, &'static str> {
    let terms = json!({"rule": "doyle", "deduction_rounding": "none", "cull_share": "0"});
    let members =
        json!({"small_diameter_in": ["20"], "length_ft": "16", "length_in": "4", "defects": defects});
    let scaled = scaled(terms, &members).map_err(|problem| problem.code())?;
    let volume = scaled.volume.unwrap();
    Ok(volume.gross.minus(volume.net).unwrap())
}

#[test]
fn each_method_by_hand() {
    let cases = [
        (
            json!({"kind": "heart_rot", "method": "squared", "width_in": "6", "height_in": "5",
                "length_ft": "8"}),
            Exact::of(16),
        ),
        (
            json!({"kind": "catface", "method": "pie_cut", "angle_degrees": "90", "length_ft": "8"}),
            Exact::of(32),
        ),
        (json!({"kind": "break", "method": "length_cut", "length_ft": "2"}), Exact::of(32)),
        // 20 - 2 × 2 = 16 inches scales 144.
        (json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": "2"}), Exact::of(112)),
        (json!({"kind": "sweep", "method": "sweep", "departure_in": "7"}), Exact::of(64)),
        (json!({"kind": "sweep", "method": "sweep", "departure_in": "2"}), Exact::ZERO),
        (json!({"kind": "crook", "method": "crook", "deflection_in": "5", "length_ft": "4"}), Exact::of(16)),
    ];
    for (defect, expected) in cases {
        assert_eq!(loss(json!([defect])), Ok(expected), "{defect}");
    }
}

#[test]
fn the_sweep_allowance_goes_with_the_length() {
    let terms = json!({"rule": "doyle", "deduction_rounding": "none"});
    let members = json!({"small_diameter_in": ["20"], "length_ft": "8",
        "defects": [{"kind": "sweep", "method": "sweep", "departure_in": "3"}]});
    // 8 feet allow 1 inch; 2 of 20 inches of 128 board feet are lost.
    assert_eq!(gross_and_net(terms, &members), ("128".to_owned(), "115.2".to_owned()));
}

#[test]
fn cuts_come_first_and_the_rest_is_reckoned_on_what_remains() {
    // 4 of 16 feet: 64 of 256. A ring of 2 inches on the 12 feet left: (256 - 144) × 12/16 = 84. A quarter of
    // the 108 that remain, all along: 27.
    let defects = json!([
        {"kind": "catface", "method": "pie_cut", "angle_degrees": "90", "length_ft": "16"},
        {"kind": "sap_rot", "method": "diameter_cut", "depth_in": "2"},
        {"kind": "break", "method": "length_cut", "length_ft": "4"}
    ]);
    assert_eq!(loss(defects), Ok(Exact::of(64 + 84 + 27)));
}

#[test]
fn of_two_rings_the_deeper_holds_the_other() {
    let ring = |depth: &str| json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": depth});
    assert_eq!(loss(json!([ring("1"), ring("2")])), loss(json!([ring("2")])));
}

#[test]
fn a_ring_that_leaves_less_than_the_rule_reaches_takes_everything() {
    let ring = |depth: &str| json!([{"kind": "sap_rot", "method": "diameter_cut", "depth_in": depth}]);
    assert_eq!(loss(ring("8")), Ok(Exact::of(256))); // 4 inches left: Doyle gives nothing
    assert_eq!(loss(ring("10")), Err("defect-does-not-fit"));
    let decimal_c = json!({"rule": "scribner-decimal-c"});
    let members = json!({"small_diameter_in": ["12"], "length_ft": "16", "defects": ring("4")});
    assert_eq!(gross_and_net(decimal_c, &members), ("80".to_owned(), "0".to_owned()));
}

#[test]
fn a_gap_in_the_printed_table_is_a_problem_not_a_loss() {
    let terms = json!({"rule": "scribner-decimal-c", "printed_cells_only": true});
    let ring = json!([{"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1"}]);
    let members = json!({"small_diameter_in": ["30"], "length_ft": "16", "defects": ring});
    assert_eq!(scaled(terms, &members).unwrap_err().code(), "not-in-the-table");
}

#[test]
fn a_defect_longer_than_the_log_is_refused_and_trim_is_not_counted() {
    let rot = |length: &str| {
        json!([{"kind": "heart_rot", "method": "squared", "width_in": "6",
        "height_in": "5", "length_ft": length}])
    };
    // The log measures 16 ft 4 in and scales as 16: rot through all of it counts for 16 feet.
    assert_eq!(loss(rot("16.25")), Ok(Exact::of(32)));
    assert_eq!(loss(rot("16.5")), Err("defect-does-not-fit"));
    let cut = |length: &str| json!({"kind": "break", "method": "length_cut", "length_ft": length});
    assert_eq!(loss(json!([cut("8"), cut("8.25")])), Ok(Exact::of(256)));
    assert_eq!(loss(json!([cut("8"), cut("8.5")])), Err("defect-does-not-fit"));
}

#[test]
fn nothing_more_is_lost_of_a_log_that_is_cut_away() {
    let defects = json!([
        {"kind": "break", "method": "length_cut", "length_ft": "16"},
        {"kind": "heart_rot", "method": "squared", "width_in": "6", "height_in": "5", "length_ft": "8"}
    ]);
    assert_eq!(loss(defects), Ok(Exact::of(256)));
}

/// Forest Service FSH 2409.11 ch. 20 (1985): the sum is rounded, and a half is raised. 4.5 and 4.5 are 9, not
/// 10.
#[test]
fn the_sum_is_rounded_once() {
    let half = json!({"kind": "heart_rot", "method": "squared", "width_in": "4.5", "height_in": "5",
        "length_ft": "3"});
    let members =
        |defects: Value| json!({"small_diameter_in": ["20"], "length_ft": "16", "defects": defects});
    let net = |defects: Value| gross_and_net(json!({"rule": "doyle"}), &members(defects)).1;
    assert_eq!(net(json!([half])), "251"); // 4.5 is raised to 5
    assert_eq!(net(json!([half, half])), "247");
}

#[test]
fn decimal_c_counts_deductions_in_tens() {
    let rot = json!([{"kind": "heart_rot", "method": "squared", "width_in": "8", "height_in": "10",
        "length_ft": "16"}]);
    let members = json!({"small_diameter_in": ["20"], "length_ft": "16", "defects": rot});
    // 85 1/3 becomes 90.
    assert_eq!(
        gross_and_net(json!({"rule": "scribner-decimal-c"}), &members),
        ("280".to_owned(), "190".to_owned())
    );
    // With the waste inch 105.6, which becomes 110.
    let waste = json!({"rule": "scribner-decimal-c", "waste_inch": true});
    assert_eq!(gross_and_net(waste, &members).1, "170");
    let to_one =
        json!({"rule": "scribner-decimal-c", "deduction_rounding": {"step": "1", "mode": "half_up"}});
    assert_eq!(gross_and_net(to_one, &members).1, "195");
}

#[test]
fn solid_volumes_lose_solid_wood() {
    let rot = json!([{"kind": "heart_rot", "method": "squared", "width_in": "6", "height_in": "6",
        "length_ft": "8"}]);
    let members = json!({"small_diameter_in": ["24"], "length_ft": "16", "defects": rot});
    // 24² × 16 / 288 = 32 cubic feet; 6 × 6 × 8 / 144 = 2.
    let cubic = json!({"rule": "inscribed-square"});
    assert_eq!(gross_and_net(cubic, &members), ("32".to_owned(), "30".to_owned()));
    // 384 board feet without sawdust; 6 × 6 × 8 / 12 = 24, the same share.
    let board = json!({"rule": "inscribed-square", "unit": "board_foot"});
    assert_eq!(gross_and_net(board, &members), ("384".to_owned(), "360".to_owned()));
}

#[test]
fn cull_is_told_by_exact_comparison_and_keeps_gross_and_net() {
    // Three equal parts: at one third exactly the log is merchantable.
    let pie = |angle: &str| {
        json!([{"kind": "scar", "method": "pie_cut", "angle_degrees": angle,
        "length_ft": "16"}])
    };
    let members =
        |angle: &str| json!({"small_diameter_in": ["16"], "length_ft": "16", "defects": pie(angle)});
    let terms = || json!({"rule": "doyle", "deduction_rounding": "none"});
    let kept = scaled(terms(), &members("240")).unwrap();
    assert_eq!(kept.cull, None);
    let cull = scaled(terms(), &members("240.0001")).unwrap();
    assert!(cull.cull.is_some());
    assert_eq!(cull.volume.unwrap().gross, Exact::of(144));
    assert!(!cull.volume.unwrap().net.is_zero());
}
