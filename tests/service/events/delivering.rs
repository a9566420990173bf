//! Delivering: everything, in order, once where all goes well and again where it does not.

use std::time::Duration;

use api::events::courier::Courier;
use api::running::Delivering;
use jiff::SignedDuration;
use kernel::Clock;
use serde_json::json;
use tests::{Furnished, Inspector, log, ticket};

use super::{ALL, Tool, deliveries, furnished, numbers, post};

/// However tickets come in, each is told of by itself, under its own id.
#[test]
fn tickets_of_a_batch_and_of_a_sheet_are_heard_one_by_one() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    let lines: String = (1..=2)
        .map(|number| format!("{}\n", ticket(&outfit, number, "2026-06-03", &[log("16", "16")])))
        .collect();
    let sheet = format!(
        "book,number,job,landing,scaled_on,scaler,crew.felling,product,species,small_diameter_in.1,length_ft\r\n\
         A,3,{},{},2026-06-03,R. Hale,{},log,white pine,16,16\r\n",
        outfit.job, outfit.landing, outfit.felling_crew
    );
    let send = |path: &str, body: String, kind: &str| {
        let reply = outfit.scaler.send_as(reqwest::Method::POST, path, Some(body), kind);
        assert!(!reply.text.contains("problem"), "{}", reply.text);
        reply.text
    };
    let batch = send("/v1/ticket-batches", lines.clone(), "application/x-ndjson");
    let sheet = send("/v1/ticket-sheets", sheet, "text/csv");
    // A repeat is no event.
    let _replayed = send("/v1/ticket-batches", lines, "application/x-ndjson");
    assert_eq!(app.deliver(3), 3);
    assert_eq!(numbers(&tool), [1, 2, 3]);
    for heard in tool.receiver.heard() {
        assert_eq!(heard.kind(), "ticket.accepted");
        let event = heard.event();
        let id = event["data"]["ticket_id"].as_str().expect("an id");
        assert!(batch.contains(id) || sheet.contains(id), "{id}");
    }
    assert_eq!(app.courier_step(), 0);
}

#[test]
fn everything_is_heard_once_and_in_order() {
    let (app, outfit) = furnished();
    let _before = post(&outfit, 1);
    let tool = Tool::new(&outfit, &ALL);
    let wrong = post(&outfit, 2);
    let right = ticket(&outfit, 3, "2026-06-03", &[log("12", "16"), log("13", "16")]);
    let correction = json!({"reason": "read the wrong end", "ticket": right});
    let right = outfit.scaler.post(&format!("/v1/tickets/{wrong}/corrections"), &correction).expect(201);
    let posted = outfit.settle("2026-06-06");
    assert_eq!(app.deliver(7), 7);
    assert_eq!(app.courier_step(), 0, "nothing is sent twice");
    let heard = tool.receiver.heard();
    let kinds = ["ticket.accepted", "ticket.corrected", "week.posted"];
    assert_eq!(tool.receiver.kinds(), [kinds.as_slice(), &["statement.ready"; 4]].concat());
    let event = |place: usize| heard[place].event();
    assert_eq!(
        (event(0)["data"]["ticket_id"].as_str(), &event(0)["data"]["number"]),
        (Some(&*wrong), &json!(2))
    );
    assert_eq!(event(1)["data"]["ticket_id"], right["ticket_id"]);
    assert_eq!(
        (event(1)["data"]["corrects"].as_str(), &event(1)["data"]["pieces"]),
        (Some(&*wrong), &json!(2))
    );
    assert_eq!(event(2)["data"]["settlement_id"], posted["settlement_id"]);
    assert_eq!(event(2)["data"]["statements"], 4);
    for one in &heard {
        assert!(one.signed_with(&tool.secret, app.clock.now()), "{one:?}");
        let read: wire::Event = serde_json::from_slice(&one.body).expect("the client's types read it");
        assert_eq!(read.timestamp, app.clock.now());
        assert_eq!(one.line, "POST /skidway HTTP/1.1");
        assert_eq!(one.header("content-type"), "application/json");
        assert!(one.body.len() < 20_000);
    }
    let mut ids: Vec<_> = heard.iter().map(tests::Heard::id).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), heard.len(), "every event has an id of its own");
    // Each statement that is announced is there to be fetched, and says what the event said.
    for place in 3..7 {
        let data = &event(place)["data"];
        let path = format!("/v1/statements/{}", data["statement_id"].as_str().expect("an id"));
        let statement = outfit.manager.get(&path).expect(200);
        assert_eq!((&statement["closing"], &statement["earned"]), (&data["closing"], &data["earned"]));
    }
    let listed = deliveries(&outfit, &tool);
    assert_eq!(listed.len(), 7);
    assert!(listed.iter().all(|one| one["state"] == "delivered" && one["attempts"][0]["status"] == 204));
    assert_eq!(listed[6]["event_id"], heard[0].id(), "newest first");
    let page = outfit.manager.get(&format!("{}/deliveries?limit=4", tool.path)).expect(200);
    let rest = format!("{}/deliveries?limit=4&after={}", tool.path, page["next"].as_str().expect("more"));
    let rest = outfit.manager.get(&rest).expect(200);
    assert_eq!(rest["items"].as_array().map(Vec::len), Some(3));
    assert_eq!(rest["items"][2]["event_id"], heard[0].id());
}

