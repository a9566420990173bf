//! Tickets that contradict themselves or name what is not there.

use serde_json::{Value, json};
use tests::log;
use wire::Code;

use super::{Yard, misformed, put, wrong};

const NOBODY: &str = "01977000-0000-7000-8000-000000000099";

#[test]
fn members_of_the_wrong_form() {
    let yard = Yard::new();
    let mut table = Vec::new();
    for value in [json!(-1), json!(1.5), json!("1"), json!(4_294_967_296_u64), json!(null), json!(1e3)] {
        table.push(("/number", value));
    }
    let long = "x".repeat(81);
    for at in ["/book", "/scaler"] {
        for value in
            [json!(""), json!("  "), json!(long), json!("A\nB"), json!("A\u{0}"), json!("A\u{7f}"), json!(7)]
        {
            table.push((at, value));
        }
    }
    for value in [json!(""), json!("x".repeat(401)), json!("two\nlines"), json!("nul \u{0}"), json!(["a"])] {
        table.push(("/remarks", value));
    }
    let days = [
        "",
        "yesterday",
        "2026-6-3",
        "2026-02-30",
        "2026-13-01",
        "03.06.2026",
        "20260603",
        "2026-06-03T10:00",
        "2026-06-03T10:00:00Z",
        "2026-06-03[America/Detroit]",
        "+002026-06-03",
        "-009999-01-01",
        " 2026-06-03",
    ];
    for value in days.map(Value::from).into_iter().chain([json!(20_260_603), json!(null)]) {
        table.push(("/scaled_on", value));
    }
    for at in ["/job_id", "/landing_id", "/delivered_to", "/work/0/crew_id"] {
        for value in
            [json!("7"), json!(""), json!(7), json!("01977000-0000-7000-8000-00000000009g"), json!({})]
        {
            table.push((at, value));
        }
    }
    for value in [json!("sleeping"), json!(""), json!(1), json!("Felling")] {
        table.push(("/work/0/task", value));
    }
    for value in [json!([-1]), json!([65_536]), json!(["1"]), json!("all"), json!([1.0])] {
        table.push(("/work/0/pieces", value));
    }
    for value in
        [json!(300), json!("1e3"), json!("300 ft"), json!("9223372036855"), json!("1.0000001"), json!("")]
    {
        table.push(("/turn/skid_distance_ft", value));
    }
    table.push(("/turn/wind", json!("north")));
    table.push(("/work/0/hours", json!("8")));
    table.push(("/pieces", json!({})));
    table.push(("/work", json!("felling")));
    table.push(("/turn", json!("one")));
    // A wrong number among the pieces of a work entry is told with its own place.
    let within = |at: &str, value: &Value| match (at, value) {
        ("/work/0/pieces", Value::Array(_)) => "#/work/0/pieces/0".to_owned(),
        _ => format!("#{at}"),
    };
    let table =
        table.into_iter().map(|(at, value)| misformed(at, value.clone(), within(at, &value), "")).collect();
    yard.refuses_each("/v1/tickets", || yard.world.ticket(), table);
}

