//! Scales a log: readings, scaling length, least size, segments, rule, defects, cull.

mod cut_back;
mod diameter;
mod division;
mod metric;
mod scaling_length;
mod segments;

use kernel::Exact;

use self::cut_back::Top;
use super::deduction::in_words;
use super::{LossTerms, Scale, Scaled, Stretch, Terms, Turns, by_rule, cull};
use crate::piece::total_feet;
use crate::practice::{MeasuringSystem, Sources};
use crate::rules::{Choice, Measures, System, Takes};
use crate::working::Recorder;
use crate::{Grade, InchFootLog, Log, LogPractice, LogSizes, Readings, ScaleProblem, Step, StepKind};

pub(super) fn scaled(
    practice: &LogPractice,
    log: &Log,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let other = |member, measured, contract| {
        let (measured, contract) = (in_words(measured), in_words(contract));
        Err(ScaleProblem::OtherSystem { member, measured, contract })
    };
    match (practice.system, &log.sizes) {
        (MeasuringSystem::InchFoot, LogSizes::InchFoot(sizes)) => {
            in_inches_and_feet(practice, log, sizes, turns, recorder)
        }
        (MeasuringSystem::Metric, LogSizes::Metric(sizes)) => metric::scaled(practice, log, sizes, recorder),
        (MeasuringSystem::InchFoot, LogSizes::Metric(_)) => {
            other("small_diameter_cm", System::Metric, System::Inch)
        }
        (MeasuringSystem::Metric, LogSizes::InchFoot(_)) => {
            other("small_diameter_in", System::Inch, System::Metric)
        }
    }
}

/// A log whose length and top are settled, ready to be scaled by its rule.
struct Settled<'a> {
    practice: &'a LogPractice,
    log: &'a Log,
    sizes: &'a InchFootLog,
    measures: &'a Measures<'a>,
    /// The length as measured, and what of it was cut back at the small end, in feet.
    measured: Exact,
    cut_back: Exact,
}

fn in_inches_and_feet(
    practice: &LogPractice,
    log: &Log,
    sizes: &InchFootLog,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let measured = total_feet(sizes.length_ft, sizes.length_in)?;
    let mut measures = Measures::of_length(Exact::ZERO);
    read_diameters(&mut measures, practice, sizes, turns, recorder)?;
    let (length, too_short) = match scaling_length::scaling_length(practice, measured, recorder) {
        Ok(length) => (length, None),
        // A log below the contract's least length is cull, not a problem, even where it makes no length
        // class.
        Err(problem) if practice.least_length_ft.is_some() => (Exact::ZERO, Some(problem)),
        Err(problem) => return Err(problem),
    };
    measures.length = length;
    let (cut_back, small_top) = match cut_back::top(practice, sizes, &measures, measured, recorder)? {
        Top::LargeEnough => (Exact::ZERO, None),
        Top::CutBack { small, length, cut } => {
            (measures.small, measures.length) = (Some(small), length);
            (cut, None)
        }
        Top::TooSmall(reason) => (Exact::ZERO, Some(reason)),
    };
    let length = measures.length;
    let scaling_diameter = measures.scaling_diameter(practice.applied().takes())?;
    let too_small = small_top.or_else(|| cull::least_size(practice, scaling_diameter, length, recorder));
    let settled = Settled { practice, log, sizes, measures: &measures, measured, cut_back };
    let outcome = match too_short {
        Some(problem) => Err(problem),
        None => segments::scaled(&settled, turns, recorder),
    };
    let scale = standing(outcome, too_small.is_some(), recorder)?;
    let cull = cull::reason(practice, too_small, scale.as_ref(), recorder)?;
    Ok(Scaled {
        scaling_diameter_in: Some(scaling_diameter),
        scaling_length_ft: Some(length),
        volume: scale.as_ref().map(Scale::volume),
        grade: log.grade.as_ref().map(Grade::to_string),
        cull,
        ..Scaled::default()
    })
}

/// The scale that stands; none of a log that is too small for its contract and for the rule too.
fn standing(
    outcome: Result<Scale, ScaleProblem>,
    too_small: bool,
    recorder: &mut impl Recorder,
) -> Result<Option<Scale>, ScaleProblem> {
    match outcome {
        Ok(scale) => Ok(Some(scale)),
        Err(problem) if too_small && below_the_rule(&problem) => {
            recorder.record(|| Step::new(StepKind::NoVolume, format!("no volume: {problem}")));
            Ok(None)
        }
        Err(problem) => Err(problem),
    }
}

/// Whether a rule stops short of so small a log, which is no matter when the log is cull for its size anyway.
const fn below_the_rule(problem: &ScaleProblem) -> bool {
    matches!(
        problem,
        ScaleProblem::OutsideRule { .. }
            | ScaleProblem::NotInTable { .. }
            | ScaleProblem::NotInOwnTable(_)
            | ScaleProblem::TooShort { .. }
            | ScaleProblem::TooShortMetric { .. }
    )
}

fn terms(practice: &LogPractice) -> Terms<'_> {
    let print_only = practice.sources == Sources::PrintOnly;
    Terms {
        choice: Choice {
            unit: practice.unit,
            printed_cells_only: practice.printed_cells_only || print_only,
            edition: practice.edition,
        },
        volume_rounding: practice.volume_rounding,
        deduction_rounding: practice.deduction_rounding,
        losses: LossTerms::Contract(practice),
    }
}

/// Scales one stretch of a settled log.
fn stretch_scale(
    settled: &Settled<'_>,
    measures: &Measures<'_>,
    stretch: Stretch,
    recorder: &mut impl Recorder,
) -> Result<Scale, ScaleProblem> {
    let practice = settled.practice;
    by_rule(practice.applied(), measures, stretch, &terms(practice), &settled.log.defects, recorder)
}

/// Which of its diameters a rule reads of a log: small end, middle, large end.
const fn reads(takes: Takes, has_middle: bool) -> (bool, bool, bool) {
    match takes {
        Takes::SmallEnd => (true, false, false),
        Takes::Middle => (false, true, false),
        Takes::MiddleOrEnds if has_middle => (false, true, false),
        Takes::EndsAndMiddle => (true, true, true),
        _ => (true, false, true),
    }
}

/// Fills in the diameters the rule takes, each averaged and rounded; a reading it does not take stays out.
fn read_diameters(
    measures: &mut Measures<'_>,
    practice: &LogPractice,
    sizes: &InchFootLog,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<(), ScaleProblem> {
    let mut read = |place: &'static str, readings: Option<Readings>| {
        readings.map(|readings| diameter::read(practice, place, readings, turns, recorder)).transpose()
    };
    let (of_small, of_middle, of_large) =
        reads(practice.applied().takes(), sizes.middle_diameter_in.is_some());
    if of_middle {
        measures.middle = read("middle", sizes.middle_diameter_in)?;
    }
    if of_small {
        measures.small = read("small end", Some(sizes.small_diameter_in))?;
    }
    if of_large {
        measures.large = read("large end", sizes.large_diameter_in)?;
    }
    measures.taper_rounding = practice.worked_out_rounding();
    Ok(())
}
