//! Books with everything on them that a paper can show: the busy outfit, with hours, wages, charges and advances in its
//! third week, which brings corrections, a late ticket, a void one and payments.

use serde_json::{Value, json};
use tests::{Actor, TestApp};

use crate::auditing::busy::{Busy, SPAN};
use crate::world::text;

/// It.
pub struct Camp {
    /// The service.
    pub app: TestApp,
    /// The outfit.
    pub busy: Busy,
}

/// A paper by where it is asked for.
#[derive(Clone, Debug)]
pub struct Place {
    /// What kind of paper: `statement`, `crew sheet`, `ticket`, `report`.
    pub kind: &'static str,
    /// Its path, without a form.
    pub path: String,
}

impl Place {
    /// The path with a form.
    pub fn form(&self, form: &str) -> String {
        let glue = if self.path.contains('?') { '&' } else { '?' };
        format!("{}{glue}{form}", self.path)
    }
}

fn items(actor: &Actor, path: &str) -> Vec<Value> {
    actor.get(path).expect(200)["items"].as_array().expect("a list").clone()
}

impl Camp {
    /// Does it all, and posts the third week.
    pub fn new() -> Self {
        let app = TestApp::start();
        let busy = Busy::new(&app);
        let camp = Self { app, busy };
        camp.third_week();
        camp
    }

    fn file(&self, path: &str, body: &Value) -> Value {
        self.busy.outfit.bookkeeper.post(path, body).expect(201)
    }

    fn third_week(&self) {
        let office = &self.busy.outfit.bookkeeper;
        for open in items(office, "/v1/unpriced?to=2026-06-20") {
            let path = format!("/v1/tickets/{}/set-asides", text(&open, "ticket_id"));
            let aside = json!({"task": open["task"], "piece": open["piece"], "reason": "kept for the camp"});
            let _aside = self.file(&path, &aside);
        }
        let terms = json!({"overtime": {"after_hours": "40"}, "minimum_an_hour": "0.25"});
        let _terms = self.file("/v1/wage-terms", &json!({"effective_from": "2026-06-14", "terms": terms}));
        let workers = items(office, "/v1/workers?limit=500");
        for worker in workers.iter().take(3) {
            let worker = text(worker, "worker_id");
            for day in 15..=19 {
                let hours = json!({"worker_id": worker, "worked_on": format!("2026-06-{day}"), "hours": "8.5",
                                   "what_for": {"kind": "piece_work"}});
                let _hours = self.file("/v1/time-entries", &hours);
            }
            let charge = json!({"worker_id": worker, "dated": "2026-06-16", "kind": "board",
                                "says": "a week's board", "amount": "1.10"});
            let _charge = self.file("/v1/charges", &charge);
            let advance = json!({"worker_id": worker, "dated": "2026-06-17", "says": "new boots", "amount": "40.00",
                                 "recovery": {"by": "most_a_week", "amount": "0.30"}});
            let _advance = self.file("/v1/advances", &advance);
        }
        let _posted = self.busy.outfit.settle("2026-06-20");
    }

    /// Every ticket, statement and crew sheet, and the report.
    pub fn everything(&self) -> Vec<Place> {
        let office = &self.busy.outfit.bookkeeper;
        let mut places = Vec::new();
        let mut add = |kind, path| places.push(Place { kind, path });
        for ticket in items(office, "/v1/tickets?limit=500&pieces=none") {
            add("ticket", format!("/v1/tickets/{}", text(&ticket, "ticket_id")));
        }
        for statement in items(office, "/v1/statements?limit=500") {
            add("statement", format!("/v1/statements/{}", text(&statement, "statement_id")));
        }
        for settlement in items(office, "/v1/settlements?limit=500") {
            for crew in items(office, "/v1/crews?limit=500") {
                let (settlement, crew) = (text(&settlement, "settlement_id"), text(&crew, "crew_id"));
                add("crew sheet", format!("/v1/settlements/{settlement}/crews/{crew}"));
            }
        }
        add("report", format!("/v1/reports/audit?{SPAN}"));
        places
    }
}
