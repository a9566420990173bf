//! Requests about seals that the service would accept.

use serde_json::{Value, json};

use crate::world::{Sample, World, text};

impl World {
    /// A seal over fewer records, and a later one.
    fn two_seals(&self) -> [String; 2] {
        let seals = || self.outfit.bookkeeper.get("/v1/seals").expect(200)["items"].clone();
        if seals().as_array().is_some_and(|seals| seals.len() < 2) {
            let _made = self.outfit.bookkeeper.post("/v1/seals", &json!({})).expect(201);
        }
        let id = |seal: &Value| text(&seal["statement"], "seal_id");
        let seals = seals();
        [id(&seals[0]), id(&seals[1])]
    }

    /// A request for an operation about seals that it would accept.
    pub fn sample_of_seals(&self, operation: &str) -> Option<Sample> {
        let first = || self.two_seals()[0].clone();
        let path = match operation {
            "make_seal" => {
                // Something that is not sealed yet.
                let _new = self.outfit.scaler.post("/v1/tickets", &self.ticket()).expect(201);
                return Some(Sample { path: "/v1/seals".to_owned(), body: Some(json!({})) });
            }
            "list_seals" => "/v1/seals".to_owned(),
            "show_seal" => format!("/v1/seals/{}", first()),
            "show_seal_inclusion" => {
                format!("/v1/seals/{}/inclusion?ticket_id={}", first(), self.settled_ticket)
            }
            "show_seal_consistency" => {
                let [earlier, later] = self.two_seals();
                format!("/v1/seals/{later}/consistency?from={earlier}")
            }
            "export_sealed_records" => format!("/v1/seals/{}/records?limit=2", first()),
            "check_seal" => format!("/v1/seals/{}/check", first()),
            "list_seal_keys" => "/v1/seal-keys".to_owned(),
            _ => return None,
        };
        Some(Sample { path, body: None })
    }
}
