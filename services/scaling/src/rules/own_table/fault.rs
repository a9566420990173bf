//! What is wrong with a table as it was written: a closed list, each with its place and what to do.

use kernel::Fixed;

/// A fault of a table. Rows and columns are counted from 1 and leave out the headings, so row 1 is the thinnest
/// diameter and column 1 the shortest length.
///
/// ```
/// use scaling::TableFault;
/// let fault = TableFault::MissingCell { row: 3, column: 2 };
/// assert_eq!((fault.code(), fault.place()), ("missing-cell", (Some(3), Some(2))));
/// assert!(fault.to_string().starts_with("row 3, column 2"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TableFault {
    /// No length or no row.
    #[error("the table has no {what}: write at least one diameter and one length")]
    Empty {
        /// What it lacks.
        what: &'static str,
    },
    /// More cells than a table may have.
    #[error(
        "the table has {rows} rows and {columns} columns: at most 200 and 100 can be filed, so divide it"
    )]
    TooLarge {
        /// Its rows.
        rows: usize,
        /// Its columns.
        columns: usize,
    },
    /// A unit that the measuring system does not go with.
    #[error(
        "unit: inches and feet go with board_foot or cubic_foot, centimetres and metres with cubic_metre; write the \
            unit of the system"
    )]
    UnitOfOtherSystem,
    /// A length that is no length.
    #[error("column {column}: the length cannot be read: {reason}")]
    UnreadableLength {
        /// The column.
        column: usize,
        /// Why not.
        reason: String,
    },
    /// A diameter that is no diameter.
    #[error("row {row}: the diameter cannot be read: {reason}")]
    UnreadableDiameter {
        /// The row.
        row: usize,
        /// Why not.
        reason: String,
    },
    /// A length that does not grow.
    #[error("column {column}: the length {length} does not follow {before}: write each once, shortest first")]
    LengthOutOfOrder {
        /// The column.
        column: usize,
        /// Its length.
        length: Fixed,
        /// The length before it.
        before: Fixed,
    },
    /// A diameter that does not grow.
    #[error("row {row}: the diameter {diameter} does not follow {before}: write each once, thinnest first")]
    DiameterOutOfOrder {
        /// The row.
        row: usize,
        /// Its diameter.
        diameter: Fixed,
        /// The diameter before it.
        before: Fixed,
    },
    /// A column is missing in an otherwise even step.
    #[error(
        "column {column}: between the lengths {from} and {to} the step is wider than beside it: add what is missing \
            between them, or file what follows as a table of its own"
    )]
    MissingColumn {
        /// The column after the gap.
        column: usize,
        /// The length before the gap.
        from: Fixed,
        /// The length after it.
        to: Fixed,
    },
    /// A row is missing in an otherwise even step.
    #[error(
        "row {row}: between the diameters {from} and {to} the step is wider than beside it: add what is missing \
            between them, or file what follows as a table of its own"
    )]
    MissingRow {
        /// The row after the gap.
        row: usize,
        /// The diameter before the gap.
        from: Fixed,
        /// The diameter after it.
        to: Fixed,
    },
    /// A row with more or fewer cells than there are lengths.
    #[error("row {row}: it has {cells} volumes and there are {lengths} lengths: write one for each")]
    RaggedRow {
        /// The row.
        row: usize,
        /// Its cells.
        cells: usize,
        /// The lengths.
        lengths: usize,
    },
    /// An empty cell.
    #[error("row {row}, column {column}: the cell is empty: write its volume, or end the table before it")]
    MissingCell {
        /// The row.
        row: usize,
        /// The column.
        column: usize,
    },
    /// A cell that is no number.
    #[error("row {row}, column {column}: the volume cannot be read: {reason}")]
    UnreadableCell {
        /// The row.
        row: usize,
        /// The column.
        column: usize,
        /// Why not.
        reason: String,
    },
    /// A volume below nothing, or past what any log holds.
    #[error(
        "row {row}, column {column}: {volume} is no volume of a log: write at least 0 and at most 1000000"
    )]
    VolumeOutOfBounds {
        /// The row.
        row: usize,
        /// The column.
        column: usize,
        /// What stands there.
        volume: Fixed,
    },
}

impl TableFault {
    /// The stable name of the fault.
    ///
    /// ```
    /// assert_eq!(scaling::TableFault::UnitOfOtherSystem.code(), "unit-of-the-other-system");
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Empty { .. } => "empty-table",
            Self::TooLarge { .. } => "table-too-large",
            Self::UnitOfOtherSystem => "unit-of-the-other-system",
            Self::UnreadableLength { .. } => "unreadable-length",
            Self::UnreadableDiameter { .. } => "unreadable-diameter",
            Self::LengthOutOfOrder { .. } => "length-out-of-order",
            Self::DiameterOutOfOrder { .. } => "diameter-out-of-order",
            Self::MissingColumn { .. } => "missing-column",
            Self::MissingRow { .. } => "missing-row",
            Self::RaggedRow { .. } => "ragged-row",
            Self::MissingCell { .. } => "missing-cell",
            Self::UnreadableCell { .. } => "unreadable-cell",
            Self::VolumeOutOfBounds { .. } => "volume-out-of-bounds",
        }
    }

    /// The row and the column it is in, counted from 1, as far as it is in one.
    #[must_use]
    pub const fn place(&self) -> (Option<usize>, Option<usize>) {
        match self {
            Self::Empty { .. } | Self::TooLarge { .. } | Self::UnitOfOtherSystem => (None, None),
            Self::UnreadableLength { column, .. }
            | Self::LengthOutOfOrder { column, .. }
            | Self::MissingColumn { column, .. } => (None, Some(*column)),
            Self::UnreadableDiameter { row, .. }
            | Self::DiameterOutOfOrder { row, .. }
            | Self::MissingRow { row, .. }
            | Self::RaggedRow { row, .. } => (Some(*row), None),
            Self::MissingCell { row, column }
            | Self::UnreadableCell { row, column, .. }
            | Self::VolumeOutOfBounds { row, column, .. } => (Some(*row), Some(*column)),
        }
    }
}

/// Why a table is not taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TableRefused {
    /// It has faults; never empty.
    #[error("{}", first(.0))]
    Faults(Vec<TableFault>),
    /// Its volumes fall somewhere as the log grows, and nobody said that they are meant to.
    #[error(
        "{}; check the cells, and where the table is meant so, file it with acknowledged_falls true",
        first(.0)
    )]
    Falls(Vec<super::Fall>),
}

fn first<T: std::fmt::Display>(all: &[T]) -> String {
    match all {
        [] => String::new(),
        [only] => only.to_string(),
        [first, more @ ..] => format!("{first} (and {} more)", more.len()),
    }
}
