//! Laws of dividing an amount.

use kernel::{Exact, Fixed};
use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, proptest};
use settlement::{explain_split, split};

use crate::common::cents;

/// Lists of parts with at least one above zero; small ones so that ties are common, and any size.
fn parts() -> impl Strategy<Value = Vec<Fixed>> {
    let part = proptest::prop_oneof![(0_i64..4).prop_map(|part| part * 1_000_000), 0..=i64::MAX];
    proptest::collection::vec(part.prop_map(Fixed::from_millionths), 1..9)
        .prop_filter("somebody must have a part", |parts| parts.iter().any(|part| !part.is_zero()))
}

proptest! {
    #[test]
    fn the_parts_sum_to_the_whole(amount in any::<i64>(), parts in parts()) {
        // The one amount without an opposite cannot be mirrored.
        let amount = amount.max(-i64::MAX);
        let shares = split(cents(amount), &parts).unwrap();
        let sum: i128 = shares.iter().map(|share| i128::from(share.minor())).sum();
        prop_assert_eq!(sum, i128::from(amount));
    }

    #[test]
    fn a_negative_amount_is_the_mirror(amount in 0..i64::MAX, parts in parts()) {
        let there = split(cents(amount), &parts).unwrap();
        let back = split(cents(-amount), &parts).unwrap();
        prop_assert_eq!(there.iter().map(|share| -share.minor()).collect::<Vec<_>>(),
            back.iter().map(|share| share.minor()).collect::<Vec<_>>());
    }

    #[test]
    fn each_share_is_its_quota_rounded_down_or_up(amount in -1_000_000_i64..1_000_000, parts in parts()) {
        for share in explain_split(cents(amount), &parts).unwrap().shares {
            let off = Exact::of(share.amount.minor().into()).minus(share.quota).unwrap();
            prop_assert!(Exact::of(-1) < off && off < Exact::ONE, "{:?}", share);
            prop_assert!(!share.part.is_zero() || share.amount.is_zero());
        }
    }

    #[test]
    fn what_is_left_over_goes_to_the_largest_remainders_and_then_to_the_first(
        amount in -10_000_i64..10_000, parts in parts()
    ) {
        let working = explain_split(cents(amount), &parts).unwrap();
        let lucky = working.shares.iter().filter(|share| share.from_remainder).count();
        prop_assert_eq!(u64::try_from(lucky).unwrap(), working.left_over);
        for (earlier, one) in working.shares.iter().enumerate() {
            for (later, two) in working.shares.iter().enumerate().skip(earlier + 1) {
                if one.from_remainder && !two.from_remainder {
                    prop_assert!(one.remainder >= two.remainder, "{} before {}", earlier, later);
                }
                if two.from_remainder && !one.from_remainder {
                    prop_assert!(two.remainder > one.remainder, "{} passed over for {}", earlier, later);
                }
            }
        }
    }
}