#[test]
fn contradictions() {
    let yard = Yard::new();
    let no = |at, value, pointer, says| wrong(at, value, Code::TicketInconsistent, pointer, says);
    let crew = json!(yard.world.outfit.felling_crew);
    let twice = json!([{"task": "felling", "crew_id": crew}, {"task": "felling", "crew_id": crew}]);
    let overlap = json!([{"task": "felling", "crew_id": crew, "pieces": [1, 2]},
                         {"task": "felling", "crew_id": yard.world.outfit.teamster, "pieces": [2]}]);
    let none_left = json!([{"task": "felling", "crew_id": crew, "pieces": [1, 2]},
                           {"task": "felling", "crew_id": crew}]);
    let table = vec![
        no("/number", json!(0), "#/number", "begin at 1"),
        no("/scaled_on", json!("2026-06-16"), "#/scaled_on", "today is 2026-06-15"),
        no("/scaled_on", json!("9999-12-31"), "#/scaled_on", "still to come"),
        no("/work/0/pieces", json!([3]), "#/work/0/pieces/0", "numbered 1 to 2"),
        no("/work/0/pieces", json!([1, 0]), "#/work/0/pieces/1", "no piece 0"),
        no("/work/0/pieces", json!([1, 1]), "#/work/0/pieces/1", "named twice for piece 1"),
        no("/work/0/pieces", json!([]), "#/work/0", "no piece is left"),
        no("/work", twice, "#/work/1", "claim the rest"),
        no("/work", overlap, "#/work/1/pieces/0", "named twice for piece 2"),
        no("/work", none_left, "#/work/1", "no piece is left"),
        no("/turn/skid_distance_ft", json!("-1"), "#/turn/skid_distance_ft", "never below zero"),
        no("/turn/haul_distance_mi", json!("-0.1"), "#/turn/haul_distance_mi", "never below zero"),
        no("/pieces", json!([]), "#/pieces", "without pieces"),
        no("/pieces", json!(vec![log("16", "16"); 2_001]), "#/pieces", "2000 pieces at the most"),
    ];
    yard.refuses_each("/v1/tickets", || yard.world.ticket(), table);
}

/// The midnight that counts is the outfit's: at 13:00 in London it is morning in Detroit, and at 2:00 still yesterday.
#[test]
fn today_is_where_the_outfit_is() {
    let yard = Yard::new();
    let ticket = |day: &str| {
        let mut ticket = yard.world.ticket();
        put(&mut ticket, "/scaled_on", json!(day));
        ticket
    };
    yard.app.clock.set("2026-06-16T03:59:59Z".parse().expect("a time"));
    let tomorrow = ticket("2026-06-16");
    let _problem = yard.refused(Code::TicketInconsistent, || yard.manager().post("/v1/tickets", &tomorrow));
    yard.app.clock.set("2026-06-16T04:00:00Z".parse().expect("a time"));
    let _accepted = yard.manager().post("/v1/tickets", &tomorrow).expect(201);
}

#[test]
fn everything_that_is_wrong_is_told_at_once() {
    let yard = Yard::new();
    let mut body = yard.world.ticket();
    for (at, value) in
        [("/number", json!(0)), ("/scaled_on", json!("2026-07-01")), ("/work/0/pieces", json!([9]))]
    {
        put(&mut body, at, value);
    }
    let problem = yard.refused(Code::TicketInconsistent, || yard.manager().post("/v1/tickets", &body));
    assert!(problem["errors"].as_array().is_some_and(|errors| errors.len() >= 3), "{problem:#}");
}

#[test]
fn records_that_are_not_there() {
    let yard = Yard::new();
    let missing = |at, value: Value, says| wrong(at, value, Code::NamesMissingRecord, "", says);
    let other_job =
        yard.manager().post("/v1/jobs", &json!({"name": "Other tract"})).expect(201)["job_id"].clone();
    let other_landing = format!("/v1/jobs/{}/landings", other_job.as_str().expect("an id"));
    let other_landing =
        yard.manager().post(&other_landing, &json!({"name": "Elsewhere"})).expect(201)["landing_id"].clone();
    let table = vec![
        missing("/job_id", json!(NOBODY), "landing"),
        missing("/job_id", other_job, "landing"),
        missing("/landing_id", json!(NOBODY), "landing"),
        missing("/landing_id", other_landing, "landing"),
        missing("/work/0/crew_id", json!(NOBODY), NOBODY),
        missing("/work/1/crew_id", json!(yard.world.outfit.mill_id), "no crew"),
        missing("/delivered_to", json!(NOBODY), "mill"),
        missing("/delivered_to", json!(yard.world.outfit.felling_crew), "mill"),
    ];
    yard.refuses_each("/v1/tickets", || yard.world.ticket(), table);
}

