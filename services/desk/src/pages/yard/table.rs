//! A table of sound logs for one practice, so that a phone without signal can look a volume up. Every cell is an answer
//! of the engine; the phone finds a row and a column and computes nothing.
//!
//! Rows are readings: one, or two at right angles, in whole and half inches. Columns are lengths in feet and inches; lengths
//! that come to the same in every row are one column, and readings that come to the same in every column are one row.
//! What the engine does not answer, or answers with a cull or a deduction, has an empty cell: scaled when there is signal.

use std::collections::BTreeMap;

use kernel::TermsId;
use scaling::{Feet, FurtherInches, InchFootLog, Inches, Log, LogSizes, Piece, Practice, Readings, Species};
use serde::Serialize;

/// The readings that a table holds, in half inches: 4 to 40 inches.
const READINGS: std::ops::RangeInclusive<u16> = 8..=80;
/// The lengths that it holds, in inches: 4 to 42 feet.
const LENGTHS: std::ops::RangeInclusive<u16> = 48..=504;
/// More columns than this make no table for a phone: every inch of length comes to something else under the practice.
const MOST_COLUMNS: usize = 64;

/// The table of one practice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Table {
    /// The terms whose practice it is of. Terms never change, so neither does their table.
    pub terms_id: TermsId,
    /// The unit of its volumes, in words; none where it is empty.
    pub unit: Option<&'static str>,
    /// The first reading, in half inches.
    pub first_reading: u16,
    /// For each single reading from the first on, half an inch apart, its row.
    pub one: Vec<usize>,
    /// For each pair of readings its row: the first reading with itself and every larger one, then the next.
    pub two: Vec<usize>,
    /// The lengths, in inches, at which a new column begins, each with the column.
    pub columns: Vec<(u16, usize)>,
    /// The first length past the table, in inches.
    pub end: u16,
    /// The volumes: gross and net alike.
    pub rows: Vec<Vec<Option<String>>>,
}

impl Table {
    /// The table of a practice; one without rows where it scales no logs, or none that a table can hold.
    #[must_use]
    pub fn of(terms_id: TermsId, practice: &Practice) -> Self {
        let mut engine = Engine { practice, unit: None };
        let lengths: Vec<u16> = LENGTHS.collect();
        let singles: Vec<Vec<Option<String>>> = READINGS
            .map(|one| lengths.iter().map(|length| engine.volume(one, None, *length)).collect())
            .collect();
        let (columns, kept) = columns(&lengths, &singles);
        let empty = kept.len() > MOST_COLUMNS || engine.unit.is_none();
        let mut table = Self {
            terms_id,
            unit: engine.unit,
            first_reading: *READINGS.start(),
            one: Vec::new(),
            two: Vec::new(),
            columns,
            end: LENGTHS.end() + 1,
            rows: Vec::new(),
        };
        if empty {
            (table.columns, table.unit) = (Vec::new(), None);
            return table;
        }
        let mut known = BTreeMap::new();
        let mut row = |rows: &mut Vec<_>, cells: Vec<Option<String>>| {
            *known.entry(cells.clone()).or_insert_with(|| {
                rows.push(cells);
                rows.len() - 1
            })
        };
        for one in READINGS {
            let cells = kept.iter().map(|length| engine.volume(one, None, *length)).collect();
            table.one.push(row(&mut table.rows, cells));
        }
        for first in READINGS {
            for second in first..=*READINGS.end() {
                let cells = kept.iter().map(|length| engine.volume(first, Some(second), *length)).collect();
                table.two.push(row(&mut table.rows, cells));
            }
        }
        table
    }
}

/// Where columns begin, and one length of each.
fn columns(lengths: &[u16], singles: &[Vec<Option<String>>]) -> (Vec<(u16, usize)>, Vec<u16>) {
    let mut known = BTreeMap::new();
    let (mut begins, mut kept) = (Vec::new(), Vec::new());
    for (place, length) in lengths.iter().enumerate() {
        let column: Vec<_> = singles.iter().map(|row| row.get(place).cloned().flatten()).collect();
        let number = *known.entry(column).or_insert_with(|| {
            kept.push(*length);
            kept.len() - 1
        });
        if begins.last().is_none_or(|(_, last)| *last != number) {
            begins.push((*length, number));
        }
    }
    (begins, kept)
}

struct Engine<'a> {
    practice: &'a Practice,
    unit: Option<&'static str>,
}

impl Engine<'_> {
    /// The volume of a sound log; none where a table cannot tell it.
    fn volume(&mut self, first: u16, second: Option<u16>, inches: u16) -> Option<String> {
        let piece = log(first, second, inches)?;
        let scaled = scaling::scale_without_working(self.practice, &piece).ok()?;
        let volume = scaled.volume.filter(|volume| volume.gross == volume.net && scaled.cull.is_none())?;
        let text = volume.gross.to_string();
        if text.contains('/') || self.unit.is_some_and(|unit| unit != volume.unit.words()) {
            return None;
        }
        self.unit = Some(volume.unit.words());
        Some(text)
    }
}

/// A sound log of these readings, in half inches, and this length, in inches.
fn log(first: u16, second: Option<u16>, inches: u16) -> Option<Piece> {
    let reading = |halves: u16| -> Option<Inches> {
        let half = if halves.is_multiple_of(2) { "0" } else { "5" };
        format!("{}.{half}", halves / 2).parse().ok()
    };
    let first = reading(first)?;
    let small_diameter_in = match second {
        Some(second) => Readings::two(first, reading(second)?),
        None => Readings::one(first),
    };
    let length_ft: Feet = (inches / 12).to_string().parse().ok()?;
    let length_in: FurtherInches = (inches % 12).to_string().parse().ok()?;
    Some(Piece::Log(Log {
        species: Species::try_from("log".to_owned()).ok()?,
        grade: None,
        marks: None,
        stick_number: None,
        sizes: LogSizes::InchFoot(InchFootLog {
            small_diameter_in,
            middle_diameter_in: None,
            large_diameter_in: None,
            butt_diameter_in: None,
            length_ft,
            length_in: Some(length_in),
        }),
        defects: scaling::Defects::default(),
    }))
}
