//! Huber: the area at mid-length, times the length.
//!
//! - Measures: diameter at mid-length inside bark; length; inches and feet, or centimetres and metres.
//! - Formula: f × dm² × L, where f is 0.005454 for cubic feet or 0.00007854 for cubic metres.
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
    name: RuleName::Huber,
    title: "Huber",
    edition: "huber 1",
    editions: edition::STANDARD,
    takes: Takes::Middle,
    measures: "diameter at mid-length inside bark; length",
    formula: "f × dm² × L",
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

/// Cubic feet or cubic metres of a log by its middle diameter.
///
/// # Errors
///
/// [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::{System, huber};
/// let log = huber::volume(Exact::of(40), Exact::of(5), System::Metric)?;
/// assert_eq!(log.to_string(), "0.62832");
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn volume(middle: Exact, length: Exact, system: System) -> Result<Exact, ScaleProblem> {
    Ok(system.circle_factor().times(middle.squared()?)?.times(length)?)
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (middle, length) = (measures.middle()?, measures.length);
    let (unit, factor) = (measures.system.unit(), measures.system.circle_factor());
    let exact = volume(middle, length, measures.system)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || format!("{factor} × {middle}² × {length} = {shown} {}", plural(unit)));
        formula(&FACTS, says).figure("gross_unrounded", exact, unit)
    });
    Ok(Content { exact, rounding: None, unit })
}
