//! What is known about a rule, as a list or a paper shows it.

use kernel::VolumeUnit;
use serde::Serialize;

use super::RuleName;

/// The sizes, besides the length, that a rule is entered with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum Takes {
    /// The diameter of the small end.
    SmallEnd,
    /// The diameter of the small end and, past 12 feet, those of the further sections.
    SmallEndOfEachSection,
    /// The diameter at mid-length.
    Middle,
    /// The diameter at mid-length, or those of both ends, whose mean stands for it.
    MiddleOrEnds,
    /// The diameters of both ends.
    Ends,
    /// The diameters of both ends and of the middle.
    EndsAndMiddle,
    /// The girth at mid-length.
    Girth,
    /// The width and thickness of squared timber.
    WidthAndThickness,
}

/// What is known about a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct RuleFacts {
    /// Its name.
    pub name: RuleName,
    /// Its name in words.
    pub title: &'static str,
    /// Which edition of the rule as coded here made a figure; it changes whenever a figure could change.
    pub edition: &'static str,
    /// The sizes it is entered with.
    pub takes: Takes,
    /// Where those sizes are measured.
    pub measures: &'static str,
    /// The formula, or what the table is.
    pub formula: &'static str,
    /// The range in which it holds.
    pub range: &'static str,
    /// How it rounds.
    pub rounding: &'static str,
    /// Where it is or was law or custom.
    pub jurisdiction: &'static str,
    /// Where it is published.
    pub source: &'static str,
    /// Whether it is recalled and has not been checked against print.
    pub from_memory: bool,
    /// The units it gives; the first is the one taken unless another is asked for.
    #[cfg_attr(feature = "openapi", schema(value_type = Vec<VolumeUnit>))]
    pub units: &'static [VolumeUnit],
    /// Whether it is a table.
    pub is_table: bool,
    /// Whether diameters are by custom taken in whole inches before it is applied.
    pub whole_inches: bool,
    /// Whether its volume is solid content, with nothing taken out for sawdust.
    pub solid: bool,
}
