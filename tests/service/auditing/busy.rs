//! An outfit with everything that makes an audit hard: two felling crews on different rules, hewers paid by the foot, a
//! teamster paid by the turn, two mills, two jobs, three scalers, defects, culls, pieces that nothing measures, wood that
//! went nowhere, work in parts, corrections, a void ticket, late tickets and payments.

use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, log};

use crate::world::text;

/// The days that everything of it falls on.
pub const SPAN: &str = "from=2026-05-31&to=2026-06-27";

/// It.
#[derive(Debug)]
pub struct Busy {
    /// The outfit.
    pub outfit: Furnished,
    /// A crew that fells too, on Doyle's rule.
    pub other_fellers: String,
    /// The crew that hews, paid by the foot.
    pub hewers: String,
    /// Another mill, with a contract of its own in cubic feet.
    pub upper_mill: String,
    /// Somebody who speaks for it.
    pub upper: Actor,
    /// Another job.
    pub other_job: String,
}

/// A name that would be markup, a formula and an address if anybody let it.
pub const HOSTILE: &str = "<script>alert('x')</script> & \"Co\" =1+1";

fn rotten(diameter: &str, species: &str) -> Value {
    json!({"product": "log", "species": species, "small_diameter_in": [diameter], "length_ft": "16",
           "defects": [{"kind": "heart_rot", "method": "squared", "width_in": "6", "height_in": "6",
                        "length_ft": "8"}]})
}

/// A small log that is rotten nearly through: a cull.
fn cull() -> Value {
    json!({"product": "log", "species": "Hemlock", "small_diameter_in": ["10"], "length_ft": "16",
           "defects": [{"kind": "heart_rot", "method": "squared", "width_in": "9", "height_in": "9",
                        "length_ft": "16"}]})
}

fn squared() -> Value {
    json!({"product": "hewn_timber", "species": "white pine",
           "small_end": {"width_in": "10", "thickness_in": "10"},
           "large_end": {"width_in": "10", "thickness_in": "10"}, "length_ft": "24"})
}

fn pole() -> Value {
    json!({"product": "pole", "species": "cedar", "length_ft": "30"})
}

impl Busy {
    fn file(&self, path: &str, body: &Value) -> Value {
        self.outfit.manager.post(path, body).expect(201)
    }

    /// Does it all. The first two weeks are posted.
    pub fn new(app: &TestApp) -> Self {
        app.clock.set("2026-07-06T13:00:00Z".parse().expect("a time"));
        let outfit = Furnished::new(app);
        let file = |path: &str, body: Value, member: &str| {
            text(&outfit.manager.post(path, &body).expect(201), member)
        };
        let crew = |name: &str, parts: &[&str]| {
            let crew = file("/v1/crews", json!({"name": name}), "crew_id");
            let shares: Vec<Value> = parts
                .iter()
                .enumerate()
                .map(|(number, parts)| {
                    let worker = json!({"name": format!("{name}, hand {number}")});
                    json!({"worker_id": file("/v1/workers", worker, "worker_id"), "parts": parts})
                })
                .collect();
            let set = json!({"effective_from": "2026-06-01", "shares": shares});
            let _filed = outfit.manager.post(&format!("/v1/crews/{crew}/share-sets"), &set).expect(201);
            crew
        };
        let other_fellers = crew("Other fellers", &["2", "1"]);
        let hewers = crew("Hewers", &["1", "1", "1"]);
        let upper_mill = file("/v1/mills", json!({"name": "Upper mill"}), "mill_id");
        let other_job = file("/v1/jobs", json!({"name": HOSTILE}), "job_id");
        let upper = app.member(outfit.outfit, wire::Role::Mill, Some(upper_mill.parse().expect("an id")));
        let busy = Self { outfit, other_fellers, hewers, upper_mill, upper, other_job };
        busy.agree();
        busy.work();
        busy
    }

