//! The terms of a contract: defaults, and terms that do not go together.

use scaling::{LogPractice, Practice, TiePractice};
use serde_json::{Value, json};

fn refused(terms: Value) -> String {
    serde_json::from_value::<LogPractice>(terms).unwrap_err().to_string()
}

#[test]
fn defaults_are_written_out_so_that_the_record_holds_them() {
    let practice: LogPractice = serde_json::from_value(json!({"rule": "scribner-decimal-c"})).unwrap();
    assert_eq!(
        serde_json::to_value(practice).unwrap(),
        json!({
            "rule": "scribner-decimal-c", "one_reading": "half_up", "two_readings": "half_down",
            "length_multiple_ft": "2", "least_trim_in": "0", "longest_scaling_length_ft": "40",
            "cull_share": "1/3", "waste_inch": false, "deduction_rounding": "by_rule",
            "volume_rounding": "by_rule", "printed_cells_only": false, "sources": "any", "system": "inch_foot",
            "first_half": "up", "over_long": "next_class", "division": "near_equal", "odd_taper": "raised",
            "grade_only_kinds": ["sound_knot", "spiral_grain"], "estimates": "refused"
        })
    );
}

#[test]
fn a_practice_comes_back_as_it_was_written() {
    let whole = json!({
        "log": {
            "rule": "two-thirds", "one_reading": "down", "two_readings": "half_even", "whole_inches": true,
            "length_multiple_ft": "1", "least_trim_in": "3", "most_trim_in": "8",
                "longest_scaling_length_ft": "20",
            "least_diameter_in": "6", "least_length_ft": "8", "cull_share": "0.5", "waste_inch": true,
            "deduction_rounding": "none", "volume_rounding": {"step": "0.1", "mode": "down"},
            "printed_cells_only": false, "unit": "board_foot", "edition": "standard", "sources": "any",
            "system": "inch_foot", "each_reading": "down", "first_half": "down", "over_long": "same_class",
            "division": "none", "taper_in_per_feet": {"inches": "1", "feet": "10"}, "odd_taper": "dropped",
            "least_top": {"narrow_way_in": "5.5", "exactly": "out", "below": "cut_back"}, "kerf_in": "0.125",
            "least_board": {"length_ft": "6", "width_in": "4"}, "length_cut_multiple_ft": "2",
            "grade_only_kinds": ["spiral_grain"], "estimates": "allowed"
        },
        "hewn_timber": {
            "content": "least_section", "unit": "cubic_foot", "side_rounding": {"step": "0.5",
                "mode": "down"},
            "wane": "deducted", "volume_rounding": {"step": "1", "mode": "half_up"},
            "tolerances": {"score_mark_depth_in": {"degraded_over": "0.25", "refused_over": "0.5"},
                "degraded_to": "No 2"},
            "grade_only_kinds": [], "estimates": "allowed"
        },
        "tie": {
            "classes": [{"name": "No 1", "thickness_in": "7", "width_in": "9", "length_ft": "8"},
                        {"name": "No 2", "thickness_in": "6", "width_in": "6", "length_ft": "8"}],
            "volume_rounding": {"step": "0.001", "mode": "half_up"},
            "tolerances": {"thicker_in": {"refused_over": "1"}, "degraded_to": "No 2"}
        },
        "pole": {"classes": [{"name": "40", "length_ft": "40", "least_top_in": "7"},
            {"name": "30", "length_ft": "30"}]}
    });
    let practice: Practice = serde_json::from_value(whole.clone()).unwrap();
    assert_eq!(serde_json::to_value(practice).unwrap(), whole);
}

