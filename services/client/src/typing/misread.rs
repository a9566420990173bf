//! Why a line is not understood, in words that say what to type instead.

/// Why a line is not understood.
///
/// ```
/// use client::typing::{Context, read};
/// let misread = read("pine", &Context::default()).unwrap_err();
/// assert_eq!(misread.to_string(), "the small end is missing: type its diameter, as in 14");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Misread(String);

/// What members of a document are called by whoever scales.
const MEMBERS: [(&str, &str); 29] = [
    ("small_diameter_in", "small end"),
    ("small_diameter_cm", "small end"),
    ("middle_diameter_in", "middle"),
    ("middle_diameter_cm", "middle"),
    ("large_diameter_in", "large end"),
    ("large_diameter_cm", "large end"),
    ("butt_diameter_in", "butt"),
    ("stick_length_ft", "length of the sticks"),
    ("stick_length_in", "inches of the sticks"),
    ("stick_length_m", "length of the sticks"),
    ("from_small_end_ft", "where it begins"),
    ("from_small_end_m", "where it begins"),
    ("length_ft", "length"),
    ("length_in", "inches of the length"),
    ("length_m", "length"),
    ("width_in", "width"),
    ("width_cm", "width"),
    ("thickness_in", "thickness"),
    ("height_in", "height"),
    ("height_cm", "height"),
    ("heights_m", "height"),
    ("top_diameter_in", "top"),
    ("log_diameter_in", "log it was hewn from"),
    ("angle_degrees", "angle"),
    ("depth_in", "depth"),
    ("core_in", "core"),
    ("departure_in", "bow"),
    ("deflection_in", "bend"),
    ("stick_number", "number"),
];

impl Misread {
    pub(super) fn new(says: impl Into<String>) -> Self {
        Self(says.into())
    }

    /// What the document's own check says, with the trade's words for its members.
    pub(super) fn of_document(error: &serde_json::Error) -> Self {
        let mut says = error.to_string();
        if let Some(member) = says.strip_prefix("missing field `").and_then(|rest| rest.split('`').next()) {
            return Self(missing(member));
        }
        for (member, words) in MEMBERS {
            says = says.replace(member, words);
        }
        Self(says.replace('_', " "))
    }
}

fn missing(member: &str) -> String {
    match member {
        "small_diameter_in" | "small_diameter_cm" => {
            "the small end is missing: type its diameter, as in 14".to_owned()
        }
        "species" => "the species is missing: type it first, as in pine 14 16".to_owned(),
        "length_ft" | "length_m" => {
            "the length is missing: type it behind the other sizes, as in 16".to_owned()
        }
        "width_in" | "thickness_in" => "width and thickness are missing: type them as in 12x10".to_owned(),
        "heights" | "heights_m" => "the height is missing: type it as in high 4'2".to_owned(),
        "stick_length_ft" | "stick_length_m" => {
            "the length of the sticks is missing: type it as in sticks 4".to_owned()
        }
        "reason" => "an estimate needs what it rests on: 15% because \"soft at the heart\"".to_owned(),
        other => {
            let words = MEMBERS.iter().find(|(member, _)| *member == other).map_or(other, |(_, words)| words);
            format!("the {words} is missing")
        }
    }
}
