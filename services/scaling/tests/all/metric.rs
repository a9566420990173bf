//! Contracts in centimetres and metres, and the wall between the two systems.

use kernel::VolumeUnit;
use scaling::{Piece, Scaled};
use serde_json::{Value, json};

use crate::common::{asked, scaled};

fn metric(rule: &str, terms: Value) -> Value {
    json!({"rule": rule, "system": "metric", "metric": terms, "cull_share": "0"})
}

fn log() -> Value {
    json!({"small_diameter_cm": ["29.6", "31"], "large_diameter_cm": ["40.2"], "length_m": "5.07"})
}

fn volume(scaled: &Scaled) -> (String, VolumeUnit) {
    let volume = scaled.volume.unwrap();
    (volume.net.to_string(), volume.unit)
}

#[test]
fn readings_are_rounded_by_the_contracts_own_steps() {
    let terms = metric(
        "smalian",
        json!({"diameter_rounding_cm": {"step": "1", "mode": "down"},
            "length_rounding_m": {"step": "0.1", "mode": "down"}, "least_trim_cm": "5"}),
    );
    let scaled = scaled(terms, &log()).unwrap();
    // 30.3 and 40.2 become 30 and 40; 5.02 becomes 5.
    assert_eq!(volume(&scaled), ("0.490875".to_owned(), VolumeUnit::CubicMetre));
    assert_eq!(scaled.scaling_diameter_cm.unwrap().to_string(), "30");
    assert_eq!(scaled.scaling_length_m.unwrap().to_string(), "5");
    assert_eq!((scaled.scaling_diameter_in, scaled.scaling_length_ft), (None, None));
}

#[test]
fn without_steps_everything_is_taken_as_measured() {
    let scaled = scaled(metric("smalian", json!({})), &log()).unwrap();
    let direct = asked(
        json!({"rule": "smalian", "small_diameter_cm": "30.3", "large_diameter_cm": "40.2", "length_m": "5.07"}),
    );
    assert_eq!(scaled.volume.unwrap().gross, direct.unwrap().gross);
}

#[test]
fn nothing_crosses_from_one_system_to_the_other() {
    let inches = json!({"small_diameter_in": ["12"], "large_diameter_in": ["16"], "length_ft": "16"});
    let refused = |terms: Value, log: &Value| scaled(terms, log).unwrap_err().code();
    assert_eq!(refused(metric("smalian", json!({})), &inches), "mixed-systems");
    assert_eq!(refused(json!({"rule": "smalian"}), &log()), "mixed-systems");
    let said = |document: Value| serde_json::from_value::<Piece>(document).unwrap_err().to_string();
    let base = json!({"product": "log", "species": "fir"});
    let mix = |members: Value| {
        let mut document = base.clone();
        for (name, value) in members.as_object().unwrap() {
            document[name] = value.clone();
        }
        said(document)
    };
    let one_foot = json!([{"kind": "break", "method": "length_cut", "length_ft": "1"}]);
    for (members, expected) in [
        (json!({"small_diameter_in": ["12"], "length_m": "5"}), "length_m is not in the system"),
        (json!({"small_diameter_cm": ["30"], "length_ft": "16"}), "small_diameter_cm is not in the system"),
        (json!({"small_diameter_cm": ["30"]}), "missing field `length_m`"),
        (json!({"length_m": "5"}), "missing field `small_diameter_cm`"),
        (
            json!({"small_diameter_cm": ["30"], "length_m": "5", "defects": one_foot}),
            "defects: a size is not in the system",
        ),
    ] {
        let said = mix(members);
        assert!(said.contains(expected), "{said}");
    }
}

#[test]
fn defects_are_measured_in_the_logs_own_system() {
    let lost = |defect: Value| {
        let log = json!({"small_diameter_cm": ["40"], "large_diameter_cm": ["40"], "length_m": "5",
            "defects": [defect]});
        let volume = scaled(metric("smalian", json!({})), &log).unwrap().volume.unwrap();
        volume.gross.minus(volume.net).unwrap().to_string()
    };
    // A cylinder of 40 cm by 5 m is 0.62832 cubic metres.
    let cut = json!({"kind": "break", "method": "length_cut", "length_m": "1.25"});
    assert_eq!(lost(cut), "0.15708");
    let rot = json!({"kind": "heart_rot", "method": "squared", "width_cm": "20", "height_cm": "10", "length_m": "5"});
    assert_eq!(lost(rot), "0.1"); // 0.2 × 0.1 × 5
    let ring = json!({"kind": "sap_rot", "method": "diameter_cut", "depth_cm": "5"});
    assert_eq!(lost(ring), "0.27489"); // less 30² of 40²
    let ellipse = json!({"kind": "heart_rot", "method": "ellipse", "major_cm": "20", "minor_cm": "20",
        "length_m": "5"});
    assert_eq!(lost(ellipse), "0.15708"); // a quarter of the circle
    let core = json!({"kind": "ring_shake", "method": "sound_core", "core_cm": "20", "length_m": "5"});
    assert_eq!(lost(core), "0.47124"); // all but a quarter
    // A ninety-sixth of 5 metres is allowed to bow, as 2 inches in 16 feet are.
    let bow = json!({"kind": "sweep", "method": "sweep", "departure_cm": "5.2083"});
    assert_eq!(lost(bow), "0");
}

#[test]
fn least_sizes_are_metric_too() {
    let cull = |terms: Value, log: &Value| scaled(metric("smalian", terms), log).unwrap().cull;
    let thin = cull(json!({"least_diameter_cm": "31"}), &log()).unwrap();
    assert_eq!(thin, "30.3 centimetres is under the least diameter of 31 centimetres");
    let short = cull(json!({"least_length_m": "6"}), &log()).unwrap();
    assert_eq!(short, "5.07 metres is under the least length of 6 metres");
    let stub = json!({"small_diameter_cm": ["30"], "large_diameter_cm": ["30"], "length_m": "0.04"});
    let terms = json!({"least_trim_cm": "5"});
    assert_eq!(scaled(metric("smalian", terms), &stub).unwrap_err().code(), "too-short");
}
