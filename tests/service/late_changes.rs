//! What comes into weeks that were posted already: the next settlement, which states again only what the books say has
//! changed, comes to the same as one that states the whole history. Each kind of change is made twice: as it comes, and with the
//! database's own note of it switched off, where it must be missed, and found again by the whole history.

use serde_json::{Value, json};
use tests::{Inspector, TestApp};

use crate::check_scales::{Yard, again, inches, two_percent};
use crate::world::text;

/// Books with two posted weeks behind them.
struct Past {
    yard: Yard,
    /// The ticket of the first week.
    ticket: String,
    /// Hours of the first week that are paid by time.
    hours: String,
    /// An adjustment of both weeks, where there is one.
    adjustment: Option<String>,
    sawyer: Value,
    teamster: Value,
}

/// A kind of change.
struct Kind {
    says: &'static str,
    /// Whether an adjustment is filed before the weeks are posted.
    adjusted: bool,
    /// What of the database notes it: table and trigger.
    noted_by: (&'static str, &'static str),
    make: fn(&Past),
}

const KINDS: [Kind; 10] = [
    Kind {
        says: "a late ticket",
        adjusted: false,
        noted_by: LATE_TICKET,
        make: |past| {
            let _ticket = past.yard.post(10, "2026-06-04", &[50]);
        },
    },
    Kind {
        says: "a ticket that another week's takes the place of",
        adjusted: false,
        noted_by: LATE_TICKET,
        make: |past| {
            let right = past.yard.on_landing(11, "2026-06-15", &[inches(30)]);
            past.correct(&right);
        },
    },
    Kind {
        says: "a ticket that is void",
        adjusted: false,
        noted_by: LATE_TICKET,
        make: |past| {
            let void = past.yard.on_landing(12, "2026-06-03", &[]);
            past.correct(&void);
        },
    },
    Kind {
        says: "terms",
        adjusted: false,
        noted_by: ("terms", "late_terms_are_noted"),
        make: |past| {
            past.yard.terms(Some(two_percent()), "12");
        },
    },
    Kind {
        says: "shares",
        adjusted: false,
        noted_by: ("share_set", "late_shares_are_noted"),
        make: |past| {
            let alone =
                json!({"effective_from": "2026-06-02", "shares": [{"worker_id": past.sawyer, "parts": "1"}]});
            let path = format!("/v1/crews/{}/share-sets", past.yard.outfit.felling_crew);
            let _filed = past.yard.outfit.bookkeeper.post(&path, &alone).expect(201);
        },
    },
    Kind {
        says: "wage terms",
        adjusted: false,
        noted_by: ("wage_terms", "late_wage_terms_are_noted"),
        make: |past| {
            let terms = json!({"effective_from": "2026-05-31", "terms": {"minimum_an_hour": "30"}});
            let _filed = past.yard.outfit.bookkeeper.post("/v1/wage-terms", &terms).expect(201);
        },
    },
    Kind {
        says: "hours",
        adjusted: false,
        noted_by: LATE_TIME,
        make: |past| {
            let _filed = past.loaded("2026-06-05", None);
        },
    },
    Kind {
        says: "hours that another day's take the place of",
        adjusted: false,
        noted_by: LATE_TIME,
        make: |past| {
            let _filed = past.loaded("2026-06-15", Some(&past.hours));
        },
    },
    Kind {
        says: "an adjustment",
        adjusted: false,
        noted_by: ("volume_adjustment_quantity", "late_adjustment_is_noted"),
        make: |past| {
            let _adjusted = past.adjust();
        },
    },
    Kind {
        says: "an adjustment taken back",
        adjusted: true,
        noted_by: ("volume_adjustment_reversal", "late_reversal_is_noted"),
        make: |past| {
            let adjustment = past.adjustment.as_deref().expect("an adjustment");
            let path = format!("/v1/volume-adjustments/{adjustment}/reversal");
            let _back =
                past.yard.outfit.bookkeeper.post(&path, &json!({"reason": "the stick was bent"})).expect(201);
        },
    },
];

const LATE_TICKET: (&str, &str) = ("ticket", "late_ticket_is_noted");
const LATE_TIME: (&str, &str) = ("time_entry", "late_time_is_noted");

impl Past {
    fn new(app: &TestApp, adjusted: bool) -> Self {
        let yard = Yard::new(app, Some(two_percent()));
        let ticket = yard.post(1, "2026-06-03", &[50, 50, 50, 50]);
        let _second = yard.post(2, "2026-06-10", &[50, 50]);
        let crews = yard.outfit.bookkeeper.get("/v1/crews").expect(200);
        let member = |crew: &str| {
            let found = crews["items"].as_array().expect("crews").iter().find(|one| one["crew_id"] == *crew);
            found.expect("the crew")["share_sets"][0]["shares"][0]["worker_id"].clone()
        };
        let (sawyer, teamster) = (member(&yard.outfit.felling_crew), member(&yard.outfit.teamster));
        let mut past = Self { yard, ticket, hours: String::new(), adjustment: None, sawyer, teamster };
        past.hours = past.loaded("2026-06-03", None);
        let cut = json!({"worker_id": past.sawyer, "worked_on": "2026-06-03", "hours": "8",
                         "what_for": {"kind": "piece_work"}});
        let _hours = past.yard.outfit.bookkeeper.post("/v1/time-entries", &cut).expect(201);
        if adjusted {
            past.adjustment = Some(past.adjust());
        }
        for week in ["2026-06-06", "2026-06-13"] {
            let _posted = past.yard.outfit.settle(week);
        }
        past
    }

