//! Smalian: the mean of the two end areas, times the length.
//!
//! - Measures: diameters of both ends inside bark; length; inches and feet, or centimetres and metres.
//! - Formula: f × (ds² + dl²) × L / 2, where f is 0.005454 for cubic feet or 0.00007854 for cubic metres.
//! - Range: any size.
//! - Rounding: none. Readings are taken as they are, unless a contract asks for whole inches.
//! - Jurisdiction: general cubic scaling.
//! - Source: Briggs, Forest Products Measurements and Conversion Factors, table 2-1.

use kernel::{Exact, VolumeUnit};

use super::{Content, Measures, NO_KERF, RuleFacts, RuleName, System, Takes, edition, formula};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Smalian,
    title: "Smalian",
    edition: "smalian 1",
    editions: edition::STANDARD,
    takes: Takes::Ends,
    measures: "diameters of both ends inside bark; length",
    formula: "f × (ds² + dl²) × L ÷ 2",
    range: "any size",
    rounding: "none",
    jurisdiction: "general cubic scaling",
    source: "Briggs, Forest Products Measurements and Conversion Factors, table 2-1",
    from_memory: false,
    units: &[VolumeUnit::CubicFoot, VolumeUnit::CubicMetre],
    is_table: false,
    whole_inches: false,
    solid: true,
    kerf_in: NO_KERF,
};

/// Cubic feet or cubic metres of a log by its two end diameters.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::{System, smalian};
/// let log = smalian::volume(Exact::of(12), Exact::of(16), Exact::of(16), System::Inch)?;
/// assert_eq!(log.to_string(), "17.4528");
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn volume(small: Exact, large: Exact, length: Exact, system: System) -> Result<Exact, ScaleProblem> {
    let squares = small.squared()?.plus(large.squared()?)?;
    // The small numbers first: what the factor's long denominator takes part in costs the most.
    Ok(squares.times(length)?.over(Exact::of(2))?.times(system.circle_factor())?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (small, large, length) = (measures.small()?, measures.large()?, measures.length);
    let (unit, factor) = (measures.system.unit(), measures.system.circle_factor());
    let exact = volume(small, large, length, measures.system)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || {
            format!("{factor} × ({small}² + {large}²) × {length} ÷ 2 = {shown} {}", plural(unit))
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, unit)
    });
    Ok(Content { exact, rounding: None, unit })
}
