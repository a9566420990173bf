//! The outfit in the running service: what it is furnished with, and which id is which place in the record.

use std::collections::BTreeMap;

use kernel::OutfitId;
use serde_json::{Value, json};
use tests::{Actor, TestApp};
use wire::Role;

use crate::facts::calendar::timestamp;

/// The crews: two that fell by Doyle and by Decimal C, a team, peelers, and another that fells and has no contract.
pub const CREWS: usize = 5;
pub const WORKERS: usize = 5;
/// The second mill has no contract.
pub const MILLS: usize = 2;

/// An outfit in the running service. Lists of ids are in the order of the record's places.
#[derive(Debug)]
pub struct Outfit {
    pub app: TestApp,
    pub id: OutfitId,
    /// Does everything here. Somebody who asked rarely would find his connection closed for idleness in between.
    pub bookkeeper: Actor,
    pub job: String,
    pub landing: String,
    pub workers: Vec<String>,
    pub crews: Vec<String>,
    pub mills: Vec<String>,
    pub contracts: Vec<String>,
    pub terms: Vec<String>,
    pub share_sets: Vec<String>,
    pub time: Vec<String>,
    pub charges: Vec<String>,
    pub advances: Vec<String>,
    pub payments: Vec<String>,
    pub releases: Vec<String>,
    pub tickets: BTreeMap<u32, String>,
}

/// A member of a reply that is text.
pub fn text(body: &Value, member: &str) -> String {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}")).to_owned()
}

/// A member of a reply that is a list; what is not there is empty.
pub fn list<'a>(body: &'a Value, member: &str) -> &'a [Value] {
    body[member].as_array().map_or(&[], Vec::as_slice)
}

/// The place of an id among the known ones.
pub fn place(ids: &[String], id: &Value) -> usize {
    let id = id.as_str().unwrap_or_else(|| panic!("{id} is no id"));
    ids.iter().position(|known| known == id).unwrap_or_else(|| panic!("{id} is not known here"))
}

impl Outfit {
    /// Starts a service and opens the books of an outfit that has people and places and no contract yet.
    pub fn new(hour: i64) -> Self {
        let app = TestApp::start();
        app.clock.set(timestamp(hour).parse().expect("a time"));
        let opened = json!({"name": "Invented outfit", "currency": "USD", "time_zone": "America/Detroit",
                            "week_ends_on": "saturday"});
        let opened = app.operator().post("/v1/outfits", &opened).expect(201);
        let id: OutfitId = text(&opened, "outfit_id").parse().expect("an id");
        let manager = app.member(id, Role::Manager, None);
        let file = |path: &str, name: String, member: &str| {
            text(&manager.post(path, &json!({"name": name})).expect(201), member)
        };
        let job = file("/v1/jobs", "Invented tract".to_owned(), "job_id");
        let many = |count: usize, path: &str, kind: &str, member: &str| -> Vec<String> {
            (0..count).map(|place| file(path, format!("{kind} {place}"), member)).collect()
        };
        Self {
            landing: file(&format!("/v1/jobs/{job}/landings"), "North landing".to_owned(), "landing_id"),
            workers: many(WORKERS, "/v1/workers", "Worker", "worker_id"),
            crews: many(CREWS, "/v1/crews", "Crew", "crew_id"),
            mills: many(MILLS, "/v1/mills", "Mill", "mill_id"),
            bookkeeper: app.member(id, Role::Bookkeeper, None),
            contracts: Vec::new(),
            terms: Vec::new(),
            share_sets: Vec::new(),
            time: Vec::new(),
            charges: Vec::new(),
            advances: Vec::new(),
            payments: Vec::new(),
            releases: Vec::new(),
            tickets: BTreeMap::new(),
            job,
            app,
            id,
        }
    }

    /// Moves the service's clock.
    pub fn move_clock(&self, hour: i64) {
        self.app.clock.set(timestamp(hour).parse().expect("a time"));
    }
}
