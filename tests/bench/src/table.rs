//! A table of text on the terminal: the first column to the left, figures to the right.

/// Rows under a heading, each with as many cells as the heading.
pub struct Table<const COLUMNS: usize> {
    rows: Vec<[String; COLUMNS]>,
}

impl<const COLUMNS: usize> Table<COLUMNS> {
    /// A table with its heading and no rows yet.
    pub fn headed(heading: [&str; COLUMNS]) -> Self {
        Self { rows: vec![heading.map(str::to_owned)] }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: [String; COLUMNS]) {
        self.rows.push(cells);
    }

    /// The lines, every column as wide as its widest cell.
    pub fn lines(&self) -> Vec<String> {
        let width = |place: usize| {
            self.rows
                .iter()
                .filter_map(|row| row.get(place))
                .map(|cell| cell.chars().count())
                .max()
                .unwrap_or(0)
        };
        let line = |row: &[String; COLUMNS]| {
            let cells = row.iter().enumerate().map(|(place, cell)| match place {
                0 => format!("{cell:<width$}", width = width(place)),
                _ => format!("{cell:>width$}", width = width(place)),
            });
            cells.collect::<Vec<_>>().join("  ")
        };
        self.rows.iter().map(line).collect()
    }
}

/// A count with its digits in groups of three: `1 234 567`.
pub fn grouped(count: u128) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}

/// A count of hundredths as a decimal with two places: `12.05`.
pub fn hundredths(count: u128) -> String {
    format!("{}.{:02}", count / 100, count % 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_stand_under_one_another() {
        let mut table = Table::headed(["rule", "logs"]);
        table.row(["doyle".to_owned(), "7".to_owned()]);
        assert_eq!(table.lines(), ["rule   logs", "doyle     7"]);
    }

    #[test]
    fn figures_are_written_for_reading() {
        assert_eq!([0, 7, 1_000, 1_234_567].map(grouped), ["0", "7", "1 000", "1 234 567"]);
        assert_eq!([5, 100, 1_234].map(hundredths), ["0.05", "1.00", "12.34"]);
    }
}
