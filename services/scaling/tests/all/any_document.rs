//! No document brings the crate down: any JSON at all, and good documents with one part of them turned into another.

use proptest::prelude::*;
use scaling::{Alternation, DirectRequest, Piece, Practice, direct, scale, scale_without_working_in_turn};
use serde_json::{Value, json};

use crate::made_up::{LOG_RULES, log};

/// Words of the documents.
const WORDS: [&str; 56] = [
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
    "edition",
    "print",
    "system",
    "metric",
    "small_diameter_cm",
    "length_m",
    "from_small_end_ft",
    "least_top",
    "narrow_way_in",
    "division",
    "georgia",
    "taper_in_per_feet",
    "tolerances",
    "estimate",
    "percent",
    "grade_only_kinds",
    "alternating",
    "ranked_pile",
    "heights",
    "feet",
    "stick_length_ft",
    "heights_m",
    "cord",
    "nominal_sticks",
    "most_trim_in",
];

/// Any JSON at all, made mostly of the words the documents use.
fn any_json() -> impl Strategy<Value = Value> {
    let word = prop::sample::select(&WORDS[..]);
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

/// Pieces with every member their documents have.
fn good_pieces() -> Vec<Value> {
    let section = json!({"width_in": "12", "thickness_in": "10",
        "wane": [{"width_in": "2", "thickness_in": "1.5"}]});
    vec![
        json!({"product": "log", "species": "pine", "small_diameter_in": ["13", "14.5"],
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
        json!({"product": "log", "species": "fir", "small_diameter_cm": ["36", "38"],
        "middle_diameter_cm": ["40"], "large_diameter_cm": ["44"], "length_m": "4.9", "defects": [
            {"kind": "crook", "method": "crook", "deflection_cm": "6", "length_m": "1",
                "from_small_end_m": "1"},
            {"kind": "catface", "method": "pie_cut", "angle_degrees": "60", "length_m": "1"}
        ]}),
        json!({"product": "hewn_timber", "species": "white oak", "small_end": section, "middle": section,
            "large_end": section, "length_ft": "24", "length_in": "6", "score_mark_depth_in": "0.5",
            "straightness_in": "1", "out_of_square_in": "0", "ordered_width_in": "12",
            "ordered_thickness_in": "10"}),
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5",
            "score_mark_depth_in": "0.5", "log_diameter_in": "12"}),
        json!({"product": "pole", "species": "cedar", "length_ft": "35", "top_diameter_in": "7"}),
        json!({"product": "ranked_pile", "species": "spruce", "length_ft": "16", "length_in": "6",
            "heights": [{"feet": "4", "inches": "2"}, {"feet": "4"}], "stick_length_ft": "4",
            "stick_length_in": "3", "defects": [
                {"kind": "loosely_ranked", "method": "estimate", "percent": "12", "reason": "gaps"}
        ]}),
    ]
}

/// A practice with every term.
fn good_practice(rule: &str) -> Value {
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

/// Every place in a document.
fn places(value: &Value, at: &str, found: &mut Vec<String>) {
    found.push(at.to_owned());
    match value {
        Value::Object(members) => {
            members.iter().for_each(|(name, value)| places(value, &format!("{at}/{name}"), found));
        }
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(place, item)| places(item, &format!("{at}/{place}"), found));
        }
        _ => {}
    }
}

/// The document with one place of it turned into something else.
fn spoilt(document: &Value, pick: usize, by: Value) -> Value {
    let mut found = Vec::new();
    places(document, "", &mut found);
    let mut changed = document.clone();
    *changed.pointer_mut(&found[pick % found.len()]).unwrap() = by;
    changed
}

fn try_all(pieces: &[Value], practice: &Value) {
    let Ok(practice) = serde_json::from_value::<Practice>(practice.clone()) else { return };
    let mut turn = Alternation::default();
    for piece in pieces {
        if let Ok(piece) = serde_json::from_value::<Piece>(piece.clone()) {
            let _ = scale(&practice, &piece);
            let _ = scale_without_working_in_turn(&practice, &piece, &mut turn);
        }
    }
}

/// The good documents are good, so that what is spoilt in them is all that is wrong.
#[test]
fn the_good_documents_are_good() {
    for piece in good_pieces() {
        serde_json::from_value::<Piece>(piece).unwrap();
    }
    for rule in LOG_RULES {
        let practice = serde_json::from_value::<Practice>(good_practice(rule));
        assert!(practice.is_ok(), "{rule}: {practice:?}");
    }
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
        pick in any::<usize>(),
        by in any_json(),
    ) {
        try_all(&[spoilt(&log, pick, by)], &json!({"log": {"rule": rule}}));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_spoilt_piece_and_no_spoilt_practice_bring_it_down(
        rule in prop::sample::select(&LOG_RULES[..]),
        which in 0_usize..6,
        pick in any::<usize>(),
        by in any_json(),
    ) {
        let (pieces, practice) = (good_pieces(), good_practice(rule));
        try_all(&[spoilt(&pieces[which], pick, by.clone())], &practice);
        try_all(&pieces, &spoilt(&practice, pick, by));
    }

    /// A size of one member in the place of another's.
    #[test]
    fn no_exchanged_sizes_bring_it_down(
        rule in prop::sample::select(&LOG_RULES[..]),
        which in 0_usize..6,
        pick in any::<usize>(),
        size in prop::sample::select(&["0", "0.0001", "0.5", "1", "3.9999", "5.5", "39.9999", "199.9999", "240"][..]),
    ) {
        let (pieces, practice) = (good_pieces(), good_practice(rule));
        for by in [json!(size), json!([size]), json!([size, "13.5"])] {
            try_all(&[spoilt(&pieces[which], pick, by.clone())], &practice);
            try_all(&pieces, &spoilt(&practice, pick, by));
        }
    }
}
