//! The outbox and the service: in order, as whom it was kept, and what it does with every kind of answer.

use client::outbox::{Filing, Follows, Key, Outbox, Outcome, Owner, Place, Sending, Stop};
use client::{Client, Patience};
use kernel::{SystemClock, SystemEntropy};
use serde_json::{Value, json};
use wire::Code;

use crate::posting::{Home, out};
use crate::server::{Reply, Server, nobody};

fn filing(says: &str) -> Filing {
    Filing {
        operation: "file_charge".to_owned(),
        path: "/v1/charges".to_owned(),
        body: json!({"says": says}),
        key: Key::new(&SystemEntropy),
        says: says.to_owned(),
        stamp: None,
        follows: None,
    }
}

struct Yard {
    _home: tempfile::TempDir,
    outbox: Outbox,
    owner: Owner,
    client: Client,
}

impl Yard {
    fn new(service: &str) -> Self {
        let home = tempfile::tempdir().unwrap();
        let outbox = Outbox::at(home.path()).unwrap();
        let client = Client::new(service, None).unwrap().with_patience(Patience::NONE);
        Self { _home: home, outbox, owner: Owner::of(client.service(), None), client }
    }

    fn keep(&self, filing: Filing) -> u64 {
        self.outbox.keep(filing, &self.owner, &SystemClock).unwrap().entry().number
    }

