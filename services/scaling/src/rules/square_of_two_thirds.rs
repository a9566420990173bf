//! Square of two thirds: the board feet of a stick whose side is two thirds of the diameter of the small end.
//!
//! - Measures: diameter of the small end inside bark, in inches; length in feet.
//! - Formula: (2 D / 3)² × L / 12, which is D² × L / 27 board feet, from memory. The rule of two_thirds is the seen one; it
//!   goes by the middle diameter and by cubic feet.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: none.
//! - Jurisdiction: trade in squared timber.
//! - Source: none seen; the formula is from memory.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, Takes, edition, formula, recalled};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::SquareOfTwoThirds,
    title: "Square of two thirds",
    edition: "square-of-two-thirds 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in inches; length in feet",
    formula: "D² × L ÷ 27 board feet",
    range: recalled::RANGE,
    rounding: "none",
    jurisdiction: "trade in squared timber",
    source: "from memory; not checked against print",
    from_memory: true,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Board feet before any rounding.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] outside 6 to 48 inches or 40 feet.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::square_of_two_thirds::board_feet;
/// assert_eq!(board_feet(Exact::of(18), Exact::of(16))?.to_string(), "192");
/// assert!(board_feet(Exact::of(5), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, diameter_in, length_ft)?;
    Ok(diameter_in.squared()?.times(length_ft)?.over(Exact::of(27))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.small()?, measures.length);
    let exact = board_feet(diameter, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || {
            format!("{diameter}² × {length} ÷ 27 = {shown} board feet, by a formula from memory")
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: None, unit: VolumeUnit::BoardFoot })
}