    fn agree(&self) {
        let contract = |job: &str, title: &str, party: Value, practice: Value, rates: Value| {
            let body = json!({"title": title, "job_id": job, "party": party,
                              "terms": {"effective_from": "2026-06-01", "practice": practice, "rates": rates}});
            let _filed = self.file("/v1/contracts", &body);
        };
        let by_scale = |task: &str, product: &str, unit: &str, basis: &str, price: &str| {
            json!({"name": format!("{task} {product}"), "task": task, "product": product, "unit": unit,
                   "basis": basis, "price": price})
        };
        let each = |task: &str, product: &str, price: &str| {
            json!({"name": format!("{task} each {product}"), "task": task, "product": product, "unit": "piece",
                   "price": price})
        };
        let job = &self.outfit.job;
        let thousand = "thousand_board_feet";
        let logs_felled = by_scale("felling", "log", thousand, "gross", "9.37");
        let doyle = json!({"log": {"rule": "doyle"}});
        for job in [job, &self.other_job] {
            contract(
                job,
                "Felling on Doyle's rule",
                json!({"crew_id": self.other_fellers}),
                doyle.clone(),
                json!([logs_felled, each("felling", "hewn_timber", "0.31"), each("felling", "pole", "0.05")]),
            );
        }
        contract(
            job,
            "Hewing",
            json!({"crew_id": self.hewers}),
            json!({"hewn_timber": {}}),
            json!([{"name": "by the foot", "task": "hewing", "product": "hewn_timber", "unit": "linear_foot",
                    "price": "0.03"}]),
        );
        contract(
            &self.other_job,
            "Logs for the upper mill",
            json!({"mill_id": self.upper_mill}),
            json!({"log": {"rule": "smalian", "unit": "cubic_foot",
                           "volume_rounding": {"step": "0.1", "mode": "half_up"},
                           "deduction_rounding": {"step": "0.1", "mode": "half_up"}}}),
            json!([by_scale("delivery", "log", "hundred_cubic_feet", "net", "11.05")]),
        );
        // The first mill's contract takes timbers and poles too.
        let mill = self.outfit.mill.get("/v1/contracts").expect(200);
        let terms = json!({"effective_from": "2026-06-01",
            "practice": {"log": {"rule": "scribner-decimal-c"}, "hewn_timber": {}},
            "rates": [by_scale("delivery", "log", thousand, "net", "40"),
                      by_scale("delivery", "hewn_timber", thousand, "net", "61.5"),
                      each("delivery", "pole", "0.9")]});
        let contract = text(&mill["items"][0], "contract_id");
        let _filed = self.file(&format!("/v1/contracts/{contract}/terms"), &terms);
        // From the third week on the first crew fells on another rule.
        let terms = json!({"effective_from": "2026-06-14", "practice": {"log": {"rule": "international-quarter-inch"}},
                           "rates": [by_scale("felling", "log", thousand, "gross", "10.5")]});
        let _filed = self.file(&format!("/v1/contracts/{}/terms", self.outfit.felling_contract), &terms);
    }

    fn ticket(&self, number: u32, day: &str, scaler: &str, work: Value, pieces: &[Value]) -> Value {
        json!({"book": "B", "number": number, "job_id": self.outfit.job, "landing_id": self.outfit.landing,
               "scaled_on": day, "scaler": scaler, "work": work, "turn": {"skid_distance_ft": "300"},
               "delivered_to": self.outfit.mill_id, "pieces": pieces})
    }

    fn post(&self, ticket: &Value) -> String {
        text(&self.outfit.scaler.post("/v1/tickets", ticket).expect(201), "ticket_id")
    }

