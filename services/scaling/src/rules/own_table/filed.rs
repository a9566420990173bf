//! One version of an outfit's table as it was filed, and scaling by it.

use std::fmt;

use kernel::{Exact, Fixed, LogTableId};

use super::LogTable;
use crate::rules::{Content, Measures};
use crate::working::{Plain, Recorder, plural};
use crate::{FigureUnit, ScaleProblem, Step, StepKind};

/// A version of a table with the id it is filed under. It is never edited: the same id is the same cells for ever.
///
/// ```
/// # let written = r#"{"heading": {"title": "Camp scale", "unit": "board_foot", "rounding": "none",
/// #     "source": "the camp"}, "lengths": ["8"], "rows": [{"diameter": "6", "volumes": ["5"]}]}"#;
/// let table_id = "01977000-0000-7000-8000-000000000001".parse()?;
/// let table: scaling::LogTable = serde_json::from_str(written)?;
/// let filed = scaling::FiledTable { table_id, version: 2, table };
/// assert_eq!(filed.to_string(), "own table \"Camp scale\", version 2");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FiledTable {
    /// The id of this version.
    pub table_id: LogTableId,
    /// Which version of the tables of its title it is, counted from 1.
    pub version: u32,
    /// The table.
    pub table: LogTable,
}

/// A log for which an own table has no cell.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{table} has no cell for {diameter} {across} by {length} {along}: {range}")]
pub struct NoCell {
    /// The table, by title and version.
    pub table: String,
    /// The diameter looked up.
    pub diameter: Exact,
    /// Its unit.
    pub across: &'static str,
    /// The length looked up.
    pub length: Exact,
    /// Its unit.
    pub along: &'static str,
    /// What the table holds.
    pub range: String,
}

impl fmt::Display for FiledTable {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "own table \"{}\", version {}", self.table.heading().title, self.version)
    }
}

impl FiledTable {
    /// The volume of the measures, read in one cell.
    pub(crate) fn content(
        &self,
        measures: &Measures<'_>,
        recorder: &mut impl Recorder,
    ) -> Result<Content, ScaleProblem> {
        let (diameter, length) = (measures.scaling_diameter(self.table.takes())?, measures.length);
        let volume = self.table.cell(diameter, length).ok_or_else(|| self.not_in(diameter, length))?;
        recorder.record(|| self.step(diameter, length, volume));
        Ok(Content { exact: volume.exact(), rounding: None, unit: self.table.unit() })
    }

    fn not_in(&self, diameter: Exact, length: Exact) -> ScaleProblem {
        let heading = self.table.heading();
        ScaleProblem::NotInOwnTable(Box::new(NoCell {
            table: self.to_string(),
            diameter,
            across: heading.across(),
            length,
            along: heading.along(),
            range: self.table.range(),
        }))
    }

    fn step(&self, diameter: Exact, length: Exact, volume: Fixed) -> Step {
        let heading = self.table.heading();
        let (system, unit) = (heading.measured_in(), plural(heading.unit));
        let (across, along) = (heading.across(), heading.along());
        let says = format!(
            "{self}: {} {across} by {} {along} stands at {volume} {unit}; its figures are rounded, as the outfit \
                states: {}",
            Plain(diameter),
            Plain(length),
            heading.rounding
        );
        let mut step = Step::new(StepKind::TableCell, says)
            .figure("table_version", Exact::of(self.version.into()), FigureUnit::Number)
            .figure("diameter", diameter, FigureUnit::across(system))
            .figure("length", length, FigureUnit::length(system))
            .figure("gross_unrounded", volume.exact(), heading.unit);
        let place = heading.jurisdiction.as_ref().map_or(String::new(), |place| format!(" ({place})"));
        step.source = Some(format!("as the outfit states: {}{place}", heading.source).into());
        step
    }
}
