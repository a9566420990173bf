//! Tables: columns of words and of figures, rows, and what is said below a row.

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words; they may be wrapped.
    Words,
    /// Figures; they stand on the right and stay in one piece.
    Figures,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its heading.
    pub head: String,
    /// What it holds.
    pub kind: Kind,
}

impl Column {
    /// A column of words.
    pub fn words(head: impl Into<String>) -> Self {
        Self { head: head.into(), kind: Kind::Words }
    }

    /// A column of figures.
    pub fn figures(head: impl Into<String>) -> Self {
        Self { head: head.into(), kind: Kind::Figures }
    }
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// What the row is about.
    Head(String),
    /// Words.
    Words(String),
    /// A figure, as it stands in the reply; none where there is no such figure.
    Figure(Option<String>),
}

/// How a figure that is not there is written.
pub const NONE: &str = "–";

impl Cell {
    /// What the row is about.
    pub fn head(says: impl ToString) -> Self {
        Self::Head(says.to_string())
    }

    /// Words.
    pub fn words(says: impl Into<String>) -> Self {
        Self::Words(says.into())
    }

    /// A figure that is there.
    pub fn figure(figure: impl ToString) -> Self {
        Self::Figure(Some(figure.to_string()))
    }

    /// A figure that may be there.
    #[must_use]
    pub fn maybe(figure: Option<impl ToString>) -> Self {
        Self::Figure(figure.map(|figure| figure.to_string()))
    }

    /// The text that is set.
    ///
    /// ```
    /// use papers::Cell;
    /// assert_eq!(Cell::figure(12).text(), "12");
    /// assert_eq!(Cell::maybe(None::<u8>).text(), "–");
    /// ```
    #[must_use]
    pub fn text(&self) -> &str {
        match self {
            Self::Head(says) | Self::Words(says) => says,
            Self::Figure(figure) => figure.as_deref().unwrap_or(NONE),
        }
    }
}

/// A row, and what is said below it over the whole width.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// A cell below every heading.
    pub cells: Vec<Cell>,
    /// What else is to be said of it. It is never parted from the row.
    pub remarks: Vec<String>,
    /// Whether it adds the others up.
    pub total: bool,
}

impl From<Vec<Cell>> for Row {
    fn from(cells: Vec<Cell>) -> Self {
        Self { cells, remarks: Vec::new(), total: false }
    }
}

/// A table.
///
/// ```
/// use papers::{Cell, Column, Table};
/// let mut table = Table::new("sticks", "Sticks", [Column::words("Stick"), Column::figures("Gross")]);
/// table.row([Cell::head(1), Cell::figure(120)]);
/// table.remark("a crook at the top");
/// assert_eq!(table.rows.first().map(|row| row.remarks.len()), Some(1));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// Its place in the page's address.
    pub id: String,
    /// What it holds.
    pub caption: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows.
    pub rows: Vec<Row>,
    /// What is said in its place where it has no rows.
    pub empty: String,
}

impl Table {
    /// A table that has no rows yet.
    pub fn new(
        id: impl Into<String>,
        caption: impl Into<String>,
        columns: impl IntoIterator<Item = Column>,
    ) -> Self {
        let caption = caption.into();
        Self {
            id: id.into(),
            empty: format!("{caption}: none."),
            caption,
            columns: columns.into_iter().collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl Into<Vec<Cell>>) {
        self.rows.push(Row::from(cells.into()));
    }

    /// Adds the row that adds the others up.
    pub fn total(&mut self, cells: impl Into<Vec<Cell>>) {
        self.rows.push(Row { total: true, ..Row::from(cells.into()) });
    }

    /// Says something below the last row; nothing where it is empty.
    pub fn remark(&mut self, says: impl Into<String>) {
        let says = says.into();
        if let Some(row) = self.rows.last_mut().filter(|_| !says.is_empty()) {
            row.remarks.push(says);
        }
    }
}
