//! One rule applied to numbers straight.

use kernel::VolumeUnit;
use scaling::{DirectRequest, StepKind};
use serde_json::json;

use crate::common::{asked, log, practice};

#[test]
fn the_three_examples_that_others_build_on() {
    let doyle = asked(json!({"rule": "doyle", "diameter_in": "20", "length_ft": "16"})).unwrap();
    assert_eq!((doyle.gross.to_string(), doyle.unit), ("256".to_owned(), VolumeUnit::BoardFoot));
    let smalian = asked(
        json!({"rule": "smalian", "small_diameter_in": "12", "large_diameter_in": "16", "length_ft": "16"}),
    );
    let smalian = smalian.unwrap();
    assert_eq!((smalian.gross.to_string(), smalian.unit), ("17.4528".to_owned(), VolumeUnit::CubicFoot));
    let board =
        asked(json!({"rule": "board-measure", "width_in": "12", "thickness_in": "10", "length_ft": "24"}));
    assert_eq!(board.unwrap().gross.to_string(), "240");
}

#[test]
fn one_diameter_means_the_one_the_rule_asks_for() {
    for (rule, own) in [
        ("doyle", "small_diameter_in"),
        ("huber", "middle_diameter_in"),
        ("two-thirds", "middle_diameter_in"),
    ] {
        let short = asked(json!({"rule": rule, "diameter_in": "18", "length_ft": "16"})).unwrap();
        let long = asked(json!({"rule": rule, own: "18", "length_ft": "16"})).unwrap();
        assert_eq!(short, long);
        let both = asked(json!({"rule": rule, "diameter_in": "18", own: "18", "length_ft": "16"}));
        assert_eq!(both.unwrap_err(), "same-size-twice");
    }
    let ends = asked(json!({"rule": "two-thirds", "small_diameter_in": "16", "large_diameter_in": "20",
            "length_ft": "16"}));
    assert_eq!(ends.unwrap().gross.to_string(), "16");
    let ends_and_middle = json!({"rule": "two-thirds", "middle_diameter_in": "18",
        "large_diameter_in": "20", "length_ft": "16"});
    assert_eq!(asked(ends_and_middle).unwrap_err(), "same-size-twice");
}

#[test]
fn what_the_rule_would_pass_over_is_refused() {
    let cases = [
        (
            json!({"rule": "doyle", "diameter_in": "20", "large_diameter_in": "22", "length_ft": "16"}),
            "size-not-used",
        ),
        (json!({"rule": "smalian", "diameter_in": "20", "length_ft": "16"}), "size-not-used"),
        (json!({"rule": "doyle", "girth_in": "60", "length_ft": "16"}), "size-not-used"),
        (json!({"rule": "doyle", "diameter_cm": "50", "length_m": "5"}), "size-not-used"),
        (json!({"rule": "quarter-girth", "girth_in": "60", "length_m": "5"}), "mixed-systems"),
        (json!({"rule": "huber", "diameter_cm": "50", "length_ft": "16"}), "mixed-systems"),
        (json!({"rule": "huber", "diameter_in": "20", "length_m": "5"}), "mixed-systems"),
        (json!({"rule": "huber", "diameter_cm": "50", "length_m": "5", "length_in": "3"}), "mixed-systems"),
        (json!({"rule": "doyle", "diameter_in": "20"}), "missing-measurement"),
        (json!({"rule": "doyle", "diameter_in": "20", "length_in": "6"}), "missing-measurement"),
        (json!({"rule": "doyle", "length_ft": "16"}), "missing-measurement"),
        (
            json!({"rule": "newton", "small_diameter_in": "12", "large_diameter_in": "16",
                "length_ft": "16"}),
            "missing-measurement",
        ),
        (
            json!({"rule": "doyle", "diameter_in": "20", "length_ft": "16", "unit": "cubic_foot"}),
            "unit-not-offered",
        ),
        (
            json!({"rule": "inscribed-square", "diameter_in": "20", "length_ft": "16",
                "unit": "cubic_metre"}),
            "unit-not-offered",
        ),
        (
            json!({"rule": "huber", "diameter_in": "20", "length_ft": "16", "unit": "cubic_metre"}),
            "unit-not-offered",
        ),
        (
            json!({"rule": "doyle", "diameter_in": "20", "length_ft": "16", "printed_cells_only": true}),
            "size-not-used",
        ),
        (json!({"rule": "doyle", "diameter_in": "4", "length_ft": "16"}), "outside-the-rule"),
        (
            json!({"rule": "scribner-decimal-c", "diameter_in": "12.5", "length_ft": "16"}),
            "whole-inch-needed",
        ),
        (json!({"rule": "scribner-decimal-c", "diameter_in": "12", "length_ft": "15"}), "not-in-the-table"),
        (
            json!({"rule": "scribner-decimal-c", "diameter_in": "24", "length_ft": "16",
                "printed_cells_only": true}),
            "not-in-the-table",
        ),
    ];
    for (request, code) in cases {
        assert_eq!(asked(request.clone()).map(|answer| answer.gross), Err(code), "{request}");
    }
}

#[test]
fn numbers_are_used_as_given() {
    let doyle = asked(json!({"rule": "doyle", "diameter_in": "20.5", "length_ft": "16", "length_in": "6",
            "rounding": "none"}));
    let doyle = doyle.unwrap();
    assert_eq!(doyle.gross.to_string(), "280.7578125"); // 16.5² × 16.5 / 16
    assert_eq!(doyle.gross, doyle.gross_unrounded);
}

