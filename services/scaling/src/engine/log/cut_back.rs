//! Holds the top of a log against the least one, and cuts the log back where the contract has it so.

use kernel::Exact;

use crate::practice::{LeastTop, SmallTop};
use crate::rules::{Measures, Takes};
use crate::says::later;
use crate::working::{FeetAndInches, Plain, Recorder};
use crate::{FigureUnit, InchFootLog, LogPractice, ScaleProblem, Step, StepKind};

const SOURCE: &str =
    "narrow way under the least top cuts the log back by length classes: Idaho Board of Scaling Practices";

/// What the least top makes of a log.
pub(super) enum Top {
    /// Nothing: there is no limit, or the log meets it.
    LargeEnough,
    /// A shorter log, by its new small end and scaling length; so many feet came off.
    CutBack { small: Exact, length: Exact, cut: Exact },
    /// Cull, for this reason.
    TooSmall(String),
}

/// How the two diameters of a log grow with each foot from the small end.
struct Growth {
    narrow_way: Exact,
    average: Exact,
}

pub(super) fn top(
    practice: &LogPractice,
    sizes: &InchFootLog,
    measures: &Measures<'_>,
    measured: Exact,
    recorder: &mut impl Recorder,
) -> Result<Top, ScaleProblem> {
    let Some(least) = practice.least_top else { return Ok(Top::LargeEnough) };
    let narrow_way = sizes.small_diameter_in.narrow_way();
    if least.met_by(narrow_way) {
        return Ok(Top::LargeEnough);
    }
    let found = match least.below {
        SmallTop::CutBack => shorter(practice, sizes, measures, measured)?,
        SmallTop::Cull => None,
    };
    let Some((small, shorter, cut)) = found else {
        let reason = too_small(&least, narrow_way);
        recorder.record(|| {
            Step::new(StepKind::LeastSize, format!("cull: {reason}"))
                .figure("narrow_way_in", narrow_way, FigureUnit::Inch)
                .figure("least_top_in", least.narrow_way_in.exact(), FigureUnit::Inch)
        });
        return Ok(Top::TooSmall(reason));
    };
    recorder.record(|| {
        let limit = least.narrow_way_in;
        let says = later(move || format!(
            "cut back: {narrow_way} inches the narrow way is under the least top of {limit}; {} off the small end \
            it is large enough, {} inches there, and the log scales as {shorter} feet",
            FeetAndInches(cut),
            Plain(small)
        ));
        Step::new(StepKind::CutBack, says)
            .figure("cut_back", cut, FigureUnit::Foot)
            .figure("diameter", small, FigureUnit::Inch)
            .figure("scaling_length", shorter, FigureUnit::Foot)
            .rounded(practice.worked_out_rounding())
            .source(SOURCE)
    });
    Ok(Top::CutBack { small, length: shorter, cut })
}

fn too_small(least: &LeastTop, narrow_way: Exact) -> String {
    let limit = least.narrow_way_in;
    format!("{narrow_way} inches the narrow way is under the least top of {limit} inches")
}

/// The longest shorter class whose top is large enough: its small end, its length, and what comes off. Nothing where
/// the taper is not known, or where the rule is entered with the middle, which such a cut would move.
fn shorter(
    practice: &LogPractice,
    sizes: &InchFootLog,
    measures: &Measures<'_>,
    measured: Exact,
) -> Result<Option<(Exact, Exact, Exact)>, ScaleProblem> {
    let by_ends = matches!(
        practice.applied().takes(),
        Takes::SmallEnd | Takes::SmallEndOfEachSection | Takes::Ends | Takes::MiddleOrEnds
    ) && measures.middle.is_none();
    let (Some(least), Some(growth)) = (practice.least_top, growth(practice, sizes, measured)?) else {
        return Ok(None);
    };
    if !by_ends {
        return Ok(None);
    }
    let step = practice.length_multiple_ft.feet();
    let trim = practice.least_trim_in.exact().over(Exact::of(12))?;
    let mut class = measures.length.minus(step)?;
    while class > Exact::ZERO {
        let cut = measured.minus(class)?.minus(trim)?.max(Exact::ZERO);
        let at = |top: Exact, growth: Exact| top.plus(growth.times(cut)?);
        let narrow_way = at(sizes.small_diameter_in.narrow_way(), growth.narrow_way)?;
        if least.met_by(narrow_way) {
            let average = at(sizes.small_diameter_in.average()?, growth.average)?;
            let small = match practice.worked_out_rounding() {
                Some(round_to) => round_to.apply(average)?,
                None => average,
            };
            return Ok(Some((small, class, cut)));
        }
        class = class.minus(step)?;
    }
    Ok(None)
}

/// Even taper between the ends as they were read, or else the assumed one.
fn growth(
    practice: &LogPractice,
    sizes: &InchFootLog,
    measured: Exact,
) -> Result<Option<Growth>, ScaleProblem> {
    let top = sizes.small_diameter_in;
    if let Some(butt) = sizes.butt_diameter_in.or(sizes.large_diameter_in) {
        let a_foot = |top: Exact, butt: Exact| butt.minus(top)?.over(measured);
        return Ok(Some(Growth {
            narrow_way: a_foot(top.narrow_way(), butt.narrow_way())?,
            average: a_foot(top.average()?, butt.average()?)?,
        }));
    }
    let Some(assumed) = practice.taper_in_per_feet else { return Ok(None) };
    let a_foot = assumed.inches_a_foot()?;
    Ok(Some(Growth { narrow_way: a_foot, average: a_foot }))
}
