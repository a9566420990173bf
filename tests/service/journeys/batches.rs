//! Many tickets at once: lines of JSON and sheets, where the good are kept and the bad explained.

use serde_json::{Value, json};
use tests::{Actor, Furnished, Reply, TestApp, log, ticket};
use wire::Code;

use crate::raw;

const LINES: &str = "application/x-ndjson";

fn send(actor: &Actor, lines: &str) -> Vec<Value> {
    let reply = actor.send_as(reqwest::Method::POST, "/v1/ticket-batches", Some(lines.to_owned()), LINES);
    assert_eq!(reply.status, 200, "{}", reply.text);
    assert_eq!(reply.header("content-type"), Some(LINES));
    reply.text.lines().map(|line| serde_json::from_str(line).expect("JSON on every line")).collect()
}

fn sheet(actor: &Actor, text: &str) -> Reply {
    actor.send_as(reqwest::Method::POST, "/v1/ticket-sheets", Some(text.to_owned()), "text/csv")
}

fn one(outfit: &Furnished, number: u32) -> Value {
    ticket(outfit, number, "2026-06-03", &[log("16", "16"), log("12", "14")])
}

fn count(outfit: &Furnished) -> usize {
    let listed = outfit.contractor.get("/v1/tickets?limit=500").expect(200);
    listed["items"].as_array().expect("items").len()
}

fn outcomes(lines: &[Value]) -> Vec<&str> {
    lines.iter().map(|line| line["outcome"].as_str().expect("an outcome")).collect()
}

#[test]
fn good_lines_are_kept_and_bad_ones_explained() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _before = outfit.scaler.post("/v1/tickets", &one(&outfit, 2)).expect(201);
    let mut differs = one(&outfit, 2);
    differs["scaler"] = json!("Somebody else");
    let mut nowhere = one(&outfit, 4);
    nowhere["landing_id"] = json!("0197a000-0000-7000-8000-000000000009");
    let mut wrong = one(&outfit, 5);
    wrong["pieces"][1]["length_ft"] = json!("long");
    let (first, second, third) = (one(&outfit, 1), one(&outfit, 2), one(&outfit, 3));
    let lines = format!("{first}\r\n{second}\n\n{differs}\n{{\"book\":\n{nowhere}\n{wrong}\n{third}");
    let answer = send(&outfit.scaler, &lines);
    assert_eq!(
        outcomes(&answer),
        ["accepted", "replayed", "refused", "refused", "refused", "refused", "accepted", "finished"]
    );
    let numbers: Vec<_> = answer.iter().filter_map(|line| line["line"].as_u64()).collect();
    assert_eq!(numbers, [1, 2, 4, 5, 6, 7, 8], "blank lines are counted and not answered");
    let codes: Vec<_> = answer.iter().filter_map(|line| line["problem"]["code"].as_str()).collect();
    let expected = [Code::TicketDiffers, Code::NotJson, Code::NamesMissingRecord, Code::WrongForm];
    assert_eq!(codes, expected.map(Code::text));
    assert_eq!(answer[2]["problem"]["errors"][0]["pointer"], "#/scaler");
    assert_eq!(answer[5]["problem"]["errors"][0]["pointer"], "#/pieces/1/length_ft");
    let end = json!({"outcome": "finished", "accepted": 2, "replayed": 1, "refused": 4, "dry_run": false});
    assert_eq!(answer[7], end);
    assert_eq!(count(&outfit), 3);
    // What was taken in this way is scaled and paid like any other.
    let alone = outfit.scaler.post("/v1/tickets", &one(&outfit, 6)).expect(201);
    let path = format!("/v1/tickets/{}", answer[0]["ticket_id"].as_str().expect("an id"));
    assert_eq!(outfit.scaler.get(&path).expect(200)["scaled"], alone["scaled"]);
}

