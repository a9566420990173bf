//! Made-up practices: every term there is, each with anything it may hold.

use proptest::prelude::*;
use serde_json::{Value, json};

use crate::made_up::LOG_RULES;
use crate::members::{MODES, decimal, decimal_or_nothing, flag, list, object, rounding, rounding_term, word};

/// The rules that give cubic metres.
const METRIC_RULES: [&str; 6] =
    ["smalian", "huber", "newton", "two-end-conic", "subneiloid", "bruce-butt-log"];

/// A practice with any of its five parts.
pub fn practice() -> BoxedStrategy<Value> {
    let log = prop_oneof![4 => log(), 1 => metric_log()].boxed();
    object(
        vec![("log", log), ("hewn_timber", hewn()), ("tie", tie())],
        vec![("pole", pole()), ("ranked_pile", pile())],
    )
}

fn pile() -> BoxedStrategy<Value> {
    let nominal = |length: &'static str, trim: &'static str| {
        object(
            vec![(length, decimal(1, 8)), (trim, decimal_or_nothing(6))],
            vec![("otherwise", word(&["refused", "as_measured"]))],
        )
    };
    let of = |unit: &'static str, height: &'static str, nominal: BoxedStrategy<Value>| {
        object(
            vec![("unit", Just(json!(unit)).boxed())],
            vec![
                (height, rounding()),
                ("nominal_sticks", nominal),
                ("volume_rounding", rounding()),
                ("estimates", word(&["allowed", "allowed", "refused"])),
            ],
        )
    };
    let feet = of("cord", "height_rounding_in", nominal("length_ft", "most_trim_in"));
    let metres = of("stacked_cubic_metre", "height_rounding_cm", nominal("length_m", "most_trim_cm"));
    prop_oneof![feet, metres].boxed()
}

const WAYS: [&str; 6] = ["half_up", "half_down", "half_even", "down", "up", "alternating"];

const KINDS: [&str; 8] =
    ["heart_rot", "catface", "break", "sap_rot", "sound_knot", "spiral_grain", "butt_rot", "ring_shake"];

/// A contract in inches and feet. Terms that go together are more likely than those that do not, which are refused
/// before anything is scaled.
fn log() -> BoxedStrategy<Value> {
    let taper = object(vec![("inches", decimal(0, 12)), ("feet", decimal(1, 40))], Vec::new());
    let least_top = object(
        vec![("narrow_way_in", decimal(1, 30))],
        vec![("exactly", word(&["in", "out"])), ("below", word(&["cull", "cut_back"]))],
    );
    let board = object(vec![("length_ft", decimal(0, 12)), ("width_in", decimal(0, 12))], Vec::new());
    let sometimes = vec![
        ("sources", word(&["any", "any", "any", "print_only"])),
        ("one_reading", word(&WAYS)),
        ("two_readings", word(&WAYS)),
        ("each_reading", word(&MODES)),
        ("first_half", word(&["up", "down"])),
        ("least_trim_in", decimal_or_nothing(6)),
        ("most_trim_in", decimal(6, 24)),
        ("over_long", word(&["next_class", "same_class"])),
        ("longest_scaling_length_ft", decimal(2, 200)),
        ("division", word(&["near_equal", "georgia", "none"])),
        ("taper_in_per_feet", taper),
        ("odd_taper", word(&["raised", "dropped"])),
        ("least_top", least_top),
        ("least_diameter_in", decimal(1, 30)),
        ("least_length_ft", decimal(1, 40)),
        ("cull_share", word(&["0", "1/3", "0.5", "1", "1/7"])),
        ("waste_inch", flag()),
        ("kerf_in", decimal_or_nothing(1)),
        ("least_board", board),
        ("length_cut_multiple_ft", word(&["1", "2"])),
        ("grade_only_kinds", list(word(&KINDS), 0..4)),
        ("estimates", word(&["allowed", "allowed", "refused"])),
        ("deduction_rounding", rounding_term()),
        ("volume_rounding", rounding_term()),
    ];
    let plain = object(vec![("rule", word(&LOG_RULES))], sometimes);
    // The terms that only some rules have.
    let more = prop_oneof![
        12 => Just(json!({})),
        1 => Just(json!({"length_multiple_ft": "1"})),
        1 => Just(json!({"whole_inches": true})),
        1 => Just(json!({"whole_inches": false, "length_multiple_ft": "1"})),
        1 => Just(json!({"rule": "scribner-decimal-c", "printed_cells_only": true})),
        2 => word(&["half-up", "half-down", "printing-1913"]).prop_map(|edition| json!({"rule": "doyle",
            "edition": edition, "length_multiple_ft": "1"})),
        1 => word(&["statute", "print"]).prop_map(|edition| json!({"rule": "international-quarter-inch",
            "edition": edition})),
        1 => word(&["cubic_foot", "board_foot"]).prop_map(|unit| json!({"rule": "two-thirds", "unit": unit})),
        1 => word(&["geometric", "five-sevenths", "seventeen-twenty-fourths"]).prop_map(|edition| json!({
            "rule": "inscribed-square", "edition": edition, "unit": "board_foot"})),
    ];
    (plain, more).prop_map(|(plain, more)| together(plain, more)).boxed()
}

