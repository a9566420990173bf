//! The outbox under trial: every step of writing fails once, and nothing that was confirmed is lost or comes twice.

use jiff::SignedDuration;
use kernel::{SettableClock, SystemEntropy};
use serde_json::{Value, json};

use super::{Answer, Filing, Follows, KEPT_DAYS, Kept, Key, Outbox, OutboxError, Owner, Place, Refusal};
use crate::shelf::failing;

fn clock() -> SettableClock {
    SettableClock::at("2031-06-03T17:00:00Z".parse().unwrap())
}

fn owner(subject: &str) -> Owner {
    Owner { service: "http://host".to_owned(), outfit_id: None, subject: Some(subject.to_owned()) }
}

fn ticket(number: u64, remark: &str) -> Filing {
    let name = format!("ticket A {number}");
    Filing {
        operation: "post_ticket".to_owned(),
        path: "/v1/tickets".to_owned(),
        body: json!({"book": "A", "number": number, "remarks": remark}),
        key: Key::Name(name.clone()),
        says: name,
        stamp: None,
        follows: None,
    }
}

fn numbers(outbox: &Outbox, place: Place) -> Vec<u64> {
    outbox.entries(place).unwrap().iter().map(|entry| entry.number).collect()
}

fn answer(reply: Value) -> Option<Answer> {
    Some(Answer { at: "2031-06-03T18:00:00Z".parse().unwrap(), replayed: false, reply })
}

#[test]
fn what_was_kept_is_there_and_what_was_not_is_not() {
    let place = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(place.path()).unwrap();
    let (clock, owner) = (clock(), owner("ida"));
    let mut confirmed = Vec::new();
    // Each step of keeping fails in turn; at last there are steps enough, and it goes well.
    for steps in 0..20 {
        failing::after(Some(steps));
        let kept = outbox.keep(ticket(confirmed.len() as u64 + 1, "first"), &owner, &clock);
        failing::after(None);
        match kept {
            Ok(kept) => confirmed.push(kept.entry().number),
            Err(error) => assert_eq!(error.code(), "cannot-be-kept"),
        }
        let again = Outbox::at(place.path()).unwrap();
        assert_eq!(numbers(&again, Place::Waiting), confirmed, "after {steps} steps");
    }
    assert!(confirmed.len() > 10, "{confirmed:?}");
}

#[test]
fn an_entry_is_never_nowhere_and_never_in_two_places() {
    for steps in 0..12 {
        let place = tempfile::tempdir().unwrap();
        let outbox = Outbox::at(place.path()).unwrap();
        let kept = outbox.keep(ticket(1, ""), &owner("ida"), &clock()).unwrap();
        let mut entry = kept.entry().clone();
        entry.answer = answer(json!({"ticket_id": "7"}));
        failing::after(Some(steps));
        let moved = outbox.move_on(Place::Waiting, Place::Sent, &entry);
        failing::after(None);
        let again = Outbox::at(place.path()).unwrap();
        let (waiting, sent) = (numbers(&again, Place::Waiting), numbers(&again, Place::Sent));
        assert_eq!(waiting.len() + sent.len(), 1, "after {steps} steps: {waiting:?} {sent:?}");
        assert!(moved.is_err() || sent == [1], "it said that it was moved");
        // What was answered keeps its reply wherever it is found.
        let (found_in, found) = again.find(1).unwrap();
        assert_eq!(found_in == Place::Sent, found.answer.is_some());
    }
}

#[test]
fn the_same_ticket_waits_once_and_another_of_that_name_is_told() {
    let place = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(place.path()).unwrap();
    let (clock, ida) = (clock(), owner("ida"));
    let first = outbox.keep(ticket(1, "a"), &ida, &clock).unwrap();
    assert!(matches!(first, Kept::New(_)));
    let same = outbox.keep(ticket(1, "a"), &ida, &clock).unwrap();
    assert!(matches!(same, Kept::Waits(_)) && same.entry() == first.entry());
    let other = outbox.keep(ticket(1, "b"), &ida, &clock).unwrap_err();
    assert_eq!(other.code(), "other-waits");
    // In another outfit's books, the number is another.
    let elsewhere = Owner { service: "http://other".to_owned(), ..ida.clone() };
    assert!(matches!(outbox.keep(ticket(1, "b"), &elsewhere, &clock), Ok(Kept::New(_))));
    // Two charges that look alike are two charges.
    let charge = || Filing { key: Key::new(&SystemEntropy), ..ticket(9, "") };
    let numbers: Vec<_> =
        (0..2).map(|_| outbox.keep(charge(), &ida, &clock).unwrap().entry().number).collect();
    assert_eq!(numbers, [3, 4]);
}

