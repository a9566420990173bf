//! An outfit with everything a week needs: people, crews, a job, contracts.

use kernel::{MillId, OutfitId};
use serde_json::{Value, json};
use wire::Role;

use crate::{Actor, TestApp, pieces_sum_to_lines};

/// An outfit with people, a job and contracts in force from 1 June 2026, whose weeks end on Saturdays. Everything in
/// it is invented.
#[derive(Debug)]
pub struct Furnished {
    /// Its id.
    pub outfit: OutfitId,
    /// Its people, by role.
    pub manager: Actor,
    /// Keeps the books.
    pub bookkeeper: Actor,
    /// Posts tickets.
    pub scaler: Actor,
    /// Audits.
    pub contractor: Actor,
    /// Speaks for the mill.
    pub mill: Actor,
    /// The job's id.
    pub job: String,
    /// The landing's id.
    pub landing: String,
    /// Two sawyers who share equally, paid by the thousand on gross scale.
    pub felling_crew: String,
    /// A teamster by himself, paid for skidding by the turn and for loading by the hour.
    pub teamster: String,
    /// The mill's id.
    pub mill_id: String,
    /// The felling crew's contract.
    pub felling_contract: String,
}

/// Asks for an id out of a reply.
fn id(body: &Value, member: &str) -> String {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}")).to_owned()
}

impl Furnished {
    /// Opens the books of an outfit and furnishes it.
    ///
    /// # Panics
    ///
    /// When the service refuses any of it.
    #[must_use]
    pub fn new(app: &TestApp) -> Self {
        Self::with(&app.operator(), &|outfit, role, mill| app.member(outfit, role, mill))
    }

    /// The same where people are let in some other way than by [`TestApp`].
    ///
    /// # Panics
    ///
    /// When the service refuses any of it.
    #[must_use]
    pub fn with(operator: &Actor, member: &dyn Fn(OutfitId, Role, Option<MillId>) -> Actor) -> Self {
        let outfit = json!({"name": "Invented outfit", "currency": "USD", "time_zone": "America/Detroit",
                            "week_ends_on": "saturday"});
        let outfit = operator.post("/v1/outfits", &outfit).expect(201);
        let outfit: OutfitId = id(&outfit, "outfit_id").parse().expect("an id");
        let manager = member(outfit, Role::Manager, None);
        let file = |path: &str, body: Value, member: &str| id(&manager.post(path, &body).expect(201), member);
        let name = |name: &str| json!({"name": name});
        let job = file("/v1/jobs", name("Invented tract"), "job_id");
        let landing = file(&format!("/v1/jobs/{job}/landings"), name("North landing"), "landing_id");
        let mill_id = file("/v1/mills", name("Invented mill"), "mill_id");
        let workers: Vec<String> = ["First sawyer", "Second sawyer", "Teamster"]
            .iter()
            .map(|worker| file("/v1/workers", name(worker), "worker_id"))
            .collect();
        let crew = |title: &str, members: &[&String]| {
            let crew = file("/v1/crews", name(title), "crew_id");
            let shares: Vec<_> = members.iter().map(|one| json!({"worker_id": one, "parts": "1"})).collect();
            let set = json!({"effective_from": "2026-06-01", "shares": shares});
            let _filed = manager.post(&format!("/v1/crews/{crew}/share-sets"), &set).expect(201);
            crew
        };
        let felling_crew = crew("Felling crew", &[&workers[0], &workers[1]]);
        let teamster = crew("Team", &[&workers[2]]);
        let contract = |title: &str, party: Value, rates: Value| {
            let body = json!({
                "title": title, "job_id": job, "party": party,
                "terms": {"effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
                          "rates": rates}
            });
            file("/v1/contracts", body, "contract_id")
        };
        let felling_contract = contract(
            "Felling",
            json!({"crew_id": felling_crew}),
            json!([
                {"name": "felling logs", "task": "felling", "product": "log", "unit": "thousand_board_feet",
                 "basis": "gross", "price": "10.01"}
            ]),
        );
        let _team = contract(
            "Skidding",
            json!({"crew_id": teamster}),
            json!([
                {"name": "skidding", "task": "skidding", "unit": "turn", "price": "2.50"},
                {"name": "loading", "task": "loading", "unit": "hour", "price": "0.40"}
            ]),
        );
        let _mill = contract(
            "Logs delivered",
            json!({"mill_id": mill_id}),
            json!([
                {"name": "logs at the mill", "task": "delivery", "product": "log", "unit": "thousand_board_feet",
                 "basis": "net", "price": "40"}
            ]),
        );
        let mill: MillId = mill_id.parse().expect("an id");
        Self {
            outfit,
            bookkeeper: member(outfit, Role::Bookkeeper, None),
            scaler: member(outfit, Role::Scaler, None),
            contractor: member(outfit, Role::Contractor, None),
            mill: member(outfit, Role::Mill, Some(mill)),
            manager,
            job,
            landing,
            felling_crew,
            teamster,
            mill_id,
            felling_contract,
        }
    }

