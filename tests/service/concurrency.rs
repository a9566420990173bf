//! Many hands at once: whatever the order they come in, one outcome, and nothing lost.

use std::sync::Barrier;
use std::thread;

use serde_json::{Value, json};
use tests::{Actor, Furnished, Reply, TestApp, log, ticket};
use wire::Code;

/// Does something from several hands at the same moment.
pub fn at_once(hands: usize, work: impl Fn(usize) -> Reply + Sync) -> Vec<Reply> {
    let start = Barrier::new(hands);
    thread::scope(|scope| {
        let threads: Vec<_> = (0..hands)
            .map(|hand| {
                let (start, work) = (&start, &work);
                scope.spawn(move || {
                    start.wait();
                    work(hand)
                })
            })
            .collect();
        threads.into_iter().map(|thread| thread.join().expect("the hand came through")).collect()
    })
}

fn statuses(replies: &[Reply]) -> Vec<u16> {
    let mut statuses: Vec<_> = replies.iter().map(|reply| reply.status).collect();
    statuses.sort_unstable();
    statuses
}

fn codes(replies: &[Reply]) -> Vec<&str> {
    replies.iter().filter_map(|reply| reply.body["code"].as_str()).collect()
}

fn standing(outfit: &Furnished) -> Vec<Value> {
    let listed = outfit.contractor.get("/v1/tickets?standing=true&limit=500").expect(200);
    listed["items"].as_array().expect("items").clone()
}

/// An actor of its own for every hand: one client may send one request after the other.
fn scalers(app: &TestApp, outfit: &Furnished, hands: usize) -> Vec<Actor> {
    (0..hands).map(|_| app.member(outfit.outfit, wire::Role::Scaler, None)).collect()
}

fn bookkeepers(app: &TestApp, outfit: &Furnished, hands: usize) -> Vec<Actor> {
    (0..hands).map(|_| app.member(outfit.outfit, wire::Role::Bookkeeper, None)).collect()
}

#[test]
fn one_ticket_from_many_hands_is_one_record() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16"), log("12", "14")]);
    let hands = scalers(&app, &outfit, 8);
    let replies = at_once(8, |hand| hands[hand].post("/v1/tickets", &sent));
    assert_eq!(statuses(&replies), [200, 200, 200, 200, 200, 200, 200, 201]);
    for reply in &replies {
        assert_eq!(reply.body["ticket_id"], replies[0].body["ticket_id"]);
        assert_eq!(reply.header("replayed").is_some(), reply.status == 200);
        assert_eq!(reply.body["scaled"], replies[0].body["scaled"], "a replay shows what the first one made");
    }
    assert_eq!(standing(&outfit).len(), 1);
    let posted = outfit.settle("2026-06-06");
    assert_eq!(posted["lines"][0]["quantity"], "230", "160 and 70 board feet, counted once: {posted:#}");
}

#[test]
fn one_number_with_two_contents_is_taken_once() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let contents: Vec<_> = ["12", "14", "16", "18"]
        .iter()
        .map(|size| ticket(&outfit, 1, "2026-06-03", &[log(size, "16")]))
        .collect();
    let hands = scalers(&app, &outfit, 4);
    let replies = at_once(4, |hand| hands[hand].post("/v1/tickets", &contents[hand]));
    assert_eq!(statuses(&replies), [201, 409, 409, 409]);
    for refused in replies.iter().filter(|reply| reply.status == 409) {
        let problem = refused.refused(Code::TicketDiffers);
        assert_eq!(problem["errors"][0]["pointer"], "#/pieces/0/small_diameter_in/0");
    }
    assert_eq!(standing(&outfit).len(), 1);
}

#[test]
fn one_ticket_is_corrected_once() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let wrong = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let wrong = outfit.scaler.post("/v1/tickets", &wrong).expect(201);
    let path = format!("/v1/tickets/{}/corrections", wrong["ticket_id"].as_str().expect("an id"));
    let corrections: Vec<_> = (0..4)
        .map(|hand| {
            let right = ticket(&outfit, 10 + hand, "2026-06-03", &[log("12", "16")]);
            json!({"reason": "read the wrong end", "ticket": right})
        })
        .collect();
    let hands = scalers(&app, &outfit, 4);
    let replies = at_once(4, |hand| hands[hand].post(&path, &corrections[hand]));
    assert_eq!(statuses(&replies), [201, 409, 409, 409], "{:?}", codes(&replies));
    assert!(codes(&replies).iter().all(|code| *code == "ticket-corrected"));
    assert_eq!(standing(&outfit).len(), 1);
}

