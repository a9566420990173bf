//! A round log as measured.

use serde::{Deserialize, Serialize};

use crate::{Defects, Feet, FurtherInches, Grade, Marks, Readings, Species, member};

/// A round log. Diameters are inside bark.
///
/// ```
/// let log: scaling::Log = serde_json::from_str(
///     r#"{"species": "hemlock", "small_diameter_in": ["14.5"], "length_ft": "16", "length_in": "5"}"#,
/// )?;
/// assert!(log.defects.is_empty());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Log {
    /// The kind of tree.
    #[serde(deserialize_with = "member::species")]
    pub species: Species,
    /// The grade the scaler gave.
    #[serde(default, deserialize_with = "member::grade", skip_serializing_if = "Option::is_none")]
    pub grade: Option<Grade>,
    /// What is stamped or chalked on it.
    #[serde(default, deserialize_with = "member::marks", skip_serializing_if = "Option::is_none")]
    pub marks: Option<Marks>,
    /// Readings across the small end, in inches.
    #[serde(deserialize_with = "member::small_diameter_in")]
    pub small_diameter_in: Readings,
    /// Readings at mid-length, in inches.
    #[serde(
        default,
        deserialize_with = "member::middle_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub middle_diameter_in: Option<Readings>,
    /// Readings across the large end, free of butt flare, in inches.
    #[serde(
        default,
        deserialize_with = "member::large_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub large_diameter_in: Option<Readings>,
    /// Length in feet, trim and all; of a slanting cut, the short side.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
    /// Further inches of length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    pub length_in: Option<FurtherInches>,
    /// What is wrong with it.
    #[serde(default, deserialize_with = "member::defects", skip_serializing_if = "Defects::is_empty")]
    pub defects: Defects,
}
