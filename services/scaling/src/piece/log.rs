//! A round log as measured.

use serde::{Deserialize, Serialize};

use super::log_form::LogForm;
use crate::{
    Centimetres, Defects, Feet, FurtherInches, Grade, Marks, Metres, Readings, Species, StickNumber,
};

/// A round log. Diameters are inside bark. It is measured in inches and feet or in centimetres and metres, never in
/// both: which of the two its contract takes, the contract says.
///
/// ```
/// use scaling::{Log, LogSizes};
/// let log: Log = serde_json::from_str(
///     r#"{"species": "hemlock", "small_diameter_in": ["14.5"], "length_ft": "16", "length_in": "5"}"#,
/// )?;
/// assert!(log.defects.is_empty());
/// let metric: Log = serde_json::from_str(
///     r#"{"species": "hemlock", "small_diameter_cm": ["36", "38"], "large_diameter_cm": ["44"], "length_m": "4.9"}"#,
/// )?;
/// assert!(matches!(metric.sizes, LogSizes::Metric(_)));
/// let mixed = r#"{"species": "hemlock", "small_diameter_in": ["14.5"], "length_m": "4.9"}"#;
/// assert!(serde_json::from_str::<Log>(mixed).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "LogForm", into = "LogForm")]
pub struct Log {
    /// The kind of tree.
    pub species: Species,
    /// The grade the scaler gave.
    pub grade: Option<Grade>,
    /// What is stamped or chalked on it.
    pub marks: Option<Marks>,
    /// The number by which it is known wherever it is scaled again on the same job.
    pub stick_number: Option<StickNumber>,
    /// What was measured of it.
    pub sizes: LogSizes,
    /// What is wrong with it, measured in the same system.
    pub defects: Defects,
}

/// The sizes of a log, in one system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LogSizes {
    /// In inches and feet.
    InchFoot(InchFootLog),
    /// In centimetres and metres.
    Metric(MetricLog),
}

/// The sizes of a log in inches and feet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InchFootLog {
    /// Readings across the small end.
    pub small_diameter_in: Readings,
    /// Readings at mid-length.
    pub middle_diameter_in: Option<Readings>,
    /// Readings across the large end, free of butt flare.
    pub large_diameter_in: Option<Readings>,
    /// What a butt with flare would measure by normal taper: it goes before the large end where taper is shared out.
    pub butt_diameter_in: Option<Readings>,
    /// Length in feet, trim and all; of a slanting cut, the short side.
    pub length_ft: Feet,
    /// Further inches of length.
    pub length_in: Option<FurtherInches>,
}

/// The sizes of a log in centimetres and metres.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MetricLog {
    /// Readings across the small end.
    pub small_diameter_cm: Readings<Centimetres>,
    /// Readings at mid-length.
    pub middle_diameter_cm: Option<Readings<Centimetres>>,
    /// Readings across the large end, free of butt flare.
    pub large_diameter_cm: Option<Readings<Centimetres>>,
    /// Length in metres, trim and all; of a slanting cut, the short side.
    pub length_m: Metres,
}

/// Why a log's document cannot be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    /// A size every log has.
    #[error("missing field `{0}`")]
    Missing(&'static str),
    /// A size of the other system.
    #[error(
        "{0} is not in the system of the log's other sizes: write inches and feet, or centimetres and metres"
    )]
    MixedSystems(&'static str),
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Log {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        LogForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Log {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        LogForm::schemas(schemas);
    }
}