/// One number that was voided is refused by the hand that looks, and does not keep the rest back.
#[test]
fn a_voided_number_is_refused_on_its_own_line() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let book = one(&outfit, 1)["book"].as_str().expect("a book").to_owned();
    let path = format!("/v1/scale-books/{book}/voided-numbers");
    let _voided = outfit.manager.post(&path, &json!({"from": 2, "reason": "spoiled by rain"})).expect(201);
    let lines: String = (1..=3).map(|number| format!("{}\n", one(&outfit, number))).collect();
    let answer = send(&outfit.scaler, &lines);
    assert_eq!(outcomes(&answer), ["accepted", "refused", "accepted", "finished"]);
    assert_eq!(answer[1]["problem"]["code"], Code::NumberVoided.text());
    // Each ticket that was kept has its entry in the audit trail, and nothing else has.
    let changes = outfit.manager.get("/v1/audit/changes?operation=post_tickets").expect(200);
    let about: Vec<_> = changes["items"].as_array().expect("items").iter().map(|one| &one["about"]).collect();
    assert_eq!(about, [&answer[0]["ticket_id"], &answer[2]["ticket_id"]]);
}

#[test]
fn a_thousand_lines_come_back_in_order_and_again_as_replays() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let lines: String = (1..=1000).map(|number| format!("{}\n", one(&outfit, number))).collect();
    // Another hand posts some of them alone at the same time.
    let scaler = app.member(outfit.outfit, wire::Role::Scaler, None);
    let (answer, alone) = std::thread::scope(|scope| {
        let alone = scope.spawn(|| {
            let post = |number| scaler.post("/v1/tickets", &one(&outfit, number)).status;
            (1..=1000).step_by(37).map(post).collect::<Vec<_>>()
        });
        (send(&outfit.scaler, &lines), alone.join().expect("the other hand came through"))
    });
    assert_eq!(answer.len(), 1001);
    assert!(alone.iter().all(|status| matches!(status, 200 | 201)), "{alone:?}");
    let new_alone = alone.iter().filter(|status| **status == 201).count();
    assert_eq!(answer[1000]["accepted"], 1000 - new_alone);
    assert_eq!(answer[1000]["replayed"], new_alone);
    let numbers: Vec<_> = answer[..1000].iter().filter_map(|line| line["number"].as_u64()).collect();
    assert_eq!(numbers, (1..=1000).collect::<Vec<u64>>());
    let again = send(&outfit.scaler, &lines);
    assert_eq!(again[1000]["replayed"], 1000);
    for (first, again) in answer[..1000].iter().zip(&again) {
        assert_eq!(first["ticket_id"], again["ticket_id"]);
    }
}

/// Plain clients write everything before they read anything; neither side may wait for the other for ever.
#[test]
fn a_caller_may_write_everything_before_reading_anything() {
    use api::http::caller::{Caller, Member};
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let member = Caller::Member(Member {
        outfit: outfit.outfit,
        role: wire::Role::Scaler,
        subject: "plain client".to_owned(),
        mill: None,
        grant: None,
    });
    let token = app.token(&member, jiff::SignedDuration::from_hours(1));
    // Every line is refused, with an answer much longer than itself: more than any socket holds.
    let body = "{}\n".repeat(60_000);
    let headers = [format!("Authorization: Bearer {token}"), format!("Content-Type: {LINES}")];
    let headers: Vec<&str> = headers.iter().map(String::as_str).collect();
    let reply = raw::exchange(app.address, "POST /v1/ticket-batches", &headers, body.as_bytes());
    assert_eq!(reply.status, 200, "{}", reply.head);
    assert!(reply.text.len() > 10_000_000, "{}", reply.text.len());
    assert!(reply.text.contains("\"refused\":60000"), "the end is missing");
    let other_kind = [headers[0], "Content-Type: application/json"];
    let refused = raw::exchange(app.address, "POST /v1/ticket-batches", &other_kind, b"{}");
    assert_eq!((refused.status, refused.code()), (415, "wrong-media-type"));
}

/// The outfit's job, its landing and its felling crew by their names, as cells.
fn names(outfit: &Furnished) -> [String; 3] {
    let named = |list: &Value, member: &str, id: &str| {
        let found = list.as_array().expect("a list").iter().find(|one| one[member] == *id);
        found.expect("it is listed").clone()
    };
    let jobs = outfit.manager.get("/v1/jobs").expect(200);
    let job = named(&jobs["items"], "job_id", &outfit.job.to_string());
    let landing = named(&job["landings"], "landing_id", &outfit.landing.to_string());
    let crews = outfit.manager.get("/v1/crews").expect(200);
    let crew = named(&crews["items"], "crew_id", &outfit.felling_crew.to_string());
    [job, landing, crew]
        .map(|one| format!("\"{}\"", one["name"].as_str().expect("a name").replace('"', "\"\"")))
}

