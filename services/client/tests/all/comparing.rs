//! Two drafts of one week held against each other.

use client::comparing::{Difference, compare, in_order};
use client::text;
use kernel::Money;
use proptest::prelude::*;
use wire::{SettlementView, TicketView};

use crate::golden;

fn draft() -> SettlementView {
    serde_json::from_str(&golden::read("papers/settlement_draft.json")).unwrap()
}

fn ticket(name: &str) -> TicketView {
    serde_json::from_str(&golden::read(&format!("papers/{name}.json"))).unwrap()
}

/// A change to a draft, as the books could bring it about.
#[derive(Clone, Debug)]
enum Change {
    LineGoes(usize),
    LineComes(usize, u16),
    LineIsAnother(usize, i64),
    TotalIsAnother(i64),
    PayIsAnother(usize, i64),
    PayGoes(usize),
    PricedNow(usize),
    UnpricedNow(usize, u16),
    Shuffled(usize),
}

fn more(amount: Money, cents: i64) -> Money {
    amount.plus(Money::from_minor(cents, amount.currency())).unwrap()
}

impl Change {
    fn made(&self, draft: &mut SettlementView) {
        let at = |place: usize, length: usize| place % length.max(1);
        match *self {
            Self::LineGoes(place) if !draft.lines.is_empty() => {
                draft.lines.remove(at(place, draft.lines.len()));
            }
            Self::LineComes(place, rate) => {
                let lines = self::draft().lines;
                let mut line = lines[at(place, lines.len())].clone();
                line.rate_number = rate;
                line.number = 90;
                // The books have one line for a week, a rate and whoever is paid by it.
                let same = |one: &wire::LineView| {
                    (one.week_ends_on, one.terms_id, one.rate_number, one.crew_id)
                        == (line.week_ends_on, line.terms_id, line.rate_number, line.crew_id)
                };
                if !draft.lines.iter().any(same) {
                    draft.lines.push(line);
                }
            }
            Self::LineIsAnother(place, cents) if !draft.lines.is_empty() => {
                let place = at(place, draft.lines.len());
                draft.lines[place].amount = more(draft.lines[place].amount, cents);
            }
            Self::TotalIsAnother(cents) => draft.owed_by_mills = more(draft.owed_by_mills, cents),
            Self::PayIsAnother(place, cents) if !draft.pays.is_empty() => {
                let place = at(place, draft.pays.len());
                draft.pays[place].total = more(draft.pays[place].total, cents);
            }
            Self::PayGoes(place) if !draft.pays.is_empty() => {
                draft.pays.remove(at(place, draft.pays.len()));
            }
            Self::PricedNow(place) if !draft.unpriced.is_empty() => {
                draft.unpriced.remove(at(place, draft.unpriced.len()));
            }
            Self::UnpricedNow(place, piece) => {
                let open = self::draft().unpriced;
                let mut one = open[at(place, open.len())].clone();
                one.piece = Some(piece);
                draft.unpriced.push(one);
            }
            Self::Shuffled(by) if !draft.lines.is_empty() => {
                let by = at(by, draft.lines.len());
                draft.lines.rotate_left(by);
                for (number, line) in (1..).zip(&mut draft.lines) {
                    line.number = number;
                }
            }
            _ => {}
        }
    }
}

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        any::<usize>().prop_map(Change::LineGoes),
        (any::<usize>(), 1..6_u16).prop_map(|(place, rate)| Change::LineComes(place, rate)),
        (any::<usize>(), -500..500_i64).prop_map(|(place, cents)| Change::LineIsAnother(place, cents)),
        (-500..500_i64).prop_map(Change::TotalIsAnother),
        (any::<usize>(), -500..500_i64).prop_map(|(place, cents)| Change::PayIsAnother(place, cents)),
        any::<usize>().prop_map(Change::PayGoes),
        any::<usize>().prop_map(Change::PricedNow),
        (any::<usize>(), 1..6_u16).prop_map(|(place, piece)| Change::UnpricedNow(place, piece)),
        any::<usize>().prop_map(Change::Shuffled),
    ]
}

fn changed(changes: &[Change]) -> SettlementView {
    let mut draft = draft();
    changes.iter().for_each(|change| change.made(&mut draft));
    draft
}

proptest! {
    #[test]
    fn the_draft_before_with_the_differences_is_the_draft_after(
        first in prop::collection::vec(change(), 0..12),
        second in prop::collection::vec(change(), 0..12),
    ) {
        let (before, after) = (changed(&first), changed(&second));
        let found = compare(&before, &after, &[]);
        prop_assert_eq!(found.applied(&before), in_order(&after));
        prop_assert_eq!(found.is_none(), in_order(&before) == in_order(&after));
        // The other way round it takes back what it did.
        prop_assert_eq!(compare(&after, &before, &[]).applied(&after), in_order(&before));
    }

    #[test]
    fn the_same_draft_in_another_order_has_no_differences(
        changes in prop::collection::vec(change(), 0..12),
        by in any::<usize>(),
    ) {
        let before = changed(&changes);
        let mut after = before.clone();
        Change::Shuffled(by).made(&mut after);
        let found = compare(&before, &after, &[]);
        prop_assert!(found.is_none(), "{found:?}");
    }
}

