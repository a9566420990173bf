//! Tables in plain text: numbers to the right, long words wrapped.

use std::fmt;

/// How wide a paper is, in characters.
pub(crate) const PAPER: usize = 80;
/// What stands between two columns.
const GAP: &str = "  ";

/// A column of a [`Table`].
///
/// ```
/// use client::text::{Column, Table};
/// let mut table = Table::new([Column::text("Work", 10), Column::number("Amount")]);
/// table.row(["felling and bucking", "12.30"]);
/// assert_eq!(table.to_string(), "Work        Amount\n------------------\nfelling      12.30\nand\nbucking\n");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    head: &'static str,
    kind: Kind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// To the right, never broken.
    Number,
    /// To the left, wrapped at this width.
    Text(usize),
}

impl Column {
    /// A column of numbers: as wide as the widest of them, since a broken number is a wrong one.
    ///
    /// ```
    /// let amounts = client::text::Column::number("Amount");
    /// ```
    #[must_use]
    pub const fn number(head: &'static str) -> Self {
        Self { head, kind: Kind::Number }
    }

    /// A column of words, at the most `widest` characters wide.
    ///
    /// ```
    /// let names = client::text::Column::text("Name", 20);
    /// ```
    #[must_use]
    pub const fn text(head: &'static str, widest: usize) -> Self {
        Self { head, kind: Kind::Text(widest) }
    }
}

/// A table in plain text. A row may have notes below it, as wide as the paper.
///
/// ```
/// use client::text::{Column, Table};
/// let mut table = Table::new([Column::text("Name", 20), Column::number("Parts")]);
/// table.row(["Otto Lind", "1.5"]);
/// table.note("since the first of June");
/// assert_eq!(
///     table.to_string(),
///     "Name       Parts\n----------------\nOtto Lind    1.5\n    since the first of June\n",
/// );
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    columns: Vec<Column>,
    rows: Vec<Row>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Row {
    Cells(Vec<String>),
    Note(String),
}

impl Table {
    /// A table without rows.
    ///
    /// ```
    /// use client::text::{Column, Table};
    /// assert!(Table::new([Column::number("No")]).is_empty());
    /// ```
    #[must_use]
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        Self { columns: columns.into_iter().collect(), rows: Vec::new() }
    }

    /// Adds a row. Cells that are missing are blank; cells past the last column are left out.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        self.rows.push(Row::Cells(cells.into_iter().map(Into::into).collect()));
    }

    /// Adds a note below the last row.
    pub fn note(&mut self, note: impl Into<String>) {
        self.rows.push(Row::Note(note.into()));
    }

    /// Whether it has no rows.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    fn widths(&self) -> Vec<usize> {
        let cells = |at: usize| {
            self.rows.iter().filter_map(move |row| match row {
                Row::Cells(cells) => cells.get(at).map(|cell| width(cell)),
                Row::Note(_) => None,
            })
        };
        let columns = self.columns.iter().enumerate();
        columns
            .map(|(at, column)| {
                let widest = cells(at).chain([width(column.head)]).max().unwrap_or(0);
                match column.kind {
                    Kind::Number => widest,
                    Kind::Text(limit) => widest.min(limit.max(1)),
                }
            })
            .collect()
    }

    fn cells_on_lines(&self, cells: &[String], widths: &[usize]) -> Vec<String> {
        let columns = self.columns.iter().zip(widths).enumerate();
        let wrapped: Vec<Vec<String>> = columns
            .map(|(at, (column, width))| match (cells.get(at), column.kind) {
                (None, _) => Vec::new(),
                (Some(cell), Kind::Number) => vec![cell.clone()],
                (Some(cell), Kind::Text(_)) => wrap(cell, *width),
            })
            .collect();
        let lines = wrapped.iter().map(Vec::len).max().unwrap_or(0).max(1);
        (0..lines).map(|line| self.one_line(&wrapped, line, widths)).collect()
    }

    fn one_line(&self, wrapped: &[Vec<String>], line: usize, widths: &[usize]) -> String {
        let columns = self.columns.iter().zip(widths).zip(wrapped);
        let parts = columns.map(|((column, width), cell)| {
            let part = cell.get(line).map_or("", String::as_str);
            match column.kind {
                Kind::Number => format!("{part:>width$}"),
                Kind::Text(_) => format!("{part:<width$}"),
            }
        });
        parts.collect::<Vec<_>>().join(GAP).trim_end().to_owned()
    }
}

impl fmt::Display for Table {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let widths = self.widths();
        let gaps = widths.len().saturating_sub(1) * GAP.len();
        let heads: Vec<String> = self.columns.iter().map(|column| column.head.to_owned()).collect();
        for line in self.cells_on_lines(&heads, &widths) {
            writeln!(formatter, "{line}")?;
        }
        writeln!(formatter, "{}", "-".repeat(widths.iter().sum::<usize>() + gaps))?;
        for row in &self.rows {
            match row {
                Row::Cells(cells) => {
                    for line in self.cells_on_lines(cells, &widths) {
                        writeln!(formatter, "{line}")?;
                    }
                }
                Row::Note(note) => formatter.write_str(&indented(note, 4))?,
            }
        }
        Ok(())
    }
}

fn width(text: &str) -> usize {
    text.chars().count()
}

/// A text broken into lines of at most `widest` characters, between words where it can be.
pub(crate) fn wrap(text: &str, widest: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut word = word.to_owned();
        if !line.is_empty() && width(&line) + 1 + width(&word) > widest {
            lines.push(std::mem::take(&mut line));
        }
        // A word longer than a line is cut where the line ends.
        while width(&word) > widest.max(1) {
            lines.push(word.chars().take(widest.max(1)).collect());
            word = word.chars().skip(widest.max(1)).collect();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A text on lines of the paper, each moved to the right.
pub(crate) fn indented(text: &str, by: usize) -> String {
    let lines = wrap(text, PAPER.saturating_sub(by));
    lines.iter().map(|line| format!("{:by$}{line}\n", "")).collect()
}

/// The same with the lines after the first moved further, so that items stand apart.
pub(crate) fn hanging(text: &str, by: usize) -> String {
    let further = by + 2;
    let mut lines = wrap(text, PAPER.saturating_sub(further)).into_iter();
    let first = lines.next().map(|line| format!("{:by$}{line}\n", ""));
    first.into_iter().chain(lines.map(|line| format!("{:further$}{line}\n", ""))).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn numbers_stand_to_the_right_and_are_never_broken() {
        let mut table =
            Table::new([Column::number("No"), Column::text("Party", 8), Column::number("Amount")]);
        table.row(["1", "North crew of four", "9.75"]);
        table.row(["12", "mill", "-123456789.00"]);
        table.row(["13"]);
        assert_eq!(
            table.to_string(),
            "No  Party            Amount\n\
             ---------------------------\n \
             1  North              9.75\n    \
             crew of\n    \
             four\n\
             12  mill      -123456789.00\n\
             13\n"
        );
    }

    #[test]
    fn a_word_longer_than_its_column_is_cut() {
        assert_eq!(wrap("a Donaudampfschiff b", 6), ["a", "Donaud", "ampfsc", "hiff b"]);
        assert_eq!(wrap("", 6), Vec::<String>::new());
    }

    proptest! {
        #[test]
        fn wrapping_loses_nothing_and_keeps_to_the_width(text in "[a-zé ]{0,60}", widest in 1_usize..20) {
            let lines = wrap(&text, widest);
            prop_assert!(lines.iter().all(|line| width(line) <= widest));
            let letters = |text: &str| text.chars().filter(|one| !one.is_whitespace()).collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&text));
        }
    }
}
