//! Scales a log as one, or segment by segment, each at its own small end; the sums come after the roundings.

use kernel::Exact;

use super::division::{self, Plan};
use super::{Settled, diameter, stretch_scale};
use crate::engine::{Scale, Stretch, Turns};
use crate::rules::{Measures, Takes};
use crate::says::later;
use crate::working::{Plain, Recorder, plural};
use crate::{FigureUnit, ScaleProblem, Step, StepKind};

const EVEN_TAPER: &str = "taper shared out equally among the segments: handbook practice, from memory";

#[inline]
pub(super) fn scaled(
    settled: &Settled<'_>,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<Scale, ScaleProblem> {
    let length = settled.measures.length;
    let whole = Stretch { cut_back: settled.cut_back, ..Stretch::whole(length, settled.measured) };
    match division::plan(settled.practice, length)? {
        None => stretch_scale(settled, settled.measures, whole, recorder),
        Some(plan) => divided(settled, plan, whole, turns, recorder),
    }
}

/// How the diameter grows along a log.
#[derive(Clone, Copy)]
enum Taper {
    /// From the top to the butt, in equal shares.
    Shared { top: Exact, butt: Exact, count: i128 },
    /// By so many inches a foot.
    Assumed { top: Exact, inches_a_foot: Exact },
}

impl Taper {
    /// The diameter at the small end of a segment that begins `start` feet from the top; after the last one, at the
    /// butt.
    fn at(self, segment: i128, start: Exact) -> Result<Exact, ScaleProblem> {
        Ok(match self {
            Self::Shared { top, butt, count } => {
                top.plus(butt.minus(top)?.times(Exact::of(segment))?.over(Exact::of(count))?)?
            }
            Self::Assumed { top, inches_a_foot } => top.plus(inches_a_foot.times(start)?)?,
        })
    }
}

