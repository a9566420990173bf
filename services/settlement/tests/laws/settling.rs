//! Laws of settling: whatever the order of weeks and corrections, pay equals the record.

use std::collections::BTreeMap;

use kernel::{DerivationId, Fixed, Money};
use proptest::prelude::{Just, Strategy, prop_assert, prop_assert_eq, proptest};
use settlement::{
    Account, Entitlement, Forward, JournalEntry, Line, LineKey, LineKind, Payee, Settled, Side, journal,
    post, settle, statements,
};

use crate::common::{dollars, id, key, rate, shares, week};

/// The weeks of these histories.
const WEEKS: usize = 4;

/// What can happen to the books.
#[derive(Clone, Debug)]
enum Event {
    /// The books now say this for a key: first work, late work or a correction.
    State(Box<Entitlement>),
    /// The books now say nothing for a key: all its tickets were corrected away.
    Withdraw(LineKey),
    /// A week is settled and posted.
    Settle(usize),
}

fn any_key() -> impl Strategy<Value = (LineKey, u16, usize)> {
    (0..WEEKS, 0_u16..3, 0_usize..5).prop_map(|(week, rate, side)| (key(week, rate, side), rate, side))
}

/// Quantities of all sizes to the millionth, some of which end in a half cent.
fn quantity() -> impl Strategy<Value = Fixed> {
    let half_cents = (0_i64..400).prop_map(|steps| steps * 400_000);
    proptest::prop_oneof![half_cents, 0_i64..5_000_000_000].prop_map(Fixed::from_millionths)
}

fn entitlement() -> impl Strategy<Value = Entitlement> {
    let derivations =
        proptest::sample::subsequence((1..6).map(|number| id(number + 600)).collect::<Vec<_>>(), 0..5);
    (any_key(), quantity(), 0_i64..40, derivations).prop_map(
        |((key, rate_number, side), quantity, pieces, derivations)| Entitlement {
            key,
            rate: rate(rate_number),
            quantity,
            pieces,
            derivations,
            shares: shares(side),
        },
    )
}

fn history() -> impl Strategy<Value = Vec<Event>> {
    let event = proptest::prop_oneof![
        6 => entitlement().prop_map(|entitlement| Event::State(Box::new(entitlement))),
        2 => any_key().prop_map(|(key, ..)| Event::Withdraw(key)),
        2 => (0..WEEKS).prop_map(Event::Settle),
    ];
    proptest::collection::vec(event, 0..40)
}

/// The books after a history: what they say, what was settled, and every line posted on the way.
#[derive(Default)]
struct Books {
    entitlements: BTreeMap<LineKey, Entitlement>,
    settled: Vec<Settled>,
    posted: Vec<Vec<Line>>,
}

impl Books {
    fn after(history: Vec<Event>) -> Self {
        let mut books = Self::default();
        for event in history {
            match event {
                Event::State(entitlement) => {
                    books.entitlements.insert(entitlement.key, *entitlement);
                }
                Event::Withdraw(key) => {
                    books.entitlements.remove(&key);
                }
                Event::Settle(number) => books.settle(number),
            }
        }
        books
    }

    fn stated(&self) -> Vec<Entitlement> {
        self.entitlements.values().cloned().collect()
    }

    fn settle(&mut self, number: usize) {
        let lines = settle(week(number), dollars(), &self.stated(), &self.settled).unwrap();
        self.settled = post(&self.settled, &lines).unwrap();
        self.posted.push(lines);
    }
}

type Totals = BTreeMap<(LineKey, Payee), i64>;

fn totals(settled: &[Settled]) -> Totals {
    let shares = settled.iter().flat_map(|one| one.figures.by_payee.iter().map(|share| (one.key, share)));
    shares
        .filter(|(_, share)| !share.amount.is_zero())
        .map(|(key, share)| ((key, share.payee), share.amount.minor()))
        .collect()
}

/// What everybody has earned, in cents, worked out in whole numbers without the crate's help.
fn plain_totals(entitlements: &[Entitlement]) -> Totals {
    let mut totals = Totals::new();
    for Entitlement { key, rate, quantity, shares, .. } in entitlements {
        // Millionths of the quantity times millionths of the price, in cents.
        let over = i128::from(rate.unit.counted_per_unit()) * 1_000_000_000_000;
        let above = i128::from(quantity.millionths()) * i128::from(rate.price.millionths()) * 100;
        let amount = (2 * above + over) / (2 * over);
        let mut cents: Vec<(Payee, i128)> = match key.side {
            Side::Mill { mill } => vec![(Payee::Mill(mill), amount)],
            Side::Member { worker, .. } => vec![(Payee::Worker(worker), amount)],
            Side::Crew { .. } => {
                let all: i128 =
                    shares.iter().map(|share| i128::from(share.parts.fixed().unwrap().millionths())).sum();
                let quotas =
                    shares.iter().map(|share| amount * i128::from(share.parts.fixed().unwrap().millionths()));
                let mut open: Vec<(i128, usize)> =
                    quotas.clone().enumerate().map(|(at, quota)| (-(quota % all), at)).collect();
                open.sort_unstable();
                let mut cents: Vec<i128> = quotas.map(|quota| quota / all).collect();
                let left = usize::try_from(amount - cents.iter().sum::<i128>()).unwrap();
                open.iter().take(left).for_each(|(_, at)| *cents.get_mut(*at).unwrap() += 1);
                shares.iter().map(|share| Payee::Worker(share.worker)).zip(cents).collect()
            }
        };
        cents.retain(|(_, cents)| *cents != 0);
        totals.extend(cents.into_iter().map(|(payee, cents)| ((*key, payee), i64::try_from(cents).unwrap())));
    }
    totals
}

