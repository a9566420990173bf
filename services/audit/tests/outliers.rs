//! The modified z-score against published figures and a general-purpose library of statistics.
#![expect(
    clippy::unwrap_used,
    clippy::float_arithmetic,
    reason = "tests; the other library computes in floating point"
)]

use audit::{LIMIT, Spread, SpreadMeasure, median};
use kernel::{Exact, Fixed, NumberError};
use proptest::prelude::*;
use statrs::statistics::{Data, OrderStatistics};

fn figures(texts: &[&str]) -> Vec<Fixed> {
    texts.iter().map(|text| text.parse().unwrap()).collect()
}

/// Uranium by a mass spectrometer: the eight figures with which the NIST/SEMATECH e-Handbook shows tests for outliers
/// (section 1.3.5.17, after Tietjen and Moore 1972), from memory; the last one is the outlier. Eight are fewer than we
/// judge by, so the test adds the two in the middle a second time, which leaves the median where it was.
const URANIUM: [&str; 8] = ["199.31", "199.53", "200.19", "200.82", "201.92", "201.95", "202.18", "245.57"];

#[test]
fn the_outlier_of_the_handbook_is_found_and_no_other() {
    let eight = figures(&URANIUM);
    assert_eq!(median(eight.iter().map(|one| one.exact()).collect()).unwrap(), "201.37".parse().unwrap());
    assert_eq!(Spread::of(&eight).unwrap(), None);
    let mut more = eight;
    more.extend(figures(&["200.82", "201.92"]));
    let spread = Spread::of(&more).unwrap().unwrap();
    // By hand: median 201.37; distances 0.55 four times, 0.58, 0.81, 1.18, 1.84, 2.06, 44.2; their median 0.695.
    assert_eq!((spread.median, spread.deviation), ("201.37".parse().unwrap(), "0.695".parse().unwrap()));
    // 0.6745 × 44.2 ÷ 0.695 = 42.8966 …
    assert_eq!(spread.shown_score(more[7]).unwrap(), "42.9".parse().unwrap());
    let out: Vec<_> = more.iter().filter(|one| spread.stands_out(**one).unwrap()).collect();
    assert_eq!(out, [&more[7]]);
}

#[test]
fn where_most_figures_are_the_same_the_mean_of_the_distances_is_used() {
    let mut alike = figures(&["5"; 11]);
    assert_eq!(Spread::of(&alike).unwrap(), None, "nothing can be told of figures that are all the same");
    alike.extend(figures(&["17"]));
    let spread = Spread::of(&alike).unwrap().unwrap();
    assert_eq!((spread.measure, spread.deviation), (SpreadMeasure::MeanAbsoluteDeviation, Exact::ONE));
    // 12 ÷ 1.253314 = 9.5746 …
    assert_eq!(spread.shown_score(alike[11]).unwrap(), "9.57".parse().unwrap());
    assert!(spread.stands_out(alike[11]).unwrap() && !spread.stands_out(alike[0]).unwrap());
}

/// A figure on the limit itself does not stand out; low and high are told apart.
#[test]
fn the_limit_belongs_to_what_is_usual() {
    let spread = Spread {
        figures: 10,
        median: Exact::ZERO,
        measure: SpreadMeasure::MedianAbsoluteDeviation,
        deviation: "0.6745".parse().unwrap(),
    };
    let figure = |text: &str| text.parse::<Fixed>().unwrap();
    assert_eq!(spread.score(figure("3.5")).unwrap(), LIMIT);
    assert!(!spread.stands_out(figure("3.5")).unwrap() && !spread.stands_out(figure("-3.5")).unwrap());
    assert!(
        spread.stands_out(figure("3.500001")).unwrap() && spread.stands_out_low(figure("-3.500001")).unwrap()
    );
    assert!(!spread.stands_out_low(figure("3.500001")).unwrap());
    assert_eq!(median(Vec::new()), Err(NumberError::DividedByZero));
}

fn float(value: Exact) -> f64 {
    value.to_string().parse().unwrap_or_else(|_| {
        let (above, below) = value.numerator_and_denominator();
        above.to_string().parse::<f64>().unwrap() / below.to_string().parse::<f64>().unwrap()
    })
}

proptest! {
    /// `statrs` answers the same median and the same median of the distances.
    #[test]
    fn another_library_finds_the_same_middle(steps in prop::collection::vec(-50_000_000_i64..50_000_000, 10..60)) {
        let own: Vec<Fixed> = steps.iter().map(|step| Fixed::from_millionths(*step)).collect();
        let Some(spread) = Spread::of(&own).unwrap() else { return Ok(()) };
        let floats: Vec<f64> = own.iter().map(|one| float(one.exact())).collect();
        let middle = Data::new(floats.clone()).median();
        prop_assert!((float(spread.median) - middle).abs() < 1e-9);
        if spread.measure == SpreadMeasure::MedianAbsoluteDeviation {
            let distances: Vec<f64> = floats.iter().map(|one| (one - middle).abs()).collect();
            prop_assert!((float(spread.deviation) - Data::new(distances).median()).abs() < 1e-9);
        }
    }

    /// Moving and stretching all figures changes no score, and the order does not matter.
    #[test]
    fn scores_do_not_depend_on_unit_nor_zero(
        steps in prop::collection::vec(-5_000_i64..5_000, 10..40), by in 1_i64..50, moved in -1_000_i64..1_000,
    ) {
        let fixed = |step: i64| Fixed::from_millionths(step);
        let own: Vec<Fixed> = steps.iter().map(|step| fixed(*step)).collect();
        let other: Vec<Fixed> = steps.iter().rev().map(|step| fixed(step * by + moved)).collect();
        match (Spread::of(&own).unwrap(), Spread::of(&other).unwrap()) {
            (Some(left), Some(right)) => for (one, two) in own.iter().zip(other.iter().rev()) {
                prop_assert_eq!(left.score(*one).unwrap(), right.score(*two).unwrap());
            },
            (left, right) => prop_assert!(left.is_none() && right.is_none()),
        }
    }
}
