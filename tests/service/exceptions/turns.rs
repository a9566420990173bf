//! Turns that somebody counted, held against the day's tickets.

use serde_json::{Value, json};
use tests::{TestApp, log};
use wire::Code;

use super::clean::{Clean, kinds, tickets};

impl Clean {
    fn count(&self, day: &str, party: &Value, turns: u32) {
        let body = json!({"job_id": self.outfit.job, "counted_on": day, "party": party, "turns": turns,
                          "counted_by": "Clerk of the mill"});
        let _filed = self.outfit.bookkeeper.post("/v1/turn-counts", &body).expect(201);
    }
}

#[test]
fn turns_without_a_ticket_and_tickets_without_a_turn() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let mill = json!({"mill_id": clean.outfit.mill_id});
    let team = json!({"crew_id": clean.outfit.teamster});
    clean.count("2026-06-01", &mill, 1);
    clean.count("2026-06-01", &team, 1);
    assert!(clean.exceptions().is_empty());

    clean.count("2026-06-02", &team, 3);
    let found = clean.only("turn_without_ticket");
    assert_eq!((found["expected"].as_str(), found["found"].as_str()), (Some("3"), Some("1")));
    assert_eq!(tickets(&found), [(2, vec![])]);
    assert_eq!(found["party"], team);

    // A later count takes the place of the wrong one.
    clean.count("2026-06-02", &team, 1);
    assert!(clean.exceptions().is_empty());

    clean.count("2026-06-03", &mill, 0);
    let found = clean.only("ticket_without_counted_turn");
    assert_eq!((found["expected"].as_str(), found["found"].as_str()), (Some("0"), Some("1")));
    assert_eq!(found["party"], mill);
}

/// A day without a single ticket is one with turns without tickets, too; what stands on another job's day is not.
#[test]
fn a_day_without_tickets() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    clean.count("2026-06-05", &json!({"crew_id": clean.outfit.teamster}), 2);
    let found = clean.only("turn_without_ticket");
    assert_eq!(found["tickets"], json!([]));
    let tickets = [log("12", "16")];
    for number in [4, 5] {
        let _posted = clean.post(&clean.ticket(number, "2026-06-05", &tickets));
    }
    let found = clean.exceptions();
    assert_eq!(kinds(&found), Vec::<&str>::new(), "{found:#?}");
}

#[test]
fn counts_are_listed_and_bad_ones_refused() {
    let app = TestApp::start();
    let clean = Clean::new(&app);
    let team = json!({"crew_id": clean.outfit.teamster});
    clean.count("2026-06-02", &team, 3);
    clean.count("2026-06-02", &team, 2);
    let list = |query: &str| -> Vec<Value> {
        let list = clean.outfit.contractor.get(&format!("/v1/turn-counts?{query}")).expect(200);
        list["items"].as_array().expect("items").clone()
    };
    let both = list("from=2026-06-02&to=2026-06-02");
    let shown: Vec<_> = both.iter().map(|one| (one["turns"].as_i64(), one["standing"].as_bool())).collect();
    assert_eq!(shown, [(Some(3), Some(false)), (Some(2), Some(true))]);
    let standing = list(&format!("standing=true&crew_id={}", clean.outfit.teamster));
    assert_eq!(standing.iter().map(|one| one["revision"].as_i64()).collect::<Vec<_>>(), [Some(2)]);
    assert!(list(&format!("mill_id={}", clean.outfit.mill_id)).is_empty());
    let good = json!({"job_id": clean.outfit.job, "counted_on": "2026-06-02", "party": team, "turns": 1,
                      "counted_by": "Clerk"});
    for (member, value, code) in [
        ("counted_on", json!("2026-06-16"), Code::WrongForm),
        ("turns", json!(10_001), Code::WrongForm),
        ("turns", json!(-1), Code::WrongForm),
        ("counted_by", json!(" "), Code::WrongForm),
        ("job_id", json!("00000000-0000-7000-8000-000000000000"), Code::NamesMissingRecord),
    ] {
        let mut body = good.clone();
        body[member] = value;
        let _problem = clean.outfit.bookkeeper.post("/v1/turn-counts", &body).refused(code);
    }
    let both = format!("crew_id={}&mill_id={}", clean.outfit.teamster, clean.outfit.mill_id);
    let _problem =
        clean.outfit.contractor.get(&format!("/v1/turn-counts?{both}")).refused(Code::WrongAddress);
}