#[test]
fn whoever_decides_says_why_and_nothing_is_deleted() {
    let place = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(place.path()).unwrap();
    let clock = clock();
    let kept = outbox.keep(ticket(1, ""), &owner("ida"), &clock).unwrap();
    let mut entry = kept.entry().clone();
    assert_eq!(outbox.put_back(1).unwrap_err().code(), "entry-elsewhere");
    let problem = wire::Problem::new(wire::Code::NamesMissingRecord, "there is no such landing");
    entry.refusal = Some(Refusal { at: entry.made_at, problem });
    outbox.move_on(Place::Waiting, Place::Refused, &entry).unwrap();
    assert_eq!(outbox.put_back(1).unwrap().refusal, None);
    assert_eq!(numbers(&outbox, Place::Waiting), [1]);
    let aside = outbox.set_aside(1, "written twice", &clock).unwrap();
    assert_eq!(aside.dropped.unwrap().because, "written twice");
    assert_eq!(numbers(&outbox, Place::Dropped), [1]);
    assert_eq!(outbox.set_aside(1, "again", &clock).unwrap_err().code(), "entry-elsewhere");
    assert!(matches!(outbox.find(2), Err(OutboxError::NoEntry(2))));
    // The next one gets a number of its own.
    assert_eq!(outbox.keep(ticket(2, ""), &owner("ida"), &clock).unwrap().entry().number, 2);
}

#[test]
fn nobody_else_sends_or_moves_meanwhile() {
    let place = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(place.path()).unwrap();
    let _kept = outbox.keep(ticket(1, ""), &owner("ida"), &clock()).unwrap();
    let sending = outbox.only_sender().unwrap();
    let other = Outbox::at(place.path()).unwrap();
    assert_eq!(other.set_aside(1, "no", &clock()).unwrap_err().code(), "outbox-busy");
    // Keeping does not wait for whoever sends.
    assert!(other.keep(ticket(2, ""), &owner("ida"), &clock()).is_ok());
    drop(sending);
    assert!(other.set_aside(1, "no", &clock()).is_ok());
}

#[test]
fn what_was_answered_long_ago_goes_but_for_the_newest() {
    let place = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(place.path()).unwrap();
    let clock = clock();
    for number in 1..=3 {
        let kept = outbox.keep(ticket(number, ""), &owner("ida"), &clock).unwrap();
        let mut entry = kept.entry().clone();
        entry.answer = answer(json!({}));
        outbox.move_on(Place::Waiting, Place::Sent, &entry).unwrap();
    }
    outbox.clear_old(&clock).unwrap();
    assert_eq!(numbers(&outbox, Place::Sent), [1, 2, 3]);
    clock.advance(SignedDuration::from_hours(24 * (KEPT_DAYS + 1))).unwrap();
    outbox.clear_old(&clock).unwrap();
    assert_eq!(numbers(&outbox, Place::Sent), [3]);
}

#[test]
fn what_follows_says_what_it_waits_for() {
    let correction = Filing {
        follows: Some(Follows { entry: 1, member: Some("ticket_id".to_owned()) }),
        path: "/v1/tickets/{ticket_id}/corrections".to_owned(),
        ..ticket(2, "")
    };
    let written = serde_json::to_value(&correction).unwrap();
    assert_eq!(written["follows"], json!({"entry": 1, "member": "ticket_id"}));
    assert_eq!(serde_json::from_value::<Filing>(written).unwrap(), correction);
}

/// A file that somebody else wrote there is told, not skipped and not taken for an entry.
#[test]
fn a_file_that_is_no_entry_is_told() {
    let place = tempfile::tempdir().unwrap();
    let outbox = Outbox::at(place.path()).unwrap();
    std::fs::write(place.path().join("waiting").join("00000004.json"), "{\"number\": 4").unwrap();
    assert_eq!(outbox.entries(Place::Waiting).unwrap_err().code(), "outbox-unreadable");
}
