//! Vermont: half the square of the diameter for 12 feet; longer logs by sections of 12 feet, each by its own
//! top.
//!
//! - Measures: average top diameter inside bark, in whole inches: a fraction under a half is dropped, over a
//!   half counts whole. Exactly a half is not covered by the statute's words, so the contract's practice
//!   decides it.
//! - Formula: D × D/2 board feet for 12 feet, in proportion for other lengths: D² × L / 24.
//! - Logs over 12 feet: sections of 12 feet and a fractional one, from the upper end, each with its own top
//!   diameter. They must be measured, or be taken from even taper between the ends; one top diameter for the
//!   whole log would undervalue it.
//! - Range: any size.
//! - Rounding: none is written; to the nearest board foot, half up, is our own choice.
//! - Jurisdiction: Vermont, one of two lawful rules.
//! - Source: 9 V.S.A. 2693 (1967, No. 102). D² L / 24 is also the board feet of the inscribed square.

use kernel::{Exact, Rounding, VolumeUnit};

use super::{Content, Measures, QUARTER_INCH_KERF, RuleFacts, RuleName, Takes, edition, formula};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{FigureUnit, RoundTo, ScaleProblem, Step, StepKind};

/// What is known about the rule.
pub const FACTS: RuleFacts = RuleFacts {
    name: RuleName::Vermont,
    title: "Vermont",
    edition: "vermont 1",
    editions: edition::STANDARD,
    takes: Takes::SmallEndOfEachSection,
    measures: "average top diameter inside bark of each section of 12 feet or less, in whole inches; length \
        in feet",
    formula: "each section D² × L ÷ 24 board feet",
    range: "any size",
    rounding: "to the nearest board foot, a half up: our own choice, none is written",
    jurisdiction: "Vermont",
    source: "9 V.S.A. 2693 (1967)",
    from_memory: false,
    units: &[VolumeUnit::BoardFoot],
    is_table: false,
    whole_inches: true,
    solid: false,
    kerf_in: QUARTER_INCH_KERF,
};

const SECTION_FT: Exact = Exact::of(12);
const ROUNDING: RoundTo = RoundTo::fixed(Exact::ONE, Rounding::HalfUp);

/// Board feet of one section of at most 12 feet, before rounding.
///
/// # Errors
///
/// [`ScaleProblem::OutsideRule`] past 12 feet, [`ScaleProblem::TooLarge`].
///
/// ```
/// use kernel::Exact;
/// use scaling::rules::vermont::section_board_feet;
/// assert_eq!(section_board_feet(Exact::of(16), Exact::of(12))?, Exact::of(128));
/// assert!(section_board_feet(Exact::of(16), Exact::of(14)).is_err());
/// # Ok::<(), scaling::ScaleProblem>(())
/// ```
pub fn section_board_feet(diameter_in: Exact, length_ft: Exact) -> Result<Exact, ScaleProblem> {
    if length_ft > SECTION_FT {
        return Err(ScaleProblem::OutsideRule {
            rule: RuleName::Vermont,
            what: "a section",
            value: length_ft,
            unit: "feet",
            range: "sections of at most 12 feet",
        });
    }
    Ok(diameter_in.squared()?.times(length_ft)?.over(Exact::of(24))?)
}

/// The top diameter of the section that begins `start` feet below the small end.
fn top_diameter(
    measures: &Measures<'_>,
    place: usize,
    start: Exact,
    needed: i128,
) -> Result<Exact, ScaleProblem> {
    if let Some(sections) = measures.sections {
        let given = sections.len();
        let count = ScaleProblem::SectionCount { length_ft: measures.length, needed, given };
        return sections.get(place).copied().ok_or(count);
    }
    let small = measures.small()?;
    if start.is_zero() {
        return Ok(small);
    }
    let large =
        measures.large.ok_or(ScaleProblem::SectionDiametersNeeded { length_ft: measures.length, needed })?;
    let diameter = small.plus(large.minus(small)?.times(start)?.over(measures.length)?)?;
    match measures.taper_rounding {
        Some(round_to) => Ok(round_to.apply(diameter)?),
        None => Ok(diameter),
    }
}

/// How many sections a length has: the whole twelves, and one for what is over.
fn section_count(length: Exact) -> Result<i128, ScaleProblem> {
    let twelves = length.over(SECTION_FT)?;
    Ok(twelves.whole().unwrap_or_else(|| twelves.floor() + 1))
}

pub(super) fn content(
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    content_under(&FACTS, measures, recorder)
}

/// The rule under the name and with the source of the one it is asked for as.
pub(super) fn content_under(
    facts: &'static RuleFacts,
    measures: &Measures<'_>,
    recorder: &mut impl Recorder,
) -> Result<Content, ScaleProblem> {
    let (length, needed) = (measures.length, section_count(measures.length)?);
    if let Some(sections) = measures.sections
        && usize::try_from(needed) != Ok(sections.len())
    {
        return Err(ScaleProblem::SectionCount { length_ft: length, needed, given: sections.len() });
    }
    let (mut start, mut exact, mut place) = (Exact::ZERO, Exact::ZERO, 0);
    while start < length {
        let diameter = top_diameter(measures, place, start, needed)?;
        let section = length.minus(start)?.min(SECTION_FT);
        let volume = section_board_feet(diameter, section)?;
        recorder.record(|| {
            Step::new(
                StepKind::Section,
                later(move || {
                    format!(
                        "section of {section} feet from {diameter} inches: {diameter}² × {section} ÷ 24 = \
                        {volume} board feet"
                    )
                }),
            )
            .figure("diameter_in", diameter, FigureUnit::Inch)
            .figure("length_ft", section, FigureUnit::Foot)
            .figure("section_volume", volume, VolumeUnit::BoardFoot)
            .rounded(if place == 0 || measures.sections.is_some() { None } else { measures.taper_rounding })
            .source(facts.source)
            .recalled(facts.from_memory)
        });
        exact = exact.plus(volume)?;
        start = start.plus(section)?;
        place += 1;
    }
    let shown = Plain(exact);
    recorder.record(|| {
        formula(facts, later(move || format!("the sections together make {shown} board feet"))).figure(
            "gross_unrounded",
            exact,
            VolumeUnit::BoardFoot,
        )
    });
    Ok(Content { exact, rounding: Some(ROUNDING), unit: VolumeUnit::BoardFoot })
}
