//! Laws of pay beside the work: make-up never takes away, and what is kept back never leaves less than is protected.

use std::collections::BTreeMap;

use kernel::{Fixed, Money};
use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, prop_assume, proptest};
use settlement::{
    ChargeKind, Due, HoldbackTerms, Hours, JournalEntry, Keeping, Pay, Percent, Purse, Supplement,
    SupplementKey, WageTerms, WorkedWeek, holdback_due, journal, restate, take_off, wages,
};

use crate::common::{cents, dollars, id, read, week};

fn hours(quarters: i64) -> Hours {
    Hours::try_from(Fixed::from_millionths(quarters * 250_000)).unwrap()
}

fn terms() -> impl Strategy<Value = WageTerms> {
    let rate = || proptest::option::of(1_i64..3_000);
    (rate(), rate(), any::<bool>(), proptest::option::of(0_i64..200), any::<bool>()).prop_map(
        |(guarantee, minimum, rest, overtime, rounded)| {
            let money = |cents: Option<i64>| {
                cents.map(|cents| serde_json::json!(Fixed::from_millionths(cents * 10_000).to_string()))
            };
            serde_json::from_value(serde_json::json!({
                "guarantee_an_hour": money(guarantee),
                "minimum_an_hour": money(minimum),
                "rest": if rest { "by_the_average" } else { "with_the_pieces" },
                "overtime": overtime.map(|quarters| serde_json::json!({"after_hours": hours(quarters)})),
                "regular_rate": if rounded { "half_up_to_the_cent" } else { "exact" },
            }))
            .unwrap()
        },
    )
}

fn worked() -> impl Strategy<Value = WorkedWeek> {
    // More can be docked than was paid.
    (-150_000_i64..200_000, 0_i64..50_000, 0_i64..220, 0_i64..100, 0_i64..20).prop_map(
        |(pieces, time, piece_hours, time_hours, rest_hours)| WorkedWeek {
            by_pieces: cents(pieces),
            by_time: cents(time),
            piece_hours: hours(piece_hours),
            time_hours: hours(time_hours),
            rest_hours: hours(rest_hours),
        },
    )
}

fn dues() -> impl Strategy<Value = Vec<Due>> {
    let one = (-2_000_i64..9_000, any::<bool>(), 1_usize..50).prop_map(|(amount, cuts, number)| Due {
        keeping: Keeping::Charge { charge: id(number), kind: ChargeKind::Board },
        amount: cents(amount),
        cuts_into_minimum: cuts,
    });
    proptest::collection::vec(one, 0..8)
}