#[test]
fn a_tool_hears_only_the_kinds_it_asked_for_and_only_its_own_outfits() {
    let (app, outfit) = furnished();
    let other = Furnished::new(&app);
    let (weeks, foreign) = (Tool::new(&outfit, &["week.posted"]), Tool::new(&other, &ALL));
    let _posted = post(&outfit, 1);
    let _settled = outfit.settle("2026-06-06");
    assert_eq!(app.deliver(1), 1);
    assert_eq!(weeks.receiver.kinds(), ["week.posted"]);
    assert!(foreign.receiver.heard().is_empty());
    let own = weeks.path.as_str();
    for path in [own.to_owned(), format!("{own}/deliveries"), format!("{own}/dead-letters")] {
        assert_eq!(other.manager.get(&path).status, 404, "{path}");
    }
    // One entry tells of the week and its statements; whoever asked for one of them is not sent the other.
    let statements = Tool::new(&outfit, &["statement.ready"]);
    app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let next = ticket(&outfit, 2, "2026-06-10", &[log("16", "16")]);
    let _posted = outfit.scaler.post("/v1/tickets", &next).expect(201);
    let _settled = outfit.settle("2026-06-13");
    assert_eq!(app.deliver(5), 5);
    assert_eq!(weeks.receiver.kinds(), ["week.posted"; 2]);
    assert_eq!(statements.receiver.kinds(), ["statement.ready"; 4]);
    assert_eq!(app.courier_step(), 0);
}

#[test]
fn what_is_not_taken_holds_up_what_came_later_and_is_sent_again() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    let heeding = Tool::new(&outfit, &ALL);
    tool.receiver.will_answer(&["500 Out of order", "302 Found\r\nLocation: http://127.0.0.1:9/elsewhere"]);
    for number in 1..=3 {
        let _posted = post(&outfit, number);
    }
    // The other tool does not wait for it.
    assert_eq!(app.deliver(4), 4);
    assert_eq!((numbers(&tool), numbers(&heeding)), (vec![1], vec![1, 2, 3]));
    assert_eq!(app.courier_step(), 0, "it is too early to try again");
    let waiting = deliveries(&outfit, &tool).remove(0);
    assert_eq!(
        (waiting["state"].as_str(), &waiting["attempts"][0]["outcome"]),
        (Some("waiting"), &json!("refused"))
    );
    app.clock.advance(SignedDuration::from_secs(7)).expect("a time");
    assert_eq!(app.deliver(1), 1);
    let again = deliveries(&outfit, &tool).remove(0);
    assert_eq!(again["attempts"][1]["outcome"], "redirected");
    assert!(again["not_before"].as_str() > waiting["not_before"].as_str());
    app.clock.advance(SignedDuration::from_mins(6)).expect("a time");
    assert_eq!(app.deliver(3), 3);
    assert_eq!(numbers(&tool), [1, 1, 1, 2, 3]);
    let heard = tool.receiver.heard();
    assert!(heard[..3].iter().all(|one| one.id() == heard[0].id() && one.body == heard[0].body));
    assert!(heard[2].signed_with(&tool.secret, app.clock.now()), "it is signed anew");
    let ids = |tool: &Tool| tool.receiver.heard().iter().map(|one| one.id().to_owned()).collect::<Vec<_>>();
    assert_eq!(ids(&tool)[2..], ids(&heeding), "an event has one id, whoever hears of it");
}

/// The service dies after the tool has it, and before that is written down.
#[test]
fn what_was_sent_and_not_written_down_is_sent_again_with_its_id() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    let _posted = post(&outfit, 1);
    tool.receiver.takes(Duration::from_secs(3));
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
    runtime.block_on(async {
        for _ in 0..1_000 {
            let broken_off = tokio::time::timeout(Duration::from_millis(500), app.courier.step());
            let _died = broken_off.await;
            if !tool.receiver.heard().is_empty() {
                return;
            }
        }
    });
    drop(runtime);
    tool.receiver.takes(Duration::ZERO);
    assert!(deliveries(&outfit, &tool).is_empty(), "nothing was written down");
    assert_eq!(app.deliver(1), 1);
    let heard = tool.receiver.heard();
    assert_eq!(heard.len(), 2);
    assert_eq!((heard[0].id(), &heard[0].body), (heard[1].id(), &heard[1].body));
    assert_eq!(app.courier_step(), 0);
}

