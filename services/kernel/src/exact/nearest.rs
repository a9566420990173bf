//! The nearest multiple of a step, by a named mode.

use super::arithmetic::Words;
use super::{Exact, NumberError, divisor};
use crate::Rounding;

/// What lies past the last whole step below, as the modes look at it.
#[derive(Clone, Copy)]
struct Past {
    nothing: bool,
    half: std::cmp::Ordering,
    /// Whether the step below is an odd one.
    odd: bool,
}

impl Past {
    /// From what lies past the step below and what is left up to the next.
    fn of<N: Ord + Default>(past: N, left: N, odd: bool) -> Self {
        Self { nothing: past == N::default(), half: past.cmp(&left), odd }
    }
}

impl Rounding {
    /// Whether to go on to the next step, away from zero.
    const fn goes_on(self, past: Past) -> bool {
        match self {
            Self::Down => false,
            Self::Up => !past.nothing,
            Self::HalfUp => past.half.is_ge(),
            Self::HalfDown => past.half.is_gt(),
            Self::HalfEven => past.half.is_gt() || (past.half.is_eq() && past.odd),
        }
    }
}

/// The multiple of `step`, which is not nothing, that `mode` brings `value` to.
pub(super) fn multiple(value: Exact, step: Exact, mode: Rounding) -> Result<Exact, NumberError> {
    if step == Exact::ONE && value.whole_word().is_some() {
        return Ok(value);
    }
    match (value.words(), step.words()) {
        (Some(value), Some(step)) => Ok(multiple_of_words(value, step, mode)),
        _ => multiple_of_any(value, step, mode),
    }
}

/// By one division of whole numbers: magnitudes are at most 2^126, and so is every multiple of the step that is not
/// farther from zero than the value; one step more is at most 2^63 more.
fn multiple_of_words(value: Words, step: Words, mode: Rounding) -> Exact {
    let above = product(value.numerator.unsigned_abs(), step.denominator);
    let below = product(value.denominator, step.numerator.unsigned_abs());
    let whole = match (u64::try_from(above), u64::try_from(below)) {
        (Ok(above), Ok(1)) => above.into(),
        (Ok(above), Ok(below)) => {
            let (whole, past) = (above / below, above % below);
            let past = Past::of(past, below - past, whole % 2 != 0);
            u128::from(whole) + u128::from(mode.goes_on(past))
        }
        _ => {
            let (whole, past) = (above / below, above % below);
            let past = Past::of(past, below - past, whole % 2 != 0);
            whole + u128::from(mode.goes_on(past))
        }
    };
    let step_numerator = u128::from(step.numerator.unsigned_abs());
    let (magnitude, denominator) = match step.denominator {
        1 => (whole * step_numerator, 1),
        parts => {
            let common = divisor::of(whole, parts.into());
            (whole / common * step_numerator, u128::from(parts) / common)
        }
    };
    let magnitude = magnitude.cast_signed();
    Exact::of_parts(if value.numerator < 0 { -magnitude } else { magnitude }, denominator)
}

fn product(left: u64, right: u64) -> u128 {
    u128::from(left) * u128::from(right)
}

#[cold]
fn multiple_of_any(value: Exact, step: Exact, mode: Rounding) -> Result<Exact, NumberError> {
    let steps = value.over(step)?;
    let (magnitude, parts) = (steps.numerator.unsigned_abs(), steps.denominator.get());
    let (whole, past) = (magnitude / parts, magnitude % parts);
    let past = Past::of(past, parts - past, whole % 2 != 0);
    let whole = i128::try_from(whole).map_err(|_| NumberError::TooLarge)?;
    let whole = if mode.goes_on(past) { Exact::of(whole).plus(Exact::ONE)? } else { Exact::of(whole) };
    let signed = if steps.is_negative() { Exact::ZERO.minus(whole)? } else { whole };
    signed.times(step)
}
