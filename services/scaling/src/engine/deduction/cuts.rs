//! The cuts that come first: parts of the length given up, and a ring of bad wood all round.

use kernel::Exact;

use super::lie::{Lie, cut_between, lie};
use super::wood::Wood;
use super::{HANDBOOK, Left, PROPORTION, does_not_fit};
use crate::defect::Method;
use crate::says::later;
use crate::working::{Plain, Recorder, plural};
use crate::{Defects, FigureUnit, ScaleProblem, Step, StepKind};

/// What is left after the parts of the length that are given up. Those of known place are counted once where they
/// overlap; the others are added to them.
pub(super) fn cut_length(
    wood: &Wood<'_>,
    defects: &Defects,
    recorder: &mut impl Recorder,
) -> Result<Left, ScaleProblem> {
    let (gross, whole) = (wood.gross, wood.stretch.length);
    let (mut somewhere, mut claimed, mut placed) = (Exact::ZERO, Exact::ZERO, false);
    for (place, defect) in wood.counted(defects) {
        let Method::LengthCut { along } = defect.sizes() else { continue };
        match lie(wood, place, defect, along)? {
            Lie::Nowhere => {}
            Lie::Placed { .. } => placed = true,
            Lie::Somewhere(length) => {
                claimed = claimed.plus(along.length)?;
                if claimed > wood.stretch.measured {
                    let (log, unit) = (wood.stretch.measured, wood.length_unit());
                    let reason =
                        format!("the length cuts up to it come to {claimed} {unit} and the piece is {log}");
                    return Err(does_not_fit(place, defect, reason));
                }
                somewhere = somewhere.plus(length)?;
            }
        }
    }
    let at_places = if placed { cut_between(wood, defects, Exact::ZERO, whole)? } else { Exact::ZERO };
    let cut = somewhere.plus(at_places)?;
    if cut.is_zero() {
        return Ok(Left { volume: gross, length: whole });
    }
    let counted = with_short_remnant(wood, cut.min(whole))?;
    let lost = gross.times(counted)?.over(whole)?;
    recorder.record(|| {
        let (unit, volume_unit) = (wood.length_unit(), wood.unit);
        let says = later(move || {
            let remnant = if counted > cut {
                format!(
                    ", and the {} {unit} left make no board that counts",
                    Plain(whole.minus(cut).unwrap_or(cut))
                )
            } else {
                String::new()
            };
            format!(
                "length cut of {cut} {unit}{remnant}, in proportion: {gross} × {counted} ÷ {whole} = {} {}",
                Plain(lost),
                plural(volume_unit)
            )
        });
        Step::new(StepKind::Defect, says)
            .figure("cut", counted, FigureUnit::length(wood.system))
            .figure("loss", lost, wood.unit)
            .source(PROPORTION)
            .recalled(true)
    });
    Ok(Left { volume: gross.minus(lost)?, length: whole.minus(counted)? })
}

/// The whole length, where what the cuts leave is shorter than the least board; otherwise the cuts.
fn with_short_remnant(wood: &Wood<'_>, cut: Exact) -> Result<Exact, ScaleProblem> {
    let whole = wood.stretch.length;
    match wood.terms.least_board {
        Some((least, _)) if whole.minus(cut)? < least => Ok(whole),
        _ => Ok(cut),
    }
}

/// What is left after a ring of bad wood: of several rings the deepest holds the others.
pub(super) fn cut_diameter(
    wood: &Wood<'_>,
    left: Left,
    defects: &Defects,
    smaller: impl Fn(Exact) -> Result<Exact, ScaleProblem>,
    recorder: &mut impl Recorder,
) -> Result<Left, ScaleProblem> {
    let mut deepest: Option<Exact> = None;
    for (place, defect) in wood.counted(defects) {
        let Method::DiameterCut { depth } = defect.sizes() else { continue };
        if let Some(diameter) = wood.diameter
            && depth.times(Exact::of(2))? >= diameter
        {
            let unit = wood.across_unit();
            let reason = format!("{depth} {unit} on each side leave nothing of {diameter} {unit}");
            return Err(does_not_fit(place, defect, reason));
        }
        deepest = deepest.max(Some(depth));
    }
    let Some(depth) = deepest else { return Ok(left) };
    let inner = smaller(depth)?.min(wood.gross);
    let lost = wood.gross.minus(inner)?.times(left.length)?.over(wood.stretch.length)?;
    recorder.record(|| {
        let (gross, length, of) = (wood.gross, wood.stretch.length, left.length);
        let (across, unit) = (wood.across_unit(), wood.unit);
        let says = later(move || {
            format!(
                "diameter cut of {depth} {} on each side: the log without it scales {inner}, \
                so ({gross} - {inner}) × {of} ÷ {length} = {} {}",
                across,
                Plain(lost),
                plural(unit)
            )
        });
        Step::new(StepKind::Defect, says)
            .figure("depth", depth, FigureUnit::across(wood.system))
            .figure("inner_volume", inner, wood.unit)
            .figure("loss", lost, wood.unit)
            .source(HANDBOOK)
            .recalled(true)
    });
    Ok(Left { volume: left.volume.minus(lost)?.max(Exact::ZERO), length: left.length })
}