    /// Drafts a week and posts it; answers with the posted settlement. It must be what comes of stating the whole history
    /// again; every week posted so far is computed again, and must come out as it was posted; and every ticket is followed up to the pay, where its pieces must sum to the lines.
    ///
    /// # Panics
    ///
    /// When the service refuses, or a week does not come out.
    #[must_use]
    pub fn settle(&self, week_ends_on: &str) -> Value {
        let whole = json!({"week_ends_on": week_ends_on, "whole_history": true});
        let whole = self.bookkeeper.post("/v1/settlements?dry_run=true", &whole).expect(200);
        let posted = self.post_week(week_ends_on);
        for member in ["lines", "pays", "volumes"] {
            assert_eq!(posted[member], whole[member], "{member}, as they come of the whole history");
        }
        self.computed_again();
        pieces_sum_to_lines(&self.contractor);
        posted
    }

    /// Drafts a week and posts it, whatever becomes of the weeks before: for books that somebody has been at.
    ///
    /// # Panics
    ///
    /// When the service refuses.
    #[must_use]
    pub fn post_week(&self, week_ends_on: &str) -> Value {
        let draft = json!({"week_ends_on": week_ends_on});
        let draft = self.bookkeeper.post("/v1/settlements", &draft).expect(201);
        let id = id(&draft, "settlement_id");
        self.bookkeeper.put(&format!("/v1/settlements/{id}/posting")).expect(201)
    }

    /// Computes every posted week again.
    ///
    /// # Panics
    ///
    /// When one does not come out as it was posted.
    pub fn computed_again(&self) {
        let posted = self.contractor.get("/v1/settlements?posted=true&limit=500").expect(200);
        for settlement in posted["items"].as_array().expect("settlements") {
            let path = format!("/v1/settlements/{}/rederivation", id(settlement, "settlement_id"));
            let again = self.contractor.get(&path).expect(200);
            assert_eq!(again["agrees"], true, "{again:#}");
        }
    }
}

/// A pine log of whole inches and feet.
#[must_use]
pub fn log(diameter_in: &str, length_ft: &str) -> Value {
    json!({"product": "log", "species": "white pine", "small_diameter_in": [diameter_in], "length_ft": length_ft})
}

/// A ticket of book A for the furnished outfit: felled by the crew, skidded by the teamster, delivered to the mill.
#[must_use]
pub fn ticket(outfit: &Furnished, number: u32, scaled_on: &str, pieces: &[Value]) -> Value {
    json!({
        "book": "A", "number": number, "job_id": outfit.job, "landing_id": outfit.landing,
        "scaled_on": scaled_on, "scaler": "Yard scaler",
        "work": [{"task": "felling", "crew_id": outfit.felling_crew},
                 {"task": "skidding", "crew_id": outfit.teamster}],
        "turn": {"moved_by": "team", "skid_distance_ft": "300"},
        "delivered_to": outfit.mill_id,
        "pieces": pieces
    })
}
