//! From a part of a ticket back to the cell it came from.

use std::collections::BTreeMap;

use wire::{FieldProblem, Problem};

/// Where the parts of a ticket stand on its sheet. Rows and columns count from 1, the head is row 1 (RFC 7111).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cells {
    first_row: u64,
    by_pointer: BTreeMap<String, (u64, usize)>,
    rows_of_pieces: Vec<u64>,
}

impl Cells {
    /// Of a ticket that begins on this row.
    #[must_use]
    pub fn from_row(first_row: u64) -> Self {
        Self { first_row, ..Self::default() }
    }

    /// The row that the ticket begins on.
    #[must_use]
    pub const fn first_row(&self) -> u64 {
        self.first_row
    }

    /// That the next piece stands on this row.
    pub fn add_piece(&mut self, row: u64) {
        self.rows_of_pieces.push(row);
    }

    /// That the part at this JSON Pointer stands in this cell.
    pub fn add(&mut self, pointer: String, row: u64, column: usize) {
        self.by_pointer.entry(pointer).or_insert((row, column));
    }

    /// The same problem, its parts named by their cells.
    #[must_use]
    pub fn name(&self, problem: &Problem) -> Problem {
        let errors = problem.errors.iter().map(|error| FieldProblem {
            pointer: self.fragment(error.pointer.trim_start_matches('#')),
            detail: error.detail.clone(),
        });
        problem.clone().at(errors.collect())
    }

    /// The cell of a part; of what has no cell of its own, the nearest whole that has one, or its row.
    fn fragment(&self, pointer: &str) -> String {
        let mut part = pointer;
        while !part.is_empty() {
            if let Some((row, column)) = self.by_pointer.get(part) {
                return format!("#cell={row},{column}");
            }
            part = part.rsplit_once('/').map_or("", |(whole, _)| whole);
        }
        let piece = pointer.strip_prefix("/pieces/").and_then(|rest| rest.split('/').next()?.parse().ok());
        let row = piece.and_then(|piece: usize| self.rows_of_pieces.get(piece));
        format!("#row={}", row.copied().unwrap_or(self.first_row))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_leads_to_its_cell_or_its_row() {
        let mut cells = Cells::from_row(4);
        cells.add("/book".to_owned(), 4, 1);
        cells.add_piece(4);
        cells.add_piece(5);
        cells.add("/pieces/1/defects/0/kind".to_owned(), 5, 9);
        let truth = [
            ("/book", "#cell=4,1"),
            ("/pieces/1/defects/0/kind", "#cell=5,9"),
            ("/pieces/1/defects/0", "#row=5"),
            ("/pieces/0/length_ft", "#row=4"),
            ("/pieces/7", "#row=4"),
            ("/turn", "#row=4"),
            ("", "#row=4"),
        ];
        for (pointer, fragment) in truth {
            assert_eq!(cells.fragment(pointer), fragment, "{pointer}");
        }
    }
}
