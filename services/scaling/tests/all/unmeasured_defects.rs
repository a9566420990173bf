//! Defects without a size: what only lowers the grade, and what a scaler judges.

use scaling::{Defect, StepKind};
use serde_json::{Value, json};

use crate::common::scaled;

fn log(defects: Value) -> Value {
    json!({"small_diameter_in": ["20"], "length_ft": "16", "defects": defects})
}

fn net(terms: Value, defects: Value) -> Result<String, &'static str> {
    scaled(terms, &log(defects))
        .map(|scaled| scaled.volume.unwrap().net.to_string())
        .map_err(|problem| problem.code())
}

#[test]
fn sound_knots_and_spiral_grain_take_nothing_off_unless_the_contract_says_so() {
    let knot =
        || json!([{"kind": "sound_knot", "method": "noted"}, {"kind": "spiral_grain", "method": "noted"}]);
    let scaled = scaled(json!({"rule": "doyle"}), &log(knot())).unwrap();
    assert_eq!(scaled.volume.unwrap().net.to_string(), "256");
    let said = |kind: &str| {
        scaled.working.iter().any(|step| step.says.contains(kind) && step.says.contains("grade"))
    };
    assert!(said("sound_knot") && said("spiral_grain"));
    // A contract that counts them wants them measured.
    let counts = json!({"rule": "doyle", "grade_only_kinds": []});
    assert_eq!(net(counts.clone(), knot()), Err("method-does-not-apply"));
    let measured =
        json!([{"kind": "spiral_grain", "method": "pie_cut", "angle_degrees": "90", "length_ft": "16"}]);
    assert_eq!(net(counts, measured.clone()), Ok("192".to_owned()));
    assert_eq!(net(json!({"rule": "doyle"}), measured), Ok("256".to_owned()));
}

#[test]
fn any_kind_can_be_one_that_lowers_the_grade_only() {
    let rot = json!([{"kind": "heart_rot", "method": "length_cut", "length_ft": "4"}]);
    let terms = json!({"rule": "doyle", "grade_only_kinds": ["heart_rot"]});
    assert_eq!(net(terms, rot), Ok("256".to_owned()));
}

#[test]
fn an_estimate_stands_where_the_contract_allows_it_and_is_marked() {
    let estimate = json!([{"kind": "worm_holes", "method": "estimate", "percent": "12.5",
        "reason": "holes on all faces, cut open at the butt"}]);
    assert_eq!(net(json!({"rule": "doyle"}), estimate.clone()), Err("estimate-refused"));
    let allowed = json!({"rule": "doyle", "estimates": "allowed"});
    let scaled = scaled(allowed, &log(estimate)).unwrap();
    assert_eq!(scaled.volume.unwrap().net.to_string(), "224");
    let judged: Vec<_> = scaled.working.iter().filter(|step| step.judgement).collect();
    assert_eq!(judged.len(), 1);
    assert_eq!(judged[0].step, StepKind::Defect);
    assert!(judged[0].says.contains("holes on all faces"), "{}", judged[0].says);
}

/// It is a part of what is left, so an estimate beside a cut takes no wood twice.
#[test]
fn an_estimate_is_of_the_wood_that_is_left() {
    let defects = json!([
        {"kind": "worm_holes", "method": "estimate", "percent": "50", "reason": "half of it"},
        {"kind": "break", "method": "length_cut", "length_ft": "8"}
    ]);
    assert_eq!(net(json!({"rule": "doyle", "estimates": "allowed"}), defects), Ok("64".to_owned()));
}

#[test]
fn an_estimate_needs_its_reason_and_a_percentage() {
    let refused = |document: Value| serde_json::from_value::<Defect>(document).unwrap_err().to_string();
    let bare = json!({"kind": "other", "method": "estimate", "percent": "12"});
    assert!(refused(bare).contains("missing field `reason`"));
    for percent in ["0", "100.5", "-1"] {
        let document = json!({"kind": "other", "method": "estimate", "percent": percent, "reason": "seen"});
        assert!(refused(document).contains("percent: "), "{percent}");
    }
}

#[test]
fn sizes_of_a_defect_are_all_of_one_system_and_none_is_missing() {
    let refused = |document: Value| serde_json::from_value::<Defect>(document).unwrap_err().to_string();
    for (document, expected) in [
        (
            json!({"kind": "heart_rot", "method": "squared", "width_in": "4", "height_cm": "9", "length_ft": "2"}),
            "height_cm is metric",
        ),
        (json!({"kind": "heart_rot", "method": "squared", "width_in": "4", "length_ft": "2"}), "`height_in`"),
        (json!({"kind": "heart_rot", "method": "squared", "width_cm": "4", "length_m": "2"}), "`height_cm`"),
        (json!({"kind": "sap_rot", "method": "diameter_cut"}), "`depth_in`"),
        (
            json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1", "from_small_end_ft": "2"}),
            "unknown field `from_small_end_ft`",
        ),
    ] {
        let said = refused(document);
        assert!(said.contains(expected), "{said}");
    }
}
