//! From texts in rows to a table: every fault is found and told, not only the first.

use kernel::Fixed;

use super::{Fall, Growth, LogTable, Row, SheetRow, TableFault, TableHeading, TableRefused, TableSheet};
use crate::practice::MeasuringSystem;
use crate::{Centimetres, Feet, Inches, Metres, SizeError};

/// The most rows a table may have.
const MOST_ROWS: usize = 200;
/// The most columns a table may have.
const MOST_COLUMNS: usize = 100;
/// The largest volume of a cell, in whole units.
const LARGEST_VOLUME: i64 = 1_000_000;

pub(super) fn read(
    heading: TableHeading,
    sheet: &TableSheet,
    acknowledged_falls: bool,
) -> Result<LogTable, TableRefused> {
    let mut faults = Vec::new();
    if !heading.unit_fits() {
        faults.push(TableFault::UnitOfOtherSystem);
    }
    faults.extend(size_faults(sheet));
    if !faults.is_empty() {
        return Err(TableRefused::Faults(faults));
    }
    let lengths = lengths(heading.system, sheet, &mut faults);
    let diameters = diameters(heading.system, sheet, &mut faults);
    let volumes: Vec<_> =
        (1..).zip(&sheet.rows).map(|(row, cells)| volumes(row, cells, sheet, &mut faults)).collect();
    if !faults.is_empty() {
        return Err(TableRefused::Faults(faults));
    }
    let rows: Vec<_> =
        diameters.into_iter().zip(volumes).map(|(diameter, volumes)| Row { diameter, volumes }).collect();
    let falls = falls(&lengths, &rows);
    if falls.is_empty() || acknowledged_falls {
        Ok(LogTable { heading, lengths, rows, falls })
    } else {
        Err(TableRefused::Falls(falls))
    }
}

fn size_faults(sheet: &TableSheet) -> Vec<TableFault> {
    let (rows, columns) = (sheet.rows.len(), sheet.lengths.len());
    let mut faults = Vec::new();
    if columns == 0 {
        faults.push(TableFault::Empty { what: "lengths" });
    }
    if rows == 0 {
        faults.push(TableFault::Empty { what: "rows" });
    }
    if rows > MOST_ROWS || columns > MOST_COLUMNS {
        faults.push(TableFault::TooLarge { rows, columns });
    }
    faults
}

fn lengths(system: MeasuringSystem, sheet: &TableSheet, faults: &mut Vec<TableFault>) -> Vec<Fixed> {
    let size = |text: &String| -> Result<Fixed, SizeError> {
        match system {
            MeasuringSystem::InchFoot => text.trim().parse().map(Feet::fixed),
            MeasuringSystem::Metric => text.trim().parse().map(Metres::fixed),
        }
    };
    let lengths = all_read(&sheet.lengths, size, |column, problem| TableFault::UnreadableLength {
        column,
        reason: problem.to_string(),
    });
    let lengths = match lengths {
        Ok(lengths) => lengths,
        Err(unreadable) => {
            faults.extend(unreadable);
            return Vec::new();
        }
    };
    let before = faults.len();
    faults.extend(not_growing(&lengths, |column, before, length| TableFault::LengthOutOfOrder {
        column,
        length,
        before,
    }));
    if faults.len() == before {
        faults.extend(gaps(&lengths, |column, from, to| TableFault::MissingColumn { column, from, to }));
    }
    lengths
}

fn diameters(system: MeasuringSystem, sheet: &TableSheet, faults: &mut Vec<TableFault>) -> Vec<Fixed> {
    let size = |row: &SheetRow| -> Result<Fixed, SizeError> {
        match system {
            MeasuringSystem::InchFoot => row.diameter.trim().parse().map(Inches::fixed),
            MeasuringSystem::Metric => row.diameter.trim().parse().map(Centimetres::fixed),
        }
    };
    let diameters = all_read(&sheet.rows, size, |row, problem| TableFault::UnreadableDiameter {
        row,
        reason: problem.to_string(),
    });
    let diameters = match diameters {
        Ok(diameters) => diameters,
        Err(unreadable) => {
            faults.extend(unreadable);
            return Vec::new();
        }
    };
    let before = faults.len();
    faults.extend(not_growing(&diameters, |row, before, diameter| TableFault::DiameterOutOfOrder {
        row,
        diameter,
        before,
    }));
    if faults.len() == before {
        faults.extend(gaps(&diameters, |row, from, to| TableFault::MissingRow { row, from, to }));
    }
    diameters
}

