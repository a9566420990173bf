//! A pole or pile as measured.

use serde::{Deserialize, Serialize};

use crate::{Feet, FurtherInches, Grade, Inches, Marks, Refusal, Species, StickNumber, member};

/// A pole or pile: it goes by its length, so it has no volume.
///
/// ```
/// let pole: scaling::Pole =
///     serde_json::from_str(r#"{"species": "cedar", "length_ft": "35", "top_diameter_in": "7"}"#)?;
/// assert_eq!(pole.length_ft.to_string(), "35");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Pole {
    /// The kind of tree.
    #[serde(deserialize_with = "member::species")]
    pub species: Species,
    /// The grade or class the scaler gave.
    #[serde(default, deserialize_with = "member::grade", skip_serializing_if = "Option::is_none")]
    pub grade: Option<Grade>,
    /// What is stamped or chalked on it.
    #[serde(default, deserialize_with = "member::marks", skip_serializing_if = "Option::is_none")]
    pub marks: Option<Marks>,
    /// The number chalked on the stick when it was first scaled, by which it is known wherever it is scaled again on the
    /// same job.
    #[serde(default, deserialize_with = "member::stick_number", skip_serializing_if = "Option::is_none")]
    pub stick_number: Option<StickNumber>,
    /// Length in feet.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
    /// Further inches of length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    pub length_in: Option<FurtherInches>,
    /// Diameter of the top, in inches.
    #[serde(default, deserialize_with = "member::top_diameter_in", skip_serializing_if = "Option::is_none")]
    pub top_diameter_in: Option<Inches>,
    /// Why an inspector refused it, if one did.
    #[serde(default, deserialize_with = "member::refused", skip_serializing_if = "Option::is_none")]
    pub refused: Option<Refusal>,
}
