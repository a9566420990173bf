//! Doyle-Scribner: Doyle for logs up to 28 inches, Scribner above, which is the lower of the two nearly
//! everywhere.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: [`doyle`] up to 28 inches, [`scribner`] above. The second is
//!   from memory.
//! - Range: more than 4 inches. The rule is defined between tables of whole inches: with fractions of an inch
//!   just above 28 it falls a little before it rises again.
//! - Rounding: to the nearest board foot, a half up.
//! - Jurisdiction: contracts; older laws that say "Scribner-Doyle" often mean plain Doyle, so settle which is
//!   meant.
//! - Source: the definition is from collected glossaries; the Scribner part is a formula from memory.

use kernel::{Exact, VolumeUnit};

use super::{
    Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, doyle, edition, formula, scribner,
};
use crate::ScaleProblem;
use crate::says::later;
use crate::working::{Plain, Recorder};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::DoyleScribner,
    title: "Doyle-Scribner",
    edition: "doyle-scribner 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "Doyle to 28 inches, Scribner's formula above",
    range: "more than 4 inches",
    rounding: "to the nearest board foot, a half up",
    jurisdiction: "by contract",
    source: "definition from collected glossaries; Scribner part from memory",
    from_memory: true,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

/// The largest diameter that Doyle scales, in inches.
const LAST_DOYLE_IN: Exact = Exact::of(28);

/// Board feet before rounding.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] at 4 inches and below.
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::{doyle, doyle_scribner, scribner};
/// let sixteen = Exact::of(16);
/// let (last, next) = (Exact::of(28), Exact::of(29));
/// assert_eq!(doyle_scribner::board_feet(last, sixteen)?, doyle::board_feet(last, sixteen)?);
/// assert_eq!(doyle_scribner::board_feet(next, sixteen)?, scribner::board_feet(next, sixteen)?);
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    if diameter_in > LAST_DOYLE_IN {
        return scribner::board_feet(diameter_in, length_ft);
    }
    doyle::board_feet(diameter_in, length_ft).map_err(|problem| match problem {
        ScaleProblem::OutsideRule { what, value, unit, range, .. } => {
            ScaleProblem::OutsideRule { rule: RuleName::DoyleScribner, what, value, unit, range }
        }
        other => other,
    })
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length) = (measures.small()?, measures.length);
    let exact = board_feet(diameter, length)?;
    let above = diameter > LAST_DOYLE_IN;
    let shown = Plain(exact);
    recorder.record(|| {
        let says = later(move || {
            if above {
                format!(
                    "{diameter} inches is above 28, so Scribner: (0.79 × {diameter}² - 2 × {diameter} - 4) \
                    × {length} ÷ 16 = {shown} board feet, by a formula from memory"
                )
            } else {
                format!(
                    "{diameter} inches is not above 28, so Doyle: ({diameter} - 4)² × {length} ÷ 16 = \
                    {shown} board feet"
                )
            }
        });
        formula(&FACTS, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot).recalled(above)
    });
    Ok(Content { exact, rounding: Some(doyle::ROUNDING), unit: VolumeUnit::BoardFoot })
}