#[test]
fn a_sheet_is_read_row_by_row_and_its_faults_are_told_by_their_cells() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let [job, landing, crew] = names(&outfit);
    let head = "number,book,scaled_on,job,landing,scaler,crew.felling,product,species,length_ft,\
                small_diameter_in.1,small_diameter_in.2,remarks";
    let place = format!("{job},{landing},R. Hale,{crew},log,white pine");
    let rows = [
        format!("1,S,2026-06-03,{place},16,16,,\"two, or \"\"three\"\"\""),
        format!(",,,,,,{crew},log,white pine,14,12,13,"),
        format!("2,S,2026-06-03,{job},Nowhere,R. Hale,{crew},log,white pine,16,16,,"),
        format!("3,S,2026-06-03,{place},sixteen,16,,"),
        format!("4,S,2026-06-03,{place},16,16,,"),
        format!("4,S,2026-06-04,{place},16,16,,"),
        format!("5,S,2027-06-03,{place},16,16,,"),
        format!("6,S,2026-06-03,{place},16,16,,"),
    ];
    let whole = format!("\u{feff}{head}\r\n{}\r\n", rows.join("\r\n"));
    let answer = sheet(&outfit.scaler, &whole).documented().expect(200);
    let tickets = answer["tickets"].as_array().expect("tickets").clone();
    assert_eq!(outcomes(&tickets), ["accepted", "refused", "refused", "refused", "refused", "accepted"]);
    let first_rows: Vec<_> = tickets.iter().filter_map(|ticket| ticket["line"].as_u64()).collect();
    assert_eq!(first_rows, [2, 4, 5, 6, 8, 9]);
    let faults = tickets.iter().filter_map(|one| one["problem"]["errors"][0]["pointer"].as_str());
    assert_eq!(faults.collect::<Vec<_>>(), ["#cell=4,5", "#cell=5,10", "#cell=7,3", "#cell=8,3"]);
    assert_eq!((&answer["accepted"], &answer["refused"]), (&json!(2), &json!(4)));
    let path = format!("/v1/tickets/{}", tickets[0]["ticket_id"].as_str().expect("an id"));
    let shown = outfit.scaler.get(&path).expect(200);
    assert_eq!(shown["ticket"]["pieces"][1]["small_diameter_in"], json!(["12", "13"]));
    assert_eq!(shown["ticket"]["remarks"], "two, or \"three\"");
    assert_eq!(shown["ticket"]["work"][0]["pieces"], json!([1, 2]));
    // The sheet again does no harm.
    let again = sheet(&outfit.scaler, &whole).expect(200);
    assert_eq!((&again["accepted"], &again["replayed"]), (&json!(0), &json!(2)));
    assert_eq!(count(&outfit), 2);
}

#[test]
fn the_template_is_a_sheet_without_tickets() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let template = outfit.scaler.get("/v1/ticket-sheets/template");
    assert_eq!(template.header("content-type"), Some("text/csv; charset=utf-8"));
    let answer = sheet(&outfit.scaler, &template.text).documented().expect(200);
    let nothing = json!({"tickets": [], "accepted": 0, "replayed": 0, "refused": 0, "dry_run": false});
    assert_eq!(answer, nothing);
    let _other_kind = outfit.scaler.post("/v1/ticket-sheets", &json!({})).refuses(Code::WrongMediaType);
    let _no_sheet = sheet(&outfit.scaler, "book,number\r\n").refuses(Code::SheetUnreadable);
}

/// The columns of pieces are the members of pieces that the document describes.
#[test]
fn every_member_of_a_piece_has_its_column() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let document = outfit.scaler.get("/openapi.json").expect(200);
    let schemas = &document["components"]["schemas"];
    let kinds = schemas["Piece"]["oneOf"].as_array().expect("the kinds of pieces");
    assert_eq!(kinds.len(), 5);
    for kind in kinds {
        let name = kind["$ref"].as_str().and_then(|path| path.rsplit('/').next()).expect("a name");
        let members = schemas[name]["properties"].as_object().expect("members");
        for member in members.keys().filter(|member| *member != "product") {
            let head = format!("book,number,job,landing,scaled_on,scaler,product,{member}.1\r\n");
            let _read = sheet(&outfit.scaler, &head).expect(200);
        }
    }
}
