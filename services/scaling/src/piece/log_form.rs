//! The document of a log: the members of both systems, and the check that they are of one.

use serde::{Deserialize, Serialize};

use super::log::{InchFootLog, Log, LogError, LogSizes, MetricLog};
use crate::rules::System;
use crate::{
    Centimetres, Defects, Feet, FurtherInches, Grade, Marks, Metres, Readings, Species, StickNumber, member,
};

/// A round log. Diameters are inside bark. Sizes are in inches and feet, or all of them in centimetres and metres: the
/// small end and the length are needed in the one or the other.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub(super) struct LogForm {
    /// The kind of tree.
    #[serde(deserialize_with = "member::species")]
    species: Species,
    /// The grade the scaler gave.
    #[serde(default, deserialize_with = "member::grade", skip_serializing_if = "Option::is_none")]
    grade: Option<Grade>,
    /// What is stamped or chalked on it.
    #[serde(default, deserialize_with = "member::marks", skip_serializing_if = "Option::is_none")]
    marks: Option<Marks>,
    /// The number chalked on the stick when it was first scaled, by which it is known wherever it is scaled again on the
    /// same job.
    #[serde(default, deserialize_with = "member::stick_number", skip_serializing_if = "Option::is_none")]
    stick_number: Option<StickNumber>,
    /// Readings across the small end, in inches.
    #[serde(
        default,
        deserialize_with = "member::small_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    small_diameter_in: Option<Readings>,
    /// Readings at mid-length, in inches.
    #[serde(
        default,
        deserialize_with = "member::middle_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    middle_diameter_in: Option<Readings>,
    /// Readings across the large end, free of butt flare, in inches.
    #[serde(
        default,
        deserialize_with = "member::large_diameter_in",
        skip_serializing_if = "Option::is_none"
    )]
    large_diameter_in: Option<Readings>,
    /// What a butt with flare would measure by normal taper, in inches; it goes before the large end where
    /// taper is shared out.
    #[serde(default, deserialize_with = "member::butt_diameter_in", skip_serializing_if = "Option::is_none")]
    butt_diameter_in: Option<Readings>,
    /// Length in feet, trim and all; of a slanting cut, the short side.
    #[serde(default, deserialize_with = "member::length_ft", skip_serializing_if = "Option::is_none")]
    length_ft: Option<Feet>,
    /// Further inches of length.
    #[serde(default, deserialize_with = "member::length_in", skip_serializing_if = "Option::is_none")]
    length_in: Option<FurtherInches>,
    /// Readings across the small end, in centimetres.
    #[serde(
        default,
        deserialize_with = "member::small_diameter_cm",
        skip_serializing_if = "Option::is_none"
    )]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<Vec<Centimetres>>, min_items = 1, max_items = 2))]
    small_diameter_cm: Option<Readings<Centimetres>>,
    /// Readings at mid-length, in centimetres.
    #[serde(
        default,
        deserialize_with = "member::middle_diameter_cm",
        skip_serializing_if = "Option::is_none"
    )]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<Vec<Centimetres>>, min_items = 1, max_items = 2))]
    middle_diameter_cm: Option<Readings<Centimetres>>,
    /// Readings across the large end, free of butt flare, in centimetres.
    #[serde(
        default,
        deserialize_with = "member::large_diameter_cm",
        skip_serializing_if = "Option::is_none"
    )]
    #[cfg_attr(feature = "openapi", schema(value_type = Option<Vec<Centimetres>>, min_items = 1, max_items = 2))]
    large_diameter_cm: Option<Readings<Centimetres>>,
    /// Length in metres, trim and all; of a slanting cut, the short side.
    #[serde(default, deserialize_with = "member::length_m", skip_serializing_if = "Option::is_none")]
    length_m: Option<Metres>,
    /// What is wrong with it.
    #[serde(default, deserialize_with = "member::defects", skip_serializing_if = "Defects::is_empty")]
    defects: Defects,
}