    fn work(&self) {
        let outfit = &self.outfit;
        let (first, other) = (&outfit.felling_crew, &self.other_fellers);
        let felled = |crew: &str| json!({"task": "felling", "crew_id": crew});
        let skidded = json!({"task": "skidding", "crew_id": outfit.teamster});
        let both = json!([felled(first), skidded]);
        let pine = [log("16", "16"), rotten("20", "White Pine"), cull(), log("12", "16")];
        let one = self.post(&self.ticket(1, "2026-06-02", HOSTILE, both.clone(), &pine));
        // Felled by one crew and the other, and one log by both of them in parts.
        let part = |crew: &str, piece: u16, parts: Option<&str>| {
            let mut entry = json!({"task": "felling", "crew_id": crew, "pieces": [piece]});
            entry
                .as_object_mut()
                .expect("an entry")
                .extend(parts.map(|parts| ("parts".to_owned(), json!(parts))));
            entry
        };
        let divided = json!([
            part(first, 1, None),
            part(first, 2, Some("1")),
            part(other, 2, Some("2")),
            part(other, 3, None),
            skidded
        ]);
        let hemlock = [log("14", "16"), log("18", "16"), rotten("22", "hemlock")];
        let _divided = self.post(&self.ticket(2, "2026-06-03", "Ada Quill", divided, &hemlock));
        // Felled for the hewers, whom the fellers' contract does not measure, and hewn.
        let timbers = json!([felled(other), {"task": "hewing", "crew_id": self.hewers}, skidded]);
        let _timbers =
            self.post(&self.ticket(3, "2026-06-09", "Ada Quill", timbers.clone(), &[squared(), squared()]));
        // Poles, which nobody measures, and wood that stays on the landing.
        let _poles =
            self.post(&self.ticket(4, "2026-06-10", "Bo Tarn", json!([felled(other)]), &[pole(), pole()]));
        let mut kept = self.ticket(5, "2026-06-11", "Bo Tarn", json!([felled(other), skidded]), &pine);
        kept.as_object_mut().expect("a ticket").remove("delivered_to");
        let _kept = self.post(&kept);
        for week in ["2026-06-06", "2026-06-13"] {
            let _posted = outfit.settle(week);
        }
        // The first ticket was wrong, another is late, a third never was.
        let right = json!({"reason": "one log forgotten", "ticket":
            self.ticket(6, "2026-06-02", HOSTILE, both.clone(), &[pine.as_slice(), &[log("10", "16")]].concat())});
        let _right = outfit.scaler.post(&format!("/v1/tickets/{one}/corrections"), &right).expect(201);
        let _late = self.post(&self.ticket(7, "2026-06-12", "Ada Quill", both.clone(), &[log("15", "12")]));
        let wrong = self.post(&self.ticket(8, "2026-06-16", "Bo Tarn", both.clone(), &pine));
        let void = json!({"reason": "written twice", "ticket": self.ticket(9, "2026-06-16", "Bo Tarn", both.clone(), &[])});
        let _void = outfit.scaler.post(&format!("/v1/tickets/{wrong}/corrections"), &void).expect(201);
        let _third = self.post(&self.ticket(10, "2026-06-17", "Bo Tarn", both, &pine));
        let _more = self.post(&self.ticket(11, "2026-06-18", "Ada Quill", timbers, &[squared()]));
        // Nothing pays the first crew for poles.
        let _unpriced =
            self.post(&self.ticket(12, "2026-06-18", "Ada Quill", json!([felled(first)]), &[pole()]));
        self.work_elsewhere();
        self.pay();
    }

    /// On the other job, for the other mill, with its own unit.
    fn work_elsewhere(&self) {
        let landing = self.file(&format!("/v1/jobs/{}/landings", self.other_job), &json!({"name": "Up"}));
        let two_ends = json!({"product": "log", "species": "spruce", "small_diameter_in": ["14"],
                              "large_diameter_in": ["17"], "length_ft": "16"});
        let ticket = json!({
            "book": "U", "number": 1, "job_id": self.other_job, "landing_id": landing["landing_id"],
            "scaled_on": "2026-06-24", "scaler": "Ada Quill", "delivered_to": self.upper_mill,
            "work": [{"task": "felling", "crew_id": self.other_fellers}], "pieces": [two_ends.clone(), two_ends]});
        let _ticket = self.post(&ticket);
    }

    /// Pays two people, one of them by mistake, and takes that back.
    fn pay(&self) {
        let balances = self.outfit.bookkeeper.get("/v1/balances").expect(200);
        let workers: Vec<String> = balances["items"]
            .as_array()
            .expect("items")
            .iter()
            .filter_map(|one| one["payee"]["worker_id"].as_str().map(str::to_owned))
            .collect();
        for (worker, amount) in workers.iter().zip(["0.75", "0.25"]) {
            let payment = json!({"party": {"worker_id": worker}, "dated": "2026-06-15", "says": "in cash",
                                 "amount": amount});
            let _paid = self.file("/v1/payments", &payment);
        }
        let payment = json!({"party": {"worker_id": workers[0]}, "dated": "2026-06-16", "says": "in cash",
                             "amount": "0.50"});
        let twice = self.file("/v1/payments", &payment);
        let record = json!({"payment_id": twice["payment"]["payment_id"]});
        let _back = self.file("/v1/reversals", &json!({"record": record, "reason": "paid twice"}));
    }
}
