//! Faults that only somebody who reaches past the service can plant: the owner of the database, with its guards put aside.

use jiff::SignedDuration;
use kernel::Clock;
use serde_json::json;
use tests::{Inspector, TestApp, log};

use super::clean::{Clean, tickets};

/// Runs a statement on a table of one outfit as the owner of the database, who can put the table's guards aside.
pub fn past_the_guards(app: &TestApp, clean: &Clean, table: &str, statement: &str) {
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(clean.outfit.outfit);
    let _done = database.ask(&format!(
        "BEGIN; ALTER TABLE {table} DISABLE TRIGGER USER; {statement}; ALTER TABLE {table} ENABLE TRIGGER USER; COMMIT"
    ));
}

/// The accrual of one ticket for the task.
fn accrual(ticket: &str, task: &str) -> String {
    format!(
        "(SELECT accrual.derivation_id, accrual.rate_number FROM accrual JOIN derivation USING (outfit_id, derivation_id)
          JOIN terms USING (outfit_id, terms_id)
          WHERE derivation.ticket_id = '{ticket}' AND terms.rates -> (rate_number - 1) ->> 'task' = '{task}')"
    )
}

#[test]
fn a_count_that_was_taken_away() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let ticket = clean.post(&clean.ticket(4, "2026-06-04", &[log("13", "16")]));
    let gone = accrual(&ticket, "felling");
    past_the_guards(
        &app,
        &clean,
        "accrual",
        &format!("DELETE FROM accrual WHERE (derivation_id, rate_number) IN {gone}"),
    );
    let found = clean.only("piece_never_paid");
    assert_eq!(tickets(&found), [(4, vec![1])]);
    assert_eq!(
        (&found["task"], &found["party"]["crew_id"]),
        (&json!("felling"), &json!(clean.outfit.felling_crew))
    );
}

#[test]
fn a_count_that_a_posted_week_passed_over() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let ticket = clean.post(&clean.ticket(4, "2026-06-04", &[log("13", "16")]));
    app.clock.set(app.clock.now() + SignedDuration::from_hours(1));
    let posted = clean.outfit.settle("2026-06-06");
    assert!(clean.exceptions().is_empty());
    past_the_guards(&app, &clean, "settlement_line", &format!("UPDATE settlement_line SET entered = array_remove(entered, (SELECT derivation_id FROM {} AS one))
             WHERE (SELECT derivation_id FROM {} AS one) = ANY (entered)",
            accrual(&ticket, "delivery"),
            accrual(&ticket, "delivery")
        ),
    );
    let found = clean.only("piece_never_paid");
    assert_eq!((tickets(&found), &found["task"]), (vec![(4, vec![1])], &json!("delivery")));
    assert_eq!(found["settlement_id"], posted["settlement_id"]);
}

#[test]
fn a_count_that_two_lines_took_in() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let ticket = clean.post(&clean.ticket(4, "2026-06-04", &[log("13", "16")]));
    let _posted = clean.outfit.settle("2026-06-06");
    let one = accrual(&ticket, "felling");
    past_the_guards(
        &app,
        &clean,
        "settlement_line",
        &format!(
            "UPDATE settlement_line SET entered = entered || (SELECT derivation_id FROM {one} AS one)
             WHERE (SELECT derivation_id FROM {one} AS one) = ANY (entered)"
        ),
    );
    let found = clean.only("piece_paid_twice");
    assert_eq!((tickets(&found), &found["task"]), (vec![(4, vec![1])], &json!("felling")));
}

#[test]
fn a_piece_that_two_crews_were_given_whole() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let _ticket = clean.post(&clean.ticket(4, "2026-06-04", &[log("13", "16")]));
    let mut sent = clean.work(5, "2026-06-04", &[], &[log("14", "16")]);
    sent["work"] = json!([{"task": "felling", "crew_id": clean.outfit.felling_crew, "parts": "1"},
                          {"task": "felling", "crew_id": clean.hewers, "parts": "1"}]);
    let shared = clean.post(&sent);
    assert!(clean.exceptions().is_empty());
    past_the_guards(&app, &clean, "ticket", &format!("UPDATE ticket SET work = (SELECT jsonb_agg(entry - 'parts') FROM jsonb_array_elements(work) AS entry)
             WHERE ticket_id = '{shared}'"
        ),
    );
    let found = clean.only("piece_paid_twice");
    assert_eq!(tickets(&found), [(5, vec![1])]);
    assert!(found["says"].as_str().is_some_and(|says| says.contains("not in parts")), "{found:#}");
}
