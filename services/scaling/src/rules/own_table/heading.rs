//! What an outfit states of its table: what it is called, what it is entered with, what it gives, where it comes from.

use kernel::VolumeUnit;
use serde::{Deserialize, Serialize};

use crate::practice::MeasuringSystem;
use crate::rules::{System, Takes};
use crate::{TableNote, TableTitle, member};

/// Which diameter of a log a table is entered with, inside bark.
///
/// ```
/// assert_eq!(scaling::TableDiameter::default(), scaling::TableDiameter::SmallEnd);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TableDiameter {
    /// That of the small end.
    #[default]
    SmallEnd,
    /// That at mid-length. A log divided into segments has no measured middles, so such a table takes no log longer
    /// than the contract's longest scaling length.
    Middle,
}

impl TableDiameter {
    pub(super) const fn takes(self) -> Takes {
        match self {
            Self::SmallEnd => Takes::SmallEnd,
            Self::Middle => Takes::Middle,
        }
    }
}

/// What an outfit states of its table. None of it is checked against anything outside: it is what the parties to a
/// contract agreed to go by, and it travels with every figure the table gives.
///
/// ```
/// use scaling::{MeasuringSystem, TableDiameter, TableHeading};
/// let heading: TableHeading = serde_json::from_str(
///     r#"{"title": "Camp scale", "unit": "board_foot", "rounding": "to the nearest 5 board feet",
///         "source": "painted on the scaling stick of the camp"}"#,
/// )?;
/// assert_eq!(heading.system, MeasuringSystem::InchFoot);
/// assert_eq!(heading.diameter, TableDiameter::SmallEnd);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TableHeading {
    /// What the outfit calls it. Tables of one title are versions of one rule.
    #[serde(deserialize_with = "member::title")]
    pub title: TableTitle,
    /// The system of its diameters and lengths: inches and feet, or centimetres and metres. Default inch_foot.
    #[serde(default, deserialize_with = "member::system")]
    pub system: MeasuringSystem,
    /// Which diameter it is entered with. Default small_end.
    #[serde(default, deserialize_with = "member::diameter")]
    pub diameter: TableDiameter,
    /// The unit of its volumes: board_foot or cubic_foot with inches and feet, cubic_metre with metres.
    #[serde(deserialize_with = "member::unit")]
    pub unit: VolumeUnit,
    /// How its figures are rounded, in words, such as "to the nearest 10 board feet". The working repeats it; nothing is
    /// computed from it.
    #[serde(deserialize_with = "member::rounding")]
    pub rounding: TableNote,
    /// Where it is law or custom, if the outfit states that.
    #[serde(default, deserialize_with = "member::jurisdiction", skip_serializing_if = "Option::is_none")]
    pub jurisdiction: Option<TableNote>,
    /// Where it comes from, as the outfit states it.
    #[serde(deserialize_with = "member::source")]
    pub source: TableNote,
}

impl TableHeading {
    /// Whether the system can give volumes in the unit.
    pub(super) const fn unit_fits(&self) -> bool {
        matches!(
            (self.system, self.unit),
            (MeasuringSystem::InchFoot, VolumeUnit::BoardFoot | VolumeUnit::CubicFoot)
                | (MeasuringSystem::Metric, VolumeUnit::CubicMetre)
        )
    }

    pub(super) const fn measured_in(&self) -> System {
        match self.system {
            MeasuringSystem::InchFoot => System::Inch,
            MeasuringSystem::Metric => System::Metric,
        }
    }

    /// The unit of the diameters, in words.
    pub(super) const fn across(&self) -> &'static str {
        match self.system {
            MeasuringSystem::InchFoot => "inches",
            MeasuringSystem::Metric => "centimetres",
        }
    }

    /// The unit of the lengths, in words.
    pub(super) const fn along(&self) -> &'static str {
        match self.system {
            MeasuringSystem::InchFoot => "feet",
            MeasuringSystem::Metric => "metres",
        }
    }
}