    async fn send(&self) -> (Sending, Vec<(u64, &'static str)>) {
        let mut told = Vec::new();
        let sending = self
            .outbox
            .send(&self.client, &self.owner, &SystemClock, &mut |entry, outcome| {
                let outcome = match outcome {
                    Outcome::Answered => "answered",
                    Outcome::Refused => "refused",
                    Outcome::Follows(_) => "follows",
                    Outcome::Fault(_) => "fault",
                };
                told.push((entry.number, outcome));
            })
            .await;
        (sending.unwrap(), told)
    }

    fn numbers(&self, place: Place) -> Vec<u64> {
        self.outbox.entries(place).unwrap().iter().map(|entry| entry.number).collect()
    }
}

fn done() -> Reply {
    Reply::json(201, json!({"charge_id": "7"}))
}

#[tokio::test]
async fn they_go_in_order_and_a_refusal_holds_up_only_what_follows_from_it() {
    let server = Server::new(vec![
        Reply::problem(Code::NamesMissingRecord),
        done(),
        Reply::problem(Code::Internal),
        done(),
    ]);
    let yard = Yard::new(&server.address);
    let first = yard.keep(filing("first"));
    let after = |entry: u64, member: &str| Some(Follows { entry, member: Some(member.to_owned()) });
    yard.keep(Filing {
        follows: after(first, "charge_id"),
        path: "/v1/{charge_id}".to_owned(),
        ..filing("second")
    });
    let third = yard.keep(filing("third"));
    yard.keep(filing("fourth"));
    let path = "/v1/charges/{charge_id}/more".to_owned();
    yard.keep(Filing { follows: after(third, "charge_id"), path, ..filing("fifth") });
    let (sending, told) = yard.send().await;
    assert_eq!(told, [(1, "refused"), (2, "follows"), (3, "answered"), (4, "fault"), (5, "answered")]);
    assert_eq!((sending.answered, sending.refused, sending.waiting), (2, 1, 2));
    assert!(sending.stop.is_none());
    assert_eq!(server.lines().last().map(String::as_str), Some("POST /v1/charges/7/more"));
    assert_eq!((yard.numbers(Place::Waiting), yard.numbers(Place::Refused)), (vec![2, 4], vec![1]));
    let (_, refused) = yard.outbox.find(1).unwrap();
    assert_eq!(refused.refusal.unwrap().problem.code, Code::NamesMissingRecord);
    let (_, answered) = yard.outbox.find(3).unwrap();
    assert_eq!(answered.answer.unwrap().reply, json!({"charge_id": "7"}));
}

/// What stops it, and that every entry stays as it was.
#[tokio::test]
async fn a_service_that_is_away_or_knows_nobody_stops_it() {
    let page =
        Reply::Answer(200, "Content-Type: text/html\r\n", "<html>sign in to the network</html>".to_owned());
    let empty = Reply::json(200, json!([]));
    let away =
        [Reply::HangUp, page, empty, Reply::problem(Code::Unavailable), Reply::problem(Code::RateLimited)];
    for reply in away {
        let server = Server::new(vec![reply.clone()]);
        let yard = Yard::new(&server.address);
        let _numbers = [yard.keep(filing("one")), yard.keep(filing("two"))];
        let (sending, told) = yard.send().await;
        assert!(matches!(sending.stop, Some(Stop::Unreachable(_))), "{reply:?}");
        assert_eq!((sending.waiting, told.len(), server.requests().len()), (2, 0, 1), "{reply:?}");
        let (_, first) = yard.outbox.find(1).unwrap();
        assert_eq!((first.tries, first.told.is_some()), (1, true));
    }
    for code in [Code::NoToken, Code::TokenExpired, Code::TokenRefused, Code::AccessRevoked] {
        let server = Server::new(vec![Reply::problem(code)]);
        let yard = Yard::new(&server.address);
        yard.keep(filing("one"));
        let (sending, _) = yard.send().await;
        assert!(matches!(sending.stop, Some(Stop::NotKnown(_))), "{code:?}");
        assert_eq!(yard.numbers(Place::Waiting), [1]);
    }
}

/// The answer is lost again and again, and the key stays the same.
#[tokio::test]
async fn it_is_sent_again_with_the_key_it_was_kept_with() {
    let server = Server::new(vec![Reply::HangUp, Reply::HangUp, done()]);
    let yard = Yard::new(&server.address);
    yard.keep(Filing { stamp: Some("sent_at".to_owned()), ..filing("one") });
    for _ in 0..3 {
        let _sent = yard.send().await;
    }
    let keys: Vec<_> = server
        .requests()
        .iter()
        .map(|request| request.header("idempotency-key").map(str::to_owned))
        .collect();
    assert_eq!(keys.len(), 3);
    assert!(keys[0].is_some() && keys.iter().all(|key| *key == keys[0]), "{keys:?}");
    for request in server.requests() {
        let body: Value = serde_json::from_str(&request.body).unwrap();
        assert!(body["sent_at"].is_string() && body["says"] == "one", "{body}");
    }
    assert_eq!(yard.numbers(Place::Sent), [1]);
    let (sending, _) = yard.send().await;
    assert_eq!((sending.answered, server.requests().len()), (0, 3), "it is done");
}

#[tokio::test]
async fn nothing_is_sent_as_somebody_else_or_to_other_books() {
    let server = Server::new(vec![done()]);
    let yard = Yard::new(&server.address);
    let other_person = Owner { subject: Some("otto".to_owned()), ..yard.owner.clone() };
    let other_service = Owner { service: "http://other".to_owned(), ..yard.owner.clone() };
    for owner in [&other_person, &other_service] {
        let _kept = yard.outbox.keep(filing("theirs"), owner, &SystemClock).unwrap();
    }
    let (sending, told) = yard.send().await;
    assert_eq!((sending.of_others, sending.waiting, told.len()), (2, 0, 0));
    assert!(server.requests().is_empty());
}

const REFUSED: Code = Code::NamesMissingRecord;

#[test]
fn the_program_shows_sends_and_sets_aside() {
    let home = Home::new();
    let away = home.skid(&nobody(), &["ticket", "post", "-"], &crate::http::ticket(1).to_string());
    assert_eq!(away.status.code(), Some(0));
    let server = Server::new(vec![Reply::problem(REFUSED), Reply::json(201, crate::http::accepted(1))]);
    // It was kept for another service, and says so instead of sending it here.
    let elsewhere = home.skid(&server.address, &["outbox", "send"], "");
    assert!(out(&elsewhere).contains("somebody else, or for another service"), "{}", out(&elsewhere));
    assert!(server.requests().is_empty());
    let kept = home.skid(&server.address, &["ticket", "post", "-"], &crate::http::ticket(2).to_string());
    assert_eq!(kept.status.code(), Some(3), "{}", out(&kept));
    let listed = home.skid(&server.address, &["outbox"], "");
    let shown = out(&listed);
    for line in ["Waiting: 1\n", "Refused: 1\n", "Sent in the last 7 days: 0\n", "  2 ticket A 2, 1 stick\n"]
    {
        assert!(shown.contains(line), "{line} in {shown}");
    }
    assert!(shown.contains("not sent as you"), "{shown}");
    assert!(shown.lines().all(|line| line.chars().count() <= 40), "{shown}");
    let show = home.skid(&server.address, &["outbox", "show", "2"], "");
    let shown = out(&show);
    assert!(shown.contains("names-missing-record") && shown.contains("1. cedar pole, 35 ft\n"), "{shown}");
    assert!(shown.lines().all(|line| line.chars().count() <= 40), "{shown}");
    let again = home.skid(&server.address, &["outbox", "again", "2"], "");
    assert_eq!(again.status.code(), Some(0));
    let sent = home.skid(&server.address, &["outbox", "send", "--json"], "");
    let line: Value = serde_json::from_str(out(&sent).trim()).unwrap();
    assert_eq!((&line["outcome"], &line["entry"]), (&json!("answered"), &json!(2)));
    assert_eq!(sent.status.code(), Some(0));
    let dropped = home.skid(&server.address, &["outbox", "drop", "1", "--because", "other service"], "");
    assert_eq!(dropped.status.code(), Some(0), "{}", out(&dropped));
    let listed = home.skid(&server.address, &["outbox", "--json"], "");
    let lines: Vec<Value> = out(&listed).lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 1);
    assert_eq!((&lines[0]["place"], &lines[0]["number"]), (&json!("sent"), &json!(2)));
    assert!(!out(&listed).contains("very-secret"), "the token is in the outbox");
    assert_eq!(home.skid(&server.address, &["outbox", "show", "9"], "").status.code(), Some(1));
}

