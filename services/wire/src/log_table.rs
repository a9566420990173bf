//! An outfit's own log rules, filed as tables.

use crate::columns::columns;
use jiff::Timestamp;
use kernel::{LogTableId, VolumeUnit};
use scaling::{Fall, LogTable, TableFault, TableHeading, TableSheet};
use serde::{Deserialize, Serialize};

/// The cells of a table, in one of two forms.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", try_from = "CellsForm", into = "CellsForm")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TableCells {
    /// Lengths and rows as lists of numbers, written as text.
    Listed(TableSheet),
    /// The text of a file of comma-separated values (RFC 4180; a byte-order mark at its beginning is passed over). The
    /// first row holds the lengths, the first column the diameters, and the cell where they meet is a caption that means
    /// nothing: `inches,8,10` and, below it, `6,5,10`. Blanks around a number are dropped.
    Csv(String),
}

/// The two forms as members, so that a fault within one is told with the member's name in its pointer.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CellsForm {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    listed: Option<TableSheet>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    csv: Option<String>,
}

/// Cells in both forms, or in none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the cells come in one of two forms: write listed or csv")]
pub struct NotOneForm;

impl TryFrom<CellsForm> for TableCells {
    type Error = NotOneForm;

    fn try_from(form: CellsForm) -> Result<Self, NotOneForm> {
        match (form.listed, form.csv) {
            (Some(sheet), None) => Ok(Self::Listed(sheet)),
            (None, Some(text)) => Ok(Self::Csv(text)),
            _ => Err(NotOneForm),
        }
    }
}

impl From<TableCells> for CellsForm {
    fn from(cells: TableCells) -> Self {
        match cells {
            TableCells::Listed(sheet) => Self { listed: Some(sheet), csv: None },
            TableCells::Csv(text) => Self { listed: None, csv: Some(text) },
        }
    }
}

/// Files a table, or asks whether it could be filed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LogTableCreate {
    /// What the outfit states of it.
    pub heading: TableHeading,
    /// Its cells: at most 200 diameters by 100 lengths, every cell filled, no row or column missing in an otherwise even
    /// step.
    pub cells: TableCells,
    /// Where volumes fall as the log grows, true says that they are meant to. Default false, with which such a table is
    /// refused.
    #[serde(default)]
    pub acknowledged_falls: bool,
}

/// A version of a table, without its cells.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LogTableEntry {
    /// Its id, by which terms name it.
    pub table_id: LogTableId,
    /// What the outfit calls it.
    pub title: String,
    /// Which version of the tables of its title it is, counted from 1.
    pub version: u32,
    /// The unit of its volumes.
    pub unit: VolumeUnit,
    /// Who filed it.
    pub filed_by: String,
    /// When it was filed.
    pub filed_at: Timestamp,
}

/// A version of a table with its cells. It is never edited: another table under the same title is the next version.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LogTableView {
    /// Its id, title and version, and who filed it when.
    #[serde(flatten)]
    pub entry: LogTableEntry,
    /// The table.
    pub document: LogTable,
    /// Where its volumes fall as the log grows, all of it acknowledged.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub falls: Vec<Fall>,
}

/// What is wrong with one place of a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TableFaultView {
    /// The kind of fault.
    pub code: String,
    /// Its row, counted from 1 at the thinnest diameter, where it is in one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub row: Option<u32>,
    /// Its column, counted from 1 at the shortest length, where it is in one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub column: Option<u32>,
    /// What is wrong, where, and what to do.
    pub detail: String,
}

impl From<&TableFault> for TableFaultView {
    /// ```
    /// let fault = scaling::TableFault::MissingCell { row: 3, column: 2 };
    /// let view = wire::TableFaultView::from(&fault);
    /// assert_eq!((view.code.as_str(), view.row, view.column), ("missing-cell", Some(3), Some(2)));
    /// ```
    fn from(fault: &TableFault) -> Self {
        let number = |place: Option<usize>| place.and_then(|place| u32::try_from(place).ok());
        let (row, column) = fault.place();
        Self {
            code: fault.code().to_owned(),
            row: number(row),
            column: number(column),
            detail: fault.to_string(),
        }
    }
}

/// What was found in a table that was only to be checked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct LogTableCheck {
    /// Whether it could be filed as it was sent.
    pub can_be_filed: bool,
    /// What keeps it from being filed.
    pub faults: Vec<TableFaultView>,
    /// Where volumes fall as the log grows; looked for once there is no fault.
    pub falls: Vec<Fall>,
}

columns!(LogTableEntry: table {
    "table_id" => table.table_id,
    "title" => table.title,
    "version" => table.version,
    "unit" => table.unit.name(),
    "filed_by" => table.filed_by,
    "filed_at" => table.filed_at,
});
