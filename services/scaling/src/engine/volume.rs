//! The path every volume takes, by contract or by direct request: content, rounding, losses, net.

use kernel::{Exact, VolumeUnit};

use super::Volume;
use super::deduction::{LossTerms, Methods, Stretch, Wood, losses};
use crate::rules::{AppliedRule, Choice, Measures, Takes};
use crate::says::later;
use crate::working::{Plain, Recorder, Silent, plural};
use crate::{Defects, RoundTo, RoundingTerm, ScaleProblem, Step, StepKind};

/// What a contract or request says about a volume.
#[derive(Clone, Copy)]
pub(crate) struct Terms<'a> {
    pub(crate) choice: Choice,
    pub(crate) volume_rounding: RoundingTerm,
    pub(crate) deduction_rounding: RoundingTerm,
    pub(crate) losses: LossTerms<'a>,
}

/// A volume and what became of it.
#[derive(Clone, Copy)]
pub(crate) struct Scale {
    pub(crate) unit: VolumeUnit,
    /// Gross before it was rounded.
    pub(crate) exact: Exact,
    pub(crate) gross: Exact,
    pub(crate) deduction: Exact,
    pub(crate) net: Exact,
}

impl Scale {
    /// The volume as it goes to the books.
    pub(super) const fn volume(&self) -> Volume {
        Volume { unit: self.unit, gross: self.gross, net: self.net }
    }
}

/// Scales a log by a rule: its content, then its losses.
#[inline]
pub(crate) fn by_rule(
    rule: AppliedRule<'_>,
    measures: &Measures<'_>,
    stretch: Stretch,
    terms: &Terms<'_>,
    defects: &Defects,
    recorder: &mut impl Recorder,
) -> Result<Scale, ScaleProblem> {
    let content = rule.content(measures, terms.choice, recorder)?;
    let gross =
        gross(content.exact, content.unit, terms.volume_rounding.resolve(content.rounding), recorder)?;
    if defects.is_empty() {
        return Ok(Scale { exact: content.exact, ..sound(gross, content.unit, recorder) });
    }
    let takes = rule.takes();
    let methods = match takes {
        Takes::Girth => Methods::LengthCutAndPieCut,
        Takes::WidthAndThickness => Methods::LengthCutAndSquared,
        _ => Methods::All,
    };
    let diameter = match methods {
        Methods::All => Some(measures.scaling_diameter(takes)?),
        _ => None,
    };
    let wood = Wood {
        gross,
        unit: content.unit,
        system: measures.system,
        stretch,
        diameter,
        methods,
        sawdust: !rule.solid(),
        terms: terms.losses.defect_terms(),
    };
    let rounding = terms.deduction_rounding.resolve(rule.deduction_rounding(content.unit));
    let smaller = |depth| without_ring(rule, measures, terms, depth);
    let scale = net(&wood, defects, rounding, smaller, recorder)?;
    Ok(Scale { exact: content.exact, ..scale })
}

/// Rounds the content into the gross scale.
pub(super) fn gross(
    exact: Exact,
    unit: VolumeUnit,
    rounding: Option<RoundTo>,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let gross = match rounding {
        Some(round_to) => round_to.apply(exact)?,
        None => exact,
    };
    recorder.record(|| {
        let says = later(move || match rounding {
            Some(round_to) if exact != gross => {
                format!("gross: {} becomes {gross} {} ({round_to})", Plain(exact), plural(unit))
            }
            _ => format!("gross: {} {}", Plain(gross), plural(unit)),
        });
        Step::new(StepKind::Gross, says).figure("gross", gross, unit).rounded(rounding)
    });
    Ok(gross)
}

/// Takes the losses off the gross scale: summed exactly, rounded once, never more than the gross.
pub(super) fn net(
    wood: &Wood<'_>,
    defects: &Defects,
    rounding: Option<RoundTo>,
    smaller: impl Fn(Exact) -> Result<Exact, ScaleProblem>,
    recorder: &mut impl Recorder,
) -> Result<Scale, ScaleProblem> {
    let (gross, unit) = (wood.gross, wood.unit);
    if defects.is_empty() {
        return Ok(sound(gross, unit, recorder));
    }
    let sum = losses(wood, defects, smaller, recorder)?;
    let rounded = match rounding {
        Some(round_to) => round_to.apply(sum)?,
        None => sum,
    };
    let deduction = rounded.min(gross);
    recorder.record(|| {
        let says = later(move || {
            let becomes = |round_to: RoundTo| format!(" become {} ({round_to})", Plain(rounded));
            let rounded_as = rounding.map(becomes).unwrap_or_default();
            let capped = if rounded > gross { ", held to the gross" } else { "" };
            format!("losses of {} {}{rounded_as}{capped}", Plain(sum), plural(unit))
        });
        Step::new(StepKind::Deduction, says)
            .figure("losses", sum, unit)
            .figure("deduction", deduction, unit)
            .rounded(rounding)
            .source("one sum rounded once: Forest Service FSH 2409.11 ch. 20 (1985)")
    });
    let net = gross.minus(deduction)?;
    recorder.record(|| {
        let (shown, whole, lost) = (Plain(net), Plain(gross), Plain(deduction));
        let says = later(move || format!("net: {whole} - {lost} = {shown} {}", plural(unit)));
        Step::new(StepKind::Net, says).figure("net", net, unit)
    });
    Ok(Scale { unit, exact: gross, gross, deduction, net })
}

/// The scale of wood without a defect: the net is the gross.
fn sound(gross: Exact, unit: VolumeUnit, recorder: &mut impl Recorder) -> Scale {
    recorder.record(|| {
        let says = later(move || format!("net: no defects, {} {}", Plain(gross), plural(unit)));
        Step::new(StepKind::Net, says).figure("net", gross, unit)
    });
    Scale { unit, exact: gross, gross, deduction: Exact::ZERO, net: gross }
}

/// The gross scale of the log with a ring of this depth taken off all round; nothing, where what is left is
/// thinner than the rule reaches.
fn without_ring(
    rule: AppliedRule<'_>,
    measures: &Measures<'_>,
    terms: &Terms<'_>,
    depth: Exact,
) -> Result<Exact, ScaleProblem> {
    let both_sides = depth.times(Exact::of(2))?;
    let thinner = |diameter: Exact| -> Result<Exact, ScaleProblem> {
        let left = diameter.minus(both_sides)?.max(Exact::ZERO);
        Ok(match terms.losses.cut_rounding() {
            Some(round_to) => round_to.apply(left)?,
            None => left,
        })
    };
    let sections = measures
        .sections
        .map(|sections| sections.iter().copied().map(thinner).collect::<Result<Vec<_>, _>>())
        .transpose()?;
    let left = Measures {
        small: measures.small.map(thinner).transpose()?,
        middle: measures.middle.map(thinner).transpose()?,
        large: measures.large.map(thinner).transpose()?,
        sections: sections.as_deref(),
        ..*measures
    };
    match rule.content(&left, terms.choice, &mut Silent) {
        Ok(content) => Ok(match terms.volume_rounding.resolve(content.rounding) {
            Some(round_to) => round_to.apply(content.exact)?,
            None => content.exact,
        }),
        Err(problem) if rule.is_too_thin(&problem) => Ok(Exact::ZERO),
        Err(problem) => Err(problem),
    }
}
