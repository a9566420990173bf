//! Laws of dividing an amount.

use kernel::{Exact, Fixed};
use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, proptest};
use settlement::{HoursError, SharedDay, explain_split, parts_by_hours, split};

use crate::common::cents;

/// Lists of parts with at least one above zero; small ones so that ties are common, and any size.
fn parts() -> impl Strategy<Value = Vec<Exact>> {
    let part = proptest::prop_oneof![(0_i64..4).prop_map(|part| part * 1_000_000), 0..=i64::MAX];
    proptest::collection::vec(part.prop_map(|part| Fixed::from_millionths(part).exact()), 1..9)
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

proptest! {
    #[test]
    fn parts_by_hours_sum_to_what_was_counted_and_follow_the_days(
        days in proptest::collection::vec((0_i64..5_000, proptest::collection::vec(0_i64..2_400, 3)), 1..7)
    ) {
        let fixed = |hundredths: i64| Fixed::from_millionths(hundredths * 10_000);
        let shared = |(day, (quantity, hours)): (i8, &(i64, Vec<i64>))| SharedDay {
            day: jiff::civil::date(2031, 6, day),
            quantity: fixed(*quantity),
            hours: hours.iter().map(|one| fixed(*one)).collect(),
        };
        let week: Vec<SharedDay> = (1_i8..).zip(&days).map(shared).collect();
        let idle = week.iter().find(|day| !day.quantity.is_zero() && day.hours.iter().all(|one| one.is_zero()));
        match parts_by_hours(3, &week) {
            Err(error) => prop_assert_eq!(Some(error), idle.map(|day| HoursError::NoHours(day.day))),
            Ok(parts) => {
                prop_assert!(idle.is_none());
                let mut sum = Exact::ZERO;
                for part in &parts {
                    sum = sum.plus(*part).unwrap();
                }
                let counted: i64 = days.iter().map(|(quantity, _)| quantity).sum();
                if counted > 0 {
                    prop_assert_eq!(sum, fixed(counted).exact());
                }
                // The days of a week come in any order.
                let backwards: Vec<SharedDay> = week.iter().rev().cloned().collect();
                prop_assert_eq!(parts_by_hours(3, &backwards).unwrap(), parts);
            }
        }
    }
}
