//! Cumberland River: the square of two thirds of the diameter, less a fifth for kerf.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: D² × L × (4/9) × (4/5) / 12, which is 4 D² × L / 135 board feet, from memory: a third off for slab, a fifth for kerf.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: to the nearest board foot, a half up: our own choice, none is known.
//! - Jurisdiction: rivers of Tennessee and Kentucky, formerly.
//! - Source: none seen; the formula is from memory.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, edition, formula, recalled};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::CumberlandRiver,
    title: "Cumberland River",
    edition: "cumberland-river 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "D² × L × 4 ÷ 135 board feet",
    range: recalled::RANGE,
    rounding: "to the nearest board foot, a half up: our own choice",
    jurisdiction: "rivers of Tennessee and Kentucky, formerly",
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
/// use scaling::rules::cumberland_river::board_feet;
/// assert_eq!(board_feet(Exact::of(27), Exact::of(10))?.to_string(), "216");
/// assert!(board_feet(Exact::of(5), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, diameter_in, length_ft)?;
    Ok(diameter_in.squared()?.times(length_ft)?.times(Exact::fraction(4, 135))?)
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
            format!("{diameter}² × {length} × 4 ÷ 135 = {shown} board feet, by a formula from memory")
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
