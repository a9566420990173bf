//! Tickets are written and committed in one breath: what the database refuses of them is undone all the same, and what is
//! overtaken is told as what was there before.

use serde_json::{Value, json};
use tests::{Furnished, Inspector, TestApp, log, ticket};
use wire::Code;

/// Somebody's mistake in the database: audit entries of tickets are refused.
const BROKEN: &str = "
CREATE FUNCTION refuse_entry() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION 'planted'; END $$;
CREATE TRIGGER planted BEFORE INSERT ON audit_entry FOR EACH ROW EXECUTE FUNCTION refuse_entry()";
const MENDED: &str = "DROP TRIGGER planted ON audit_entry; DROP FUNCTION refuse_entry()";

/// How many tickets, derivations and accruals there are.
fn rows(database: &Inspector) -> [i64; 3] {
    ["ticket", "derivation", "accrual"].map(|table| database.number(&format!("SELECT count(*) FROM {table}")))
}

#[test]
fn what_fails_is_undone_though_the_commit_is_on_its_way() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let sent = |number: u32| ticket(&outfit, number, "2026-06-03", &[log("16", "16"), log("12", "14")]);
    // The first has its statement prepared, and is committed by itself; the next are sent with their commit.
    for number in [1, 2] {
        let _accepted = outfit.scaler.post("/v1/tickets", &sent(number)).expect(201);
    }
    let before = rows(&database);
    let _planted = database.ask(BROKEN);
    outfit.scaler.post("/v1/tickets", &sent(3)).refused(Code::Internal);
    let lines = format!("{}\n{}\n", sent(4), sent(5));
    let many = outfit.scaler.send_as(
        reqwest::Method::POST,
        "/v1/ticket-batches",
        Some(lines.clone()),
        "application/x-ndjson",
    );
    assert_eq!(many.text.matches("\"refused\"").count(), 3, "two and the count of them: {}", many.text);
    assert_eq!(rows(&database), before);
    let _mended = database.ask(MENDED);
    // The connection is as good as before, and the tickets are new.
    let _accepted = outfit.scaler.post("/v1/tickets", &sent(3)).expect(201);
    assert_eq!(rows(&database), before.map(|count| count / 2 * 3));
}

#[test]
fn whose_access_was_taken_away_is_told_so_and_the_connection_goes_on() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = |number: u32| ticket(&outfit, number, "2026-06-03", &[log("16", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent(1)).expect(201);
    // The token of an outfit that is not there begins like any other.
    let nobody: kernel::OutfitId = "0197a000-0000-7000-8000-00000000dead".parse().expect("an id");
    let stranger = app.member(nobody, wire::Role::Scaler, None);
    stranger.post("/v1/tickets", &sent(2)).refused(Code::TokenRefused);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent(2)).expect(201);
}

/// The view that lays the pieces out for whoever asks in SQL says what the ticket shows, whatever its row leaves out.
#[test]
fn the_pieces_in_sql_are_those_of_the_ticket() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut rotten = log("12", "16");
    rotten["defects"] = json!([{"kind": "heart_rot", "method": "squared", "width_in": "12", "height_in": "12",
                                "length_ft": "16"}]);
    let mut cut = log("16", "16");
    cut["defects"] = json!([{"kind": "break", "method": "length_cut", "length_ft": "4"}]);
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
    let mut part =
        ticket(&outfit, 1, "2026-06-03", &[log("14", "16"), rotten, cut, pole.clone(), log("9", "12")]);
    part["work"][0]["pieces"] = json!([2, 3, 5]);
    let mut nothing = ticket(&outfit, 2, "2026-06-03", &[pole]);
    nothing["work"][0]["pieces"] = json!([1]);
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    for sent in [part, nothing] {
        let shown = outfit.scaler.post("/v1/tickets", &sent).expect(201);
        let ticket = shown["ticket_id"].as_str().expect("an id");
        for contract in shown["scaled"].as_array().expect("contracts") {
            let of_it = contract["contract_id"].as_str().expect("an id");
            let rows = database.ask(&format!(
                "SELECT piece_number, unit, trim_scale(gross), trim_scale(net), cull FROM scaled_piece
                 WHERE ticket_id = '{ticket}' AND contract_id = '{of_it}' ORDER BY piece_number"
            ));
            let text = |value: &Value| value.as_str().map(str::to_owned);
            let pieces = contract["pieces"].as_array().expect("pieces").iter().map(|piece| {
                let number = Some(piece["piece"].to_string());
                vec![
                    number,
                    text(&piece["unit"]),
                    text(&piece["gross"]),
                    text(&piece["net"]),
                    text(&piece["cull"]),
                ]
            });
            assert_eq!(rows, pieces.collect::<Vec<_>>(), "{contract:#}");
        }
    }
    let kept = |which: &str| database.number(&format!("SELECT count(*) FROM derivation WHERE {which}"));
    assert!(kept("cardinality(units) = 1 AND cardinality(gross) = 5") > 0, "the unit is said once");
    assert!(
        kept("array_position(net, NULL) IS NOT NULL AND cardinality(units) = 1") > 0,
        "net where it differs"
    );
    spelled_out_and_back(&database);
}

