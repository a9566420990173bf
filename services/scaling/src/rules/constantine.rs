//! Constantine: the whole cylinder in board feet, with nothing allowed for slab or kerf.
//!
//! - Measures: diameter of the small end inside bark, in inches; length in feet.
//! - Formula: 0.7854 × D² × L / 12 board feet, from memory.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: none.
//! - Jurisdiction: trade in fine timber, formerly.
//! - Source: none seen; the formula is from memory.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, Takes, edition, formula, recalled};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Constantine,
    title: "Constantine",
    edition: "constantine 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in inches; length in feet",
    formula: "0.7854 × D² × L ÷ 12 board feet",
    range: recalled::RANGE,
    rounding: "none",
    jurisdiction: "trade in fine timber, formerly",
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
/// use scaling::rules::constantine::board_feet;
/// assert_eq!(board_feet(Exact::of(20), Exact::of(12))?.to_string(), "314.16");
/// assert!(board_feet(Exact::of(5), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, diameter_in, length_ft)?;
    let circle = Exact::fraction(7854, 10_000);
    Ok(circle.times(diameter_in.squared()?)?.times(length_ft)?.over(Exact::of(12))?)
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
            format!("0.7854 × {diameter}² × {length} ÷ 12 = {shown} board feet, by a formula from memory")
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: None, unit: VolumeUnit::BoardFoot })
}
