//! A ranked pile as measured: sticks of one length, side by side.

use serde::{Deserialize, Serialize};

use super::pile_form::PileForm;
use crate::{
    Defects, Feet, FurtherInches, Grade, Heights, Marks, Metres, PileHeight, Refusal, Species, StickNumber,
};

/// A pile of sticks of one length, ranked side by side: in line, parallel, touching and compact. It is measured as it
/// stands, in feet and inches or in metres, never in both; what lies thrown or crosswise is left out of its sizes.
///
/// Its volume is the space it fills, wood, bark and air together. Of the methods of deduction it takes a scaler's
/// estimate, for air or rot beyond what a well-stowed pile holds, and `noted`.
///
/// ```
/// use scaling::{PileSizes, RankedPile};
/// let pile: RankedPile = serde_json::from_str(
///     r#"{"species": "spruce", "length_ft": "8", "length_in": "6",
///         "heights": [{"feet": "4"}, {"feet": "4", "inches": "2"}], "stick_length_ft": "4"}"#,
/// )?;
/// assert!(matches!(pile.sizes, PileSizes::InchFoot(_)));
/// let metric: RankedPile = serde_json::from_str(
///     r#"{"species": "spruce", "length_m": "5", "heights_m": ["1.2"], "stick_length_m": "2"}"#,
/// )?;
/// assert!(matches!(metric.sizes, PileSizes::Metric(_)));
/// let mixed = r#"{"species": "spruce", "length_m": "5", "heights_m": ["1.2"], "stick_length_ft": "4"}"#;
/// assert!(serde_json::from_str::<RankedPile>(mixed).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "PileForm", into = "PileForm")]
pub struct RankedPile {
    /// The kind of tree.
    pub species: Species,
    /// The grade the scaler gave.
    pub grade: Option<Grade>,
    /// What is chalked or painted on it.
    pub marks: Option<Marks>,
    /// The number by which it is known wherever it is scaled again on the same job.
    pub stick_number: Option<StickNumber>,
    /// What was measured of it.
    pub sizes: PileSizes,
    /// What is wrong with it.
    pub defects: Defects,
    /// Why an inspector refused it, if one did.
    pub refused: Option<Refusal>,
}

/// The sizes of a ranked pile, in one system.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PileSizes {
    /// In feet and inches.
    InchFoot(InchFootPile),
    /// In metres.
    Metric(MetricPile),
}

/// The sizes of a ranked pile in feet and inches.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InchFootPile {
    /// Length along the pile, in feet: across the ends of the sticks.
    pub length_ft: Feet,
    /// Further inches of that length.
    pub length_in: Option<FurtherInches>,
    /// Heights, read at places evenly spaced along it.
    pub heights: Heights<PileHeight>,
    /// Length of the sticks, in feet: how deep the pile is.
    pub stick_length_ft: Feet,
    /// Further inches of the sticks.
    pub stick_length_in: Option<FurtherInches>,
}

/// The sizes of a ranked pile in metres.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MetricPile {
    /// Length along the pile: across the ends of the sticks.
    pub length_m: Metres,
    /// Heights, read at places evenly spaced along it.
    pub heights_m: Heights<Metres>,
    /// Length of the sticks: how deep the pile is.
    pub stick_length_m: Metres,
}

/// Why a ranked pile's document cannot be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RankedPileError {
    /// A size every pile has.
    #[error("missing field `{0}`")]
    Missing(&'static str),
    /// A size of the other system.
    #[error("{0} is not in the system of the pile's other sizes: write feet and inches, or metres")]
    MixedSystems(&'static str),
    /// A method of deduction that needs the shape of one stick.
    #[error(
        "defects: {method} in place {place} cannot be used on a pile: write estimate or noted, or leave what does \
            not count out of the sizes"
    )]
    Method {
        /// The method.
        method: &'static str,
        /// Its place in the list, from 1.
        place: usize,
    },
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for RankedPile {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        PileForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for RankedPile {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        PileForm::schemas(schemas);
    }
}
