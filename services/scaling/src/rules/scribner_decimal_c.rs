//! Scribner Decimal C: a table of Scribner values to the nearest ten board feet, the last figure dropped.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in even feet.
//! - Table: the cells seen in print (6 to 20 inches by 6 to 16 feet, and 30 inches by 16 feet) are the rule.
//!   A few cells of the smallest logs stand at 0.5 in print, which is 5 board feet. No formula gives this
//!   table.
//! - Beyond those cells: factors of board feet a foot of length, from memory and not checked against print,
//!   the product rounded to the nearest ten. They miss 8 of the 94 printed cells, so they are a near relation
//!   of the table and not the same one; the working marks every such value. At one seam the two do not meet:
//!   7 inches by 4 feet rounds to 10 from memory, and 7 inches by 6 feet is printed as 5.
//! - Range: 6 to 48 inches in whole inches, 4 to 40 feet in even feet. Nothing is carried past it.
//! - Rounding: the table is rounded already; a product from memory to ten board feet, a half up.
//! - Jurisdiction: Georgia by law; Idaho and the Forest Service by handbook; Washington's timber tax.
//! - Source: the printed cells from a chart of 2001 (G. Wengert, Log Volume) and Bailey, Farm and Garden
//!   Rule-Book (1911).
//!
//! Volumes are in board feet: the table's figure times ten.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{Choice, Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, edition};
use crate::says::later;
use crate::working::Recorder;
use crate::{FigureUnit, RoundTo, ScaleProblem, Step, StepKind};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::ScribnerDecimalC,
    title: "Scribner Decimal C",
    edition: "scribner-decimal-c 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in even feet",
    formula: "a table; beyond its cells seen in print, board feet a foot of length from memory, to the \
        nearest ten",
    range: WHOLE_RANGE,
    rounding: "to the nearest 10 board feet, in the table itself",
    jurisdiction: "Georgia; Idaho, the Forest Service and Washington's timber tax by handbook",
    source: PRINTED_SOURCE,
    from_memory: false,
    units: &[VolumeUnit::BoardFoot],
    is_table: true,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

const WHOLE_RANGE: &str = "it holds 6 to 48 inches in whole inches and 4 to 40 feet in even feet";
const PRINTED_RANGE: &str =
    "its cells seen in print are 6 to 20 inches by 6 to 16 even feet, and 30 inches by 16 feet";
const PRINTED_SOURCE: &str = "G. Wengert, Log Volume (2001); Bailey, Farm and Garden Rule-Book (1911)";
const MEMORY_SOURCE: &str = "factors of board feet a foot, from memory, not checked against print";

/// The least diameter of the table, in inches.
pub(crate) const LEAST_DIAMETER_IN: Exact = Exact::of(6);

/// To ten board feet, a half up.
pub(crate) const TENS: RoundTo = RoundTo::fixed(Exact::of(10), Rounding::HalfUp);

/// Lengths of the printed columns, in feet.
const PRINTED_LENGTHS: [i128; 6] = [6, 8, 10, 12, 14, 16];

/// Printed cells in board feet: the diameter, then the columns of [`PRINTED_LENGTHS`].
const PRINTED: [(i128, [i128; 6]); 15] = [
    (6, [5, 5, 10, 10, 10, 20]),
    (7, [5, 10, 10, 20, 20, 30]),
    (8, [10, 10, 20, 20, 20, 30]),
    (9, [10, 20, 30, 30, 30, 40]),
    (10, [20, 30, 30, 30, 40, 60]),
    (11, [20, 30, 40, 40, 50, 70]),
    (12, [30, 40, 50, 60, 70, 80]),
    (13, [40, 50, 60, 70, 80, 100]),
    (14, [40, 60, 70, 90, 100, 110]),
    (15, [50, 70, 90, 110, 120, 140]),
    (16, [60, 80, 100, 120, 140, 160]),
    (17, [70, 90, 120, 140, 160, 180]),
    (18, [80, 110, 130, 160, 190, 210]),
    (19, [90, 120, 150, 180, 210, 240]),
    (20, [110, 140, 170, 210, 240, 280]),
];

/// The one printed cell outside the block: diameter, length, board feet.
const PRINTED_ALONE: (i128, i128, i128) = (30, 16, 660);

/// Board feet a foot of length, from memory, from 12 inches up.
const FACTORS: [(i128, Exact); 37] = [
    (12, thousandths(4900)),
    (13, thousandths(6043)),
    (14, thousandths(7140)),
    (15, thousandths(8880)),
    (16, thousandths(10_000)),
    (17, thousandths(11_528)),
    (18, thousandths(13_290)),
    (19, thousandths(14_990)),
    (20, thousandths(17_499)),
    (21, thousandths(18_990)),
    (22, thousandths(20_880)),
    (23, thousandths(23_510)),
    (24, thousandths(25_218)),
    (25, thousandths(28_677)),
    (26, thousandths(31_249)),
    (27, thousandths(34_220)),
    (28, thousandths(36_376)),
    (29, thousandths(38_040)),
    (30, thousandths(41_060)),
    (31, thousandths(44_376)),
    (32, thousandths(45_975)),
    (33, thousandths(48_990)),
    (34, thousandths(50_000)),
    (35, thousandths(54_688)),
    (36, thousandths(57_660)),
    (37, thousandths(64_319)),
    (38, thousandths(66_730)),
    (39, thousandths(70_000)),
    (40, thousandths(75_240)),
    (41, thousandths(79_480)),
    (42, thousandths(83_910)),
    (43, thousandths(87_190)),
    (44, thousandths(92_501)),
    (45, thousandths(94_990)),
    (46, thousandths(99_075)),
    (47, thousandths(103_501)),
    (48, thousandths(107_970)),
];

