//! What holds for every piece: tried on made-up ones.

use kernel::Exact;
use proptest::prelude::*;
use scaling::rules::Takes;
use scaling::{DirectRequest, Piece, Practice, RuleName, Scaled, direct, scale, scale_without_working};
use serde_json::{Value, json};

use crate::made_up::{LOG_RULES, log};

fn practice(rule: &str) -> Practice {
    serde_json::from_value(json!({"log": {"rule": rule}})).unwrap()
}

fn outcome(practice: &Practice, log: &Value) -> Result<Scaled, &'static str> {
    let piece: Piece = serde_json::from_value(log.clone()).unwrap();
    scale(practice, &piece).map_err(|problem| problem.code())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn net_is_between_nothing_and_gross(log in log(), rule in prop::sample::select(&LOG_RULES[..])) {
        match outcome(&practice(rule), &log) {
            Ok(scaled) => {
                let volume = scaled.volume.unwrap();
                prop_assert!(!volume.net.is_negative());
                prop_assert!(volume.net <= volume.gross);
            }
            Err(code) => prop_assert!(
                ["defect-does-not-fit", "not-in-the-table", "outside-the-rule"].contains(&code),
                "{}", code),
        }
    }

    #[test]
    fn the_order_of_defects_changes_nothing(
        log in log(),
        rule in prop::sample::select(&LOG_RULES[..]),
        turns in 0_usize..6,
        swapped in 0_usize..6,
    ) {
        let mut turned = log.clone();
        let defects = turned["defects"].as_array_mut().unwrap();
        let count = defects.len();
        if count > 1 {
            defects.rotate_left(turns % count);
            defects.swap(0, swapped % count);
        }
        let seen = |scaled: Scaled| (scaled.volume, scaled.cull);
        let practice = practice(rule);
        prop_assert_eq!(outcome(&practice, &log).map(seen), outcome(&practice, &turned).map(seen));
    }

    #[test]
    fn without_the_working_the_figures_are_the_same(log in log(), rule in prop::sample::select(&LOG_RULES[..])) {
        let practice = practice(rule);
        let piece: Piece = serde_json::from_value(log).unwrap();
        let with = scale(&practice, &piece).map(|scaled| Scaled { working: Vec::new(), ..scaled });
        prop_assert_eq!(with, scale_without_working(&practice, &piece));
    }

    #[test]
    fn a_log_and_what_is_made_of_it_come_back_as_written(log in log(), rule in prop::sample::select(&LOG_RULES[..])) {
        let piece: Piece = serde_json::from_value(log).unwrap();
        let text = serde_json::to_string(&piece).unwrap();
        prop_assert_eq!(&serde_json::from_str::<Piece>(&text).unwrap(), &piece);
        if let Ok(scaled) = scale(&practice(rule), &piece) {
            let text = serde_json::to_string(&scaled).unwrap();
            prop_assert_eq!(serde_json::from_str::<Scaled>(&text).unwrap(), scaled);
        }
    }
}

/// The sizes a rule is entered with, besides the length.
fn members_of(rule: RuleName) -> &'static [&'static str] {
    match rule.facts().takes {
        Takes::Middle | Takes::MiddleOrEnds => &["middle_diameter_in"],
        Takes::EndsAndMiddle => &["small_diameter_in", "middle_diameter_in", "large_diameter_in"],
        Takes::Ends => &["small_diameter_in", "large_diameter_in"],
        Takes::Girth => &["girth_in"],
        Takes::WidthAndThickness => &["width_in", "thickness_in"],
        Takes::SmallEnd | Takes::SmallEndOfEachSection => &["small_diameter_in"],
    }
}

/// A request with every size the rule takes: the small end, and the others in step with it.
fn request(rule: RuleName, diameter: u32, length: u32) -> DirectRequest {
    let inches = |quarters: u32| json!(format!("{}.{:02}", quarters / 4, quarters % 4 * 25));
    let mut document = json!({"rule": rule, "length_ft": format!("{}.{:02}", length / 4, length % 4 * 25),
        "rounding": "none"});
    let members = members_of(rule);
    for (place, member) in (0..).zip(members) {
        document[*member] = inches(diameter + place * 8);
    }
    serde_json::from_value(document).unwrap()
}

fn gross(rule: RuleName, diameter: u32, length: u32) -> Exact {
    direct(&request(rule, diameter, length)).unwrap().gross
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    /// Diameters in quarters of an inch from 5 inches, lengths in quarters of a foot. Doyle-Scribner is tried
    /// in whole inches, the only ones for which it is defined; Vermont in logs of one section, so that no
    /// taper comes in; a rule of a limited range within that range.
    #[test]
    fn volume_never_falls_as_a_log_grows(
        rule in prop::sample::select(&RuleName::ALL[1..]),
        diameter in 20_u32..240,
        length in 4_u32..100,
        wider in 0_u32..40,
        longer in 0_u32..40,
    ) {
        let whole = |quarters: u32| if rule == RuleName::DoyleScribner { quarters / 4 * 4 } else { quarters };
        let sections = matches!(rule, RuleName::Vermont | RuleName::Humphrey);
        let recalled = rule.facts().range.contains("48 inches");
        let most = if sections { 48 } else { 160 };
        let inches = |quarters: u32| if recalled { whole(quarters).clamp(24, 176) } else { whole(quarters) };
        let small = gross(rule, inches(diameter), length.min(most));
        let large = gross(rule, inches(diameter + wider), (length + longer).min(most));
        prop_assert!(small <= large, "{rule}: {small} and {large}");
    }
}

/// The table of Decimal C, cell against the next cell each way. It falls in one place, where a value from
/// memory meets a printed one: 7 inches by 4 feet is 5.6 from memory and rounds to 10, and 7 inches by 6 feet
/// is printed as 5.
#[test]
fn the_decimal_c_table_falls_at_one_seam_only() {
    let cell = |diameter: u32, length: u32| {
        let request = json!({"rule": "scribner-decimal-c", "diameter_in": diameter.to_string(),
            "length_ft": length.to_string()});
        direct(&serde_json::from_value(request).unwrap()).unwrap().gross
    };
    let mut falls = Vec::new();
    for diameter in 6..=48_u32 {
        for length in (4..=40_u32).step_by(2) {
            let here = cell(diameter, length);
            if diameter < 48 && cell(diameter + 1, length) < here {
                falls.push((diameter, length, "wider"));
            }
            if length < 40 && cell(diameter, length + 2) < here {
                falls.push((diameter, length, "longer"));
            }
        }
    }
    assert_eq!(falls, [(7, 4, "longer")]);
}

/// The finest and largest sizes that parse: whatever comes of it, it is an answer or a problem.
#[test]
fn extreme_sizes_are_answered() {
    for rule in RuleName::ALL {
        for size in ["240", "239.9999", "0.0001"] {
            for length in ["200", "199.9999", "0.0001"] {
                let mut document =
                    json!({"rule": rule, "length_ft": length, "length_in": "11.9999", "rounding": "none"});
                let members = match rule {
                    RuleName::Vermont | RuleName::Humphrey => &["small_diameter_in", "large_diameter_in"],
                    _ => members_of(rule),
                };
                for member in members {
                    document[*member] = json!(size);
                }
                let answer =
                    direct(&serde_json::from_value(document).unwrap()).map_err(|problem| problem.code());
                if let Err(code) = answer {
                    assert!(
                        ["outside-the-rule", "not-in-the-table", "whole-inch-needed"].contains(&code),
                        "{rule}: {code}"
                    );
                }
            }
        }
    }
}
