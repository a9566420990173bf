//! An outfit in whose books nothing is wrong, for one fault to be planted in.

use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, log, ticket};

/// A Monday; the weeks that ended on 6 and 13 June are over.
pub const TODAY: &str = "2026-06-15T13:00:00Z";

/// The span that the tests ask for.
pub const SPAN: &str = "from=2026-06-01&to=2026-06-14";

/// A furnished outfit that hews as well, with three clean tickets in its first week.
pub struct Clean {
    /// The outfit.
    pub outfit: Furnished,
    /// Its hewers, paid by the piece.
    pub hewers: String,
}

impl Clean {
    /// Opens it on a day in the second week, so that tickets of the first can still be posted in time.
    pub fn new(app: &TestApp) -> Self {
        app.clock.set(TODAY.parse().expect("a time"));
        let outfit = Furnished::new(app);
        let file = |path: &str, body: Value, member: &str| {
            outfit.manager.post(path, &body).expect(201)[member].as_str().expect("an id").to_owned()
        };
        let worker = file("/v1/workers", json!({"name": "Hewer"}), "worker_id");
        let hewers = file("/v1/crews", json!({"name": "Hewers"}), "crew_id");
        let shares = json!({"effective_from": "2026-06-01", "shares": [{"worker_id": worker, "parts": "1"}]});
        let _filed = outfit.manager.post(&format!("/v1/crews/{hewers}/share-sets"), &shares).expect(201);
        let rate = |name: &str, task: &str, product: &str| json!({"name": name, "task": task, "product": product, "unit": "piece", "price": "0.35"});
        let contract = json!({
            "title": "Hewing", "job_id": outfit.job, "party": {"crew_id": hewers},
            "terms": {"effective_from": "2026-06-01",
                      "practice": {"log": {"rule": "scribner-decimal-c"}, "hewn_timber": {}},
                      "rates": [rate("timber", "hewing", "hewn_timber"), rate("ties", "hewing", "tie"),
                                rate("trees for timber", "felling", "hewn_timber"),
                                rate("felling logs", "felling", "log")]}
        });
        let _contract = file("/v1/contracts", contract, "contract_id");
        let clean = Self { outfit, hewers };
        for (number, day) in [(1, "2026-06-01"), (2, "2026-06-02"), (3, "2026-06-03")] {
            let _accepted =
                clean.post(&clean.ticket(number, day, &[log("12", "16"), log("16", "16"), log("14", "12")]));
        }
        clean
    }

    /// A ticket of book A: felled, skidded as a turn, delivered. Sticks that differ by day.
    pub fn ticket(&self, number: u32, day: &str, pieces: &[Value]) -> Value {
        ticket(&self.outfit, number, day, pieces)
    }

    /// A ticket with other work, no turn and no mill.
    pub fn work(&self, number: u32, day: &str, work: &[(&str, &str)], pieces: &[Value]) -> Value {
        let mut sent = self.ticket(number, day, pieces);
        let work: Vec<_> = work.iter().map(|(task, crew)| json!({"task": task, "crew_id": crew})).collect();
        sent["work"] = work.into();
        for member in ["turn", "delivered_to"] {
            let _gone = sent.as_object_mut().expect("a ticket").remove(member);
        }
        sent
    }

    /// Posts a ticket; answers its id.
    pub fn post(&self, ticket: &Value) -> String {
        let accepted = self.outfit.scaler.post("/v1/tickets", ticket).expect(201);
        accepted["ticket_id"].as_str().expect("an id").to_owned()
    }

    /// The exceptions of the span.
    pub fn exceptions(&self) -> Vec<Value> {
        listed(&self.outfit.contractor, SPAN)
    }

    /// The one exception of the span, of this kind.
    pub fn only(&self, kind: &str) -> Value {
        let found = self.exceptions();
        assert_eq!(kinds(&found), [kind], "{found:#?}");
        found[0].clone()
    }
}

/// The exceptions that a query answers.
pub fn listed(actor: &Actor, query: &str) -> Vec<Value> {
    let list = actor.get(&format!("/v1/audit/exceptions?limit=500&{query}")).expect(200);
    list["items"].as_array().expect("items").clone()
}

/// Their kinds.
pub fn kinds(found: &[Value]) -> Vec<&str> {
    found.iter().map(|one| one["kind"].as_str().expect("a kind")).collect()
}

/// The tickets of an exception by number, and their pieces.
pub fn tickets(found: &Value) -> Vec<(i64, Vec<i64>)> {
    let pieces = |ticket: &Value| {
        ticket["pieces"]
            .as_array()
            .map(|list| list.iter().filter_map(Value::as_i64).collect())
            .unwrap_or_default()
    };
    let tickets = found["tickets"].as_array().expect("tickets");
    tickets.iter().map(|one| (one["number"].as_i64().expect("a number"), pieces(one))).collect()
}

/// A log with a number.
pub fn numbered(number: &str, diameter_in: &str) -> Value {
    let mut stick = log(diameter_in, "16");
    stick["stick_number"] = number.into();
    stick
}

/// A timber hewn from a log.
pub fn hewn(number: &str, from: &str, side_in: &str) -> Value {
    json!({"product": "hewn_timber", "species": "white pine", "stick_number": number, "hewn_from": from,
           "small_end": {"width_in": side_in, "thickness_in": side_in}, "length_ft": "16"})
}
