//! Rounding and dividing, over whole numbers, the slow way.

/// An exact fraction.
pub type Fraction = num_rational::Ratio<i128>;

/// A part of a count, to the nearest of its steps.
pub fn part_of(count: i64, part: Fraction) -> i64 {
    let exact = Fraction::from_integer(count.into()) * part;
    i64::try_from(nearest(*exact.numer(), *exact.denom())).expect("a part is no more than the whole")
}

/// The whole number nearest to a fraction that is not below zero, halves up.
pub fn nearest(numerator: i128, denominator: i128) -> i128 {
    let whole = numerator / denominator;
    let left = numerator - whole * denominator;
    if left * 2 >= denominator { whole + 1 } else { whole }
}

/// Divides cents by parts: everybody gets the whole cents of his part, then one cent at a time goes to whoever was
/// cut short the most, the first in the list among equals. What is taken off is divided as what is paid.
pub fn shared(cents: i64, parts: &[i64]) -> Vec<i64> {
    if cents < 0 {
        return shared(-cents, parts).into_iter().map(|share| -share).collect();
    }
    let all: i128 = parts.iter().map(|part| i128::from(*part)).sum();
    let mut short: Vec<i128> = parts.iter().map(|part| i128::from(cents) * i128::from(*part)).collect();
    let mut shares = vec![0_i64; parts.len()];
    for (share, owed) in shares.iter_mut().zip(&mut short) {
        while *owed >= all {
            *owed -= all;
            *share += 1;
        }
    }
    for _ in shares.iter().sum::<i64>()..cents {
        let most = short.iter().max().copied().expect("somebody shares");
        let luckiest = short.iter().position(|owed| *owed == most).expect("the most is one of them");
        shares[luckiest] += 1;
        // Nobody is lucky twice.
        short[luckiest] = -1;
    }
    shares
}

/// Cents out of an amount with two decimals.
pub fn cents(text: &str) -> i64 {
    digits(text, 2)
}

/// Millionths out of a quantity.
pub fn millionths(text: &str) -> i64 {
    digits(text, 6)
}

fn digits(text: &str, places: usize) -> i64 {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    assert!(decimals.len() <= places, "{text} has more than {places} decimals");
    format!("{whole}{decimals:0<places$}").parse().unwrap_or_else(|_| panic!("{text} is not a number"))
}

/// A decimal number out of a count of its last place, without zeros at the end.
pub fn decimal(count: i64, places: usize) -> String {
    assert!(count >= 0, "only what is sent is written, and that is never negative");
    let digits = format!("{count:0width$}", width = places + 1);
    let (whole, decimals) = digits.split_at(digits.len() - places);
    format!("{whole}.{decimals}").trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[test]
fn the_model_rounds_and_divides_as_it_should() {
    assert_eq!([nearest(7, 2), nearest(5, 3), nearest(4, 3), nearest(0, 9)], [4, 2, 1, 0]);
    assert_eq!([(1, 3), (2, 3), (1, 2)].map(|(one, of)| part_of(5, Fraction::new(one, of))), [2, 3, 3]);
    assert_eq!(shared(100, &[1, 1, 1]), [34, 33, 33]);
    assert_eq!(shared(8803, &[2, 2, 3]), [2515, 2515, 3773]);
    assert_eq!(shared(0, &[1, 4]), [0, 0]);
    assert_eq!(shared(-100, &[1, 1, 1]), [-34, -33, -33]);
    assert_eq!((cents("-0.07"), cents("12.30")), (-7, 1230));
    assert_eq!((millionths("30.5"), millionths("-160")), (30_500_000, -160_000_000));
    assert_eq!(
        (decimal(100_100, 4), decimal(305, 1), decimal(7, 4)),
        ("10.01".into(), "30.5".into(), "0.0007".into())
    );
    assert_eq!(decimal(1000, 3), "1");
}
