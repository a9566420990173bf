//! Secrets: shown once, exchanged without a gap, and found nowhere else.

use jiff::SignedDuration;
use kernel::Clock;
use serde_json::json;
use tests::{Inspector, Reply};
use wire::Code;

use super::{ALL, Tool, furnished, post};

#[test]
fn for_a_day_both_secrets_sign() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    let secrets = format!("{}/secrets", tool.path);
    let newer = outfit.manager.post(&secrets, &json!({})).expect(201);
    let newer = newer["secret"].as_str().expect("a secret").to_owned();
    assert_ne!(newer, tool.secret);
    let _first = post(&outfit, 1);
    assert_eq!(app.deliver(1), 1);
    let heard = tool.receiver.heard();
    assert_eq!(heard[0].header("webhook-signature").split(' ').count(), 2);
    assert!(heard[0].signed_with(&tool.secret, app.clock.now()));
    assert!(heard[0].signed_with(&newer, app.clock.now()));
    assert_eq!(outfit.manager.get(&tool.path).expect(200)["secrets"].as_array().map(Vec::len), Some(2));
    app.clock.advance(SignedDuration::from_hours(24)).expect("a time");
    let _second = post(&outfit, 2);
    assert_eq!(app.deliver(1), 1);
    let heard = tool.receiver.heard();
    assert!(!heard[1].signed_with(&tool.secret, app.clock.now()));
    assert!(heard[1].signed_with(&newer, app.clock.now()));
    // One that fell into wrong hands stops at once.
    let newest = outfit.manager.post(&secrets, &json!({"overlap_hours": 0})).expect(201);
    let _third = post(&outfit, 3);
    assert_eq!(app.deliver(1), 1);
    let heard = tool.receiver.heard();
    assert!(!heard[2].signed_with(&newer, app.clock.now()));
    assert!(heard[2].signed_with(newest["secret"].as_str().expect("a secret"), app.clock.now()));
    let problem = outfit.manager.post(&secrets, &json!({"overlap_hours": 169}));
    assert_eq!(problem.refused(Code::WrongForm)["errors"][0]["pointer"], "#/overlap_hours");
}

#[test]
fn only_a_few_secrets_sign_at_once() {
    let (_app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    let make = || outfit.manager.post(&format!("{}/secrets", tool.path), &json!({}));
    let statuses: Vec<_> = (0..4).map(|_| make().status).collect();
    assert_eq!(statuses, [201, 201, 201, 409]);
    let _told = make().refused(Code::TooMany);
}

#[test]
fn a_secret_is_shown_once_and_stands_nowhere() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    let hidden = tool.secret.strip_prefix("whsec_").expect("a secret");
    let holds = |reply: &Reply| reply.text.contains(hidden);
    let list = outfit.manager.get("/v1/event-subscriptions");
    assert!(list.text.contains("secret_id") && !holds(&list), "{}", list.text);
    assert!(!holds(&outfit.manager.get(&tool.path)));
    let ended = outfit.manager.post(&format!("{}/end", tool.path), &json!({"reason": "no more"}));
    assert!(ended.status == 201 && !holds(&ended));
    // Nor in the database, in any form: what lies there is sealed.
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let bytes = format!(
        "SELECT count(*) FROM signing_secret WHERE position(decode('{hidden}', 'base64') IN sealed) > 0"
    );
    assert_eq!(database.number(&bytes), 0);
    assert_eq!(database.number("SELECT count(*) FROM signing_secret"), 1);
    let replies = format!("SELECT count(*) FROM stored_reply WHERE reply LIKE '%{hidden}%'");
    assert_eq!(database.number(&replies), 0);
}

#[test]
fn what_has_ended_hears_nothing_more() {
    let (app, outfit) = furnished();
    let (tool, other) = (Tool::new(&outfit, &ALL), Tool::new(&outfit, &ALL));
    let _first = post(&outfit, 1);
    let end = format!("{}/end", tool.path);
    let ended = outfit.manager.post(&end, &json!({"reason": "another program keeps the pay"})).expect(201);
    assert_eq!((&ended["ended"]["ended_by"], &ended["secrets"]), (&json!("manager"), &json!([])));
    assert_eq!(app.deliver(1), 1);
    assert!(tool.receiver.heard().is_empty());
    assert_eq!(other.receiver.heard().len(), 1);
    for rest in ["end", "secrets", "trial", "dead-letters/replay"] {
        let body = if rest == "end" { json!({"reason": "again"}) } else { json!({}) };
        let _told =
            outfit.manager.post(&format!("{}/{rest}", tool.path), &body).refused(Code::SubscriptionEnded);
    }
}
