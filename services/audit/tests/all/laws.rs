//! What holds for every sample.

use audit::{Confidence, Number, Ratio, Sample, StatisticError, sample_size};
use kernel::{Fixed, Rounding};
use proptest::prelude::*;

fn whole(number: i32) -> Number {
    Number::whole(number.into())
}

fn fixed(number: Fixed) -> Number {
    number.into()
}

proptest! {
    /// A root lies within half of its last decimal: `(r - h)² ≤ x < (r + h)²`.
    #[test]
    fn roots_are_right_to_the_last_decimal(over in 0_i128..=i128::from(u64::MAX), under in 1_i128..1_000_000, places in 0_u8..=6) {
        let value = Number::whole(over).over(&Number::whole(under)).expect("not by nothing");
        let Ok(root) = value.square_root(places) else { return Ok(()) };
        let half = Number::whole(1).over(&Number::whole(2 * 10_i128.pow(u32::from(places)))).expect("not nothing");
        let (low, high) = (fixed(root).minus(&half), fixed(root).plus(&half));
        prop_assert!(value < high.squared(), "{root}² against {value}");
        prop_assert!(low < Number::whole(0) || low.squared() <= value, "{root}² against {value}");
    }

    /// Rounding by name is the kernel's rounding.
    #[test]
    fn roundings_are_those_of_the_kernel(over in -2_000_000_i128..2_000_000, under in 1_i128..2_000, places in 0_u8..=6) {
        let exact = kernel::Exact::of(over).over(kernel::Exact::of(under)).expect("not by nothing");
        let step = kernel::Exact::fraction(1, 10_i128.pow(u32::from(places)));
        for mode in [Rounding::HalfUp, Rounding::HalfDown, Rounding::HalfEven, Rounding::Down, Rounding::Up] {
            let kernel = exact.rounded_to(step, mode).expect("small").fixed().expect("six decimals");
            prop_assert_eq!(Number::from(exact).shown_rounded(places, mode), Ok(kernel), "{:?} of {}", mode, exact);
        }
        prop_assert_eq!(Number::from(exact).shown(places), Number::from(exact).shown_rounded(places, Rounding::HalfUp));
    }

    /// Where all are known, knowing more of them never widens the interval, and knowing all leaves nothing open.
    #[test]
    fn measuring_everything_leaves_no_error(values in prop::collection::vec(-1_000_i32..1_000, 2..30), more in 0_u64..1_000) {
        let count = u64::try_from(values.len()).expect("few");
        let sample = |population| Sample::new(values.iter().copied().map(whole).collect(), population).expect("a sample");
        let open = sample(None).standard_error().expect("two");
        prop_assert!(sample(Some(count + more)).standard_error().expect("two") <= open);
        let all = sample(Some(count)).interval(Confidence::NinetyNine).expect("two");
        prop_assert_eq!(all.from, all.to);
    }

    /// The order in which sticks were scaled again says nothing, and a unit is only a unit.
    #[test]
    fn a_ratio_knows_no_order_and_no_unit(pairs in prop::collection::vec((1_i32..1_000, 1_i32..1_000), 2..30), unit in 1_i32..50) {
        let of = |pairs: Vec<(i32, i32)>, unit: i32| {
            let pairs = pairs.into_iter().map(|(x, y)| (whole(x * unit), whole(y * unit))).collect();
            let ratio = Ratio::new(pairs, None).expect("a ratio");
            (ratio.shown(), ratio.standard_error(), ratio.interval(Confidence::NinetyFive))
        };
        let backwards = pairs.iter().rev().copied().collect();
        prop_assert_eq!(of(pairs.clone(), 1), of(backwards, 1));
        prop_assert_eq!(of(pairs.clone(), 1), of(pairs, unit));
    }

    /// As many as are asked for are enough, and one fewer is not.
    #[test]
    fn the_size_asked_for_is_the_least_that_is_enough(variation in 1_i64..80, allowed in 1_i64..20) {
        let (v, e) = (Fixed::whole(variation).expect("small"), Fixed::whole(allowed).expect("small"));
        let two = Fixed::whole(2).expect("small");
        let needed = i64::try_from(sample_size(v, e, two, None).expect("not nothing")).expect("few");
        // (2 v / √n) ≤ e, without the root.
        let enough = |n: i64| 4 * variation * variation <= allowed * allowed * n;
        prop_assert!(enough(needed) && !enough(needed - 1));
    }
}

#[test]
fn what_cannot_be_told_says_why() {
    let one = Sample::new(vec![whole(5)], None).expect("a sample");
    assert_eq!(one.standard_error(), Err(StatisticError::TooFew { needed: 2, found: 1 }));
    assert_eq!(Sample::new(Vec::new(), None), Err(StatisticError::TooFew { needed: 1, found: 0 }));
    let nothing = Ratio::new(vec![(whole(0), whole(3))], None);
    assert_eq!(nothing, Err(StatisticError::DividedByZero));
    let opposites = Sample::new(vec![whole(-1), whole(1)], None).expect("a sample");
    assert_eq!(opposites.variation_percent(), Err(StatisticError::DividedByZero));
    let all = Ratio::new(vec![(whole(1), whole(1)); 3], Some(2));
    assert_eq!(all, Err(StatisticError::SampleExceedsAll { sample: 3, population: 2 }));
}
