//! The rules whose formula is from memory: their arithmetic by hand, their narrow range, and their marks.

use scaling::{LogPractice, RuleName};
use serde_json::{Value, json};

use crate::common::asked;

/// By hand from the formulas as they are recalled; no outside figure stands behind them.
#[test]
fn each_formula_by_hand() {
    let cases = [
        (json!({"rule": "ontario", "diameter_in": "20", "length_ft": "12"}), "196"), // 220 - 24
        (json!({"rule": "quebec", "diameter_in": "21", "length_ft": "16"}), "320"),  // 400 × 16 / 20
        (json!({"rule": "british-columbia", "diameter_in": "12.5", "length_ft": "10"}), "58"), // 57.596
        (json!({"rule": "spaulding", "diameter_in": "20", "length_ft": "16"}), "275"), // 275.218
        (json!({"rule": "cumberland-river", "diameter_in": "27", "length_ft": "10"}), "216"),
        (json!({"rule": "square-of-two-thirds", "diameter_in": "18", "length_ft": "16"}), "192"),
        (json!({"rule": "square-of-three-fourths", "diameter_in": "16", "length_ft": "16"}), "192"),
        (json!({"rule": "constantine", "diameter_in": "20", "length_ft": "12"}), "314.16"),
        (
            json!({"rule": "brereton", "small_diameter_in": "18", "large_diameter_in": "22",
                "length_ft": "12"}),
            "314.16",
        ),
        (json!({"rule": "humphrey", "diameter_in": "16", "length_ft": "12"}), "128"),
        (json!({"rule": "adirondack-market", "diameter_in": "19", "length_ft": "13"}), "200"),
        (
            json!({"rule": "adirondack-market", "edition": "twenty-two-inch", "diameter_in": "22",
                "length_ft": "13"}),
            "200",
        ),
        (json!({"rule": "blodgett", "diameter_in": "16", "length_ft": "10"}), "100"),
        (
            json!({"rule": "blodgett", "edition": "hundred-fifteen", "diameter_in": "16",
                "length_ft": "11.5"}),
            "100",
        ),
        (
            json!({"rule": "bruce-butt-log", "small_diameter_in": "12", "large_diameter_in": "20",
                "length_ft": "16"}),
            "18.150912",
        ),
    ];
    for (request, expected) in cases {
        let answer = asked(request.clone()).unwrap();
        assert_eq!(answer.gross.to_string(), expected, "{request}");
        assert!(answer.working.iter().any(|step| step.from_memory), "{request}");
    }
}

#[test]
fn what_was_seen_in_print_is_not_marked() {
    for request in [
        json!({"rule": "sorenson", "diameter_in": "12", "length_ft": "20"}),
        json!({"rule": "fifth-girth", "girth_in": "60", "length_ft": "20"}),
    ] {
        assert!(asked(request).unwrap().working.iter().all(|step| !step.from_memory));
    }
}

#[test]
fn a_recalled_formula_is_not_carried_past_its_range() {
    let with_range =
        RuleName::ALL.into_iter().filter(|rule| rule.facts().range.contains("48 inches and lengths"));
    let mut tried = 0;
    for rule in with_range {
        let request = |diameter: &str, length: &str| -> Value {
            if rule == RuleName::Brereton {
                json!({"rule": rule, "small_diameter_in": diameter, "large_diameter_in": diameter,
                    "length_ft": length})
            } else {
                json!({"rule": rule, "diameter_in": diameter, "length_ft": length})
            }
        };
        for (diameter, length) in [("5.9999", "16"), ("48.0001", "16"), ("12", "40.0001")] {
            assert_eq!(asked(request(diameter, length)).unwrap_err(), "outside-the-rule", "{rule}");
        }
        for (diameter, length) in [("6", "16"), ("48", "40")] {
            assert!(asked(request(diameter, length)).unwrap().gross > kernel::Exact::ZERO, "{rule}");
        }
        tried += 1;
    }
    assert_eq!(tried, 11);
}

#[test]
fn print_only_refuses_every_rule_from_memory_when_the_terms_are_filed() {
    for rule in RuleName::ALL {
        let terms =
            |sources: &str| serde_json::from_value::<LogPractice>(json!({"rule": rule, "sources": sources}));
        if terms("any").is_ok() {
            assert_eq!(terms("print_only").is_err(), rule.facts().from_memory, "{rule}");
        }
    }
}