#[test]
fn one_week_is_posted_once() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    for number in 1..=3 {
        let sent = ticket(&outfit, number, "2026-06-03", &[log("16", "16")]);
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let drafts: Vec<String> = (0..2)
        .map(|_| {
            let draft =
                outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
            format!("/v1/settlements/{}/posting", draft["settlement_id"].as_str().expect("an id"))
        })
        .collect();
    // Two hands on each of two drafts of the same week.
    let hands = bookkeepers(&app, &outfit, 4);
    let replies = at_once(4, |hand| hands[hand].put(&drafts[hand % 2]));
    assert_eq!(statuses(&replies), [200, 201, 409, 409], "{:?}", codes(&replies));
    assert_eq!(codes(&replies), ["week-posted", "week-posted"]);
    let posted = outfit.bookkeeper.get("/v1/settlements?posted=true").expect(200);
    assert_eq!(posted["items"].as_array().map(Vec::len), Some(1));
    let statements = outfit.bookkeeper.get("/v1/statements").expect(200);
    assert_eq!(
        statements["items"].as_array().map(Vec::len),
        Some(4),
        "three workers and the mill, once each"
    );
}

/// Tickets keep coming in while terms are filed and a week is posted. Whatever came first, in the end every ticket
/// stands under the terms of its day, and everything earned is settled.
#[test]
fn tickets_terms_and_posting_do_not_overtake_each_other() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _first =
        outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-02", &[log("12", "16")])).expect(201);
    let (scalers, bookkeepers) = (scalers(&app, &outfit, 8), bookkeepers(&app, &outfit, 8));
    let terms_path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    for round in 0..3_u32 {
        let price = 11 + round;
        let terms = json!({
            "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
            "rates": [{"name": "felling logs", "task": "felling", "product": "log",
                       "unit": "thousand_board_feet", "basis": "gross", "price": price.to_string()}]
        });
        let replies = at_once(8, |hand| match hand {
            0 => bookkeepers[hand].post(&terms_path, &terms),
            1 => {
                let draft = bookkeepers[hand].post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"}));
                match draft.body["settlement_id"].as_str() {
                    Some(id) => bookkeepers[hand].put(&format!("/v1/settlements/{id}/posting")),
                    None => draft,
                }
            }
            _ => {
                let number = 100 * (round + 1) + u32::try_from(hand).expect("a small number");
                let sent = ticket(&outfit, number, "2026-06-03", &[log("16", "16")]);
                scalers[hand].post("/v1/tickets", &sent)
            }
        });
        for reply in &replies {
            let expected = matches!(reply.status, 200 | 201)
                || matches!(reply.body["code"].as_str(), Some("draft-out-of-date" | "week-posted"));
            assert!(expected, "{}: {:#}", reply.asked, reply.body);
        }
    }
    let tickets = standing(&outfit);
    assert_eq!(tickets.len(), 1 + 3 * 6);
    let contract = outfit.contractor.get(&format!("/v1/contracts/{}", outfit.felling_contract)).expect(200);
    let latest = contract["terms"].as_array().expect("terms").last().expect("terms")["terms_id"].clone();
    for listed in tickets {
        let shown = outfit
            .contractor
            .get(&format!("/v1/tickets/{}", listed["ticket_id"].as_str().expect("an id")))
            .expect(200);
        let scaled = shown["scaled"].as_array().expect("scaled");
        assert_eq!(scaled.len(), 3, "once under each contract: {shown:#}");
        let felling = scaled.iter().find(|one| one["contract_title"] == "Felling").expect("the felling");
        assert_eq!(felling["terms_id"], latest);
    }
    app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let first_week = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"}));
    if first_week.status == 201 {
        let id = first_week.body["settlement_id"].as_str().expect("an id").to_owned();
        let _posted = outfit.bookkeeper.put(&format!("/v1/settlements/{id}/posting")).expect(201);
    }
    let _posted = outfit.settle("2026-06-13");
    let audit =
        outfit.contractor.get("/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-13").expect(200);
    for contract in audit["contracts"].as_array().expect("contracts") {
        assert_eq!(contract["open"]["amount"], "0.00", "{contract:#}");
    }
    // 18 logs of 160 and one of 80 board feet, at the last price: 13 a thousand.
    let felling = audit["contracts"]
        .as_array()
        .and_then(|all| all.iter().find(|one| one["contract_title"] == "Felling"));
    assert_eq!(felling.expect("the felling")["earned"]["amount"], "38.48");
}