/// The sizes of a heading, or a fault for each that is none.
fn all_read<T>(
    texts: &[T],
    size: impl Fn(&T) -> Result<Fixed, SizeError>,
    fault: impl Fn(usize, SizeError) -> TableFault,
) -> Result<Vec<Fixed>, Vec<TableFault>> {
    let (mut sizes, mut faults) = (Vec::with_capacity(texts.len()), Vec::new());
    for (place, text) in (1..).zip(texts) {
        match size(text) {
            Ok(size) => sizes.push(size),
            Err(problem) => faults.push(fault(place, problem)),
        }
    }
    if faults.is_empty() { Ok(sizes) } else { Err(faults) }
}

/// The sizes that do not follow the one before them: told by the place of the second, counted from 1.
fn not_growing(
    sizes: &[Fixed],
    fault: impl Fn(usize, Fixed, Fixed) -> TableFault,
) -> impl Iterator<Item = TableFault> {
    let places = (2..).zip(sizes.windows(2).filter_map(pair));
    places
        .filter(|(_, (before, after))| after <= before)
        .map(|(place, (before, after))| fault(place, before, after))
        .collect::<Vec<_>>()
        .into_iter()
}

const fn pair(window: &[Fixed]) -> Option<(Fixed, Fixed)> {
    match window {
        [before, after] => Some((*before, *after)),
        _ => None,
    }
}

/// Where something is missing between two sizes that grow: where a step is wider than the one after it, and where the
/// last step is wider than the one before it. So a table may go over to a wider step for larger logs, as long as it
/// keeps to it for two steps at least; a single wide step, and one that narrows again, is a gap.
fn gaps(
    sizes: &[Fixed],
    fault: impl Fn(usize, Fixed, Fixed) -> TableFault,
) -> impl Iterator<Item = TableFault> {
    let steps: Vec<_> = sizes
        .windows(2)
        .filter_map(pair)
        .map(|(from, to)| (from, to, to.millionths().saturating_sub(from.millionths())))
        .collect();
    let mut faults = Vec::new();
    for (place, (from, to, step)) in steps.iter().enumerate() {
        let next = steps.get(place + 1);
        let before = place.checked_sub(1).and_then(|before| steps.get(before));
        let wider = match (next, before) {
            (Some((.., next)), _) => step > next,
            (None, Some((.., before))) => step > before,
            (None, None) => false,
        };
        if wider {
            faults.push(fault(place + 2, *from, *to));
        }
    }
    faults.into_iter()
}

fn volumes(row: usize, cells: &SheetRow, sheet: &TableSheet, faults: &mut Vec<TableFault>) -> Vec<Fixed> {
    let (cells, lengths) = (&cells.volumes, sheet.lengths.len());
    if cells.len() != lengths {
        faults.push(TableFault::RaggedRow { row, cells: cells.len(), lengths });
    }
    let mut volumes = Vec::with_capacity(lengths);
    for (column, text) in (1..).zip(cells).take(lengths) {
        match volume(row, column, text.trim()) {
            Ok(volume) => volumes.push(volume),
            Err(fault) => faults.push(fault),
        }
    }
    volumes
}

fn volume(row: usize, column: usize, text: &str) -> Result<Fixed, TableFault> {
    if text.is_empty() {
        return Err(TableFault::MissingCell { row, column });
    }
    let volume: Fixed = text.parse().map_err(|problem: kernel::NumberTextError| {
        TableFault::UnreadableCell { row, column, reason: problem.to_string() }
    })?;
    let largest = LARGEST_VOLUME * Fixed::STEPS_PER_UNIT;
    if volume.is_negative() || volume.millionths() > largest {
        return Err(TableFault::VolumeOutOfBounds { row, column, volume });
    }
    Ok(volume)
}

/// Every cell that holds less than the one above it or the one before it.
fn falls(lengths: &[Fixed], rows: &[Row]) -> Vec<Fall> {
    let mut falls = Vec::new();
    let mut above: Option<&Row> = None;
    for row in rows {
        let mut before: Option<Fixed> = None;
        for (column, (length, volume)) in lengths.iter().zip(&row.volumes).enumerate() {
            let thinner = above.and_then(|row| row.volumes.get(column)).copied();
            let fall = |smaller_log: Option<Fixed>, growth: Growth| {
                let smaller_log = smaller_log.filter(|smaller| smaller > volume)?;
                Some(Fall { diameter: row.diameter, length: *length, volume: *volume, smaller_log, growth })
            };
            falls.extend(fall(thinner, Growth::Diameter));
            falls.extend(fall(before, Growth::Length));
            before = Some(*volume);
        }
        above = Some(row);
    }
    falls
}
