//! What the two International rules share: sections of 4 feet, each half an inch thicker than the one above
//! it.
//!
//! The log is divided from the small end. A last section shorter than 4 feet lies at the large end and counts
//! pro rata; laying it at the small end would give the same rounded figure in every printed cell that tests
//! it.

use kernel::{Exact, VolumeUnit};

use super::{EditionName, Measures, RuleName};
use crate::working::{Plain, Recorder};
use crate::{FigureUnit, ScaleProblem, Step, StepKind};

const SECTION_FT: Exact = Exact::of(4);
const TAPER_IN: Exact = Exact::fraction(1, 2);
/// Below this the section formula soon gives nothing, and then less.
const LEAST_DIAMETER_IN: Exact = Exact::of(4);
pub(super) const RANGE: &str = "4 inches or more";

/// Board feet of the whole log at a kerf of an eighth of an inch, before rounding: the sum over the sections
/// of (0.22 D² - 0.71 D), D being the top diameter of each.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] below 4 inches.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::international::at_eighth_inch_kerf;
/// // Two sections: the closed form is 0.44 D² - 1.20 D - 0.30.
/// let eight_feet = at_eighth_inch_kerf(Exact::of(10), Exact::of(8))?;
/// assert_eq!(eight_feet, Exact::fraction(317, 10));
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn at_eighth_inch_kerf(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    sections(RuleName::InternationalEighthInch, diameter_in, length_ft, Exact::ONE, |_, _, _| ())
}

/// Adds up the sections, showing each to `see` as top diameter, length and board feet.
pub(super) fn sections(
    rule: RuleName,
    diameter_in: Exact,
    length_ft: Exact,
    kerf_factor: Exact,
    mut see: impl FnMut(Exact, Exact, Exact),
) -> Result<Exact, ScaleProblem> {
    if diameter_in < LEAST_DIAMETER_IN {
        return Err(ScaleProblem::OutsideRule {
            rule,
            what: "a diameter",
            value: diameter_in,
            unit: "inches",
            range: RANGE,
        });
    }
    let (mut diameter, mut left, mut sum) = (diameter_in, length_ft, Exact::ZERO);
    while left > Exact::ZERO {
        let length = left.min(SECTION_FT);
        let volume = section(diameter, length)?.times(kerf_factor)?;
        see(diameter, length, volume);
        sum = sum.plus(volume)?;
        left = left.minus(length)?;
        diameter = diameter.plus(TAPER_IN)?;
    }
    Ok(sum)
}

/// One section: the formula for 4 feet, in proportion to its length.
fn section(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    let whole = Exact::fraction(22, 100)
        .times(diameter_in.squared()?)?
        .minus(Exact::fraction(71, 100).times(diameter_in)?)?;
    Ok(whole.times(length_ft)?.over(SECTION_FT)?)
}

/// Scales a log and takes its sections down.
pub(super) fn recorded(
    rule: RuleName,
    edition: Option<EditionName>,
    kerf_factor: Exact,
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let facts = rule.facts();
    let exact =
        sections(rule, measures.small()?, measures.length, kerf_factor, |diameter, length, volume| {
            recorder.record(|| {
            let kerf = if kerf_factor == Exact::ONE { String::new() } else { format!(" × {kerf_factor}") };
            let says = format!(
                "section of {length} feet from {diameter} inches: (0.22 × {diameter}² - 0.71 × {diameter}) \
                    × {length} ÷ 4{kerf} = {volume} board feet"
            );
            Step::new(StepKind::Section, says)
                .figure("diameter_in", diameter, FigureUnit::Inch)
                .figure("length_ft", length, FigureUnit::Foot)
                .figure("section_volume", volume, VolumeUnit::BoardFoot)
                .source(facts.source)
        });
        })?;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = format!("the sections together make {shown} board feet");
        let step = match edition {
            Some(edition) => super::formula_of_edition(facts, edition, says),
            None => super::formula(facts, says),
        };
        step.figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(exact)
}