proptest! {
    #[test]
    fn what_is_added_is_never_below_nothing_and_reaches_every_floor(terms in terms(), week in worked()) {
        let added = wages(&terms, &week).unwrap();
        for amount in [added.guarantee_make_up, added.minimum_make_up, added.rest_pay, added.overtime_premium] {
            prop_assert!(amount.minor() >= 0);
        }
        // A week without hours has no floor.
        prop_assume!(!week.hours().unwrap().is_zero());
        let reaches = |amount: Money, rate: Option<settlement::HourlyRate>, hours: Hours| {
            let floor = rate.map(|rate| rate.exact().times(hours.exact()).unwrap());
            floor.is_none_or(|floor| amount.minor() >= Money::from_exact(floor, dollars()).unwrap().minor())
        };
        let pieces = week.by_pieces.plus(added.guarantee_make_up).unwrap();
        prop_assert!(reaches(pieces, terms.guarantee_an_hour, week.piece_hours));
        let whole = week.by_pieces.plus(week.by_time).unwrap().plus(added.added().unwrap()).unwrap();
        let work = hours((week.piece_hours.fixed().millionths() + week.time_hours.fixed().millionths()) / 250_000);
        prop_assert!(reaches(whole, terms.minimum_an_hour, work));
        // Every amount has its reason in words.
        let amounts = [added.guarantee_make_up, added.minimum_make_up, added.rest_pay, added.overtime_premium];
        prop_assert!(amounts.iter().filter(|one| !one.is_zero()).count() <= added.working.len());
    }

    #[test]
    fn each_week_stands_alone_and_more_pieces_never_mean_less_pay(
        terms in terms(), week in worked(), more in 0_i64..10_000
    ) {
        let total = |week: &WorkedWeek| {
            let added = wages(&terms, week).unwrap().added().unwrap();
            week.by_pieces.plus(week.by_time).unwrap().plus(added).unwrap().minor()
        };
        let better = WorkedWeek { by_pieces: week.by_pieces.plus(cents(more)).unwrap(), ..week };
        prop_assert!(total(&better) >= total(&week));
    }

    #[test]
    fn nothing_is_kept_back_that_is_protected(
        pay in 0_i64..60_000, before in -5_000_i64..5_000, protected in 0_i64..40_000, dues in dues()
    ) {
        let purse = Purse { pay: cents(pay), brought_forward: cents(before), protected: cents(protected) };
        let kept = take_off(&purse, &dues).unwrap();
        prop_assert_eq!(kept.len(), dues.len());
        let mut given_back = 0;
        let (mut all, mut of_the_protected_kind) = (0, 0);
        for (due, one) in dues.iter().zip(&kept) {
            prop_assert_eq!(one.due, due.amount);
            prop_assert_eq!(one.taken.plus(one.carried).unwrap(), one.due);
            prop_assert!(one.carried.minor() >= 0);
            if one.taken.minor() < 0 {
                given_back -= one.taken.minor();
            } else {
                all += one.taken.minor();
                if !due.cuts_into_minimum {
                    of_the_protected_kind += one.taken.minor();
                }
            }
        }
        let owed = before.min(0);
        prop_assert!(all <= (pay + owed).max(0) + given_back, "{} of {}", all, pay);
        prop_assert!(of_the_protected_kind <= (pay + owed - protected).max(0) + given_back);
    }

    #[test]
    fn a_holdback_stays_between_nothing_and_its_cap(
        percent in 1_i64..=100, cap in 1_i64..30_000, paid in proptest::collection::vec(-20_000_i64..60_000, 1..12)
    ) {
        let percent = Percent::try_from(Fixed::from_millionths(percent * 1_000_000)).unwrap();
        let terms = HoldbackTerms { percent, cap: Some(Fixed::from_millionths(cap * 10_000).try_into().unwrap()) };
        let mut held = cents(0);
        for paid in paid {
            held = held.plus(holdback_due(&terms, cents(paid), held).unwrap()).unwrap();
            prop_assert!((0..=cap).contains(&held.minor()), "{}", held);
        }
    }

    #[test]
    fn supplements_posted_add_up_to_what_they_are(states in proptest::collection::vec((0_usize..3, 0_i64..5_000), 1..20)) {
        let mut posted: BTreeMap<SupplementKey, Money> = BTreeMap::new();
        let mut now = BTreeMap::new();
        for (step, (of, amount)) in states.iter().enumerate() {
            let key = SupplementKey {
                week: week(*of),
                worker: id(1),
                supplement: Supplement::ALL[step % Supplement::ALL.len()],
            };
            now.insert(key, cents(*amount));
            let lines = restate(week(2), dollars(), &now, &posted).unwrap();
            for line in &lines {
                prop_assert_eq!(line.now.minus(line.formerly).unwrap(), line.change);
                let sum = posted.entry(line.key).or_insert(cents(0));
                *sum = sum.plus(line.change).unwrap();
            }
            prop_assert!(restate(week(2), dollars(), &now, &posted).unwrap().is_empty());
        }
        posted.retain(|_, amount| !amount.is_zero());
        now.retain(|_, amount: &mut Money| !amount.is_zero());
        prop_assert_eq!(posted, now);
    }

    #[test]
    fn a_pay_is_booked_in_balance(amount in 1_i64..50_000, dues in dues()) {
        let purse = Purse { pay: cents(amount), brought_forward: cents(0), protected: cents(0) };
        let key = SupplementKey { week: week(0), worker: id(1), supplement: Supplement::RestPay };
        let now = BTreeMap::from([(key, cents(amount))]);
        let pay = Pay {
            worker: id(1),
            earned: cents(0),
            supplements: restate(week(0), dollars(), &now, &BTreeMap::new()).unwrap(),
            take_offs: take_off(&purse, &dues).unwrap(),
        };
        let entry: JournalEntry = journal(&[], std::slice::from_ref(&pay)).unwrap();
        prop_assert_eq!(entry.postings().iter().map(|one| one.amount.minor()).sum::<i64>(), 0);
        let payable = settlement::Account::PayableToWorker(read("0197a000-0000-7000-8000-000000000001"));
        let credited: i64 =
            entry.postings().iter().filter(|one| one.account == payable).map(|one| -one.amount.minor()).sum();
        prop_assert_eq!(credited, pay.total().unwrap().minor());
    }
}