/// Going back to the version before, everything is said again; coming back nothing is lost.
fn spelled_out_and_back(database: &Inspector) {
    let migration = |file: &str| {
        let place = "../migrations/2026-11-29-000030-0030_shorten_volumes";
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(place).join(file);
        std::fs::read_to_string(path).expect("the migration is there")
    };
    let pieces = || database.ask("SELECT * FROM scaled_piece ORDER BY derivation_id, piece_number");
    let short = "SELECT count(*) FROM derivation
                 WHERE cardinality(units) <> cardinality(gross) OR array_positions(net, NULL) <> array_positions(gross, NULL)";
    let before = pieces();
    assert!(database.number(short) > 0);
    let _back = database.ask(&migration("down.sql"));
    assert_eq!((pieces(), database.number(short)), (before.clone(), 0));
    let _again = database.ask(&migration("up.sql"));
    assert_eq!(pieces(), before);
    // What the version before wrote is read as well.
    assert_eq!(database.number(short), 0);
}

/// An instance remembers whom tickets name once it has found them. What was not there is not remembered as missing.
#[test]
fn what_was_not_there_yet_is_found_once_it_was_filed() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let crew = outfit.manager.post("/v1/crews", &json!({"name": "Late crew"})).expect(201);
    let crew = crew["crew_id"].as_str().expect("an id").to_owned();
    let sent = |number: u32| {
        let mut sent = ticket(&outfit, number, "2026-06-03", &[log("16", "16")]);
        sent["work"][0]["crew_id"] = json!(crew);
        sent
    };
    let count = |posted: &Value, member: &str| posted[member].as_array().map_or(0, Vec::len);
    let told = |posted: &Value| (count(posted, "unpriced"), count(posted, "scaled"));
    for number in [1, 2] {
        let posted = outfit.scaler.post("/v1/tickets", &sent(number)).expect(201);
        assert_eq!(told(&posted), (1, 2), "{posted:#}");
    }
    let contract = json!({
        "title": "Felling, agreed late", "job_id": outfit.job, "party": {"crew_id": crew},
        "terms": {"effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
                  "rates": [{"name": "felling logs", "task": "felling", "product": "log",
                             "unit": "thousand_board_feet", "basis": "gross", "price": "9"}]}
    });
    let _filed = outfit.manager.post("/v1/contracts", &contract).expect(201);
    for number in [3, 4] {
        let posted = outfit.scaler.post("/v1/tickets", &sent(number)).expect(201);
        assert_eq!(told(&posted), (0, 3), "{posted:#}");
        assert_eq!(posted["scaled"].to_string().matches("Felling, agreed late").count(), 1);
    }
    let mut elsewhere = sent(5);
    elsewhere["job_id"] =
        outfit.manager.post("/v1/jobs", &json!({"name": "Other tract"})).expect(201)["job_id"].clone();
    for _ in 0..2 {
        // The landing is known by now, as one of another job.
        outfit.scaler.post("/v1/tickets", &elsewhere).refused(Code::NamesMissingRecord);
    }
    let other = Furnished::new(&app);
    let mut foreign = ticket(&other, 1, "2026-06-03", &[log("16", "16")]);
    foreign["work"][0]["crew_id"] = json!(crew);
    other.scaler.post("/v1/tickets", &foreign).refused(Code::NamesMissingRecord);
}

/// Quantities that the version before wrote do not say what they are owed under; they count like the others, and no more
/// once their ticket is corrected.
#[test]
fn quantities_count_whether_or_not_they_say_what_they_are_owed_under() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(outfit.outfit);
    let sent = |number: u32, diameter: &str| ticket(&outfit, number, "2026-06-03", &[log(diameter, "16")]);
    let first = outfit.scaler.post("/v1/tickets", &sent(1, "16")).expect(201);
    for (number, diameter) in [(2, "18"), (3, "12")] {
        let _accepted = outfit.scaler.post("/v1/tickets", &sent(number, diameter)).expect(201);
    }
    let week = json!({"week_ends_on": "2026-06-06"});
    let lines = || outfit.bookkeeper.post("/v1/settlements?dry_run=true", &week).expect(200)["lines"].clone();
    // All but the posted quantities of the second ticket become as they were written before.
    let forget = "ALTER TABLE accrual DISABLE TRIGGER records_stand;
                  UPDATE accrual SET under_contract = NULL, under_terms = NULL WHERE quantity <> 160000000;
                  ALTER TABLE accrual ENABLE TRIGGER records_stand";
    let of_before = "SELECT count(*) FROM accrual WHERE under_contract IS NULL";
    let (said, none) = (lines(), database.number(of_before));
    let _forgotten = database.ask(forget);
    let all = database.number("SELECT count(*) FROM accrual");
    assert!(none == 0 && (1..all).contains(&database.number(of_before)));
    assert_eq!(lines(), said);
    let path = format!("/v1/tickets/{}/corrections", first["ticket_id"].as_str().expect("an id"));
    let correction = json!({"reason": "another log", "ticket": sent(4, "14")});
    let _corrected = outfit.scaler.post(&path, &correction).expect(201);
    let corrected = lines();
    assert_ne!(corrected, said);
    let _forgotten = database.ask(forget);
    assert_eq!(lines(), corrected);
    let _settled = outfit.settle("2026-06-06");
}