impl LogForm {
    /// A member of each system that is given, if one is.
    fn given(&self) -> (Option<&'static str>, Option<&'static str>) {
        let inch = [
            ("small_diameter_in", self.small_diameter_in.is_some()),
            ("middle_diameter_in", self.middle_diameter_in.is_some()),
            ("large_diameter_in", self.large_diameter_in.is_some()),
            ("butt_diameter_in", self.butt_diameter_in.is_some()),
            ("length_ft", self.length_ft.is_some()),
            ("length_in", self.length_in.is_some()),
        ];
        let metric = [
            ("small_diameter_cm", self.small_diameter_cm.is_some()),
            ("middle_diameter_cm", self.middle_diameter_cm.is_some()),
            ("large_diameter_cm", self.large_diameter_cm.is_some()),
            ("length_m", self.length_m.is_some()),
        ];
        let first = |sizes: &[(&'static str, bool)]| {
            sizes.iter().find(|(_, given)| *given).map(|(member, _)| *member)
        };
        (first(&inch), first(&metric))
    }

    fn sizes(&self) -> Result<LogSizes, LogError> {
        let (inch, metric) = self.given();
        if let (Some(_), Some(member)) = (inch, metric) {
            return Err(LogError::MixedSystems(member));
        }
        let system = if metric.is_some() { System::Metric } else { System::Inch };
        let other = |defect: &&crate::Defect| defect.system().is_some_and(|its| its != system);
        if self.defects.as_slice().iter().any(|defect| other(&defect)) {
            return Err(LogError::MixedSystems("defects: a size"));
        }
        match system {
            System::Inch => Ok(LogSizes::InchFoot(InchFootLog {
                small_diameter_in: self.small_diameter_in.ok_or(LogError::Missing("small_diameter_in"))?,
                middle_diameter_in: self.middle_diameter_in,
                large_diameter_in: self.large_diameter_in,
                butt_diameter_in: self.butt_diameter_in,
                length_ft: self.length_ft.ok_or(LogError::Missing("length_ft"))?,
                length_in: self.length_in,
            })),
            System::Metric => Ok(LogSizes::Metric(MetricLog {
                small_diameter_cm: self.small_diameter_cm.ok_or(LogError::Missing("small_diameter_cm"))?,
                middle_diameter_cm: self.middle_diameter_cm,
                large_diameter_cm: self.large_diameter_cm,
                length_m: self.length_m.ok_or(LogError::Missing("length_m"))?,
            })),
        }
    }
}

impl TryFrom<LogForm> for Log {
    type Error = LogError;

    fn try_from(form: LogForm) -> Result<Self, LogError> {
        let sizes = form.sizes()?;
        let LogForm { species, grade, marks, stick_number, defects, .. } = form;
        Ok(Self { species, grade, marks, stick_number, sizes, defects })
    }
}

impl From<Log> for LogForm {
    fn from(log: Log) -> Self {
        let (inch, metric) = match log.sizes {
            LogSizes::InchFoot(inch) => (Some(inch), None),
            LogSizes::Metric(metric) => (None, Some(metric)),
        };
        Self {
            species: log.species,
            grade: log.grade,
            marks: log.marks,
            stick_number: log.stick_number,
            small_diameter_in: inch.map(|log| log.small_diameter_in),
            middle_diameter_in: inch.and_then(|log| log.middle_diameter_in),
            large_diameter_in: inch.and_then(|log| log.large_diameter_in),
            butt_diameter_in: inch.and_then(|log| log.butt_diameter_in),
            length_ft: inch.map(|log| log.length_ft),
            length_in: inch.and_then(|log| log.length_in),
            small_diameter_cm: metric.map(|log| log.small_diameter_cm),
            middle_diameter_cm: metric.and_then(|log| log.middle_diameter_cm),
            large_diameter_cm: metric.and_then(|log| log.large_diameter_cm),
            length_m: metric.map(|log| log.length_m),
            defects: log.defects,
        }
    }
}
