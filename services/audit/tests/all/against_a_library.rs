//! The same figures computed in floating point by `statrs`, a general-purpose statistics library.
#![expect(clippy::float_arithmetic, reason = "the independent reckoning is one in floating point")]

use audit::{Confidence, Number, Ratio, Sample, students_t};
use kernel::Fixed;
use proptest::prelude::*;
use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::statistics::Statistics;

const LEVELS: [(Confidence, f64); 3] =
    [(Confidence::Ninety, 0.95), (Confidence::NinetyFive, 0.975), (Confidence::NinetyNine, 0.995)];

fn double(value: Fixed) -> f64 {
    value.to_string().parse().expect("a decimal is a double")
}

/// How far an exact figure may be from the double beside it: half of its last decimal, and what doubles lose.
fn close(exact: Fixed, doubled: f64, last_decimal: f64) -> bool {
    (double(exact) - doubled).abs() <= 0.5 * last_decimal + 1e-9 * doubled.abs().max(1.0)
}

/// The table is right to its fourth decimal for every number of degrees of freedom up to 100, and never too narrow
/// beyond.
#[test]
fn students_t_is_the_librarys() {
    for (confidence, upper) in LEVELS {
        for degrees in (1..=100).chain([101, 119, 120, 149, 151, 400, 999, 1000, 5000]) {
            let point = students_t(confidence, degrees).expect("a point");
            let degrees_of = f64::from(u32::try_from(degrees).expect("few"));
            let library = StudentsT::new(0.0, 1.0, degrees_of).expect("a distribution").inverse_cdf(upper);
            if degrees <= 100 {
                assert!(close(point, library, 1.0e-4), "{degrees} at {upper}: {point} and {library}");
            } else {
                let wider = double(point) - library;
                assert!((-0.5e-4..0.02).contains(&wider), "{degrees} at {upper}: {point} and {library}");
            }
        }
    }
}

fn readings(least: usize) -> impl Strategy<Value = Vec<Fixed>> {
    let reading = (1_i64..2_000_000).prop_map(|hundredths| Fixed::from_millionths(hundredths * 10_000));
    prop::collection::vec(reading, least..40)
}

proptest! {
    #[test]
    fn mean_and_spread_are_the_librarys(values in readings(2)) {
        let doubles: Vec<f64> = values.iter().copied().map(double).collect();
        let sample = Sample::new(values.into_iter().map(Number::from).collect(), None).expect("a sample");
        let mean = sample.mean().shown(6).expect("it fits");
        prop_assert!(close(mean, doubles.as_slice().mean(), 1.0e-6));
        let deviation = doubles.as_slice().std_dev();
        prop_assert!(close(sample.standard_deviation().expect("two"), deviation, 1.0e-6));
        let count = f64::from(u32::try_from(doubles.len()).expect("few"));
        prop_assert!(close(sample.standard_error().expect("two"), deviation / count.sqrt(), 1.0e-6));
    }

    /// The variance of a ratio is that of the residuals; computed here by the library from the residuals themselves.
    #[test]
    fn a_ratios_error_is_that_of_its_residuals(
        pairs in prop::collection::vec((1_i64..5_000, 1_i64..5_000), 2..40)
    ) {
        let whole = |number: i64| Number::whole(i128::from(number));
        let ratio = Ratio::new(pairs.iter().map(|(x, y)| (whole(*x), whole(*y))).collect(), None).expect("a ratio");
        let double = |number: i64| f64::from(i32::try_from(number).expect("small"));
        let (first, second): (Vec<f64>, Vec<f64>) = pairs.iter().map(|(x, y)| (double(*x), double(*y))).unzip();
        let (mean_of_first, mean_of_second) = (first.as_slice().mean(), second.as_slice().mean());
        let slope = mean_of_second / mean_of_first;
        // Residuals of a ratio add up to nothing, so their variance about their mean is that about nothing.
        let residuals: Vec<f64> = first.iter().zip(&second).map(|(x, y)| y - slope * x).collect();
        let count = f64::from(u32::try_from(pairs.len()).expect("few"));
        let error = residuals.as_slice().std_dev() / count.sqrt() / mean_of_first;
        let ours = ratio.standard_error().expect("two");
        prop_assert!(close(ours, error, 1.0e-6), "{} and {}", ours, error);
    }
}
