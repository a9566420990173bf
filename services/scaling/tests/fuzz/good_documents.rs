//! Good documents of every kind, with every member they can have: what is spoilt for the parsers.

use scaling::{DirectRequest, Piece, Practice};
use serde_json::{Value, json};

use crate::made_up::LOG_RULES;

/// Pieces with every member their documents have.
pub fn good_pieces() -> Vec<Value> {
    let section = json!({"width_in": "12", "thickness_in": "10",
        "wane": [{"width_in": "2", "thickness_in": "1.5"}]});
    vec![
        json!({"product": "log", "species": "pine", "stick_number": "17", "small_diameter_in": ["13", "14.5"],
        "middle_diameter_in": ["15"], "large_diameter_in": ["16", "17"], "butt_diameter_in": ["16"],
        "length_ft": "40", "length_in": "4.25", "defects": [
            {"kind": "heart_rot", "method": "squared", "width_in": "4", "height_in": "5", "length_ft": "6",
                "from_small_end_ft": "2"},
            {"kind": "heart_rot", "method": "squared", "width_in": "5", "height_in": "4", "length_ft": "6",
                "from_small_end_ft": "4"},
            {"kind": "break", "method": "length_cut", "length_ft": "2", "from_small_end_ft": "38"},
            {"kind": "sap_rot", "method": "diameter_cut", "depth_in": "1"},
            {"kind": "sweep", "method": "sweep", "departure_in": "5"},
            {"kind": "heart_rot", "method": "ellipse", "major_in": "5", "minor_in": "4", "length_ft": "40"},
            {"kind": "ring_shake", "method": "sound_core", "core_in": "9", "length_ft": "40"},
            {"kind": "worm_holes", "method": "estimate", "percent": "12", "reason": "seen"},
            {"kind": "spiral_grain", "method": "noted"}
        ]}),
        json!({"product": "log", "species": "fir", "stick_number": "18", "small_diameter_cm": ["36", "38"],
        "middle_diameter_cm": ["40"], "large_diameter_cm": ["44"], "length_m": "4.9", "defects": [
            {"kind": "crook", "method": "crook", "deflection_cm": "6", "length_m": "1",
                "from_small_end_m": "1"},
            {"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_m": "1"}
        ]}),
        json!({"product": "hewn_timber", "species": "white oak", "stick_number": "19", "hewn_from": "17", "small_end": section, "middle": section,
            "large_end": section, "length_ft": "24", "length_in": "6", "score_mark_depth_in": "0.5",
            "straightness_in": "1", "out_of_square_in": "0", "ordered_width_in": "12",
            "ordered_thickness_in": "10"}),
        json!({"product": "tie", "species": "oak", "stick_number": "20", "hewn_from": "17", "width_in": "9", "thickness_in": "7", "length_ft": "8.5",
            "score_mark_depth_in": "0.5", "log_diameter_in": "12"}),
        json!({"product": "pole", "species": "cedar", "stick_number": "21", "length_ft": "35", "top_diameter_in": "7"}),
        json!({"product": "ranked_pile", "species": "spruce", "stick_number": "22", "length_ft": "16", "length_in": "6",
            "heights": [{"feet": "4", "inches": "2"}, {"feet": "4"}], "stick_length_ft": "4",
            "stick_length_in": "3", "defects": [
                {"kind": "loosely_ranked", "method": "estimate", "percent": "12", "reason": "gaps"}
        ]}),
    ]
}

/// A practice with every term.
pub fn good_practice(rule: &str) -> Value {
    json!({
        "log": {"rule": rule, "one_reading": "alternating", "two_readings": "half_down",
            "first_half": "down", "least_trim_in": "3", "most_trim_in": "8", "over_long": "same_class",
            "longest_scaling_length_ft": "16", "division": "near_equal",
            "taper_in_per_feet": {"inches": "1", "feet": "10"}, "odd_taper": "dropped",
            "least_top": {"narrow_way_in": "13.5", "exactly": "out", "below": "cut_back"},
            "least_diameter_in": "6", "least_length_ft": "8", "cull_share": "1/3", "waste_inch": true,
            "kerf_in": "0.125", "least_board": {"length_ft": "6", "width_in": "4"},
            "length_cut_multiple_ft": "2", "grade_only_kinds": ["spiral_grain"], "estimates": "allowed",
            "volume_rounding": {"step": "1", "mode": "half_up"}},
        "hewn_timber": {"content": "frustum", "wane": "deducted", "side_rounding": {"step": "0.5", "mode": "down"},
            "tolerances": {"score_mark_depth_in": {"degraded_over": "0.25", "refused_over": "0.5"},
                "wane_of_face": {"refused_over": "1/4"}, "degraded_to": "No 2"}},
        "tie": {"tolerances": {"thicker_in": {"refused_over": "1"}, "wider_in": {"degraded_over": "3"}}},
        "pole": {"classes": [{"name": "35", "length_ft": "35", "least_top_in": "7"}]},
        "ranked_pile": {"unit": "cord", "height_rounding_in": {"step": "1", "mode": "half_up"},
            "nominal_sticks": {"length_ft": "4", "most_trim_in": "4", "otherwise": "as_measured"},
            "volume_rounding": {"step": "0.01", "mode": "half_up"}, "estimates": "allowed"}
    })
}

/// Requests with every member a rule can be asked with.
pub fn good_requests() -> Vec<Value> {
    vec![
        json!({"rule": "vermont", "section_diameters_in": ["12", "13.5"], "length_ft": "20", "length_in": "6",
            "rounding": "none", "label": "first", "defects": [
                {"kind": "break", "method": "length_cut", "length_ft": "2", "note": "at the top"}]}),
        json!({"rule": "newton", "small_diameter_cm": "30", "middle_diameter_cm": "33.5",
            "large_diameter_cm": "36", "length_m": "4.9", "unit": "cubic_metre"}),
        json!({"rule": "scribner-decimal-c", "diameter_in": "16", "length_ft": "16",
            "printed_cells_only": true, "edition": "standard"}),
        json!({"rule": "quarter-girth", "girth_in": "48", "length_ft": "12"}),
        json!({"rule": "board-measure", "width_in": "12", "thickness_in": "0.5", "length_ft": "24"}),
    ]
}

/// They are good, so that what is spoilt in them is all that is wrong.
#[test]
fn the_good_documents_are_good() {
    for piece in good_pieces() {
        serde_json::from_value::<Piece>(piece).unwrap();
    }
    for rule in LOG_RULES {
        let practice = serde_json::from_value::<Practice>(good_practice(rule));
        assert!(practice.is_ok(), "{rule}: {practice:?}");
    }
    for request in good_requests() {
        serde_json::from_value::<DirectRequest>(request).unwrap();
    }
}