fn divided(
    settled: &Settled<'_>,
    plan: Plan,
    whole: Stretch,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<Scale, ScaleProblem> {
    let (practice, measures) = (settled.practice, settled.measures);
    if !divides(practice.applied().takes(), measures) {
        let longest_ft = practice.longest_scaling_length_ft.exact();
        return Err(ScaleProblem::TooLong { length_ft: measures.length, longest_ft });
    }
    let taper = taper(settled, plan, turns, recorder)?;
    recorder.record(|| division_step(settled, plan));
    let (mut start, mut sum) = (Exact::ZERO, None);
    for segment in 0..plan.count {
        let length = plan.length(segment);
        let end = start.plus(length)?;
        let small = at(settled, taper, segment, start)?;
        let large = measures.large.map(|_| at(settled, taper, segment + 1, end)).transpose()?;
        recorder.record(|| segment_step(settled, taper, segment, plan.count, (small, length)));
        let part = Measures { small: Some(small), large, length, ..*measures };
        let scale = stretch_scale(settled, &part, Stretch { start, length, ..whole }, recorder)?;
        sum = Some(together(sum, scale)?);
        start = end;
    }
    let total =
        sum.ok_or(ScaleProblem::TooShort { length_ft: measures.length, shortest_ft: measures.length })?;
    record_total(&total, plan.count, recorder);
    Ok(total)
}

fn division_step(settled: &Settled<'_>, plan: Plan) -> Step {
    let (length, count) = (settled.measures.length, plan.count);
    let butt = if plan.is_even() { "" } else { ", the longer ones at the butt" };
    let remark = division::remark(settled.practice, length).unwrap_or_default();
    Step::new(StepKind::Division, format!("{length} feet are scaled as {count} segments{butt}{remark}"))
        .figure("segments", Exact::of(count), FigureUnit::Number)
        .source(
            "near-equal segments of even feet: Forest Service practice of the 1910s; Georgia 2-14-80; that the longer \
                ones lie at the butt is from memory",
        )
        .recalled(!plan.is_even())
}

/// Whether a log by this rule can be divided: its segments' middles are not measured.
const fn divides(takes: Takes, measures: &Measures<'_>) -> bool {
    match takes {
        Takes::SmallEnd | Takes::SmallEndOfEachSection | Takes::Ends => true,
        Takes::MiddleOrEnds => measures.middle.is_none(),
        _ => false,
    }
}

/// The taper by the butt where it was measured, otherwise the contract's assumed one.
fn taper(
    settled: &Settled<'_>,
    plan: Plan,
    turns: &mut Turns,
    recorder: &mut impl Recorder,
) -> Result<Taper, ScaleProblem> {
    let (practice, sizes) = (settled.practice, settled.sizes);
    let top = settled.measures.small()?;
    let butt = match (sizes.butt_diameter_in, settled.measures.large, sizes.large_diameter_in) {
        (Some(free_of_flare), ..) => {
            Some(diameter::read(practice, "butt, free of flare", free_of_flare, turns, recorder)?)
        }
        (None, Some(read_already), _) => Some(read_already),
        (None, None, Some(large)) => Some(diameter::read(practice, "large end", large, turns, recorder)?),
        (None, None, None) => None,
    };
    match (butt, practice.taper_in_per_feet) {
        (Some(butt), _) if butt < top => Err(ScaleProblem::ButtUnderTop { top_in: top, butt_in: butt }),
        (Some(butt), _) => Ok(Taper::Shared { top, butt, count: plan.count }),
        (None, Some(assumed)) => Ok(Taper::Assumed { top, inches_a_foot: assumed.inches_a_foot()? }),
        (None, None) => Err(ScaleProblem::MissingMeasurement {
            member: "large_diameter_in",
            reason: "the log is scaled in segments and the contract assumes no taper, so the large end, free of \
                flare, has to be measured",
        }),
    }
}

/// A segment's diameter as it is scaled: the top as it was read, every other one to the contract's inch.
fn at(settled: &Settled<'_>, taper: Taper, segment: i128, start: Exact) -> Result<Exact, ScaleProblem> {
    let exact = taper.at(segment, start)?;
    match settled.practice.taper_rounding() {
        Some(round_to) if segment > 0 => Ok(round_to.apply(exact)?),
        _ => Ok(exact),
    }
}

fn segment_step(
    settled: &Settled<'_>,
    taper: Taper,
    segment: i128,
    count: i128,
    (diameter, length): (Exact, Exact),
) -> Step {
    let number = segment + 1;
    let source = match taper {
        _ if segment == 0 => None,
        Taper::Shared { .. } => Some(EVEN_TAPER),
        Taper::Assumed { .. } => Some("the contract's assumed taper"),
    };
    let rounding = settled.practice.taper_rounding().filter(|_| segment > 0);
    let says = later(move || {
        let how = match taper {
            _ if segment == 0 => String::new(),
            Taper::Shared { top, butt, count } => {
                format!(": {segment}/{count} of the taper from {top} to {butt} inches")
            }
            Taper::Assumed { top, inches_a_foot } => {
                format!(": {top} and {inches_a_foot} inches more a foot")
            }
        };
        format!("segment {number} of {count} from the small end, {length} feet at {diameter} inches{how}")
    });
    let step = Step::new(StepKind::Segment, says)
        .figure("segment", Exact::of(number), FigureUnit::Number)
        .figure("length_ft", length, FigureUnit::Foot)
        .figure("diameter_in", diameter, FigureUnit::Inch)
        .rounded(rounding);
    match source {
        Some(source) => step.source(source).recalled(source == EVEN_TAPER),
        None => step,
    }
}

/// Two scales added up.
fn together(sum: Option<Scale>, scale: Scale) -> Result<Scale, ScaleProblem> {
    let Some(sum) = sum else { return Ok(scale) };
    Ok(Scale {
        unit: scale.unit,
        exact: sum.exact.plus(scale.exact)?,
        gross: sum.gross.plus(scale.gross)?,
        deduction: sum.deduction.plus(scale.deduction)?,
        net: sum.net.plus(scale.net)?,
    })
}

fn record_total(total: &Scale, count: i128, recorder: &mut impl Recorder) {
    let Scale { unit, gross, net, .. } = *total;
    recorder.record(|| {
        let says = later(move || format!("gross of the {count} segments: {} {}", Plain(gross), plural(unit)));
        Step::new(StepKind::Gross, says).figure("gross", gross, unit)
    });
    recorder.record(|| {
        let says = later(move || format!("net of the {count} segments: {} {}", Plain(net), plural(unit)));
        Step::new(StepKind::Net, says).figure("net", net, unit)
    });
}
