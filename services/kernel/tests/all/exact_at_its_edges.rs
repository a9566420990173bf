//! The largest and least numbers that can be held: an answer or a refusal, never a wrong number.

use kernel::{Exact, NumberError, Rounding};

const LEAST: Exact = Exact::of(i128::MIN);
const LARGEST: Exact = Exact::of(i128::MAX);
const FINEST: Exact = Exact::fraction(1, i128::MAX);
const TOO_LARGE: Result<Exact, NumberError> = Err(NumberError::TooLarge);

#[test]
fn the_least_number_computes() {
    let minus_one = Exact::of(-1);
    for (answer, expected) in [
        (LEAST.plus(Exact::ZERO), Ok(LEAST)),
        (LEAST.plus(LARGEST), Ok(minus_one)),
        (LEAST.plus(minus_one), TOO_LARGE),
        (LEAST.minus(Exact::ONE), TOO_LARGE),
        (LEAST.minus(LEAST), Ok(Exact::ZERO)),
        (Exact::ZERO.minus(LEAST), TOO_LARGE),
        (LEAST.times(Exact::ONE), Ok(LEAST)),
        (LEAST.times(Exact::ZERO), Ok(Exact::ZERO)),
        (LEAST.times(minus_one), TOO_LARGE),
        (LEAST.times(Exact::fraction(1, 2)), Ok(Exact::of(i128::MIN / 2))),
        (LEAST.times(Exact::fraction(-1, 2)), Ok(Exact::of(1 << 126))),
        (LEAST.squared(), TOO_LARGE),
        (LEAST.over(Exact::ONE), Ok(LEAST)),
        (LEAST.over(LEAST), Ok(Exact::ONE)),
        (LEAST.over(minus_one), TOO_LARGE),
        (Exact::ONE.over(LEAST), TOO_LARGE),
        (Exact::of(2).over(LEAST), Ok(Exact::fraction(-1, 1 << 126))),
        (Exact::ZERO.over(LEAST), Ok(Exact::ZERO)),
        // The one answer that the library of fractions misses: it looks at the magnitude before the sign.
        (Exact::of(1 << 126).over(Exact::fraction(-1, 2)), Ok(LEAST)),
    ] {
        assert_eq!(answer, expected);
    }
    assert_eq!((LEAST.floor(), LEAST.whole()), (i128::MIN, Some(i128::MIN)));
    assert_eq!(LEAST.to_string(), i128::MIN.to_string());
    assert_eq!(LEAST.fixed(), Err(NumberError::TooLarge));
    assert_eq!(Exact::fraction(i128::MIN, i128::MAX).numerator_and_denominator(), (i128::MIN, i128::MAX));
}

#[test]
fn the_order_holds_at_the_edges() {
    let ascending = [
        LEAST,
        Exact::of(i128::MIN + 1),
        Exact::fraction(i128::MIN, 3),
        Exact::fraction(i128::MIN, i128::MAX),
        Exact::of(-1),
        Exact::fraction(-i128::MAX, i128::MAX - 1).plus(Exact::of(1)).unwrap(),
        Exact::ZERO,
        FINEST,
        Exact::fraction(1, i128::MAX - 1),
        Exact::fraction(i128::MAX - 2, i128::MAX - 1),
        Exact::fraction(i128::MAX - 1, i128::MAX),
        Exact::ONE,
        Exact::fraction(i128::MAX, i128::MAX - 1),
        LARGEST,
    ];
    for (place, left) in ascending.iter().enumerate() {
        for (other, right) in ascending.iter().enumerate() {
            assert_eq!(left.cmp(right), place.cmp(&other), "{left} and {right}");
        }
    }
}

/// The least number has no magnitude that can be held, so it is refused; everything else is rounded or refused by
/// whether the multiple fits.
#[test]
fn rounding_at_the_edges() {
    let wide = Exact::fraction(i128::MAX, 2); // 2^126 - 1/2
    for (value, step, mode, expected) in [
        (LEAST, Exact::ONE, Rounding::HalfUp, TOO_LARGE),
        (LARGEST, Exact::ONE, Rounding::Up, Ok(LARGEST)),
        (LARGEST, Exact::of(2), Rounding::Down, Ok(Exact::of(i128::MAX - 1))),
        (LARGEST, Exact::of(2), Rounding::Up, TOO_LARGE),
        (wide, Exact::ONE, Rounding::HalfUp, Ok(Exact::of(1 << 126))),
        (wide, Exact::ONE, Rounding::HalfDown, Ok(Exact::of((1 << 126) - 1))),
        (wide, Exact::ONE, Rounding::HalfEven, Ok(Exact::of(1 << 126))),
        (FINEST, Exact::ONE, Rounding::Up, Ok(Exact::ONE)),
        (FINEST, Exact::ONE, Rounding::HalfUp, Ok(Exact::ZERO)),
        // A step below nothing: the multiples are the same ones.
        (Exact::of(7), Exact::of(-2), Rounding::HalfUp, Ok(Exact::of(8))),
        (Exact::of(-7), Exact::of(-2), Rounding::HalfDown, Ok(Exact::of(-6))),
    ] {
        assert_eq!(value.rounded_to(step, mode), expected, "{value} to {step}, {mode:?}");
    }
}

/// Numbers of one word whose answers are wider: the fast way may not lose a bit of them.
#[test]
fn words_make_more_than_words() {
    let (largest, least) = (i128::from(i64::MAX), i128::from(i64::MIN));
    let of = Exact::of;
    assert_eq!(of(least).times(of(least)), Ok(of(1 << 126)));
    assert_eq!(of(largest).times(of(least)), Ok(of(largest * least)));
    assert_eq!(of(largest).plus(of(largest)), Ok(of(2 * largest)));
    assert_eq!(of(least).plus(of(least)), Ok(of(2 * least)));
    assert_eq!(of(least).minus(of(largest)), Ok(of(least - largest)));
    assert_eq!(of(least).over(of(-1)), Ok(of(-least)));
    assert_eq!(
        Exact::fraction(1, largest).plus(Exact::fraction(1, largest - 1)),
        Ok(Exact::fraction(2 * largest - 1, largest * (largest - 1)))
    );
}

/// Measures and answers are full of sizes that may be missing, and copying them is what scaling spends its time on.
#[test]
fn a_fraction_that_may_be_missing_takes_no_more_room() {
    assert_eq!(size_of::<Option<Exact>>(), size_of::<Exact>());
}
