//! Board measure: thickness by width in inches by length in feet, over twelve.
//!
//! - Measures: width and thickness in inches; length in feet.
//! - Formula: t × w × L / 12 board feet. A board thinner than 1 inch counts as 1 inch; above 1 inch the true
//!   thickness counts, fractions too.
//! - Range: any size.
//! - Rounding: none.
//! - Jurisdiction: general.
//! - Source: CCC Forestry, chapter VIII (about 1937); Danforth, Mechanical Processes, 46, for the thin board.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::BoardMeasure,
    title: "Board measure",
    edition: "board-measure 1",
    editions: edition::STANDARD,
    takes: Takes::WidthAndThickness,
    measures: "width and thickness in inches; length in feet",
    formula: "t × w × L ÷ 12 board feet; thinner than 1 inch counts as 1",
    range: "any size",
    rounding: "none",
    jurisdiction: "general",
    source: "CCC Forestry, chapter VIII (about 1937)",
    from_memory: false,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Board feet.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::board_measure::board_feet;
/// assert_eq!(board_feet(Exact::of(12), Exact::of(10), Exact::of(24))?, Exact::of(240));
/// // Half an inch thick counts as an inch.
/// assert_eq!(board_feet(Exact::of(8), Exact::fraction(1, 2), Exact::of(12))?, Exact::of(8));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(width_in: Exact, thickness_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    let thickness = thickness_in.max(Exact::ONE);
    Ok(width_in.times(thickness)?.times(length_ft)?.over(Exact::of(12))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (width, thickness, length) = (measures.width()?, measures.thickness()?, measures.length);
    let exact = board_feet(width, thickness, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || {
            let thin = if thickness < Exact::ONE {
                format!("{thickness} inches thick counts as 1: ")
            } else {
                String::new()
            };
            let counted = thickness.max(Exact::ONE);
            format!("{thin}{counted} × {width} × {length} ÷ 12 = {shown} board feet")
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: None, unit: VolumeUnit::BoardFoot })
}
