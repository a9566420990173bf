//! The wood that several squared defects of known place have in common: they are taken to have one centre, the heart.
//!
//! Along the log the wood is walked from one end of a defect to the next; in each such slice the squares lie in one
//! another like steps, and their union is added up from the narrowest to the widest.

use kernel::Exact;

use super::methods::placed_square;
use super::wood::Wood;
use super::{Left, lie};
use crate::says::later;
use crate::working::{Plain, Recorder, plural};
use crate::{Defects, ScaleProblem, Step, StepKind};

/// What was counted more than once when the squared defects were added up, as a volume.
pub(super) fn counted_twice(
    wood: &Wood<'_>,
    left: &Left,
    defects: &Defects,
    recorder: &mut impl Recorder,
) -> Result<Exact, ScaleProblem> {
    let (mut count, mut sum) = (0_usize, Exact::ZERO);
    for (place, defect) in wood.counted(defects) {
        let Some((from, to, width, height)) = placed_square(wood, left, place, defect)? else { continue };
        let gone = lie::cut_between(wood, defects, from, to)?;
        let length = to.minus(from)?.minus(gone)?.min(left.length);
        sum = sum.plus(width.times(height)?.times(length)?)?;
        count += 1;
    }
    if count < 2 {
        return Ok(Exact::ZERO);
    }
    let union = union(wood, left, defects)?;
    let twice = sum.minus(union)?.max(Exact::ZERO).over(wood.squared_divisor()?)?;
    if !twice.is_zero() {
        recorder.record(|| {
            let unit = wood.unit;
            let says = later(move || format!(
                "the squared defects lie in one another about the heart: {} {} were counted twice and go back",
                Plain(twice),
                plural(unit)
            ));
            Step::new(StepKind::Defect, says)
                .figure("counted_twice", twice, wood.unit)
                .source("plain geometry: the union of squares about one centre")
        });
    }
    Ok(twice)
}

/// Square inches times feet of the union along the whole wood, what the length cuts took left out.
fn union(wood: &Wood<'_>, left: &Left, defects: &Defects) -> Result<Exact, ScaleProblem> {
    let (mut at, end, mut sum) = (Exact::ZERO, wood.stretch.length, Exact::ZERO);
    while at < end {
        let mut next = end;
        for (place, defect) in wood.counted(defects) {
            let Some((from, to, ..)) = placed_square(wood, left, place, defect)? else { continue };
            for boundary in [from, to] {
                if boundary > at {
                    next = next.min(boundary);
                }
            }
        }
        let gone = lie::cut_between(wood, defects, at, next)?;
        let length = next.minus(at)?.minus(gone)?;
        sum = sum.plus(section(wood, left, defects, at)?.times(length)?)?;
        at = next;
    }
    Ok(sum)
}

/// The area of the union of the squares that cover one place along the wood.
fn section(wood: &Wood<'_>, left: &Left, defects: &Defects, at: Exact) -> Result<Exact, ScaleProblem> {
    let (mut inner, mut area) = (Exact::ZERO, Exact::ZERO);
    loop {
        let (mut outer, mut tallest): (Option<Exact>, Exact) = (None, Exact::ZERO);
        for (place, defect) in wood.counted(defects) {
            let Some((from, to, width, height)) = placed_square(wood, left, place, defect)? else { continue };
            if from <= at && at < to && width > inner {
                outer = Some(outer.map_or(width, |outer| outer.min(width)));
                tallest = tallest.max(height);
            }
        }
        let Some(outer) = outer else { return Ok(area) };
        area = area.plus(outer.minus(inner)?.times(tallest)?)?;
        inner = outer;
    }
}
