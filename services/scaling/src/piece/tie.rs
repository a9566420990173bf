//! A crosstie as measured.

use serde::{Deserialize, Serialize};

use crate::{DepthInches, Feet, FurtherInches, Grade, Inches, Marks, Refusal, Species, StickNumber, member};

/// A crosstie.
///
/// ```
/// let tie: scaling::Tie = serde_json::from_str(
///     r#"{"species": "white oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5"}"#,
/// )?;
/// assert!(tie.refused.is_none());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct Tie {
    /// The kind of tree.
    #[serde(deserialize_with = "member::species")]
    pub species: Species,
    /// The grade the scaler gave; the class by size comes from the practice.
    #[serde(default, deserialize_with = "member::grade", skip_serializing_if = "Option::is_none")]
    pub grade: Option<Grade>,
    /// What is stamped or chalked on it.
    #[serde(default, deserialize_with = "member::marks", skip_serializing_if = "Option::is_none")]
    pub marks: Option<Marks>,
    /// The number chalked on the stick when it was first scaled, by which it is known wherever it is scaled again on the
    /// same job.
    #[serde(default, deserialize_with = "member::stick_number", skip_serializing_if = "Option::is_none")]
    pub stick_number: Option<StickNumber>,
    /// The stick number of the log it was hewn from.
    #[serde(default, deserialize_with = "member::hewn_from", skip_serializing_if = "Option::is_none")]
    pub hewn_from: Option<StickNumber>,
    /// Width of the narrowest face, in inches.
    #[serde(deserialize_with = "member::width_in")]
    pub width_in: Inches,
    /// Thickness between the faces, in inches.
    #[serde(deserialize_with = "member::thickness_in")]
    pub thickness_in: Inches,
    /// Length in feet.
    #[serde(deserialize_with = "member::length_ft")]
    pub length_ft: Feet,
    /// Further inches of length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    pub length_in: Option<FurtherInches>,
    /// Depth of the deepest score mark below the face, in inches.
    #[serde(
        default,
        deserialize_with = "member::score_mark_depth_in",
        skip_serializing_if = "Option::is_none"
    )]
    pub score_mark_depth_in: Option<DepthInches>,
    /// The largest bow from a straight line, in inches.
    #[serde(default, deserialize_with = "member::straightness_in", skip_serializing_if = "Option::is_none")]
    pub straightness_in: Option<DepthInches>,
    /// How far a corner is out of square, in inches.
    #[serde(default, deserialize_with = "member::out_of_square_in", skip_serializing_if = "Option::is_none")]
    pub out_of_square_in: Option<DepthInches>,
    /// Diameter of the small end of the log it was hewn from, in inches.
    #[serde(default, deserialize_with = "member::log_diameter_in", skip_serializing_if = "Option::is_none")]
    pub log_diameter_in: Option<Inches>,
    /// Why an inspector refused it, if one did.
    #[serde(default, deserialize_with = "member::refused", skip_serializing_if = "Option::is_none")]
    pub refused: Option<Refusal>,
}
