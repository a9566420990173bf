//! Brereton: the circle of the mean of the end diameters, in board feet.
//!
//! - Measures: diameters of both ends inside bark, in inches; length in feet.
//! - Formula: 0.7854 × ((ds + dl) / 2)² × L / 12 board feet, from memory. In cubic feet it would be the subneiloid.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: none.
//! - Jurisdiction: export trade in logs.
//! - Source: listed by Briggs, Forest Products Measurements and Conversion Factors, chapter 2; the formula is from memory.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, Takes, edition, formula, recalled};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Brereton,
    title: "Brereton",
    edition: "brereton 1",
    editions: edition::STANDARD,
    takes: Takes::Ends,
    measures: "diameters of both ends inside bark, in inches; length in feet",
    formula: "0.7854 × ((ds + dl) ÷ 2)² × L ÷ 12 board feet",
    range: recalled::RANGE,
    rounding: "none",
    jurisdiction: "export trade in logs",
    source: "formula from memory; not checked against print",
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
/// use scaling::rules::brereton::board_feet;
/// assert_eq!(board_feet(Exact::of(18), Exact::of(22), Exact::of(12))?.to_string(), "314.16");
/// assert!(board_feet(Exact::of(5), Exact::of(22), Exact::of(12)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(small_in: Exact, large_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, small_in, length_ft)?;
    recalled::check(FACTS.name, large_in, length_ft)?;
    let mean = small_in.plus(large_in)?.over(Exact::of(2))?;
    let circle = Exact::fraction(7854, 10_000);
    Ok(circle.times(mean.squared()?)?.times(length_ft)?.over(Exact::of(12))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (small, large, length) = (measures.small()?, measures.large()?, measures.length);
    let exact = board_feet(small, large, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || format!("0.7854 × (({small} + {large}) ÷ 2)² × {length} ÷ 12 = {shown} board feet, by a formula from memory"));
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: None, unit: VolumeUnit::BoardFoot })
}