#[test]
fn a_number_with_other_content_is_refused_naming_what_differs() {
    let yard = Yard::new();
    let first = yard.world.ticket();
    let accepted = yard.manager().post("/v1/tickets", &first).expect(201);
    for (at, value) in [
        ("/scaler", json!("Somebody else")),
        ("/pieces/1/length_ft", json!("14")),
        ("/turn/skid_distance_ft", json!("301")),
        ("/scaled_on", json!("2026-06-14")),
        ("/remarks", json!("windy")),
    ] {
        let mut other = first.clone();
        put(&mut other, at, value);
        let problem =
            yard.refused(Code::TicketDiffers, || yard.world.outfit.scaler.post("/v1/tickets", &other));
        assert_eq!(problem["errors"][0]["pointer"], format!("#{at}"), "{problem:#}");
        assert_eq!(problem["errors"].as_array().map(Vec::len), Some(1), "{problem:#}");
    }
    // The same content in other words is the same ticket.
    let mut same = first.clone();
    put(&mut same, "/pieces/0/length_ft", json!("16.0"));
    put(&mut same, "/book", json!(" A "));
    let before = yard.database.counts();
    let again = yard.world.outfit.scaler.post("/v1/tickets", &same);
    assert_eq!((again.status, again.header("replayed")), (200, Some("true")), "{:#}", again.body);
    assert_eq!(again.body["ticket_id"], accepted["ticket_id"]);
    assert_eq!(yard.database.counts(), before);
}

#[test]
fn corrections() {
    let yard = Yard::new();
    let world = &yard.world;
    let path = format!("/v1/tickets/{}/corrections", world.settled_ticket);
    let good = || json!({"reason": "read the wrong end", "ticket": world.ticket()});
    let inconsistent = |at, value, pointer, says| wrong(at, value, Code::TicketInconsistent, pointer, says);
    let table = vec![
        misformed("/reason", json!(""), "#/reason", "empty"),
        misformed("/reason", json!("a\tb"), "#/reason", "control character"),
        misformed("/ticket", json!("void"), "#/ticket", ""),
        inconsistent("/ticket/number", json!(0), "#/ticket/number", "begin at 1"),
        inconsistent("/ticket/scaled_on", json!("2026-06-20"), "#/ticket/scaled_on", "still to come"),
        wrong("/ticket/landing_id", json!(NOBODY), Code::NamesMissingRecord, "", "landing"),
        // Under its own number a ticket cannot correct itself.
        wrong("/ticket/number", json!(1), Code::TicketDiffers, "#", "what it corrects"),
    ];
    yard.refuses_each(&path, good, table);
    let nowhere = format!("/v1/tickets/{NOBODY}/corrections");
    let _problem = yard.refused(Code::NotFound, || yard.manager().post(&nowhere, &good()));
    let sent = good();
    let corrected = yard.manager().post(&path, &sent).expect(201);
    let problem = yard.refused(Code::TicketCorrected, || yard.manager().post(&path, &good()));
    let by = corrected["ticket_id"].as_str().expect("an id");
    assert!(problem["detail"].as_str().is_some_and(|text| text.contains(by)), "{problem:#}");
    // The same correction again is the same; with another reason it is not, nor as a plain ticket.
    assert_eq!(yard.manager().post(&path, &sent).status, 200);
    let mut other = sent.clone();
    put(&mut other, "/reason", json!("another reason"));
    let _problem = yard.refused(Code::TicketDiffers, || yard.manager().post(&path, &other));
    let _problem = yard.refused(Code::TicketDiffers, || yard.manager().post("/v1/tickets", &sent["ticket"]));
    let elsewhere = format!("/v1/tickets/{}/corrections", world.unpriced_ticket);
    let _problem = yard.refused(Code::TicketDiffers, || yard.manager().post(&elsewhere, &sent));
}
