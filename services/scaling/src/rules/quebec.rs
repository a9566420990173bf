//! Quebec: the Roy rule, an inch off the diameter, by formula.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: (D - 1)² × L / 20 board feet, from memory.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: to the nearest board foot, a half up: our own choice, none is known.
//! - Jurisdiction: Quebec, formerly.
//! - Source: none seen; the formula is from memory.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, edition, formula, recalled};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Quebec,
    title: "Quebec (Roy)",
    edition: "quebec 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "(D - 1)² × L ÷ 20 board feet",
    range: recalled::RANGE,
    rounding: "to the nearest board foot, a half up: our own choice",
    jurisdiction: "Quebec, formerly",
    source: "from memory; not checked against print",
    from_memory: true,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

const ROUNDING: RoundTo = RoundTo::fixed(Exact::ONE, Rounding::HalfUp);

/// Board feet before any rounding.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] outside 6 to 48 inches or 40 feet.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::quebec::board_feet;
/// assert_eq!(board_feet(Exact::of(21), Exact::of(16))?.to_string(), "320");
/// assert!(board_feet(Exact::of(5), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, diameter_in, length_ft)?;
    let inside = diameter_in.minus(Exact::ONE)?;
    Ok(inside.squared()?.times(length_ft)?.over(Exact::of(20))?)
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
            format!("({diameter} - 1)² × {length} ÷ 20 = {shown} board feet, by a formula from memory")
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