#[test]
fn rounding_is_the_rules_or_none() {
    let request = |rounding: &str| {
        json!({"rule": "international-quarter-inch", "diameter_in": "12",
        "length_ft": "16", "rounding": rounding})
    };
    let by_rule = asked(request("rule")).unwrap();
    let exact = asked(request("none")).unwrap();
    assert_eq!(by_rule.gross.to_string(), "95");
    assert_eq!(by_rule.gross_unrounded, exact.gross);
    assert_ne!(exact.gross, by_rule.gross);
}

#[test]
fn metric_sizes_give_cubic_metres() {
    let answer = asked(
        json!({"rule": "smalian", "small_diameter_cm": "30", "large_diameter_cm": "40", "length_m": "5"}),
    );
    let answer = answer.unwrap();
    assert_eq!((answer.gross.to_string(), answer.unit), ("0.490875".to_owned(), VolumeUnit::CubicMetre));
    let with_defect = json!({"rule": "huber", "diameter_cm": "30", "length_m": "5",
        "defects": [{"kind": "break", "method": "length_cut", "length_ft": "2"}]});
    assert_eq!(asked(with_defect).unwrap_err(), "mixed-systems");
    let half = json!({"rule": "huber", "diameter_cm": "30", "length_m": "5",
        "defects": [{"kind": "break", "method": "length_cut", "length_m": "2.5"}]});
    let half = asked(half).unwrap();
    assert_eq!(half.net, half.gross.over(kernel::Exact::of(2)).unwrap());
}

#[test]
fn vermont_needs_the_top_of_every_section() {
    let short = asked(json!({"rule": "vermont", "diameter_in": "16", "length_ft": "12"})).unwrap();
    assert_eq!(short.gross.to_string(), "128");
    let long = json!({"rule": "vermont", "diameter_in": "16", "length_ft": "16"});
    assert_eq!(asked(long).unwrap_err(), "section-diameters-needed");
    // 12 feet from 16 inches are 128; 4 feet from 18 are 54.
    let measured = json!({"rule": "vermont", "section_diameters_in": ["16", "18"], "length_ft": "16"});
    assert_eq!(asked(measured).unwrap().gross.to_string(), "182");
    // Even taper: 12 of 16 feet on the way from 16 to 20 inches is 19.
    let tapered = json!({"rule": "vermont", "diameter_in": "16", "large_diameter_in": "20",
        "length_ft": "16", "rounding": "none"});
    assert_eq!(asked(tapered).unwrap().gross.to_string(), "1129/6"); // 128 and 60 1/6
    let few = json!({"rule": "vermont", "section_diameters_in": ["16"], "length_ft": "16"});
    assert_eq!(asked(few).unwrap_err(), "section-count");
    let many = json!({"rule": "vermont", "section_diameters_in": ["16", "17", "18"], "length_ft": "16"});
    assert_eq!(asked(many).unwrap_err(), "section-count");
}

#[test]
fn one_path_for_contracts_and_for_direct_requests() {
    let defects = json!([{"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_ft": "8"}]);
    for rule in [
        "doyle",
        "scribner",
        "doyle-scribner",
        "scribner-decimal-c",
        "international-quarter-inch",
        "international-eighth-inch",
        "inscribed-square",
    ] {
        let answer =
            asked(json!({"rule": rule, "diameter_in": "16", "length_ft": "16", "defects": defects})).unwrap();
        let piece = log(&json!({"small_diameter_in": ["16"], "length_ft": "16", "defects": defects}));
        let scaled = scaling::scale(&practice(json!({ "rule": rule })), &piece).unwrap();
        let volume = scaled.volume.unwrap();
        assert_eq!(
            (answer.gross, answer.net, answer.unit),
            (volume.gross, volume.net, volume.unit),
            "{rule}"
        );
    }
}

#[test]
fn a_value_from_memory_says_so_and_a_printed_one_does_not() {
    let cell = |diameter: &str| {
        let answer =
            asked(json!({"rule": "scribner-decimal-c", "diameter_in": diameter, "length_ft": "16"})).unwrap();
        let step = answer.working.into_iter().find(|step| step.step == StepKind::TableCell).unwrap();
        (answer.gross.to_string(), step.from_memory, step.says.contains("not checked against print"))
    };
    assert_eq!(cell("20"), ("280".to_owned(), false, false));
    assert_eq!(cell("30"), ("660".to_owned(), false, false));
    assert_eq!(cell("24"), ("400".to_owned(), true, true)); // 25.218 × 16 = 403.488
}

#[test]
fn the_answer_is_a_document_and_the_label_comes_back() {
    let request = json!({"rule": "doyle", "diameter_in": "20", "length_ft": "16", "label": "row 12"});
    let answer = asked(request.clone()).unwrap();
    let document = serde_json::to_value(&answer).unwrap();
    for (member, value) in [
        ("rule", "doyle"),
        ("unit", "board_foot"),
        ("gross", "256"),
        ("net", "256"),
        ("gross_unrounded", "256"),
        ("deduction", "0"),
        ("label", "row 12"),
    ] {
        assert_eq!(document[member], value);
    }
    assert_eq!(serde_json::from_value::<scaling::DirectAnswer>(document).unwrap(), answer);
    let read: DirectRequest = serde_json::from_value(request).unwrap();
    let written = serde_json::to_value(&read).unwrap();
    assert_eq!(serde_json::from_value::<DirectRequest>(written).unwrap(), read);
}
