//! Dead letters: what a tool never took is given up, what came later goes on, and it can be sent again.

use jiff::SignedDuration;
use serde_json::json;
use wire::Code;

use super::{ALL, Tool, deliveries, furnished, numbers, post};

#[test]
fn what_is_given_up_can_be_replayed() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    tool.receiver.will_answer(&["500 Out of order"; 10]);
    let (_first, _second) = (post(&outfit, 1), post(&outfit, 2));
    for _ in 0..9 {
        assert_eq!(app.deliver(1), 1);
        app.clock.advance(SignedDuration::from_hours(29)).expect("a time");
    }
    assert_eq!(app.deliver(2), 2, "the tenth time, and then what came later");
    assert_eq!(numbers(&tool), [[1; 10].as_slice(), &[2]].concat());
    let list = format!("{}/dead-letters", tool.path);
    let dead = outfit.manager.get(&list).expect(200);
    let letter = &dead["items"][0];
    assert_eq!(dead["items"].as_array().map(Vec::len), Some(1));
    assert_eq!(
        (letter["state"].as_str(), letter["attempts"].as_array().map(Vec::len)),
        (Some("dead"), Some(10))
    );
    assert!(letter.get("not_before").is_none());
    let id = tool.receiver.heard()[0].id().to_owned();
    assert_eq!(letter["event_id"], *id);
    assert_eq!(app.courier_step(), 0);

    let replay = format!("{list}/replay");
    let unknown = json!({"event_ids": [id, "0197a000-0000-7000-8000-000000000001"]});
    let problem = outfit.manager.post(&replay, &unknown);
    assert_eq!(problem.refused(Code::NamesMissingRecord)["errors"][0]["pointer"], "#/event_ids/1");
    let replayed = outfit.manager.post(&replay, &json!({"event_ids": [id]})).expect(201);
    assert_eq!(replayed, json!({"event_ids": [id]}));
    assert_eq!(outfit.manager.get(&list).expect(200)["items"], json!([]), "it is on its way again");
    let nothing = outfit.manager.post(&replay, &json!({})).expect(201);
    assert_eq!(nothing, json!({"event_ids": []}));
    // A replay that is not taken holds up nothing, and is tried again like any other.
    tool.receiver.will_answer(&["503 Closed"]);
    assert_eq!(app.deliver(1), 1);
    let _third = post(&outfit, 3);
    assert_eq!(app.deliver(1), 1);
    app.clock.advance(SignedDuration::from_secs(7)).expect("a time");
    assert_eq!(app.deliver(1), 1);
    assert_eq!(numbers(&tool)[10..], [2, 1, 3, 1]);
    assert_eq!(tool.receiver.heard()[13].id(), id);
    assert_eq!(app.courier_step(), 0);
    let all = deliveries(&outfit, &tool);
    let states: Vec<_> = all.iter().map(|one| (one["state"].as_str(), one["replays"].as_u64())).collect();
    assert_eq!(
        states,
        [
            (Some("delivered"), Some(0)),
            (Some("delivered"), Some(0)),
            (Some("delivered"), Some(1)),
            (Some("dead"), Some(0))
        ]
    );
}

#[test]
fn what_died_twice_can_be_replayed_again() {
    let (app, outfit) = furnished();
    let tool = Tool::new(&outfit, &ALL);
    tool.receiver.will_answer(&["500 Out of order"; 20]);
    let _first = post(&outfit, 1);
    let replay = format!("{}/dead-letters/replay", tool.path);
    for _ in 0..2 {
        for _ in 0..10 {
            assert_eq!(app.deliver(1), 1);
            app.clock.advance(SignedDuration::from_hours(29)).expect("a time");
        }
        let replayed = outfit.manager.post(&replay, &json!({})).expect(201);
        assert_eq!(replayed["event_ids"].as_array().map(Vec::len), Some(1));
    }
    assert_eq!(app.deliver(1), 1);
    assert_eq!(deliveries(&outfit, &tool)[0]["replays"], 2);
}
