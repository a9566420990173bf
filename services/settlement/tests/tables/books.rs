//! Settling, journal and statements case by case.

use std::collections::BTreeMap;

use settlement::{
    Account, Entitlement, Forward, JournalEntry, JournalError, Line, LineKind, Payee, PayeeAmount, Posting,
    RateSummary, RateUnit, SettleError, Settled, Share, SplitError, StatementError, Task, journal, post,
    settle, statements,
};

use crate::common::{cents, dollars, id, key, rate, read, shares, week};

/// Ties at 0.48 by side 0: three workers who share alike.
fn ties(week: usize, count: i64) -> Entitlement {
    Entitlement {
        key: key(week, 1, 0),
        rate: rate(1),
        quantity: crate::common::whole(count),
        pieces: count,
        derivations: vec![id(600)],
        shares: shares(0),
    }
}

/// Timber that the mill pays for by the foot.
fn poles(week: usize) -> Entitlement {
    Entitlement {
        key: key(week, 2, 3),
        rate: rate(2),
        quantity: read("350"),
        shares: vec![],
        ..ties(week, 10)
    }
}

fn lines(number: usize, entitlements: &[Entitlement], settled: &[Settled]) -> Vec<Line> {
    settle(week(number), dollars(), entitlements, settled).unwrap()
}

fn by_worker(line: &Line) -> Vec<i64> {
    line.change.by_payee.iter().map(|share| share.amount.minor()).collect()
}

#[test]
fn a_first_settlement_is_regular_and_divides_to_the_cent() {
    let lines = lines(0, &[ties(0, 20), poles(0)], &[]);
    assert_eq!(lines.len(), 2);
    assert_eq!((lines[0].kind, lines[0].change.amount), (LineKind::Regular, cents(960)));
    assert_eq!(by_worker(&lines[0]), [320, 320, 320]);
    assert_eq!(lines[0].entered, [id(600)]);
    // 350 feet at 0.0125 is 4.375: the half goes up.
    assert_eq!(lines[1].change.by_payee, [PayeeAmount { payee: Payee::Mill(id(300)), amount: cents(438) }]);
}

#[test]
fn a_correction_posts_the_difference_between_two_whole_divisions() {
    let settled = post(&[], &lines(0, &[ties(0, 20)], &[])).unwrap();
    // 19 ties come to 9.12, 3.04 each; 21 to 10.08, 3.36 each.
    for (count, each) in [(19, -16), (21, 16)] {
        let adjusted = lines(1, &[ties(0, count)], &settled);
        assert_eq!((adjusted[0].kind, adjusted[0].key.week), (LineKind::Adjustment, week(0)));
        assert_eq!(by_worker(&adjusted[0]), [each; 3]);
        assert_eq!((adjusted[0].now.pieces, adjusted[0].formerly.pieces), (count, 20));
        assert!(adjusted[0].entered.is_empty() && adjusted[0].withdrawn.is_empty());
    }
}

#[test]
fn late_work_of_an_earlier_week_is_an_adjustment() {
    let late = lines(2, &[ties(0, 20), ties(2, 5)], &[]);
    assert_eq!(
        late.iter().map(|line| line.kind).collect::<Vec<_>>(),
        [LineKind::Adjustment, LineKind::Regular]
    );
}

#[test]
fn a_week_settled_again_has_only_adjustments() {
    let settled = post(&[], &lines(0, &[ties(0, 20)], &[])).unwrap();
    assert_eq!(lines(0, &[ties(0, 25)], &settled)[0].kind, LineKind::Adjustment);
}

#[test]
fn work_that_is_gone_is_withdrawn_whole_and_can_come_back() {
    let settled = post(&[], &lines(0, &[ties(0, 20)], &[])).unwrap();
    let gone = lines(1, &[], &settled);
    assert_eq!(by_worker(&gone[0]), [-320; 3]);
    assert_eq!((gone[0].withdrawn.as_slice(), gone[0].now.is_nothing()), ([id(600)].as_slice(), true));
    assert_eq!(gone[0].explain().unwrap().split, None);
    let settled = post(&settled, &gone).unwrap();
    assert!(lines(1, &[], &settled).is_empty());
    let back = lines(1, &[ties(0, 20)], &settled);
    assert_eq!((back[0].kind, by_worker(&back[0])), (LineKind::Adjustment, vec![320; 3]));
}

#[test]
fn a_ticket_replaced_by_an_equal_one_still_has_a_line() {
    let settled = post(&[], &lines(0, &[ties(0, 20)], &[])).unwrap();
    let replaced = Entitlement { derivations: vec![id(601)], ..ties(0, 20) };
    let line = lines(1, std::slice::from_ref(&replaced), &settled).remove(0);
    assert!(line.change.is_nothing());
    assert_eq!(
        (line.entered.as_slice(), line.withdrawn.as_slice()),
        ([id(601)].as_slice(), [id(600)].as_slice())
    );
    let settled = post(&settled, &[line]).unwrap();
    assert!(lines(1, &[replaced], &settled).is_empty());
}