/// Two bookkeepers take the same payment back, and two others let go of the same holdback: one of each wins.
#[test]
fn money_is_taken_back_and_let_go_once() {
    let app = TestApp::start();
    let world = crate::world::World::new(&app);
    let outfit = &world.outfit;
    let paid = world.sample("file_payment").body.expect("a body");
    let paid = outfit.bookkeeper.post("/v1/payments", &paid).expect(201);
    let reversal =
        json!({"record": {"payment_id": paid["payment"]["payment_id"]}, "reason": "paid twice by mistake"});
    let mut release = world.sample("release_holdback").body.expect("a body");
    release["amount"] = json!("0.12");
    let hands = bookkeepers(&app, outfit, 4);
    let replies = at_once(4, |hand| match hand % 2 {
        0 => hands[hand].post("/v1/reversals", &reversal),
        _ => hands[hand].post("/v1/holdback-releases", &release),
    });
    assert_eq!(statuses(&replies), [201, 201, 409, 409], "{:?}", codes(&replies));
    let mut codes = codes(&replies);
    codes.sort_unstable();
    assert_eq!(codes, ["more-than-held", "reversed-already"]);
    let database = tests::Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let booked = "SELECT count(*) FROM journal_entry WHERE says LIKE 'Payment taken back%'";
    assert_eq!(database.number(booked), 1, "what did not win left nothing behind");
}

#[test]
fn a_caller_who_hangs_up_leaves_nothing_half_done() {
    use std::io::Write;
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]).to_string();
    let token = app.token(
        &api::http::caller::Caller::Member(api::http::caller::Member {
            outfit: outfit.outfit,
            role: wire::Role::Scaler,
            subject: "scaler".to_owned(),
            mill: None,
        }),
        jiff::SignedDuration::from_hours(24),
    );
    for cut in [0, 1, sent.len() / 2, sent.len() - 1, sent.len()] {
        let mut stream = std::net::TcpStream::connect(app.address).expect("the service listens");
        let head = format!(
            "POST /v1/tickets HTTP/1.1\r\nHost: skidway\r\nAuthorization: Bearer {token}\r\n\
             Content-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            sent.len()
        );
        stream.write_all(head.as_bytes()).expect("it takes the head");
        stream.write_all(&sent.as_bytes()[..cut]).expect("it takes the body");
        drop(stream);
    }
    // The whole ticket may have got in or not; sent again, it is there once, whole.
    let again: Value = serde_json::from_str(&sent).expect("JSON");
    let reply = outfit.scaler.post("/v1/tickets", &again);
    assert!(matches!(reply.status, 200 | 201), "{:#}", reply.body);
    assert_eq!(reply.body["scaled"].as_array().map(Vec::len), Some(3));
    assert_eq!(standing(&outfit).len(), 1);
}

#[test]
fn tables_of_one_title_from_many_hands_get_a_version_each_and_the_same_table_one() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let hands = bookkeepers(&app, &outfit, 6);
    let table = |volume: usize| {
        json!({"heading": {"title": "Camp scale", "unit": "board_foot", "rounding": "none", "source": "invented"},
               "cells": {"csv": format!("inches,8\n6,{volume}\n")}})
    };
    // Three tables, each from two hands.
    let replies = at_once(6, |hand| hands[hand].post("/v1/log-tables", &table(hand % 3)));
    assert_eq!(statuses(&replies), [200, 200, 200, 201, 201, 201]);
    for hand in 0..3 {
        assert_eq!(replies[hand].body, replies[hand + 3].body);
    }
    let mut versions: Vec<_> =
        replies.iter().take(3).filter_map(|reply| reply.body["version"].as_u64()).collect();
    versions.sort_unstable();
    assert_eq!(versions, [1, 2, 3]);
}