/// Where the disk takes nothing more, nothing is sent and nothing is half there. The limit is the size of a file that
/// the shell allows the program (`ulimit -f`, POSIX); a full disk answers with an error at the same place.
#[test]
fn what_cannot_be_kept_is_not_sent() {
    let home = Home::new();
    let server = Server::new(vec![Reply::json(201, crate::http::accepted(1))]);
    let script = format!("trap '' XFSZ; ulimit -f 0; exec {} ticket post -", env!("CARGO_BIN_EXE_skid"));
    let output = home.run("sh", &server.address, &["-c", &script], &crate::http::ticket(1).to_string());
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(1), "{told}");
    assert!(told.contains("nothing was changed"), "{told}");
    assert!(server.requests().is_empty());
    let listed = home.skid(&server.address, &["outbox"], "");
    assert!(out(&listed).starts_with("Waiting: 0\n"), "{}", out(&listed));
    // With room again, it goes.
    let posted = home.skid(&server.address, &["ticket", "post", "-"], &crate::http::ticket(1).to_string());
    assert_eq!(posted.status.code(), Some(0), "{}", out(&posted));
}

#[test]
fn what_waits_goes_first_and_each_once() {
    let home = Home::new();
    // A service that takes nothing at first, and then everything.
    let mut replies = vec![Reply::problem(Code::Overloaded); 16];
    replies.extend([1, 2, 3].map(|number| Reply::json(201, crate::http::accepted(number))));
    let server = Server::new(replies);
    let post = |number: u32, more: &[&str]| {
        let arguments = [&["ticket", "post", "-"], more].concat();
        home.skid(&server.address, &arguments, &crate::http::ticket(number).to_string())
    };
    for number in [1, 2] {
        let kept = post(number, &[]);
        assert_eq!((kept.status.code(), out(&kept).contains("No signal: kept;")), (Some(0), true));
        assert_eq!(post(number, &["--now"]).status.code(), Some(4));
    }
    assert_eq!(home.waiting(), 2, "each ticket waits once");
    let posted = post(3, &[]);
    let id = "0197a000-0000-7000-8000-00000000000a";
    let told = format!("ticket A 1, 1 stick: sent\nticket A 2, 1 stick: sent\nA 3: accepted, {id}\n");
    assert_eq!((out(&posted), posted.status.code()), (told, Some(0)));
}
