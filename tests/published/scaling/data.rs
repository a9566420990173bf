//! Reads the files of `tests/data/scaling`, and numbers out of them without binary floating point.

use std::path::Path;

use kernel::{Exact, Rounding};
use scaling::{DirectAnswer, Practice, Scaled, direct, scale};
use serde_json::{Value, json};

/// The rows of a file, by column name.
pub fn rows(file: &str) -> Vec<csv::StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/scaling").join(file);
    csv::Reader::from_path(path).unwrap().records().map(Result::unwrap).collect()
}

/// One worked example: its id, topic, inputs and expected figures.
pub struct Example {
    pub id: String,
    pub topic: String,
    pub inputs: Value,
    pub expected: Value,
}

pub fn examples(file: &str) -> Vec<Example> {
    rows(file)
        .iter()
        .map(|row| Example {
            id: row[0].to_owned(),
            topic: row[1].to_owned(),
            inputs: serde_json::from_str(&row[2]).unwrap(),
            expected: serde_json::from_str(&row[3]).unwrap(),
        })
        .collect()
}

/// A JSON number, exactly as it is written.
pub fn number(value: &Value) -> Exact {
    value.to_string().parse().unwrap_or_else(|_| panic!("{value} is not a plain number"))
}

/// A size as a document holds it: at most four decimals.
pub fn size(value: Exact) -> String {
    value.rounded_to("0.0001".parse().unwrap(), Rounding::HalfUp).unwrap().to_string()
}

/// Whether a computed figure is the printed one, once rounded to as many decimals as were printed.
pub fn agrees(computed: Exact, printed: &Value) -> bool {
    let text = printed.to_string();
    let places = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let step = Exact::ONE.over(Exact::of(10_i128.pow(u32::try_from(places).unwrap()))).unwrap();
    computed.rounded_to(step, Rounding::HalfUp).unwrap() == number(printed)
}

/// Whether a computed figure is within a tolerance of the printed one.
pub fn near(computed: Exact, printed: &Value, tolerance: &str) -> bool {
    let difference = computed.minus(number(printed)).unwrap();
    let tolerance: Exact = tolerance.parse().unwrap();
    difference <= tolerance && Exact::ZERO.minus(difference).unwrap() <= tolerance
}

pub fn asked(request: Value) -> DirectAnswer {
    direct(&serde_json::from_value(request).unwrap()).unwrap()
}

pub fn log(terms: Value, mut members: Value) -> Scaled {
    members["product"] = json!("log");
    members["species"] = json!("pine");
    scaled(json!({ "log": terms }), members)
}

pub fn hewn(terms: Value, mut members: Value) -> Exact {
    members["product"] = json!("hewn_timber");
    members["species"] = json!("pine");
    scaled(json!({ "hewn_timber": terms }), members).volume.unwrap().net
}

/// Cords of a ranked pile, to a millionth.
pub fn cords(mut members: Value) -> Exact {
    members["product"] = json!("ranked_pile");
    members["species"] = json!("spruce");
    let terms = json!({"unit": "cord", "volume_rounding": {"step": "0.000001", "mode": "half_up"}});
    scaled(json!({ "ranked_pile": terms }), members).volume.unwrap().gross
}

pub fn scaled(practice: Value, piece: Value) -> Scaled {
    let practice: Practice = serde_json::from_value(practice).unwrap();
    scale(&practice, &serde_json::from_value(piece).unwrap()).unwrap()
}
