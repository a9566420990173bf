//! An outfit's own log rule, filed as a table: diameter by length gives a volume.
//!
//! - Measures: the diameter the table says, of the small end or at mid-length, inside bark; the length. Inches and
//!   feet, or centimetres and metres, as the table says.
//! - Table: the cells as they were filed. What stands between two rows or two columns is not in the table: the
//!   contract's own rounding of readings and lengths has to land on a row and a column, and a log for which it does
//!   not is a problem that names the range. Nothing is interpolated and nothing is carried past the table.
//! - Range: at most 200 diameters by 100 lengths. Every cell of the block is filled, and no row or column is missing in
//!   an otherwise even step.
//! - Rounding: the figures stand as they are. How they were rounded is a statement in words for the working.
//! - Where the volume falls as the log grows is found and told, and has to be acknowledged.
//! - Jurisdiction and source: as the outfit states them. Nobody here has held the table against print, and the working
//!   says so by naming the outfit.
//!
//! In a file of comma-separated values (RFC 4180, UTF-8) the first row holds the lengths and the first column the
//! diameters; the cell where they meet is a caption:
//!
//! ```text
//! inches\feet,8,10,12
//! 6,5,10,10
//! 7,10,10,20
//! 8,10,20,20
//! ```

mod fall;
mod fault;
mod filed;
mod heading;
mod reading;
mod sheet;

use kernel::{Exact, Fixed, VolumeUnit};
use serde::{Deserialize, Serialize};

pub use fall::{Fall, Growth};
pub use fault::{TableFault, TableRefused};
pub use filed::{FiledTable, NoCell};
pub use heading::{TableDiameter, TableHeading};
pub use sheet::{SheetRow, TableSheet};

use super::Takes;

/// A table that can be scaled by: its sizes grow, its block has no hole, its volumes are numbers, and where they fall
/// that was acknowledged.
///
/// ```
/// use scaling::LogTable;
/// let table: LogTable = serde_json::from_str(
///     r#"{"heading": {"title": "Camp scale", "unit": "board_foot", "rounding": "to 5 board feet",
///                     "source": "the stick of the camp"},
///         "lengths": ["8", "10"],
///         "rows": [{"diameter": "6", "volumes": ["5", "10"]}, {"diameter": "7", "volumes": ["10", "15"]}]}"#,
/// )?;
/// assert_eq!(table.cell("7".parse()?, "10".parse()?), Some("15".parse()?));
/// assert_eq!(table.cell("7.5".parse()?, "10".parse()?), None);
/// assert!(table.falls().is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "LogTableForm", into = "LogTableForm")]
pub struct LogTable {
    heading: TableHeading,
    lengths: Vec<Fixed>,
    rows: Vec<Row>,
    falls: Vec<Fall>,
}

/// The volumes of one diameter, one for each length.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Row {
    diameter: Fixed,
    volumes: Vec<Fixed>,
}

/// An outfit's own log rule: for each diameter and length a volume.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub(crate) struct LogTableForm {
    /// What the outfit states of it.
    #[serde(deserialize_with = "crate::member::heading")]
    heading: TableHeading,
    /// The lengths of the columns, shortest first.
    lengths: Vec<String>,
    /// The rows, thinnest first.
    rows: Vec<SheetRow>,
    /// True where volumes fall as the log grows and whoever filed the table said that they are meant to.
    #[serde(default)]
    acknowledged_falls: bool,
}

impl LogTable {
    /// Reads a table as it was written down. Places where the volume falls as the log grows are taken only where
    /// `acknowledged_falls` says that they are meant.
    ///
    /// # Errors
    ///
    /// [`TableRefused`], with every fault or every fall.
    ///
    /// ```
    /// use scaling::{LogTable, TableRefused, TableSheet};
    /// let heading = serde_json::from_str(
    ///     r#"{"title": "Camp scale", "unit": "board_foot", "rounding": "none", "source": "the camp"}"#,
    /// )?;
    /// let sheet: TableSheet = serde_json::from_str(
    ///     r#"{"lengths": ["8", "10"], "rows": [{"diameter": "6", "volumes": ["5", "ten"]}]}"#,
    /// )?;
    /// let Err(TableRefused::Faults(faults)) = LogTable::read(heading, &sheet, false) else { unreachable!() };
    /// assert_eq!(faults[0].code(), "unreadable-cell");
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    pub fn read(
        heading: TableHeading,
        sheet: &TableSheet,
        acknowledged_falls: bool,
    ) -> Result<Self, TableRefused> {
        reading::read(heading, sheet, acknowledged_falls)
    }