/// The members of both; where both have one, the second's.
fn together(mut first: Value, second: Value) -> Value {
    if let (Some(first), Value::Object(second)) = (first.as_object_mut(), second) {
        first.extend(second);
    }
    first
}

/// A contract in centimetres and metres.
fn metric_log() -> BoxedStrategy<Value> {
    let metric = object(
        Vec::new(),
        vec![
            ("diameter_rounding_cm", rounding()),
            ("length_rounding_m", rounding()),
            ("least_trim_cm", decimal_or_nothing(61)),
            ("least_diameter_cm", decimal(1, 60)),
            ("least_length_m", decimal(0, 6)),
        ],
    );
    let sometimes = vec![
        ("metric", metric),
        ("estimates", word(&["allowed", "refused"])),
        ("cull_share", word(&["0", "1/3", "1"])),
        ("deduction_rounding", rounding_term()),
        ("volume_rounding", rounding_term()),
    ];
    object(vec![("rule", word(&METRIC_RULES)), ("system", word(&["metric"]))], sometimes)
}

fn limit() -> BoxedStrategy<Value> {
    prop_oneof![
        word(&["0", "0.25", "1"]).prop_map(|most| json!({"degraded_over": most})),
        word(&["1/4", "0.5", "240"]).prop_map(|most| json!({"refused_over": most})),
        (word(&["0", "1/8", "0.5"]), word(&["0.5", "2"]))
            .prop_map(|(degraded, refused)| json!({"degraded_over": degraded, "refused_over": refused})),
    ]
    .boxed()
}

fn hewn() -> BoxedStrategy<Value> {
    let limited = [
        "score_mark_depth_in",
        "straightness_in",
        "out_of_square_in",
        "size_difference_in",
        "under_size_in",
        "over_size_in",
        "wane_of_face",
    ];
    let mut tolerances = limited.map(|name| (name, limit())).to_vec();
    tolerances.push(("degraded_to", word(&["No 2"])));
    object(
        Vec::new(),
        vec![
            ("content", word(&["ends_averaged", "middle", "least_section", "frustum"])),
            ("unit", word(&["board_foot", "cubic_foot", "linear_foot"])),
            ("side_rounding", rounding()),
            ("wane", word(&["ignored", "deducted"])),
            ("volume_rounding", rounding()),
            ("tolerances", object(Vec::new(), tolerances)),
            ("grade_only_kinds", list(word(&KINDS), 0..3)),
            ("estimates", word(&["allowed", "refused"])),
        ],
    )
}

fn tie() -> BoxedStrategy<Value> {
    let limited =
        ["score_mark_depth_in", "straightness_in", "out_of_square_in", "thicker_in", "wider_in", "longer_in"];
    let mut tolerances = limited.map(|name| (name, limit())).to_vec();
    tolerances.push(("degraded_to", word(&["No 2"])));
    object(Vec::new(), vec![("volume_rounding", rounding()), ("tolerances", object(Vec::new(), tolerances))])
}

fn pole() -> BoxedStrategy<Value> {
    let class = |name: &'static str| {
        object(
            vec![
                (
                    "name",
                    word(match name {
                        "long" => &["long"],
                        _ => &["short"],
                    }),
                ),
                (
                    "length_ft",
                    match name {
                        "long" => decimal(30, 60),
                        _ => decimal(1, 29),
                    },
                ),
            ],
            vec![("least_top_in", decimal(3, 12))],
        )
    };
    (class("long"), class("short")).prop_map(|(long, short)| json!({"classes": [long, short]})).boxed()
}
