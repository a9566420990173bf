//! Blodgett: a log is counted in cylinders 16 inches through and a foot long, and those in thousands of board feet.
//!
//! - Measures: diameter at mid-length inside bark, in whole inches; length in feet.
//! - Formula: D² × L / 256 units; a fixed number of units makes a thousand board feet. All from memory.
//! - Editions: `hundred`, taken where none is named, `hundred-six` and `hundred-fifteen`; all three numbers are recalled.
//! - Range: 6 to 48 inches and lengths up to 40 feet: a recalled formula is not carried further.
//! - Rounding: to the nearest board foot, a half up: our own choice, none is known.
//! - Jurisdiction: New Hampshire, formerly; no law fixes log scaling there today.
//! - Source: described in the Woodsman's Handbook, Forest Service Bulletin 36, p. 32; the figures are from memory.

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
    name: RuleName::Blodgett,
    title: "Blodgett (New Hampshire)",
    edition: "blodgett 1",
    editions: &[
        Edition {
            name: EditionName::Hundred,
            what: "a hundred units to the thousand board feet",
            source: "from memory",
            from_memory: true,
        },
        Edition {
            name: EditionName::HundredSix,
            what: "a hundred and six units to the thousand board feet",
            source: "from memory",
            from_memory: true,
        },
        Edition {
            name: EditionName::HundredFifteen,
            what: "a hundred and fifteen units to the thousand board feet",
            source: "from memory",
            from_memory: true,
        },
    ],
    takes: Takes::Middle,
    measures: "diameter at mid-length inside bark, in whole inches; length in feet",
    formula: "D² × L ÷ 256 units, so many to the thousand board feet",
    range: recalled::RANGE,
    rounding: "to the nearest board foot, a half up: our own choice",
    jurisdiction: "New Hampshire, formerly; no law fixes log scaling there today",
    source: "figures from memory; not checked against print",
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
/// use scaling::rules::blodgett::board_feet;
/// assert_eq!(board_feet(Exact::of(16), Exact::of(10), EditionName::Hundred)?.to_string(), "100");
/// assert!(board_feet(Exact::of(5), Exact::of(10), EditionName::Hundred).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn board_feet(diameter_in: Exact, length_ft: Exact, edition: EditionName) -> Result<Exact, ScaleProblem> {
    recalled::check(FACTS.name, diameter_in, length_ft)?;
    let units = diameter_in.squared()?.times(length_ft)?.over(Exact::of(256))?;
    Ok(units.times(Exact::of(1000))?.over(units_a_thousand(edition))?)
}

/// How many units make a thousand board feet.
const fn units_a_thousand(edition: EditionName) -> Exact {
    match edition {
        EditionName::HundredSix => Exact::of(106),
        EditionName::HundredFifteen => Exact::of(115),
        _ => Exact::of(100),
    }
}

pub(super) fn content(
    measures: &Measures<'_>,
    choice: Choice,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (diameter, length, edition) = (measures.middle()?, measures.length, choice.edition(&FACTS));
    let exact = board_feet(diameter, length, edition)?;
    let shown = Plain(exact);
    recorder.record(|| {
        let units = units_a_thousand(edition);
        let says = later(move || {
            format!(
                "{diameter}² × {length} ÷ 256 × 1000 ÷ {units} = {shown} board feet, by a formula from memory"
            )
        });
        formula_of_edition(&FACTS, edition, says).figure("gross_unrounded", exact, VolumeUnit::BoardFoot)
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
