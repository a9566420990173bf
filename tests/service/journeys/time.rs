//! Hours: filed, corrected, paid by the hour and by the day, and stated again when they change.

use serde_json::{Value, json};
use tests::{Furnished, TestApp};
use wire::Code;

struct Yard {
    app: TestApp,
    outfit: Furnished,
    /// The two sawyers.
    sawyers: Vec<String>,
    teamster: String,
}

impl Yard {
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let crews = outfit.manager.get("/v1/crews").expect(200);
        let members = |crew: &str| -> Vec<String> {
            let crews = crews["items"].as_array().expect("crews");
            let found = crews.iter().find(|one| one["crew_id"] == *crew).expect("the crew");
            let shares = found["share_sets"][0]["shares"].as_array().expect("shares");
            shares.iter().map(|share| share["worker_id"].as_str().expect("an id").to_owned()).collect()
        };
        let (sawyers, teamster) = (members(&outfit.felling_crew), members(&outfit.teamster).remove(0));
        Self { app, outfit, sawyers, teamster }
    }

    /// Files terms of the felling crew with rates for time.
    fn terms(&self, loading_hour: &str, skidding_day: &str) {
        let terms = json!({
            "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
            "rates": [{"name": "loading by the hour", "task": "loading", "unit": "hour", "price": loading_hour},
                      {"name": "skidding by the day", "task": "skidding", "unit": "day", "price": skidding_day}]
        });
        let path = format!("/v1/contracts/{}/terms", self.outfit.felling_contract);
        let _filed = self.outfit.bookkeeper.post(&path, &terms).expect(201);
    }

    /// Paid time of a sawyer with the felling crew.
    fn paid(&self, worker: &str, day: &str, hours: &str, task: &str) -> Value {
        json!({"worker_id": worker, "worked_on": day, "hours": hours,
               "what_for": {"kind": "paid", "job_id": self.outfit.job, "crew_id": self.outfit.felling_crew,
                            "task": task}})
    }

    fn file(&self, entry: &Value) -> String {
        let filed = self.outfit.bookkeeper.post("/v1/time-entries", entry).expect(201);
        filed["time_entry_id"].as_str().expect("an id").to_owned()
    }
}

/// The lines that pay a worker for time, as (kind, rate, quantity, amount).
fn lines<'a>(settlement: &'a Value, worker: &str) -> Vec<(&'a str, &'a str, &'a str, &'a str)> {
    let text = |value: &'a Value| value.as_str().expect("a text");
    let all = settlement["lines"].as_array().expect("lines").iter();
    all.filter(|line| line["worker_id"] == *worker)
        .map(|line| {
            let amount = text(&line["amount"]["amount"]);
            (text(&line["kind"]), text(&line["rate_name"]), text(&line["quantity"]), amount)
        })
        .collect()
}

#[test]
fn paid_time_becomes_pay_and_is_stated_again_when_it_changes() {
    let yard = Yard::new();
    let [first, second] = [&yard.sawyers[0], &yard.sawyers[1]];
    yard.terms("0.35", "3");
    let wrong = yard.file(&yard.paid(first, "2026-06-03", "9.5", "loading"));
    // A day in two entries is one day; half a day is a day; another's day is another.
    let _days = ["2026-06-03", "2026-06-04", "2026-06-04"]
        .map(|day| yard.file(&yard.paid(second, day, "2", "skidding")));
    let _rest = yard.file(&json!({"worker_id": first, "worked_on": "2026-06-03", "hours": "0.5",
                                  "what_for": {"kind": "rest"}}));
    let posted = yard.outfit.settle("2026-06-06");
    assert_eq!(lines(&posted, first), [("regular", "loading by the hour", "9.5", "3.33")]);
    assert_eq!(lines(&posted, second), [("regular", "skidding by the day", "2", "6.00")]);
    assert_eq!(posted["paid_to_crews"]["amount"], "9.33");
    let line = &posted["lines"].as_array().expect("lines")[0];
    assert!(line.get("share_set_id").is_none());
    let id = posted["settlement_id"].as_str().expect("an id");
    let explained = yard.outfit.contractor.get(&format!("/v1/settlements/{id}/lines/1")).expect(200);
    assert_eq!(explained["exact_amount"], "3.325");
    assert_eq!(explained["time"][0]["time_entry_id"], wrong.as_str());
    assert_eq!(explained["split"], json!([]));

    // 9.5 was written for 8, and a day came late: both come as adjustments of the posted week.
    let mut right = yard.paid(first, "2026-06-03", "8", "loading");
    right["corrects"] = json!({"time_entry_id": wrong, "reason": "read from another man's row"});
    let right = yard.file(&right);
    let late = yard.file(&yard.paid(second, "2026-06-05", "10", "skidding"));
    yard.app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
    let posted = yard.outfit.settle("2026-06-13");
    assert_eq!(lines(&posted, first), [("adjustment", "loading by the hour", "-1.5", "-0.53")]);
    assert_eq!(lines(&posted, second), [("adjustment", "skidding by the day", "1", "3.00")]);
    let line = &posted["lines"].as_array().expect("lines")[0];
    assert_eq!((&line["entered_time"], &line["withdrawn_time"]), (&json!([right]), &json!([wrong])));
    let line = &posted["lines"].as_array().expect("lines")[1];
    assert_eq!(line["entered_time"], json!([late]));

    // New terms for days past, and an entry taken away.
    yard.terms("0.40", "3");
    let mut void = yard.paid(second, "2026-06-05", "10", "skidding");
    void.as_object_mut().expect("an object").remove("hours");
    void["corrects"] = json!({"time_entry_id": late, "reason": "it rained all day"});
    let _void = yard.file(&void);
    yard.app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
    let posted = yard.outfit.settle("2026-06-20");
    let earned: i64 = [("first", first, 40), ("second", second, -300)]
        .iter()
        .map(|(_, worker, cents)| {
            let sum: i64 = lines(&posted, worker)
                .iter()
                .map(|line| line.3.replace('.', "").parse::<i64>().expect("cents"))
                .sum();
            assert_eq!(sum, *cents, "{posted:#}");
            sum
        })
        .sum();
    assert_eq!(earned, -260);
    let audit = "/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-20";
    let audit = yard.outfit.contractor.get(audit).expect(200);
    // 8 hours at 0.40 and two days at 3.
    assert_eq!(audit["earned_by_crews"]["amount"], "9.20");
    assert_eq!(audit["contracts"][0]["open"]["amount"], "0.00", "{audit:#}");

    let listed = yard.outfit.contractor.get(&format!("/v1/time-entries?worker_id={second}")).expect(200);
    let states: Vec<_> = listed["items"].as_array().expect("items").iter().map(|one| &one["state"]).collect();
    assert_eq!(states, ["standing", "standing", "standing", "corrected", "void"]);
    let standing = format!("/v1/time-entries?worker_id={first}&standing=true&from=2026-06-03&to=2026-06-03");
    let standing = yard.outfit.contractor.get(&standing).expect(200);
    assert_eq!(standing["items"].as_array().map(Vec::len), Some(2));
}