    /// What the outfit states of it.
    #[must_use]
    pub const fn heading(&self) -> &TableHeading {
        &self.heading
    }

    /// Where its volumes fall as the log grows; all of them acknowledged.
    #[must_use]
    pub fn falls(&self) -> &[Fall] {
        &self.falls
    }

    /// How many diameters and how many lengths it has.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.rows.len(), self.lengths.len())
    }

    /// The volume of a diameter and a length, each exactly that of a row and of a column.
    #[must_use]
    pub fn cell(&self, diameter: Exact, length: Exact) -> Option<Fixed> {
        let (diameter, length) = (diameter.fixed().ok()?, length.fixed().ok()?);
        let row = self.rows.binary_search_by_key(&diameter, |row| row.diameter).ok()?;
        let column = self.lengths.binary_search(&length).ok()?;
        self.rows.get(row)?.volumes.get(column).copied()
    }

    /// Its figures as texts, as they can be read again.
    ///
    /// ```
    /// # let written = r#"{"heading": {"title": "Camp scale", "unit": "board_foot", "rounding": "none",
    /// #     "source": "the camp"}, "lengths": ["8"], "rows": [{"diameter": "6", "volumes": ["5"]}]}"#;
    /// let table: scaling::LogTable = serde_json::from_str(written)?;
    /// assert_eq!(scaling::LogTable::read(table.heading().clone(), &table.sheet(), false), Ok(table));
    /// # Ok::<(), serde_json::Error>(())
    /// ```
    #[must_use]
    pub fn sheet(&self) -> TableSheet {
        let texts = |numbers: &[Fixed]| numbers.iter().map(ToString::to_string).collect();
        let row = |row: &Row| SheetRow { diameter: row.diameter.to_string(), volumes: texts(&row.volumes) };
        TableSheet { lengths: texts(&self.lengths), rows: self.rows.iter().map(row).collect() }
    }

    /// The sizes it is entered with besides the length.
    pub(crate) const fn takes(&self) -> Takes {
        self.heading.diameter.takes()
    }

    /// The unit of its volumes.
    pub(crate) const fn unit(&self) -> VolumeUnit {
        self.heading.unit
    }

    /// Whether every row is of whole units, so that readings are by custom brought to them.
    pub(crate) fn whole_diameters(&self) -> bool {
        self.rows.iter().all(|row| row.diameter.exact().whole().is_some())
    }

    /// Whether a diameter is less than that of the first row.
    pub(crate) fn is_below(&self, diameter: Exact) -> bool {
        self.rows.first().is_some_and(|row| diameter < row.diameter.exact())
    }

    /// What it holds, in a sentence.
    pub(crate) fn range(&self) -> String {
        let span = |sizes: &[Fixed]| match (sizes.first(), sizes.last()) {
            (Some(first), Some(last)) if first == last => first.to_string(),
            (Some(first), Some(last)) => format!("{first} to {last}"),
            _ => String::new(),
        };
        let diameters: Vec<_> = self.rows.iter().map(|row| row.diameter).collect();
        let (rows, columns) = self.size();
        format!(
            "it holds {} {} in {rows} rows and {} {} in {columns} columns, and nothing between them",
            span(&diameters),
            self.heading.across(),
            span(&self.lengths),
            self.heading.along(),
        )
    }
}

impl TryFrom<LogTableForm> for LogTable {
    type Error = TableRefused;

    fn try_from(form: LogTableForm) -> Result<Self, TableRefused> {
        let sheet = TableSheet { lengths: form.lengths, rows: form.rows };
        Self::read(form.heading, &sheet, form.acknowledged_falls)
    }
}

impl From<LogTable> for LogTableForm {
    fn from(table: LogTable) -> Self {
        let TableSheet { lengths, rows } = table.sheet();
        Self { heading: table.heading, lengths, rows, acknowledged_falls: !table.falls.is_empty() }
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for LogTable {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        LogTableForm::schema()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for LogTable {
    fn schemas(schemas: &mut Vec<(String, utoipa::openapi::RefOr<utoipa::openapi::schema::Schema>)>) {
        LogTableForm::schemas(schemas);
    }
}
