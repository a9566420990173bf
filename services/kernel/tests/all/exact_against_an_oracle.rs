//! Every operation on exact numbers held against a library of fractions that works another way.
//!
//! The numbers are drawn around every border that the fast ways have: whole and not, one machine word and more, powers
//! of ten, and the largest that can be held. Where the library finds no answer that fits, neither may `Exact`.

use kernel::{Exact, Fixed, NumberError, Rounding};
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Signed, Zero};
use proptest::prelude::*;

type Oracle = Ratio<i128>;

const MODES: [Rounding; 5] =
    [Rounding::HalfUp, Rounding::HalfDown, Rounding::HalfEven, Rounding::Down, Rounding::Up];

/// Whole numbers of every width. The library panics at the least number of all, so that is left to
/// `exact_at_its_edges`.
fn numerator() -> impl Strategy<Value = i128> {
    let word = i128::from(i64::MAX);
    prop_oneof![
        4 => -1_000_i128..1_000,
        2 => any::<i32>().prop_map(i128::from),
        2 => any::<i64>().prop_map(i128::from),
        2 => (-3_i128..=3, any::<bool>()).prop_map(move |(by, below)| if below { by - word } else { word + by }),
        2 => (-3_i128..=3, 60_u32..68).prop_map(|(by, bits)| (1 << bits) + by),
        1 => (any::<i128>(), 0_u32..127).prop_map(|(number, bits)| number >> bits),
        1 => (0_i128..3, any::<bool>()).prop_map(|(by, below)| if below { by - i128::MAX } else { i128::MAX - by }),
        1 => Just(0),
    ]
    .prop_filter("the library panics there", |number| *number != i128::MIN)
}

fn denominator() -> impl Strategy<Value = i128> {
    prop_oneof![
        4 => Just(1),
        4 => 1_i128..1_000,
        4 => (0_u32..38).prop_map(|places| 10_i128.pow(places)),
        1 => (0_u32..126, 0_u32..10).prop_map(|(twos, fives)| {
            (1_i128 << twos).checked_mul(5_i128.pow(fives)).unwrap_or(1 << twos)
        }),
        2 => numerator().prop_map(|number| number.abs().max(1)),
    ]
}

prop_compose! {
    /// A number as both sides know it.
    fn number()(numerator in numerator(), denominator in denominator()) -> (Exact, Oracle) {
        (Exact::fraction(numerator, denominator), Ratio::new(numerator, denominator))
    }
}

/// Two numbers; now and then of one denominator, of one numerator, or the one the other turned over.
fn pair() -> impl Strategy<Value = ((Exact, Oracle), (Exact, Oracle))> {
    let like = |numerator: i128, denominator: i128| {
        (Exact::fraction(numerator, denominator), Ratio::new(numerator, denominator))
    };
    prop_oneof![
        6 => (number(), number()),
        1 => (number(), numerator()).prop_map(move |(one, other)| (one, like(other, *one.1.denom()))),
        1 => (number(), denominator()).prop_map(move |(one, other)| (one, like(*one.1.numer(), other))),
        1 => number().prop_map(move |one| {
            let (over, under) = (*one.1.denom() * one.1.numer().signum(), one.1.numer().abs().max(1));
            (one, like(over, under))
        }),
    ]
}

fn parts(answer: Option<Oracle>) -> Option<(i128, i128)> {
    answer.map(|answer| (*answer.numer(), *answer.denom()))
}

/// What came of an operation, told as the library would: nothing where it is too large.
fn told(answer: Result<Exact, NumberError>) -> Option<(i128, i128)> {
    match answer {
        Ok(answer) => Some(answer.numerator_and_denominator()),
        Err(NumberError::TooLarge) => None,
        Err(other) => panic!("{other}"),
    }
}

