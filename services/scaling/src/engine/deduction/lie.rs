//! Where a defect lies in the wood that is scaled: how much of it, and from where to where if that is known.

use kernel::{Exact, Rounding};

use super::wood::Wood;
use crate::defect::{Along, Method};
use crate::{Defect, DefectKind, Defects, ScaleProblem};

/// The part of a defect that lies in a stretch of wood, told from the small end of the stretch.
#[derive(Clone, Copy)]
pub(super) enum Lie {
    /// None of it.
    Nowhere,
    /// From here to there.
    Placed { from: Exact, to: Exact },
    /// So much of it, somewhere.
    Somewhere(Exact),
}

/// Where a defect lies.
///
/// On a log of one piece a defect without a place lies somewhere. On a log of several segments its place has to be
/// known: what runs the whole length lies in all of them, butt rot lies at the butt, and anything else is refused.
pub(super) fn lie(wood: &Wood<'_>, place: usize, defect: &Defect, along: Along) -> Result<Lie, ScaleProblem> {
    let length = raised(wood, defect, along)?;
    let stretch = &wood.stretch;
    let log_part = match along.from_small_end {
        Some(from) => {
            let from = from.minus(stretch.cut_back)?;
            // A cut that is raised past the butt is raised towards the top instead.
            let past = from.plus(length)?.minus(stretch.log)?.max(Exact::ZERO);
            let from = from.minus(past.min(length.minus(along.length)?))?;
            (from, from.plus(length)?)
        }
        None if stretch.is_whole() => return Ok(Lie::Somewhere(length.min(stretch.length))),
        None if length >= stretch.log => (Exact::ZERO, stretch.log),
        None if defect.kind() == DefectKind::ButtRot => (stretch.log.minus(length)?, stretch.log),
        None => {
            let (kind, method) = (defect.kind().name(), defect.method());
            return Err(ScaleProblem::DefectPlaceNeeded { place, kind, method });
        }
    };
    let from = log_part.0.minus(stretch.start)?.max(Exact::ZERO);
    let to = log_part.1.minus(stretch.start)?.min(stretch.length);
    Ok(if from < to { Lie::Placed { from, to } } else { Lie::Nowhere })
}

/// How far it runs; a length cut goes up to the contract's multiple.
fn raised(wood: &Wood<'_>, defect: &Defect, along: Along) -> Result<Exact, ScaleProblem> {
    match wood.terms.length_cut_multiple {
        Some(step) if matches!(defect.sizes(), Method::LengthCut { .. }) => {
            Ok(along.length.rounded_to(step, Rounding::Up)?)
        }
        _ => Ok(along.length),
    }
}

/// The same, over remnants too short to make the contract's least board: boards that a defect leaves shorter than that
/// are lost with it.
pub(super) fn through_short_remnants(wood: &Wood<'_>, lie: Lie, left: Exact) -> Result<Lie, ScaleProblem> {
    let Some((least, _)) = wood.terms.least_board else { return Ok(lie) };
    let whole = wood.stretch.length;
    let lost = |remnant: Exact| remnant > Exact::ZERO && remnant < least;
    Ok(match lie {
        Lie::Nowhere => Lie::Nowhere,
        Lie::Somewhere(length) if lost(left.minus(length)?) => Lie::Somewhere(left),
        Lie::Somewhere(length) => Lie::Somewhere(length),
        Lie::Placed { from, to } => Lie::Placed {
            from: if lost(from) { Exact::ZERO } else { from },
            to: if lost(whole.minus(to)?) { whole } else { to },
        },
    })
}

/// How much of a defect is left to count once the length cuts are made: what they took with them is gone, and no
/// defect is longer than the log that is left.
pub(super) fn length_left(
    wood: &Wood<'_>,
    defects: &Defects,
    lie: Lie,
    left: Exact,
) -> Result<Exact, ScaleProblem> {
    match lie {
        Lie::Nowhere => Ok(Exact::ZERO),
        Lie::Somewhere(length) => Ok(length.min(left)),
        Lie::Placed { from, to } => {
            let gone = cut_between(wood, defects, from, to)?;
            Ok(to.minus(from)?.minus(gone)?.min(left))
        }
    }
}

/// How much of the wood from here to there the length cuts of known place take, overlaps counted once.
pub(super) fn cut_between(
    wood: &Wood<'_>,
    defects: &Defects,
    from: Exact,
    to: Exact,
) -> Result<Exact, ScaleProblem> {
    let (mut at, mut gone) = (from, Exact::ZERO);
    while at < to {
        let (mut reaches, mut next) = (at, to);
        for (place, defect) in wood.counted(defects) {
            let Method::LengthCut { along } = defect.sizes() else { continue };
            let Lie::Placed { from, to } = lie(wood, place, defect, along)? else { continue };
            if from <= at {
                reaches = reaches.max(to);
            } else {
                next = next.min(from);
            }
        }
        let end = reaches.min(to);
        if end > at {
            gone = gone.plus(end.minus(at)?)?;
            at = end;
        } else {
            at = next;
        }
    }
    Ok(gone)
}
