//! Adirondack market: a log is counted in standard logs of 13 feet, five of which make a thousand board feet.
//!
//! - Measures: diameter of the small end inside bark, in whole inches; length in feet.
//! - Formula: (D / 19)² × L / 13 markets of 200 board feet each; the square is from memory, the proportion and the constants
//!   are not. A market is one log of the standard size.
//! - Editions: `nineteen-inch`, taken where none is named, and `twenty-two-inch` of the Saranac basin.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: to the nearest board foot, a half up: our own choice, none is known.
//! - Jurisdiction: Adirondacks, formerly.
//! - Source: Adirondack Almanack, lumber scaling rules and tools (2014), for the constants; the square from memory.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{
    Choice, Content, Edition, EditionName, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes,
    formula_of_edition, recalled,
};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{RoundTo, ScaleProblem};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::AdirondackMarket,
    title: "Adirondack market (standard)",
    edition: "adirondack-market 1",
    editions: &[
        Edition {
            name: EditionName::NineteenInch,
            what: "a standard log of 19 inches",
            source: "Adirondack Almanack (2014)",
            from_memory: true,
        },
        Edition {
            name: EditionName::TwentyTwoInch,
            what: "a standard log of 22 inches, in the Saranac basin",
            source: "Adirondack Almanack (2014)",
            from_memory: true,
        },
    ],
    takes: Takes::SmallEnd,
    measures: "diameter of the small end inside bark, in whole inches; length in feet",
    formula: "200 × (D ÷ 19)² × L ÷ 13 board feet",
    range: recalled::RANGE,
    rounding: "to the nearest board foot, a half up: our own choice",
    jurisdiction: "Adirondacks, formerly",
    source: "constants from the Adirondack Almanack (2014); the square from memory",
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
/// use scaling::EditionName;
/// use scaling::rules::adirondack_market::board_feet;
/// assert_eq!(board_feet(Exact::of(19), Exact::of(13), EditionName::NineteenInch)?.to_string(), "200");
/// assert!(board_feet(Exact::of(5), Exact::of(13), EditionName::NineteenInch).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact, edition: EditionName) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, diameter_in, length_ft)?;
    let of_the_standard = diameter_in.over(standard_in(edition))?;
    let market = Exact::of(200);
    Ok(of_the_standard.squared()?.times(length_ft)?.over(Exact::of(13))?.times(market)?)
}

/// The diameter of the standard log, in inches.
const fn standard_in(edition: EditionName) -> Exact {
    match edition {
        EditionName::TwentyTwoInch => Exact::of(22),
        _ => Exact::of(19),
    }
}

pub(super) fn content(
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length, edition) = (measures.small()?, measures.length, choice.edition(&FACTS));
    let exact = board_feet(diameter, length, edition)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let standard = standard_in(edition);
        let says = later(move || format!(
            "200 × ({diameter} ÷ {standard})² × {length} ÷ 13 = {shown} board feet, by a formula from memory"
        ));
        formula_of_edition(&FACTS, edition, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