fn counted(settled: &[Settled]) -> BTreeMap<LineKey, (Fixed, i64, Vec<DerivationId>)> {
    let kept = settled.iter().filter(|one| !one.figures.is_nothing() || !one.derivations.is_empty());
    kept.map(|one| (one.key, (one.figures.quantity, one.figures.pieces, one.derivations.clone()))).collect()
}

proptest! {
    #[test]
    fn pay_equals_the_record_whatever_the_order(history in history()) {
        let mut books = Books::after(history);
        books.settle(WEEKS - 1);
        let fresh = settle(week(WEEKS - 1), dollars(), &books.stated(), &[]).unwrap();
        let fresh = post(&[], &fresh).unwrap();
        prop_assert_eq!(totals(&books.settled), totals(&fresh));
        prop_assert_eq!(counted(&books.settled), counted(&fresh));
        prop_assert_eq!(totals(&books.settled), plain_totals(&books.stated()));
    }

    #[test]
    fn settling_twice_posts_nothing_the_second_time(history in history(), number in 0..WEEKS) {
        let mut books = Books::after(history);
        books.settle(number);
        let again = settle(week(number), dollars(), &books.stated(), &books.settled).unwrap();
        prop_assert_eq!(again, vec![]);
    }

    #[test]
    fn order_changes_nothing(
        (history, shuffled) in proptest::collection::vec(entitlement(), 0..20).prop_flat_map(|all| {
            let by_key: BTreeMap<_, _> = all.into_iter().map(|one| (one.key, one)).collect();
            let all: Vec<Entitlement> = by_key.into_values().collect();
            (Just(all.clone()), Just(all).prop_shuffle())
        }),
        earlier in history(),
    ) {
        let mut settled = Books::after(earlier).settled;
        let there = settle(week(WEEKS), dollars(), &history, &settled).unwrap();
        settled.reverse();
        let turned = shuffled.into_iter().map(|mut one| { one.derivations.reverse(); one }).collect::<Vec<_>>();
        prop_assert_eq!(&there, &settle(week(WEEKS), dollars(), &turned, &settled).unwrap());
        prop_assert!(there.is_sorted_by_key(|line| line.key));
    }

    #[test]
    fn each_line_says_truly_what_it_is(history in history(), number in 0..WEEKS) {
        let books = Books::after(history);
        for line in settle(week(number), dollars(), &books.stated(), &books.settled).unwrap() {
            let before = books.settled.iter().find(|one| one.key == line.key);
            let regular = line.key.week == week(number) && before.is_none();
            prop_assert_eq!(line.kind == LineKind::Regular, regular);
            prop_assert!(line.key.week <= week(number));
            prop_assert!(line.now.foot().unwrap() && line.change.foot().unwrap());
            prop_assert_eq!(line.formerly.amount.plus(line.change.amount).unwrap(), line.now.amount);
            let working = line.explain().unwrap();
            prop_assert_eq!(working.amount.amount, line.now.amount);
            if let Some(split) = working.split {
                let shares: Vec<Money> = split.shares.iter().map(|share| share.amount).collect();
                prop_assert_eq!(shares, line.now.by_payee.iter().map(|share| share.amount).collect::<Vec<_>>());
            }
        }
    }

    #[test]
    fn the_journal_sums_to_zero_and_its_reversal_cancels_it(history in history()) {
        for lines in Books::after(history).posted {
            let entry = journal(&lines, &[]).unwrap();
            prop_assert_eq!(entry.postings().iter().map(|posting| posting.amount.minor()).sum::<i64>(), 0);
            prop_assert!(entry.postings().iter().all(|posting| !posting.amount.is_zero()));
            let back = entry.reversed().unwrap();
            let both = entry.postings().iter().chain(back.postings()).copied();
            prop_assert_eq!(JournalEntry::new(both).unwrap(), JournalEntry::default());
        }
    }

    #[test]
    fn statements_carry_the_balance_that_the_journal_carries(history in history()) {
        let mut balances: BTreeMap<Payee, Money> = BTreeMap::new();
        let mut accounts: BTreeMap<Account, i64> = BTreeMap::new();
        for lines in Books::after(history).posted {
            for posting in journal(&lines, &[]).unwrap().postings() {
                *accounts.entry(posting.account).or_default() += posting.amount.minor();
            }
            let forward: BTreeMap<_, _> = balances
                .iter()
                .map(|(payee, opening)| (*payee, Forward { opening: *opening, moved: Money::zero(opening.currency()) }))
                .collect();
            for statement in statements(&lines, &[], &forward).unwrap() {
                prop_assert_eq!(statement.opening.plus(statement.earned).unwrap(), statement.closing);
                let shares: i64 = statement.lines.iter().map(|line| line.amount.minor()).sum();
                prop_assert_eq!(shares, statement.earned.minor());
                balances.insert(statement.payee, statement.closing);
            }
        }
        for (payee, balance) in balances {
            let account = match payee {
                Payee::Worker(worker) => -accounts.get(&Account::PayableToWorker(worker)).copied().unwrap_or(0),
                Payee::Mill(mill) => accounts.get(&Account::ReceivableFromMill(mill)).copied().unwrap_or(0),
            };
            prop_assert_eq!(account, balance.minor());
        }
    }
}