#[test]
fn several_instances_deliver_every_event_once_and_in_order() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    tool.receiver.takes(Duration::from_millis(20));
    for number in 1..=8 {
        let _posted = post(&outfit, number);
    }
    let couriers: Vec<_> = (0..4)
        .map(|_| {
            let courier = Courier::new(app.parts.service().expect("an instance"));
            std::thread::spawn(move || {
                let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
                let runtime = runtime.expect("a runtime can be made");
                (0..20).map(|_| runtime.block_on(courier.step()).expect("the database answers")).sum::<u32>()
            })
        })
        .collect();
    let sent: u32 = couriers.into_iter().map(|one| one.join().expect("no instance panics")).sum();
    let rest = app.deliver(8 - sent);
    assert_eq!(sent + rest, 8);
    assert_eq!(numbers(&tool), [1, 2, 3, 4, 5, 6, 7, 8]);
}

#[test]
fn who_is_gone_is_left_alone() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    tool.receiver.will_answer(&["410 Gone"]);
    let (_first, _second) = (post(&outfit, 1), post(&outfit, 2));
    assert_eq!(app.deliver(1), 1);
    assert_eq!(app.courier_step(), 0);
    let shown = outfit.manager.get(&tool.path).expect(200);
    assert_eq!(shown["ended"]["ended_by"], "skidway");
    assert_eq!(deliveries(&outfit, &tool)[0]["state"], "dropped");
    let _trial = outfit
        .manager
        .post(&format!("{}/trial", tool.path), &json!({}))
        .refused(wire::Code::SubscriptionEnded);
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let entries =
        "SELECT count(*) FROM audit_entry WHERE operation = 'end_event_subscription' AND made_by = 'skidway'";
    assert_eq!(database.number(entries), 1);
}

#[test]
fn a_trial_is_answered_at_once_and_waits_for_nothing() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &["week.posted"]);
    tool.receiver.will_answer(&["204 No Content", "503 Closed"]);
    let try_it = |body| outfit.manager.post(&format!("{}/trial", tool.path), &body).expect(200);
    let heard = try_it(json!({"says": "hello from the office"}));
    assert_eq!(heard, json!({"outcome": "delivered", "status": 204, "milliseconds": 0}));
    assert_eq!(try_it(json!({}))["outcome"], "refused");
    let heard = tool.receiver.heard();
    assert_eq!(heard[0].event()["type"], "subscription.trial");
    assert_eq!(heard[0].event()["data"]["says"], "hello from the office");
    assert!(heard[0].signed_with(&tool.secret, app.clock.now()));
    assert_ne!(heard[0].id(), heard[1].id());
    assert!(deliveries(&outfit, &tool).is_empty());
}

#[test]
fn how_far_behind_deliveries_are_is_told_in_numbers() {
    let (app, outfit) = furnished();
    let other = Furnished::new(&app);
    let lag = || {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        runtime.block_on(app.courier.lag()).expect("the database answers")
    };
    let (tool, _deaf) = (Tool::new(&outfit, &ALL), Tool::new(&other, &ALL));
    assert_eq!((lag().waiting, lag().oldest, lag().dead), (0, None, 0));
    let began = app.clock.now();
    let _first = post(&outfit, 1);
    app.clock.advance(SignedDuration::from_mins(2)).expect("a time");
    let (_second, _third) = (post(&outfit, 2), post(&other, 1));
    assert_eq!((lag().waiting, lag().oldest), (3, Some(began)));
    tool.receiver.will_answer(&["503 Closed"]);
    assert_eq!(app.deliver(2), 2);
    assert_eq!((lag().waiting, lag().oldest), (2, Some(began)));
    app.clock.advance(SignedDuration::from_mins(2)).expect("a time");
    assert_eq!(app.deliver(2), 2);
    assert_eq!((lag().waiting, lag().oldest, lag().dead), (0, None, 0));
}

/// As `skidway serve` does it: beside the server, until told to stop.
#[test]
fn delivery_runs_by_itself_and_finishes_what_it_is_at() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    for number in 1..=3 {
        let _posted = post(&outfit, number);
    }
    let run_until = |heard: usize| {
        actix_web::rt::System::new().block_on(async {
            let delivering = Delivering::start(app.parts.service().expect("an instance"));
            for _ in 0..2_000 {
                if tool.receiver.heard().len() >= heard {
                    break;
                }
                tokio::time::sleep(Duration::from_millis(10)).await;
            }
            delivering.finish().await;
        });
    };
    tool.receiver.takes(Duration::from_millis(700));
    run_until(1);
    // What was being sent when the order came was waited for and written down; nothing was begun after it.
    assert_eq!(numbers(&tool), [1]);
    assert_eq!(deliveries(&outfit, &tool)[0]["state"], "delivered");
    tool.receiver.takes(Duration::ZERO);
    run_until(3);
    assert_eq!(numbers(&tool), [1, 2, 3]);
}