#[test]
fn terms_that_do_not_go_together_are_refused() {
    let cases = [
        (
            json!({"rule": "scribner-decimal-c", "whole_inches": false}),
            "whole_inches: scribner-decimal-c is a table",
        ),
        (
            json!({"rule": "scribner-decimal-c", "length_multiple_ft": "1"}),
            "length_multiple_ft: scribner-decimal-c",
        ),
        (json!({"rule": "doyle", "printed_cells_only": true}), "printed_cells_only: doyle is not a table"),
        (json!({"rule": "doyle", "unit": "cubic_foot"}), "unit: doyle does not give that unit"),
        (json!({"rule": "smalian", "unit": "cubic_metre"}), "unit: smalian does not give that unit"),
        (json!({"rule": "quarter-girth"}), "rule: quarter-girth cannot scale a ticket's logs"),
        (json!({"rule": "board-measure"}), "rule: board-measure cannot scale a ticket's logs"),
        (json!({"rule": "doyle", "least_trim_in": "6", "most_trim_in": "5"}), "most_trim_in: it is less"),
        (json!({"rule": "doyle", "cull_share": "1.01"}), "cull_share: write a share"),
        (json!({"rule": "doyle", "cull_share": "-0.1"}), "cull_share: write a share"),
        (
            json!({"rule": "doyle", "volume_rounding": {"step": "0", "mode": "down"}}),
            "volume_rounding: a rounding is",
        ),
        (json!({"rule": "doyle", "volume_rounding": "about"}), "volume_rounding: a rounding is"),
        (json!({"rule": "dolly"}), "rule: \"dolly\" is not a log rule: write one of"),
        (json!({"rule": "doyle", "least_diameter_in": "0"}), "least_diameter_in: 0 is not a size"),
        (
            json!({"rule": "doyle", "edition": "statute"}),
            "edition: doyle does not come in that edition; write half-up",
        ),
        (json!({"rule": "ontario", "sources": "print_only"}), "rule: ontario is from memory"),
        (
            json!({"rule": "two-thirds", "unit": "board_foot", "sources": "print_only"}),
            "rule: two-thirds is from memory",
        ),
        (
            json!({"rule": "inscribed-square", "edition": "seventeen-twenty-fourths", "sources": "print_only"}),
            "rule: inscribed-square is from memory",
        ),
        (json!({"rule": "doyle", "metric": {}}), "metric: it belongs to the system"),
        (
            json!({"rule": "doyle", "system": "metric"}),
            "a metric contract takes a rule that gives cubic metres",
        ),
        (json!({"rule": "smalian", "system": "metric", "unit": "cubic_foot"}), "gives cubic metres"),
        (
            json!({"rule": "smalian", "system": "metric", "least_trim_in": "3"}),
            "least_trim_in: it is in inches",
        ),
        (
            json!({"rule": "smalian", "system": "metric", "one_reading": "alternating"}),
            "one_reading: it is in inches",
        ),
        (
            json!({"rule": "doyle", "division": "georgia", "length_multiple_ft": "1"}),
            "georgia divides by even feet",
        ),
        (json!({"rule": "doyle", "kerf_in": "2"}), "kerf_in: 2 is not a kerf"),
        (json!({"rule": "doyle", "grade_only_kinds": ["bad_luck"]}), "grade_only_kinds: unknown variant"),
        (json!({}), "missing field `rule`"),
    ];
    for (terms, expected) in cases {
        let said = refused(terms);
        assert!(said.contains(expected), "{said}");
    }
}

#[test]
fn tie_classes_have_their_own_names_and_can_be_reached() {
    let class = |name: &str, thickness: &str, width: &str| {
        json!({"name": name, "thickness_in": thickness,
        "width_in": width, "length_ft": "8"})
    };
    let refused = |classes: Value| {
        serde_json::from_value::<TiePractice>(json!({ "classes": classes })).unwrap_err().to_string()
    };
    assert!(refused(json!([])).contains("0 classes are given"));
    assert!(refused(json!([class("A", "7", "9"), class("a", "6", "8")])).contains("a stands twice"));
    let hidden = refused(json!([class("E", "6", "8"), class("A", "7", "10")]));
    assert!(hidden.contains("no piece can reach A"), "{hidden}");
}
