//! Rounding and dividing, over whole numbers, the slow way.

/// An exact fraction, of any size.
pub type Fraction = num_rational::BigRational;

pub fn fraction(numerator: i128, denominator: i128) -> Fraction {
    Fraction::new(numerator.into(), denominator.into())
}

/// The whole number nearest to a fraction, halves away from zero.
pub fn nearest(exact: &Fraction) -> i64 {
    let half = fraction(1, 2);
    let whole = if *exact < fraction(0, 1) { (exact - half).ceil() } else { (exact + half).floor() };
    i64::try_from(whole.to_integer()).expect("nothing here is that large")
}

/// A part of a count, to the nearest of its steps.
pub fn part_of(count: i64, part: &Fraction) -> i64 {
    nearest(&(fraction(count.into(), 1) * part))
}

/// Divides cents by parts: everybody gets the whole cents of his part, then one cent at a time goes to whoever was
/// cut short the most, the first in the list among equals. What is taken off is divided as what is paid.
pub fn shared(cents: i64, parts: &[Fraction]) -> Vec<i64> {
    if cents < 0 {
        return shared(-cents, parts).into_iter().map(|share| -share).collect();
    }
    let all: Fraction = parts.iter().sum();
    let owed: Vec<Fraction> = parts.iter().map(|part| fraction(cents.into(), 1) * part / &all).collect();
    let whole =
        owed.iter().map(|owed| i64::try_from(owed.to_integer()).expect("a share is no more than all"));
    let mut shares: Vec<i64> = whole.collect();
    let mut short: Vec<Fraction> = owed.iter().map(Fraction::fract).collect();
    for _ in shares.iter().sum::<i64>()..cents {
        let most = short.iter().max().cloned().expect("somebody shares");
        let luckiest = short.iter().position(|left| *left == most).expect("the most is one of them");
        shares[luckiest] += 1;
        // Nobody is lucky twice.
        short[luckiest] = fraction(-1, 1);
    }
    shares
}

/// A fraction out of a text with decimals or a stroke.
pub fn exact(text: &str) -> Fraction {
    let whole = |text: &str| -> i128 { text.parse().unwrap_or_else(|_| panic!("{text} is not a number")) };
    match (text.split_once('/'), text.split_once('.')) {
        (Some((over, under)), _) => fraction(whole(over.trim()), whole(under.trim())),
        (None, Some((_, decimals))) => fraction(
            whole(&text.replacen('.', "", 1)),
            10_i128.pow(u32::try_from(decimals.len()).expect("few")),
        ),
        (None, None) => fraction(whole(text), 1),
    }
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
    let rounded = [(7, 2), (5, 3), (4, 3), (0, 9), (-7, 2), (-4, 3)]
        .map(|(over, under)| nearest(&fraction(over, under)));
    assert_eq!(rounded, [4, 2, 1, 0, -4, -1]);
    assert_eq!([(1, 3), (2, 3), (1, 2)].map(|(one, of)| part_of(5, &fraction(one, of))), [2, 3, 3]);
    let parts = |parts: &[i128]| -> Vec<Fraction> { parts.iter().map(|part| fraction(*part, 1)).collect() };
    assert_eq!(shared(100, &parts(&[1, 1, 1])), [34, 33, 33]);
    assert_eq!(shared(8803, &parts(&[2, 2, 3])), [2515, 2515, 3773]);
    assert_eq!(shared(0, &parts(&[1, 4])), [0, 0]);
    assert_eq!(shared(-100, &parts(&[1, 1, 1])), [-34, -33, -33]);
    assert_eq!((cents("-0.07"), cents("12.30")), (-7, 1230));
    assert_eq!((millionths("30.5"), millionths("-160")), (30_500_000, -160_000_000));
    assert_eq!(
        (decimal(100_100, 4), decimal(305, 1), decimal(7, 4)),
        ("10.01".into(), "30.5".into(), "0.0007".into())
    );
    assert_eq!(decimal(1000, 3), "1");
    assert_eq!(
        [exact("-7/3"), exact("-0.25"), exact("12")],
        [fraction(-7, 3), fraction(-1, 4), fraction(12, 1)]
    );
}
