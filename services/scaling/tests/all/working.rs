//! The working, as a scaler reads it.

use serde_json::json;

use crate::common::scaled;

#[test]
fn the_working_of_a_defective_log_reads_from_top_to_bottom() {
    let members = json!({
        "small_diameter_in": ["15", "18"], "length_ft": "16", "length_in": "5",
        "defects": [
            {"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_ft": "8"},
            {"kind": "break", "method": "length_cut", "length_ft": "2"},
            {"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "4", "length_ft": "6"}
        ]
    });
    let scaled = scaled(json!({"rule": "scribner-decimal-c", "least_trim_in": "3"}), &members).unwrap();
    let says: Vec<&str> = scaled.working.iter().map(|step| step.says.as_str()).collect();
    assert_eq!(
        says,
        [
            "small end: 15 and 18 inches average 16.5, taken as 16 (to the nearest 1, a half dropped)",
            "16 feet 5 inches with at least 3 inches of trim, in multiples of 2 feet, scales as 16 feet",
            "16 inches by 16 feet stands at 160 board feet in the printed table",
            "gross: 160 board feet",
            "length cut of 2 feet, in proportion: 160 × 2 ÷ 16 = 20 board feet",
            "defect 1, catface: pie cut 140 × (8 ÷ 14) × (60 ÷ 360) = 13 1/3 board feet",
            "defect 3, heart_rot: squared 4 × 4 × 6 ÷ 15 = 6.4 board feet",
            "losses of 39 11/15 board feet become 40 (to the nearest 10, a half up)",
            "net: 160 - 40 = 120 board feet",
            "not cull: 120 net is not less than 1/3 of 160 gross, which is 53 1/3",
        ]
    );
}

/// Each figure that a rounding made carries the rounding with it.
#[test]
fn a_rounded_step_names_its_rounding() {
    let members = json!({"small_diameter_in": ["15.5"], "length_ft": "9"});
    let scaled = scaled(json!({"rule": "doyle", "length_multiple_ft": "1"}), &members).unwrap();
    let rounded: Vec<String> = scaled
        .working
        .iter()
        .filter_map(|step| step.rounding.map(|rounding| format!("{:?} {rounding}", step.step)))
        .collect();
    assert_eq!(
        rounded,
        [
            "Diameter to the nearest 1, a half up",
            "Length down to a multiple of 1",
            "Gross to the nearest 1, a half up"
        ]
    );
    assert_eq!(scaled.volume.unwrap().gross.to_string(), "81");
}