/// The same under 12 inches, where it differs by length: to 15, to 31 and to 40 feet.
const SMALL_FACTORS: [(i128, [Exact; 3]); 6] = [
    (6, [thousandths(1160), thousandths(1249), thousandths(1570)]),
    (7, [thousandths(1400), thousandths(1608), thousandths(1800)]),
    (8, [thousandths(1501), thousandths(1854), thousandths(2200)]),
    (9, [thousandths(2084), thousandths(2410), thousandths(2900)]),
    (10, [thousandths(3126), thousandths(3542), thousandths(3815)]),
    (11, [thousandths(3749), thousandths(4167), thousandths(4499)]),
];

const fn thousandths(count: i128) -> Exact {
    Exact::fraction(count, 1000)
}

/// What stands at one diameter and length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell {
    /// A cell seen in print, in board feet.
    Printed(Exact),
    /// A product of a remembered factor; not checked against print.
    FromMemory {
        /// Board feet a foot of length.
        factor: Exact,
        /// Factor times length, before it is rounded to tens.
        product: Exact,
    },
}

/// The cell for a diameter in whole inches and a length in even feet.
///
/// # Errors
///
/// [`ScaleProblem::WholeInchNeeded`] for a fraction of an inch, [`ScaleProblem::NotInTable`] for everything
/// that the table does not hold.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::scribner_decimal_c::{Cell, cell};
/// assert_eq!(cell(Exact::of(6), Exact::of(8))?, Cell::Printed(Exact::of(5)));
/// assert!(matches!(cell(Exact::of(24), Exact::of(16))?, Cell::FromMemory { .. }));
/// assert!(cell(Exact::of(24), Exact::of(15)).is_err());
/// assert!(cell(Exact::of(49), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn cell(diameter_in: Exact, length_ft: Exact) -> Result<Cell, ScaleProblem> {
    let whole = diameter_in
        .whole()
        .ok_or(ScaleProblem::WholeInchNeeded { rule: RuleName::ScribnerDecimalC, value: diameter_in })?;
    let absent = || not_in_table(diameter_in, length_ft, WHOLE_RANGE);
    let length = match length_ft.whole() {
        Some(length) if length % 2 == 0 && (4..=40).contains(&length) => length,
        _ => return Err(absent()),
    };
    if let Some(board_feet) = printed(whole, length) {
        return Ok(Cell::Printed(Exact::of(board_feet)));
    }
    let factor = factor(whole, length).ok_or_else(absent)?;
    Ok(Cell::FromMemory { factor, product: factor.times(length_ft)? })
}

fn not_in_table(diameter_in: Exact, length_ft: Exact, range: &'static str) -> ScaleProblem {
    ScaleProblem::NotInTable { rule: RuleName::ScribnerDecimalC, diameter_in, length_ft, range }
}

fn printed(diameter: i128, length: i128) -> Option<i128> {
    let (alone_diameter, alone_length, alone) = PRINTED_ALONE;
    if (diameter, length) == (alone_diameter, alone_length) {
        return Some(alone);
    }
    let cells = row(&PRINTED, diameter)?;
    PRINTED_LENGTHS.iter().zip(cells).find(|(column, _)| **column == length).map(|(_, cell)| *cell)
}

fn factor(diameter: i128, length: i128) -> Option<Exact> {
    if let Some([short, middling, long]) = row(&SMALL_FACTORS, diameter) {
        return Some(match length {
            ..=15 => *short,
            16..=31 => *middling,
            _ => *long,
        });
    }
    row(&FACTORS, diameter).copied()
}

/// The row of a diameter, in a table whose rows run on inch by inch.
fn row<T>(rows: &[(i128, T)], diameter: i128) -> Option<&T> {
    let (first, _) = rows.first()?;
    let place = usize::try_from(diameter.checked_sub(*first)?).ok()?;
    rows.get(place).filter(|(of, _)| *of == diameter).map(|(_, row)| row)
}

pub(super) fn content(
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.small()?, measures.length);
    let found = cell(diameter, length)?;
    if choice.printed_cells_only && matches!(found, Cell::FromMemory { .. }) {
        return Err(not_in_table(diameter, length, PRINTED_RANGE));
    }
    let (exact, rounding) = match found {
        Cell::Printed(board_feet) => (board_feet, None),
        Cell::FromMemory { product, .. } => (product, Some(TENS)),
    };
    recorder.record(|| {
        let step = match found {
            Cell::Printed(board_feet) => Step::new(
                StepKind::TableCell,
                later(move || {
                    format!(
                        "{diameter} inches by {length} feet stands at {board_feet} board feet in the \
                        printed table"
                    )
                }),
            )
            .source(PRINTED_SOURCE),
            Cell::FromMemory { factor, product } => Step::new(
                StepKind::TableCell,
                later(move || {
                    format!(
                        "{diameter} inches by {length} feet is not among the printed cells: {factor} board \
                        feet a foot × {length} = {product} board feet, from memory, not checked against print"
                    )
                }),
            )
            .figure("board_feet_a_foot", factor, FigureUnit::Number)
            .source(MEMORY_SOURCE)
            .recalled(true),
        };
        step.figure("diameter_in", diameter, FigureUnit::Inch)
            .figure("length_ft", length, FigureUnit::Foot)
            .figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding, unit: VolumeUnit::BoardFoot })
}