#[test]
fn a_change_of_the_count_of_pieces_alone_has_a_line() {
    let settled = post(&[], &lines(0, &[ties(0, 20)], &[])).unwrap();
    let recounted = Entitlement { pieces: 21, ..ties(0, 20) };
    let line = lines(1, &[recounted], &settled).remove(0);
    assert_eq!((line.change.pieces, line.change.amount), (1, cents(0)));
}

#[test]
fn cull_alone_has_a_line_of_zero() {
    let cull = Entitlement { quantity: read("0"), pieces: 3, ..ties(0, 0) };
    let lines = lines(0, &[cull], &[]);
    assert_eq!((lines[0].change.pieces, by_worker(&lines[0])), (3, vec![0; 3]));
    assert!(journal(&lines, &[]).unwrap().postings().is_empty());
    assert_eq!(statements(&lines, &[], &BTreeMap::new()).unwrap().len(), 3);
}

#[test]
fn later_weeks_wait() {
    assert!(lines(0, &[ties(1, 20)], &[]).is_empty());
    let settled = post(&[], &lines(1, &[ties(1, 20)], &[])).unwrap();
    assert!(lines(0, &[], &settled).is_empty());
}

#[test]
fn books_that_contradict_themselves_are_refused() {
    let settled = post(&[], &lines(0, &[ties(0, 20)], &[])).unwrap();
    let refusal = |entitlements: &[Entitlement], settled: &[Settled]| {
        settle(week(0), dollars(), entitlements, settled).unwrap_err()
    };
    let key = ties(0, 20).key;
    assert_eq!(refusal(&[ties(0, 1), ties(0, 2)], &[]), SettleError::EntitledTwice(key));
    assert_eq!(refusal(&[], &[settled.clone(), settled.clone()].concat()), SettleError::SettledTwice(key));
    assert_eq!(post(&[settled.clone(), settled.clone()].concat(), &[]), Err(SettleError::SettledTwice(key)));
    let mut dearer = ties(0, 20);
    dearer.rate.price = read("0.50");
    assert_eq!(refusal(&[dearer], &settled), SettleError::RateChanged(key));
    let mut short = settled.clone();
    short[0].figures.by_payee.pop();
    assert_eq!(refusal(&[], &short), SettleError::DoesNotFoot(key));
    let twice = Entitlement { shares: [shares(0), shares(0)].concat(), ..ties(0, 20) };
    assert_eq!(refusal(&[twice], &[]), SettleError::SharedTwice { key, worker: id(1) });
    let nobody = Entitlement { shares: vec![], ..ties(0, 20) };
    assert_eq!(refusal(&[nobody], &[]), SettleError::Split { key, why: SplitError::NoParts });
    let nothing = Entitlement { shares: vec![Share { worker: id(1), parts: read("0") }], ..ties(0, 20) };
    assert_eq!(refusal(&[nothing], &[]), SettleError::Split { key, why: SplitError::AllZero });
    let shared = Entitlement { shares: shares(0), ..poles(0) };
    assert_eq!(refusal(&[shared], &[]), SettleError::SharesUnwanted(poles(0).key));
    let other = settle(week(0), read("CAD"), &[], &settled).unwrap_err();
    assert_eq!(other.code(), "settle_mixed_currencies");
}

#[test]
fn the_journal_debits_the_task_and_credits_the_workers() {
    let entry = journal(&lines(0, &[ties(0, 20), poles(0)], &[]), &[]).unwrap();
    let seen: Vec<_> = entry.postings().iter().map(|one| (one.account, one.amount.minor())).collect();
    assert_eq!(
        seen,
        [
            (Account::WorkExpense(Task::Hewing), 960),
            (Account::PayableToWorker(id(1)), -320),
            (Account::PayableToWorker(id(2)), -320),
            (Account::PayableToWorker(id(3)), -320),
            (Account::ReceivableFromMill(id(300)), 438),
            (Account::TimberIncome, -438),
        ]
    );
    assert_eq!(entry.currency(), Some(dollars()));
}

