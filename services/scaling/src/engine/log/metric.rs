//! Scales a log measured in centimetres and metres, under a metric contract.

use kernel::{Exact, VolumeUnit};

use super::{reads, standing, terms};
use crate::engine::{Scale, Scaled, Stretch, by_rule, cull};
use crate::practice::MetricTerms;
use crate::rules::{Measures, System};
use crate::says::later;
use crate::working::{Plain, Recorder};
use crate::{
    Centimetres, FigureUnit, Grade, Log, LogPractice, MetricLog, Readings, RoundTo, ScaleProblem, Step,
    StepKind,
};

pub(super) fn scaled(
    practice: &LogPractice,
    log: &Log,
    sizes: &MetricLog,
    recorder: &mut impl Recorder,
) -> Result<Scaled, ScaleProblem> {
    let metric = practice.metric.unwrap_or_default();
    let mut read = |place: &'static str, readings: Option<Readings<Centimetres>>| {
        readings.map(|readings| diameter(&metric, place, readings, recorder)).transpose()
    };
    let takes = practice.applied().takes();
    let (of_small, of_middle, of_large) = reads(takes, sizes.middle_diameter_cm.is_some());
    let middle = if of_middle { read("middle", sizes.middle_diameter_cm)? } else { None };
    let small = if of_small { read("small end", Some(sizes.small_diameter_cm))? } else { None };
    let large = if of_large { read("large end", sizes.large_diameter_cm)? } else { None };
    let measured = sizes.length_m.exact();
    let length = length(&metric, measured, recorder)?;
    let measures = Measures { small, middle, large, system: System::Metric, ..Measures::of_length(length) };
    let diameter = measures.scaling_diameter(takes)?;
    let too_small = least_size(&metric, diameter, length, recorder);
    let outcome = if length.is_zero() {
        Err(ScaleProblem::TooShortMetric { length_m: measured })
    } else {
        let mut terms = terms(practice);
        terms.choice.unit = Some(VolumeUnit::CubicMetre);
        let stretch = Stretch::whole(length, measured);
        by_rule(practice.applied(), &measures, stretch, &terms, &log.defects, recorder)
    };
    let scale = standing(outcome, too_small.is_some(), recorder)?;
    let cull = cull::reason(practice, too_small, scale.as_ref(), recorder)?;
    Ok(Scaled {
        scaling_diameter_cm: Some(diameter),
        scaling_length_m: Some(length),
        volume: scale.as_ref().map(Scale::volume),
        grade: log.grade.as_ref().map(Grade::to_string),
        cull,
        ..Scaled::default()
    })
}

fn apply(rounding: Option<RoundTo>, value: Exact) -> Result<Exact, ScaleProblem> {
    match rounding {
        Some(round_to) => Ok(round_to.apply(value)?),
        None => Ok(value),
    }
}

fn in_words(rounding: Option<RoundTo>) -> String {
    rounding.map_or_else(|| "as it is".to_owned(), |round_to| round_to.to_string())
}

fn diameter(
    metric: &MetricTerms,
    place: &'static str,
    readings: Readings<Centimetres>,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let average = readings.average()?;
    let diameter = apply(metric.diameter_rounding_cm, average)?;
    recorder.record(|| {
        let first = readings.first();
        let rounding = metric.diameter_rounding_cm;
        let says = later(move || {
            let read = match readings.second() {
                Some(second) => format!("{place}: {first} and {second} centimetres average {average}"),
                None => format!("{place}: {first} centimetres"),
            };
            format!("{read}, taken as {diameter} ({})", in_words(rounding))
        });
        Step::new(StepKind::Diameter, says)
            .figure("first_reading", first.exact(), FigureUnit::Centimetre)
            .maybe_figure(
                "second_reading",
                readings.second().map(|second| second.exact()),
                FigureUnit::Centimetre,
            )
            .figure("average", average, FigureUnit::Centimetre)
            .figure("diameter", diameter, FigureUnit::Centimetre)
            .rounded(rounding)
    });
    Ok(diameter)
}

/// The trim off, and the rest rounded.
fn length(
    metric: &MetricTerms,
    measured: Exact,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let trim = metric.least_trim_cm.map_or(Exact::ZERO, |trim| trim.exact());
    let trimmed = measured.minus(trim.over(Exact::of(100))?)?.max(Exact::ZERO);
    let length = apply(metric.length_rounding_m, trimmed)?;
    recorder.record(|| {
        let rounding = metric.length_rounding_m;
        let says = later(move || {
            format!(
                "{measured} metres less {trim} centimetres of trim is {}, taken as {length} ({})",
                Plain(trimmed),
                in_words(rounding)
            )
        });
        Step::new(StepKind::Length, says)
            .figure("measured_length", measured, FigureUnit::Metre)
            .figure("scaling_length", length, FigureUnit::Metre)
            .rounded(rounding)
    });
    Ok(length)
}

/// Holds a log against the least size of its contract.
fn least_size(
    metric: &MetricTerms,
    diameter: Exact,
    length: Exact,
    recorder: &mut impl Recorder,
) -> Option<String> {
    let thin = metric.least_diameter_cm.filter(|least| diameter < least.exact());
    let short = metric.least_length_m.filter(|least| length < least.exact());
    let reason = match (thin, short) {
        (Some(least), _) => {
            format!("{diameter} centimetres is under the least diameter of {least} centimetres")
        }
        (None, Some(least)) => format!("{length} metres is under the least length of {least} metres"),
        (None, None) => return None,
    };
    recorder.record(|| {
        Step::new(StepKind::LeastSize, format!("cull: {reason}"))
            .figure("diameter", diameter, FigureUnit::Centimetre)
            .figure("length", length, FigureUnit::Metre)
    });
    Some(reason)
}
