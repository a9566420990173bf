//! Spaulding: a table of drawn boards of the Columbia River; here by a formula fitted to it.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: (0.778 D² - 1.125 D - 13.482) × L / 16 board feet, a fit from memory. The rule itself is a table.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: to the nearest board foot, a half up: our own choice, none is known.
//! - Jurisdiction: Pacific coast, formerly.
//! - Source: named in the Woodsman's Handbook, Forest Service Bulletin 36, p. 31; the fitted formula is from memory.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, edition, formula, recalled};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Spaulding,
    title: "Spaulding (Columbia River), by formula",
    edition: "spaulding 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "(0.778 D² - 1.125 D - 13.482) × L ÷ 16 board feet",
    range: recalled::RANGE,
    rounding: "to the nearest board foot, a half up: our own choice",
    jurisdiction: "Pacific coast, formerly",
    source: "fitted formula from memory; not checked against print",
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
/// use scaling::rules::spaulding::board_feet;
/// assert_eq!(board_feet(Exact::of(20), Exact::of(16))?.to_string(), "275.218");
/// assert!(board_feet(Exact::of(5), Exact::of(16)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, diameter_in, length_ft)?;
    let sixteen_feet = Exact::fraction(778, 1000)
        .times(diameter_in.squared()?)?
        .minus(Exact::fraction(1125, 1000).times(diameter_in)?)?
        .minus(Exact::fraction(13_482, 1000))?;
    Ok(sixteen_feet.times(length_ft)?.over(Exact::of(16))?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.small()?, measures.length);
    let exact = board_feet(diameter, length)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || format!("(0.778 × {diameter}² - 1.125 × {diameter} - 13.482) × {length} ÷ 16 = {shown} board feet, by a formula from memory"));
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
