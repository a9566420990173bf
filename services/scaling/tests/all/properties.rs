//! What holds for every piece: tried on made-up ones.

use kernel::Exact;
use proptest::prelude::*;
use scaling::rules::Takes;
use scaling::{DirectRequest, Piece, Practice, RuleName, Scaled, direct, scale, scale_without_working};
use serde_json::{Value, json};

const LOG_RULES: [&str; 27] = [
    "scribner-decimal-c",
    "scribner",
    "doyle",
    "doyle-scribner",
    "international-quarter-inch",
    "international-eighth-inch",
    "vermont",
    "smalian",
    "huber",
    "newton",
    "two-end-conic",
    "subneiloid",
    "inscribed-square",
    "two-thirds",
    "sorenson",
    "bruce-butt-log",
    "adirondack-market",
    "blodgett",
    "brereton",
    "british-columbia",
    "constantine",
    "cumberland-river",
    "humphrey",
    "ontario",
    "quebec",
    "spaulding",
    "square-of-two-thirds",
];

/// A decimal with two places, as text.
fn hundredths(range: std::ops::Range<u32>) -> impl Strategy<Value = String> {
    range.prop_map(|hundredths| {
        let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    })
}

fn defect() -> impl Strategy<Value = Value> {
    let size = || hundredths(1..3000);
    let length = || hundredths(1..1000);
    prop_oneof![
        (size(), size(), length())
            .prop_map(|(width, height, length)| json!({"kind": "heart_rot", "method": "squared",
            "width_in": width, "height_in": height, "length_ft": length})),
        (hundredths(1..36_001), length())
            .prop_map(|(angle, length)| json!({"kind": "catface", "method": "pie_cut",
            "angle_degrees": angle, "length_ft": length})),
        hundredths(1..400)
            .prop_map(|length| json!({"kind": "break", "method": "length_cut", "length_ft": length})),
        hundredths(1..300)
            .prop_map(|depth| json!({"kind": "sap_rot", "method": "diameter_cut", "depth_in": depth})),
        size().prop_map(|departure| json!({"kind": "sweep", "method": "sweep", "departure_in": departure})),
        (size(), length()).prop_map(|(deflection, length)| json!({"kind": "crook", "method": "crook",
            "deflection_in": deflection, "length_ft": length})),
    ]
}

prop_compose! {
    fn log()(
        small in prop::collection::vec(hundredths(500..4800), 1..3),
        middle in hundredths(500..6000),
        large in hundredths(500..7000),
        feet in hundredths(800..4000),
        defects in prop::collection::vec(defect(), 0..6),
    ) -> Value {
        json!({"product": "log", "species": "red pine", "small_diameter_in": small,
            "middle_diameter_in": [middle],
            "large_diameter_in": [large], "length_ft": feet, "defects": defects})
    }
}

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
    fn the_order_of_defects_changes_nothing(log in log(), rule in prop::sample::select(&LOG_RULES[..])) {
        let mut turned = log.clone();
        turned["defects"].as_array_mut().unwrap().reverse();
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

/// Any JSON at all, made mostly of the words the documents use.
fn any_json() -> impl Strategy<Value = Value> {
    let word = prop::sample::select(
        &[
            "product",
            "log",
            "hewn_timber",
            "tie",
            "pole",
            "species",
            "small_diameter_in",
            "large_diameter_in",
            "length_ft",
            "length_in",
            "defects",
            "kind",
            "method",
            "squared",
            "sweep",
            "width_in",
            "thickness_in",
            "small_end",
            "wane",
            "rule",
            "doyle",
            "vermont",
            "diameter_in",
            "classes",
            "name",
            "step",
            "mode",
            "volume_rounding",
            "half_up",
            "refused",
            "unit",
        ][..],
    );
    let number = prop::sample::select(
        &["0", "1", "12", "240", "16.5", "-3", "1/3", "1e9", "999999999999999999999", "0.0001", ""][..],
    );
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        number.prop_map(Value::from),
        word.clone().prop_map(Value::from),
        ".{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 48, 8, move |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
            prop::collection::vec((word.clone(), inner), 0..8).prop_map(|members| members
                .into_iter()
                .map(|(name, value)| (name.to_owned(), value))
                .collect::<serde_json::Map<_, _>>()
                .into()),
        ]
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_document_brings_it_down(document in any_json()) {
        let _ = serde_json::from_value::<Piece>(document.clone());
        let _ = serde_json::from_value::<Practice>(document.clone());
        if let Ok(request) = serde_json::from_value::<DirectRequest>(document) {
            let _ = direct(&request);
        }
    }

    /// A good document with one part of it turned into something else.
    #[test]
    fn no_spoilt_log_brings_it_down(
        log in log(),
        rule in prop::sample::select(&LOG_RULES[..]),
        member in prop::sample::select(&["small_diameter_in", "length_ft", "length_in", "defects",
            "species", "product"][..]),
        spoilt in any_json(),
    ) {
        let mut log = log;
        log[member] = spoilt;
        if let Ok(piece) = serde_json::from_value::<Piece>(log) {
            let _ = scale(&practice(rule), &piece);
        }
    }
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