/// Rounding as its definition says it, in fractions.
fn rounded(value: Oracle, step: Oracle, mode: Rounding) -> Option<Oracle> {
    let steps = value.checked_div(&step)?;
    let below = steps.abs().floor();
    let past = steps.abs().checked_sub(&below)?;
    let half = past.cmp(&Ratio::new(1, 2));
    let away = match mode {
        Rounding::Down => false,
        Rounding::Up => !past.is_zero(),
        Rounding::HalfUp => half.is_ge(),
        Rounding::HalfDown => half.is_gt(),
        Rounding::HalfEven => half.is_gt() || (half.is_eq() && below.to_integer() % 2 != 0),
    };
    let whole = if away { below.checked_add(&Ratio::from(1))? } else { below };
    let signed = if steps.is_negative() { Oracle::zero().checked_sub(&whole)? } else { whole };
    signed.checked_mul(&step)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn a_fraction_is_in_lowest_terms((exact, oracle) in number()) {
        prop_assert_eq!(exact.numerator_and_denominator(), (*oracle.numer(), *oracle.denom()));
        prop_assert_eq!(exact.is_zero(), oracle.is_zero());
        prop_assert_eq!(exact.is_negative(), oracle.is_negative());
        prop_assert_eq!(exact.whole(), oracle.is_integer().then(|| oracle.to_integer()));
    }

    #[test]
    fn sums_agree(((left, oracle_left), (right, oracle_right)) in pair()) {
        prop_assert_eq!(told(left.plus(right)), parts(oracle_left.checked_add(&oracle_right)));
    }

    #[test]
    fn differences_agree(((left, oracle_left), (right, oracle_right)) in pair()) {
        prop_assert_eq!(told(left.minus(right)), parts(oracle_left.checked_sub(&oracle_right)));
    }

    #[test]
    fn products_agree(((left, oracle_left), (right, oracle_right)) in pair()) {
        prop_assert_eq!(told(left.times(right)), parts(oracle_left.checked_mul(&oracle_right)));
    }

    #[test]
    fn squares_agree((exact, oracle) in number()) {
        prop_assert_eq!(told(exact.squared()), parts(oracle.checked_mul(&oracle)));
    }

    #[test]
    fn quotients_agree(((left, oracle_left), (right, oracle_right)) in pair()) {
        if right.is_zero() {
            prop_assert_eq!(left.over(right), Err(NumberError::DividedByZero));
        } else {
            prop_assert_eq!(told(left.over(right)), parts(oracle_left.checked_div(&oracle_right)));
        }
    }

    #[test]
    fn the_larger_is_the_same_one(((left, oracle_left), (right, oracle_right)) in pair()) {
        prop_assert_eq!(left.cmp(&right), oracle_left.cmp(&oracle_right));
        prop_assert_eq!(left == right, oracle_left == oracle_right);
    }

    #[test]
    fn roundings_agree(
        ((value, oracle_value), (step, oracle_step)) in pair(),
        mode in prop::sample::select(&MODES[..]),
    ) {
        if step.is_zero() {
            prop_assert_eq!(value.rounded_to(step, mode), Err(NumberError::DividedByZero));
        } else {
            prop_assert_eq!(told(value.rounded_to(step, mode)), parts(rounded(oracle_value, oracle_step, mode)));
        }
    }

    /// Random numbers hardly ever lie half way between two steps, so these are put there, and just beside it.
    #[test]
    fn halves_are_rounded_alike(
        steps in prop_oneof![-50_i128..50, any::<i32>().prop_map(i128::from), any::<i64>().prop_map(i128::from)],
        step in (1_i128..200, 1_i128..200),
        beside in -1_i128..=1,
        mode in prop::sample::select(&MODES[..]),
    ) {
        let oracle_step = Ratio::new(step.0, step.1);
        let half = oracle_step * Ratio::new(2 * steps + 1, 2);
        let value = half + Ratio::new(beside, 1_000_003);
        let exact = Exact::fraction(*value.numer(), *value.denom());
        let step = Exact::fraction(step.0, step.1);
        prop_assert_eq!(told(exact.rounded_to(step, mode)), parts(rounded(value, oracle_step, mode)));
    }

    #[test]
    fn floors_agree((exact, oracle) in number()) {
        // The library's own floor takes away before it divides, and overflows near the border.
        let (numerator, denominator) = (*oracle.numer(), *oracle.denom());
        prop_assert_eq!(exact.floor(), numerator / denominator - i128::from(numerator % denominator < 0));
    }

    #[test]
    fn measured_sizes_agree(millionths in prop_oneof![
        any::<i64>(),
        -100_000_000_i64..100_000_000,
        (-240_i64..240).prop_map(|whole| whole * Fixed::STEPS_PER_UNIT),
        (-960_i64..960).prop_map(|quarters| quarters * Fixed::STEPS_PER_UNIT / 4),
        Just(i64::MIN),
        Just(i64::MAX),
    ]) {
        let exact = Fixed::from_millionths(millionths).exact();
        let oracle: Oracle = Ratio::new(millionths.into(), Fixed::STEPS_PER_UNIT.into());
        prop_assert_eq!(exact.numerator_and_denominator(), (*oracle.numer(), *oracle.denom()));
        prop_assert_eq!(exact.fixed(), Ok(Fixed::from_millionths(millionths)));
    }

    #[test]
    fn six_decimals_hold_what_they_can((exact, oracle) in number()) {
        let millionths = oracle.checked_mul(&Ratio::from(i128::from(Fixed::STEPS_PER_UNIT)));
        let expected = match millionths {
            None => Err(NumberError::TooLarge),
            Some(millionths) if !millionths.is_integer() => Err(NumberError::NotFixed),
            Some(millionths) => i64::try_from(millionths.to_integer())
                .map(Fixed::from_millionths)
                .map_err(|_| NumberError::TooLarge),
        };
        prop_assert_eq!(exact.fixed(), expected);
    }

    #[test]
    fn text_is_the_whole_truth((exact, oracle) in number()) {
        let text = exact.to_string();
        prop_assert_eq!(text.parse::<Exact>(), Ok(exact));
        // As a decimal just where the denominator divides a power of ten that can be held with the digits.
        let places = (0_u32..39).find(|places| 10_i128.checked_pow(*places).is_some_and(|scale| scale % oracle.denom() == 0));
        let digits = places.and_then(|places| oracle.numer().checked_mul(&(10_i128.pow(places) / oracle.denom())));
        match (places, digits) {
            (Some(places), Some(digits)) => {
                let width = usize::try_from(places).unwrap();
                let shown = format!("{:0>width$}", digits.unsigned_abs(), width = width + 1);
                let (whole, decimals) = shown.split_at(shown.len() - width);
                let sign = if digits < 0 { "-" } else { "" };
                let point = if places == 0 { "" } else { "." };
                prop_assert_eq!(text, format!("{sign}{whole}{point}{decimals}"));
            }
            _ => prop_assert_eq!(text, format!("{}/{}", oracle.numer(), oracle.denom())),
        }
    }
}
