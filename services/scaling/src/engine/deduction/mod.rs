//! What each defect takes off: the methods of deduction, in the order that never takes the same wood twice.
//!
//! 1. What the contract counts as lowering the grade only is noted, and takes nothing off.
//! 2. Parts of the length that are given up go first, together, each in proportion to its length: V × l / L.
//!    Scaling the log again at the shorter length is the other published way; proportion is used for every
//!    rule, because a table need not have the shorter length. What lies in a part cut off goes with it.
//! 3. A ring of bad wood: the log is scaled again at D - 2t, and the loss counts for the length that is left.
//!    Of several rings the deepest holds the others.
//! 4. Everything else is reckoned on what then remains, each by itself, and added up. Squared defects whose places
//!    are known are taken to have one centre, the heart; the wood in which they overlap is given back, so that the
//!    sum is that of their union.
//!
//! A defect longer than what is left of the log counts for what is left; one longer than the log as measured
//! is refused. The sum does not depend on the order in which the scaler wrote the defects down, and is never more
//! than the gross.

mod cuts;
mod lie;
mod methods;
mod overlap;
mod wood;

use kernel::Exact;

pub(super) use wood::{DefectTerms, Methods, Wood};
pub(crate) use wood::{LossTerms, Stretch};

use crate::defect::Method;
use crate::rules::System;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};
use crate::{Defect, Defects, ScaleProblem, Step, StepKind};

pub(super) const HANDBOOK: &str =
    "method named in Forest Service FSH 2409.11 ch. 20 (1985); formula from memory";
pub(super) const PROPORTION: &str =
    "proportional rule, Grosenbaugh, Shortcuts for Cruisers and Scalers (1952), from memory";

/// The wood that is left after the cuts.
struct Left {
    volume: Exact,
    length: Exact,
}

/// The sum of the losses, not rounded and never more than the gross.
pub(super) fn losses(
    wood: &Wood<'_>,
    defects: &Defects,
    smaller: impl Fn(Exact) -> Result<Exact, ScaleProblem>,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    for (place, defect) in (1..).zip(defects.as_slice()) {
        check(wood, place, defect)?;
        if wood.stretch.start.is_zero() && !wood.counts(defect) {
            recorder.record(|| grade_only(place, defect));
        }
    }
    let left = cuts::cut_length(wood, defects, recorder)?;
    let left = cuts::cut_diameter(wood, left, defects, smaller, recorder)?;
    let mut others = Exact::ZERO;
    if !left.length.is_zero() {
        for (place, defect) in wood.counted(defects) {
            others = others.plus(loss(wood, &left, defects, place, defect, recorder)?)?;
        }
        others = others.minus(overlap::counted_twice(wood, &left, defects, recorder)?)?;
    }
    Ok(wood.gross.minus(left.volume)?.plus(others)?.min(wood.gross))
}

fn grade_only(place: usize, defect: &Defect) -> Step {
    let says = format!(
        "defect {place}, {}: the contract counts it as lowering the grade, and nothing comes off",
        defect.kind().name()
    );
    Step::new(StepKind::Defect, says)
}

fn does_not_fit(place: usize, defect: &Defect, reason: String) -> ScaleProblem {
    ScaleProblem::DefectDoesNotFit { place, kind: defect.kind().name(), method: defect.method(), reason }
}

/// Refuses a defect that cannot be reckoned with here, or that is larger than the piece.
fn check(wood: &Wood<'_>, place: usize, defect: &Defect) -> Result<(), ScaleProblem> {
    let refused = |reason| Err(ScaleProblem::MethodDoesNotApply { place, method: defect.method(), reason });
    if let Some(reason) = wood.methods.refuse(defect) {
        return refused(reason);
    }
    if let Some(system) = defect.system()
        && system != wood.system
    {
        let (measured, contract) = (in_words(system), in_words(wood.system));
        return Err(ScaleProblem::OtherSystem { member: "defects: a size", measured, contract });
    }
    let sizes = defect.sizes();
    match sizes {
        Method::Estimate { .. } if !wood.terms.estimates => {
            return Err(ScaleProblem::EstimateRefused { place });
        }
        Method::Noted if wood.counts(defect) => {
            return refused(
                "it was noted and not measured, and the contract takes wood off for it: measure it",
            );
        }
        _ => {}
    }
    let Some(along) = sizes.along() else { return Ok(()) };
    let (log, unit) = (wood.stretch.measured, wood.length_unit());
    if along.length > log {
        let length = along.length;
        return Err(does_not_fit(
            place,
            defect,
            format!("it is {length} {unit} long and the piece is {log}"),
        ));
    }
    match along.from_small_end {
        Some(from) if from.plus(along.length)? > log => {
            let end = from.plus(along.length)?;
            let reason = format!("it ends {end} {unit} from the small end and the piece is {log}");
            Err(does_not_fit(place, defect, reason))
        }
        _ => Ok(()),
    }
}

pub(super) const fn in_words(system: System) -> &'static str {
    match system {
        System::Inch => "inches and feet",
        System::Metric => "centimetres and metres",
    }
}

/// The loss of one defect that is neither a length cut nor a diameter cut.
fn loss(
    wood: &Wood<'_>,
    left: &Left,
    defects: &Defects,
    place: usize,
    defect: &Defect,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let Some(reckoned) = methods::reckoned(wood, left, defects, place, defect)? else {
        return Ok(Exact::ZERO);
    };
    recorder.record(|| {
        let (kind, unit) = (defect.kind().name(), wood.unit);
        let reason = match defect.sizes() {
            Method::Estimate { reason, .. } => reason.to_string(),
            _ => String::new(),
        };
        let says = later(move || {
            let lost = Plain(reckoned.lost);
            format!("defect {place}, {kind}: {} = {lost} {}", reckoned.words(&reason), plural(unit))
        });
        let step = Step::new(StepKind::Defect, says)
            .figure("loss", reckoned.lost, wood.unit)
            .source(reckoned.source())
            .recalled(reckoned.recalled());
        if reckoned.is_judgement() { step.judged() } else { step }
    });
    Ok(reckoned.lost)
}
