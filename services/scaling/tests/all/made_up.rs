//! Made-up logs and defects, for properties that hold of every one.

use proptest::prelude::*;
use serde_json::{Value, json};

/// The rules that scale logs.
pub const LOG_RULES: [&str; 27] = [
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
pub fn hundredths(range: std::ops::Range<u32>) -> impl Strategy<Value = String> {
    range.prop_map(|hundredths| {
        let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    })
}

/// A defect by any of the methods, perhaps with its place.
pub fn defect() -> impl Strategy<Value = Value> {
    (unplaced(), prop::option::of(hundredths(0..2000))).prop_map(|(mut defect, from)| {
        if let (Some(from), Some(_)) = (from, defect.get("length_ft")) {
            defect["from_small_end_ft"] = json!(from);
        }
        defect
    })
}

/// A defect whose place is not measured.
fn unplaced() -> impl Strategy<Value = Value> {
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
        (size(), size(), length())
            .prop_map(|(major, minor, length)| json!({"kind": "heart_rot", "method": "ellipse",
            "major_in": major, "minor_in": minor, "length_ft": length})),
        (size(), length()).prop_map(|(core, length)| json!({"kind": "ring_shake", "method": "sound_core",
            "core_in": core, "length_ft": length})),
        Just(json!({"kind": "sound_knot", "method": "noted"})),
    ]
}

prop_compose! {
    /// A log with every reading and up to five defects.
    pub fn log()(
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