#[test]
fn a_members_time_is_his_alone_and_is_stated_again_like_any_other_work() {
    let hours = |hours: &str| Entitlement {
        key: key(0, 2, 4),
        rate: RateSummary { unit: RateUnit::Hour, price: read("0.35"), ..rate(2) },
        quantity: read(hours),
        pieces: 0,
        derivations: vec![id(900)],
        shares: vec![],
    };
    let first = lines(0, &[hours("9.5")], &[]);
    let entry = journal(&first, &[]).unwrap();
    let seen: Vec<_> = entry.postings().iter().map(|one| (one.account, one.amount.minor())).collect();
    // 9.5 × 0.35 = 3.325, a half up.
    assert_eq!(seen, [(Account::WorkExpense(Task::Hewing), 333), (Account::PayableToWorker(id(2)), -333)]);
    let mut wrong = first.clone();
    wrong[0].change.by_payee[0].payee = Payee::Worker(id(1));
    assert_eq!(journal(&wrong, &[]).unwrap_err().code(), "journal_wrong_side");
    let settled = post(&[], &first).unwrap();
    let next = lines(1, &[hours("8")], &settled);
    assert_eq!((next[0].kind, next[0].change.amount.minor()), (LineKind::Adjustment, -53));
    let shared = Entitlement { shares: shares(0), ..hours("8") };
    let refused = settle(week(0), dollars(), &[shared], &[]).unwrap_err();
    assert_eq!(refused, SettleError::SharesUnwanted(key(0, 2, 4)));
}

#[test]
fn what_is_docked_is_the_mirror_of_what_is_paid() {
    let docked = |price: &str| {
        let mut ties = ties(0, 20);
        ties.rate.price = read(price);
        lines(0, &[ties], &[]).remove(0).now
    };
    let (paid, taken) = (docked("0.1001"), docked("-0.1001"));
    assert_eq!((paid.amount.minor(), taken.amount.minor()), (200, -200));
    for (one, other) in paid.by_payee.iter().zip(&taken.by_payee) {
        assert_eq!(one.amount.minor(), -other.amount.minor());
    }
}

#[test]
fn a_journal_entry_is_balanced_or_not_made() {
    let posting = |account, amount| Posting { account, amount };
    let work = Account::WorkExpense(Task::Felling);
    let unbalanced = [posting(work, cents(5)), posting(Account::TimberIncome, cents(-4))];
    assert_eq!(JournalEntry::new(unbalanced), Err(JournalError::Unbalanced(cents(1))));
    let text = serde_json::to_string(&unbalanced).unwrap();
    assert!(serde_json::from_str::<JournalEntry>(&text).is_err());
    let canadian = kernel::Money::from_minor(-5, read("CAD"));
    let mixed = JournalEntry::new([posting(work, cents(5)), posting(Account::TimberIncome, canadian)]);
    assert_eq!(mixed.unwrap_err().code(), "journal_money");
    let circular = JournalEntry::new([posting(work, cents(5)), posting(work, cents(-5))]).unwrap();
    assert!(circular.postings().is_empty());
}

#[test]
fn lines_that_contradict_themselves_are_not_booked() {
    let mut short = lines(0, &[ties(0, 20)], &[]);
    short[0].change.by_payee.pop();
    let key = short[0].key;
    assert_eq!(journal(&short, &[]), Err(JournalError::DoesNotFoot(key)));
    assert_eq!(statements(&short, &[], &BTreeMap::new()), Err(StatementError::DoesNotFoot(key)));
    for (entitlement, stranger) in [
        (ties(0, 20), Payee::Mill(id(300))),
        (poles(0), Payee::Worker(id(1))),
        (poles(0), Payee::Mill(id(301))),
    ] {
        let mut wrong = lines(0, &[entitlement], &[]);
        wrong[0].change.by_payee[0].payee = stranger;
        assert_eq!(journal(&wrong, &[]).unwrap_err().code(), "journal_wrong_side");
    }
}

fn forward(opening: i64, moved: i64) -> Forward {
    Forward { opening: cents(opening), moved: cents(moved) }
}

#[test]
fn statements_bring_balances_forward() {
    let opening = BTreeMap::from([
        (Payee::Worker(id(1)), forward(-100, 0)),
        (Payee::Worker(id(8)), forward(300, -50)),
        (Payee::Worker(id(9)), forward(0, 0)),
    ]);
    let drawn_up = statements(&lines(0, &[ties(0, 20), poles(0)], &[]), &[], &opening).unwrap();
    let seen: Vec<_> = drawn_up
        .iter()
        .map(|one| (one.payee, one.opening.minor(), one.earned.minor(), one.closing.minor(), one.lines.len()))
        .collect();
    assert_eq!(
        seen,
        [
            (Payee::Worker(id(1)), -100, 320, 220, 1),
            (Payee::Worker(id(2)), 0, 320, 320, 1),
            (Payee::Worker(id(3)), 0, 320, 320, 1),
            (Payee::Worker(id(8)), 300, 0, 250, 0),
            (Payee::Mill(id(300)), 0, 438, 438, 1),
        ]
    );
    assert_eq!(drawn_up[4].lines[0].line, 1);
}