#[test]
fn everybody_whose_pay_changed_is_named_with_the_tickets_behind_it() {
    let before = draft();
    let mut after = before.clone();
    let line = &mut after.lines[1];
    assert!(line.by_payee.len() > 1, "a crew's line");
    line.amount = more(line.amount, 250);
    line.by_payee[1].amount = more(line.by_payee[1].amount, 250);
    let (week, crew, task) = (line.week_ends_on, line.crew_id, line.task);
    // One ticket in the week with the crew's work, one a week earlier, one of another crew.
    let mut touching = ticket("ticket");
    touching.scaled.clear();
    touching.ticket.scaled_on = week;
    touching.ticket.work.truncate(1);
    touching.ticket.work[0].task = task;
    touching.ticket.work[0].crew_id = crew.unwrap();
    let mut earlier = touching.clone();
    earlier.ticket.number = 901;
    earlier.ticket.scaled_on = week.checked_sub(jiff::Span::new().days(7)).unwrap();
    let mut others = touching.clone();
    others.ticket.number = 902;
    others.ticket.work[0].crew_id = "0197a000-0000-7000-8000-0000000000ff".parse().unwrap();
    let found = compare(&before, &after, &[earlier, touching.clone(), others]);
    let numbers = |tickets: &[wire::TicketReference]| -> Vec<i64> {
        tickets.iter().map(|ticket| ticket.number).collect()
    };
    assert_eq!(found.lines.len(), 1);
    assert!(matches!(found.lines[0].change, Difference::Changed { .. }));
    assert_eq!(numbers(&found.lines[0].tickets), [i64::from(touching.ticket.number)]);
    let [payee] = found.payees.as_slice() else { panic!("one payee: {:?}", found.payees) };
    assert_eq!(payee.payee, before.lines[1].by_payee[1].payee);
    assert_eq!(payee.change.minor(), 250);
    assert_eq!(numbers(&payee.tickets), [i64::from(touching.ticket.number)]);
}

#[test]
fn an_adjustment_names_the_tickets_that_only_one_of_the_drafts_adjusts_by() {
    let before = draft();
    let mut after = before.clone();
    let mut further = after.lines[0].entered[0].clone();
    further.number = 18;
    after.lines[0].entered.push(further);
    let found = compare(&before, &after, &[]);
    assert_eq!(found.lines.len(), 1);
    assert_eq!(found.lines[0].tickets.len(), 1);
    assert_eq!(found.lines[0].tickets[0].number, 18);
}

#[test]
fn the_paper() {
    let before = draft();
    let mut after = before.clone();
    after.settlement_id = "0197a000-0000-7000-8000-000000000052".parse().unwrap();
    after.unpriced.remove(0);
    let gone = after.lines.remove(2);
    after.paid_to_crews = after.paid_to_crews.minus(gone.amount).unwrap();
    let line = &mut after.lines[0];
    line.amount = more(line.amount, -45);
    line.entered.push(wire::TicketReference {
        ticket_id: "0197a000-0000-7000-8000-000000000099".parse().unwrap(),
        book: "A".to_owned(),
        number: 21,
    });
    after.pays[0].earned = more(after.pays[0].earned, -3189);
    after.pays[0].total = more(after.pays[0].total, -189);
    after.pays[0].kept_back = more(after.pays[0].kept_back, -3000);
    after.lines[1].quantity = "11300".parse().unwrap();
    let paper = text::differences(&compare(&before, &after, &[]));
    golden::check("papers/differences.txt", &paper);
    assert!(paper.lines().all(|line| line.chars().count() <= 80 && line.trim_end() == line), "{paper}");
}

#[test]
fn the_paper_about_what_to_look_at() {
    let ready = client::readiness::Readiness {
        week_ends_on: jiff::civil::date(2031, 6, 14),
        unpriced: draft().unpriced,
        gaps: vec![client::readiness::BookGaps {
            book: "A".to_owned(),
            gaps: serde_json::from_str(
                r#"[{"from": 13, "to": 13, "before": {"number": 12}, "after": {"number": 14}},
                    {"from": 15, "to": 16, "before": {"number": 14}, "after": {"number": 17}}]"#,
            )
            .unwrap(),
        }],
        late: vec![client::readiness::LateTicket {
            ticket: draft().lines[0].entered[0].clone(),
            scaled_on: jiff::civil::date(2031, 6, 5),
        }],
        exceptions: serde_json::from_str(
            r#"{"from": "2031-06-08", "to": "2031-06-14", "count": 3, "cannot_be_told": [], "kinds": [
                {"kind": "late_ticket", "count": 1, "means": "", "found_by": "", "what_to_do": ""},
                {"kind": "scale_book_gap", "count": 2, "means": "", "found_by": "", "what_to_do": ""}]}"#,
        )
        .unwrap(),
    };
    let paper = text::readiness(&ready);
    golden::check("papers/readiness.txt", &paper);
    assert!(paper.lines().all(|line| line.chars().count() <= 80 && line.trim_end() == line), "{paper}");
}