#[test]
fn paid_time_without_a_rate_holds_up_draft_and_posting() {
    let yard = Yard::new();
    let draft = json!({"week_ends_on": "2026-06-06"});
    let drafted = yard.outfit.bookkeeper.post("/v1/settlements", &draft).expect(201);
    let posting = format!("/v1/settlements/{}/posting", drafted["settlement_id"].as_str().expect("an id"));
    let members = json!({"effective_from": "2026-05-01",
                         "shares": [{"worker_id": yard.sawyers[0], "parts": "1"}]});
    let path = format!("/v1/crews/{}/share-sets", yard.outfit.felling_crew);
    let _members = yard.outfit.bookkeeper.post(&path, &members).expect(201);
    let _early = yard.file(&yard.paid(&yard.sawyers[0], "2026-05-30", "1", "loading"));
    let _loading = yard.file(&yard.paid(&yard.sawyers[0], "2026-06-03", "8", "loading"));
    let refused = yard.outfit.bookkeeper.post("/v1/settlements", &draft);
    let problem = refused.refused(Code::UnpricedTime);
    let says: Vec<_> =
        problem["errors"].as_array().expect("errors").iter().map(|one| &one["detail"]).collect();
    assert_eq!(
        says,
        [
            "Felling crew, loading on 2026-05-30: the crew's contract has no terms in force on that day",
            "Felling crew, loading on 2026-06-03: the terms in force have no rate by the hour or the day for it",
        ]
    );
    let _held_up = yard.outfit.bookkeeper.put(&posting).refused(Code::UnpricedTime);
    yard.terms("0.35", "3");
    let refused = yard.outfit.bookkeeper.post("/v1/settlements", &draft);
    assert_eq!(refused.refused(Code::UnpricedTime)["errors"].as_array().map(Vec::len), Some(1));
}

#[test]
fn hours_that_cannot_be_are_refused() {
    let yard = Yard::new();
    let sawyer = &yard.sawyers[0];
    let post = |entry: &Value| yard.outfit.bookkeeper.post("/v1/time-entries", entry);
    let entry = |hours: &str| json!({"worker_id": sawyer, "worked_on": "2026-06-03", "hours": hours, "what_for": {"kind": "piece_work"}});
    for hours in ["0", "-1", "24.5"] {
        assert_eq!(post(&entry(hours)).refused(Code::WrongForm)["errors"][0]["pointer"], "#/hours");
    }
    let at = |entry: Value, pointer: &str| {
        let refused = post(&entry);
        let problem = refused.refused(Code::TimeInconsistent);
        assert_eq!(problem["errors"][0]["pointer"], pointer, "{problem:#}");
    };
    let mut tomorrow = entry("8");
    tomorrow["worked_on"] = json!("2026-06-30");
    at(tomorrow, "#/worked_on");
    let mut none = entry("8");
    none.as_object_mut().expect("an object").remove("hours");
    at(none.clone(), "#/hours");
    at(yard.paid(&yard.teamster, "2026-06-03", "8", "loading"), "#/what_for/crew_id");
    at(yard.paid(sawyer, "2026-05-03", "8", "loading"), "#/what_for/crew_id");
    let wrong = yard.file(&entry("14"));
    at(entry("10.5"), "#/hours");
    let _more = yard.file(&entry("10"));
    // In a correction the wrong hours do not count any more.
    let mut right = entry("13.5");
    right["corrects"] = json!({"time_entry_id": wrong, "reason": "counted the noon hour"});
    let _right = yard.file(&right);
    let _again = post(&right).refused(Code::TimeCorrected);
    none["corrects"] =
        json!({"time_entry_id": "01977000-0000-7000-8000-000000000099", "reason": "never was"});
    let _missing = post(&none).refused(Code::NamesMissingRecord);
}