    fn correct(&self, right: &Value) {
        let path = format!("/v1/tickets/{}/corrections", self.ticket);
        let correction = json!({"reason": "read the wrong end", "ticket": right});
        let _corrected = self.yard.outfit.scaler.post(&path, &correction).expect(201);
    }

    /// Two hours of loading by the teamster.
    fn loaded(&self, day: &str, corrects: Option<&str>) -> String {
        let outfit = &self.yard.outfit;
        let mut entry = json!({"worker_id": self.teamster, "worked_on": day, "hours": "2",
            "what_for": {"kind": "paid", "job_id": outfit.job, "crew_id": outfit.teamster, "task": "loading"}});
        if let Some(wrong) = corrects {
            entry["corrects"] = json!({"time_entry_id": wrong, "reason": "the day after"});
        }
        text(&outfit.bookkeeper.post("/v1/time-entries", &entry).expect(201), "time_entry_id")
    }

    /// Checks the first ticket, and adjusts both weeks by what was found.
    fn adjust(&self) -> String {
        let path =
            self.yard.file(&[again(&self.ticket, 1, &inches(45)), again(&self.ticket, 2, &inches(45))]);
        let sent = json!({"reason": "ten percent too much"});
        let adjusted = self.yard.outfit.bookkeeper.post(&format!("{path}/adjustments"), &sent).expect(201);
        text(&adjusted, "volume_adjustment_id")
    }

    /// Drafts a week; when it is to be kept, for good.
    fn draft(&self, week: &str, whole_history: bool, kept: bool) -> Value {
        let path = if kept { "/v1/settlements" } else { "/v1/settlements?dry_run=true" };
        let reply = self
            .yard
            .outfit
            .bookkeeper
            .post(path, &json!({"week_ends_on": week, "whole_history": whole_history}));
        assert!(reply.status < 300, "{:#}", reply.body);
        reply.body
    }

    /// What a draft pays, and how much of it is about posted weeks.
    fn drafted(&self, week: &str, whole_history: bool) -> (Value, usize) {
        let draft = self.draft(week, whole_history, false);
        let listed = |whole: &Value, member: &str| whole[member].as_array().cloned().unwrap_or_default();
        let pays = listed(&draft, "pays");
        let supplements = pays.iter().flat_map(|pay| listed(pay, "supplements"));
        let stated = listed(&draft, "lines").into_iter().chain(supplements);
        let late = stated.filter(|one| one["week_ends_on"] != *week).count();
        (json!([draft["lines"], draft["pays"], draft["volumes"]]), late)
    }

    fn post(&self, draft: &Value) {
        let path = format!("/v1/settlements/{}/posting", text(draft, "settlement_id"));
        let _posted = self.yard.outfit.bookkeeper.put(&path).expect(201);
    }
}

#[test]
fn whatever_changes_a_posted_week_is_stated_again_once() {
    let app = TestApp::start();
    for kind in KINDS {
        let past = Past::new(&app, kind.adjusted);
        assert_eq!(past.drafted("2026-06-20", false).1, 0, "{}: nothing has come yet", kind.says);
        (kind.make)(&past);
        let (changed, late) = past.drafted("2026-06-20", false);
        assert!(late > 0, "{} is not stated: {changed:#}", kind.says);
        assert_eq!(changed, past.drafted("2026-06-20", true).0, "{}", kind.says);
        // It is in the settlement that is posted next, and in none after it.
        app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
        let _posted = past.yard.outfit.settle("2026-06-20");
        assert_eq!(past.drafted("2026-06-27", false).1, 0, "{} is stated twice", kind.says);
        assert_eq!(past.drafted("2026-06-27", true).1, 0, "{}", kind.says);
    }
}

#[test]
fn what_nobody_noted_is_missed_and_the_whole_history_finds_it() {
    let app = TestApp::start();
    let database = Inspector::connect(&app.database.url());
    for kind in KINDS {
        let past = Past::new(&app, kind.adjusted);
        let (table, trigger) = kind.noted_by;
        let _off = database.ask(&format!("ALTER TABLE {table} DISABLE TRIGGER {trigger}"));
        (kind.make)(&past);
        let _on = database.ask(&format!("ALTER TABLE {table} ENABLE TRIGGER {trigger}"));
        assert_eq!(past.drafted("2026-06-20", false).1, 0, "{} is noted by something else too", kind.says);
        let (found, late) = past.drafted("2026-06-20", true);
        assert!(late > 0, "{}", kind.says);
        // A draft from the whole history that is kept notes what it found, so it can be posted.
        let _kept = past.draft("2026-06-20", true, true);
        let (noted, _) = past.drafted("2026-06-20", false);
        assert_eq!(noted, found, "{}", kind.says);
        app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
        past.post(&past.draft("2026-06-20", false, true));
        past.yard.outfit.computed_again();
        assert_eq!(past.drafted("2026-06-27", true).1, 0, "{}", kind.says);
    }
}

/// In books without anything late no row is written, so tickets in time pay nothing for it; and many late tickets of one day
/// need one.
#[test]
fn only_what_is_late_is_noted_and_a_day_once() {
    let app = TestApp::start();
    let past = Past::new(&app, false);
    let database = Inspector::connect(&app.database.url());
    database.open_books_of(past.yard.outfit.outfit);
    let noted = || database.number("SELECT count(*) FROM late_change");
    let _in_time = past.yard.post(20, "2026-06-15", &[50]);
    assert_eq!(noted(), 0);
    for number in 21..25 {
        let _late = past.yard.post(number, "2026-06-04", &[50]);
    }
    assert_eq!(noted(), 1);
    past.correct(&past.yard.on_landing(26, "2026-06-11", &[inches(40)]));
    assert_eq!(noted(), 3, "the day of the corrected ticket, and that of the correction");
}
