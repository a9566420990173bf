//! Made-up pieces: every measurement there is, from the smallest that can be written to the largest.

use proptest::prelude::*;
use serde_json::{Value, json};

use crate::made_up::defect;
use crate::members::{Member, decimal, decimal_or_nothing, list, object, word};

/// A piece of any kind; most are logs.
pub fn piece() -> BoxedStrategy<Value> {
    prop_oneof![
        6 => log(), 2 => metric_log(), 2 => hewn_timber(), 1 => tie(), 1 => pole(), 1 => pile(), 1 => metric_pile()
    ]
    .boxed()
}

fn product(name: &'static str) -> Vec<Member> {
    vec![("product", Just(json!(name)).boxed()), ("species", word(&["red pine", "white oak"]))]
}

fn with(first: Vec<Member>, more: Vec<Member>) -> Vec<Member> {
    first.into_iter().chain(more).collect()
}

/// Defects that can be measured on a log of 40 inches by 40 feet, kinds and places changed about.
pub fn defects() -> BoxedStrategy<Value> {
    let estimate = decimal(0, 100).prop_map(
        |percent| json!({"kind": "worm_holes", "method": "estimate", "percent": percent, "reason": "seen"}),
    );
    let butt = decimal(0, 20)
        .prop_map(|length| json!({"kind": "butt_rot", "method": "length_cut", "length_ft": length}));
    let whole = decimal(30, 60).prop_map(
        |length| json!({"kind": "ring_shake", "method": "sound_core", "core_in": "6", "length_ft": length}),
    );
    list(prop_oneof![8 => defect().boxed(), 1 => estimate, 1 => butt, 1 => whole].boxed(), 0..5)
}

fn readings(most: u64) -> BoxedStrategy<Value> {
    list(decimal(1, most), 1..3)
}

fn log() -> BoxedStrategy<Value> {
    let length = prop_oneof![6 => decimal(8, 60), 1 => decimal(0, 200)].boxed();
    let small = prop_oneof![8 => readings(40), 1 => readings(240)].boxed();
    object(
        with(product("log"), vec![("small_diameter_in", small), ("length_ft", length)]),
        vec![
            ("middle_diameter_in", readings(60)),
            ("large_diameter_in", readings(60)),
            ("butt_diameter_in", readings(60)),
            ("length_in", decimal_or_nothing(11)),
            ("defects", defects()),
            ("grade", word(&["No 1"])),
            ("stick_number", word(&["17", "17 a"])),
        ],
    )
}

fn metric_log() -> BoxedStrategy<Value> {
    object(
        with(product("log"), vec![("small_diameter_cm", readings(100)), ("length_m", decimal(0, 20))]),
        vec![
            ("middle_diameter_cm", readings(150)),
            ("large_diameter_cm", readings(200)),
            ("defects", defects().prop_map(in_metric).boxed()),
        ],
    )
}

/// The same numbers under the names of the metric members.
fn in_metric(value: Value) -> Value {
    let renamed = |name: String| match (name.strip_suffix("_in"), name.strip_suffix("_ft")) {
        (Some(across), _) => format!("{across}_cm"),
        (_, Some(along)) => format!("{along}_m"),
        _ => name,
    };
    match value {
        Value::Array(items) => items.into_iter().map(in_metric).collect(),
        Value::Object(members) => {
            let members = members.into_iter().map(|(name, value)| (renamed(name), in_metric(value)));
            Value::Object(members.collect())
        }
        other => other,
    }
}

fn hewn_timber() -> BoxedStrategy<Value> {
    let corner = || object(vec![("width_in", decimal(0, 3)), ("thickness_in", decimal(0, 3))], Vec::new());
    let section = || {
        object(
            vec![("width_in", decimal(4, 30)), ("thickness_in", decimal(4, 30))],
            vec![("wane", list(corner(), 0..4))],
        )
    };
    let cuts = list(defect().boxed(), 0..4);
    object(
        with(product("hewn_timber"), vec![("small_end", section()), ("length_ft", decimal(1, 80))]),
        vec![
            ("middle", section()),
            ("large_end", section()),
            ("length_in", decimal_or_nothing(11)),
            ("defects", cuts),
            ("ordered_width_in", decimal(4, 30)),
            ("ordered_thickness_in", decimal(4, 30)),
            ("score_mark_depth_in", decimal_or_nothing(3)),
            ("straightness_in", decimal_or_nothing(12)),
            ("out_of_square_in", decimal_or_nothing(3)),
            ("grade", word(&["No 1"])),
            ("stick_number", word(&["18"])),
            ("hewn_from", word(&["17"])),
            ("refused", word(&["split"])),
        ],
    )
}

fn tie() -> BoxedStrategy<Value> {
    object(
        with(
            product("tie"),
            vec![
                ("width_in", decimal(5, 14)),
                ("thickness_in", decimal(5, 12)),
                ("length_ft", decimal(6, 12)),
            ],
        ),
        vec![
            ("score_mark_depth_in", decimal_or_nothing(3)),
            ("straightness_in", decimal_or_nothing(12)),
            ("out_of_square_in", decimal_or_nothing(3)),
            ("log_diameter_in", decimal(5, 30)),
            ("stick_number", word(&["18"])),
            ("hewn_from", word(&["17"])),
            ("refused", word(&["split"])),
        ],
    )
}

fn pole() -> BoxedStrategy<Value> {
    object(
        with(product("pole"), vec![("length_ft", decimal(1, 120))]),
        vec![("top_diameter_in", decimal(2, 20)), ("refused", word(&["checked"])), ("grade", word(&["5"]))],
    )
}

/// A scaler's own estimates of what a pile has lost.
fn losses() -> BoxedStrategy<Value> {
    let estimate = decimal(0, 100).prop_map(
        |percent| json!({"kind": "loosely_ranked", "method": "estimate", "percent": percent, "reason": "gaps"}),
    );
    list(estimate.boxed(), 0..3)
}

fn pile() -> BoxedStrategy<Value> {
    let height = object(vec![("feet", decimal(0, 12))], vec![("inches", decimal_or_nothing(11))]);
    object(
        with(
            product("ranked_pile"),
            vec![
                ("length_ft", decimal(1, 200)),
                ("heights", list(height, 1..5)),
                ("stick_length_ft", decimal(1, 12)),
            ],
        ),
        vec![
            ("length_in", decimal_or_nothing(11)),
            ("stick_length_in", decimal_or_nothing(11)),
            ("defects", losses()),
            ("refused", word(&["rotten"])),
        ],
    )
}

fn metric_pile() -> BoxedStrategy<Value> {
    object(
        with(
            product("ranked_pile"),
            vec![
                ("length_m", decimal(1, 60)),
                ("heights_m", list(decimal(0, 4), 1..5)),
                ("stick_length_m", decimal(0, 4)),
            ],
        ),
        vec![("defects", losses())],
    )
}
