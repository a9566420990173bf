//! A yard whose volumes can be chosen, for check scales; and requests about them that the service would accept.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};

use crate::world::{Sample, World, text};

/// A furnished outfit whose felling is scaled by an invented table: ten board feet for each inch, 16 feet long.
#[derive(Debug)]
pub struct Yard {
    /// The outfit.
    pub outfit: Furnished,
    /// The table.
    table: String,
}

/// Terms' tolerance of two percent of net, whose own words have the volume adjusted.
pub fn two_percent() -> Value {
    json!({"own": {"net": {"percent": "2"}, "at_limit": "within", "base": "original", "reach": "either",
                   "follows": "adjust_by_difference"}})
}

/// A log of the table: its net is ten times its inches.
pub fn inches(diameter: u32) -> Value {
    log(&diameter.to_string(), "16")
}

/// A piece that was scaled again.
pub fn again(ticket: &str, piece: u16, facts: &Value) -> Value {
    json!({"ticket_id": ticket, "found": {"scaled_again": {"piece": piece, "facts": facts}}})
}

impl Yard {
    /// Furnishes it, on a Monday when the weeks that ended on 6 and 13 June are over. The terms state this tolerance, if any.
    pub fn new(app: &TestApp, tolerance: Option<Value>) -> Self {
        app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
        let outfit = Furnished::new(app);
        let rows: Vec<Value> = (10..=60)
            .map(
                |inches: u32| json!({"diameter": inches.to_string(), "volumes": [(10 * inches).to_string()]}),
            )
            .collect();
        let table = json!({
            "heading": {"title": "Ten to the inch", "unit": "board_foot", "rounding": "none", "source": "invented"},
            "cells": {"listed": {"lengths": ["16"], "rows": rows}}
        });
        let table = text(&outfit.bookkeeper.post("/v1/log-tables", &table).expect(201), "table_id");
        let yard = Self { outfit, table };
        yard.terms(tolerance, "10");
        yard
    }

    /// Files felling terms of this tolerance and price; everything is worked out again under them.
    pub fn terms(&self, tolerance: Option<Value>, price: &str) {
        let mut terms = json!({
            "effective_from": "2026-06-01",
            "practice": {"log": {"rule": "own-table", "table": {"table_id": self.table}}},
            "rates": [{"name": "felling logs", "task": "felling", "product": "log",
                       "unit": "thousand_board_feet", "basis": "net", "price": price}]
        });
        if let Some(tolerance) = tolerance {
            terms["check_tolerance"] = tolerance;
        }
        let path = format!("/v1/contracts/{}/terms", self.outfit.felling_contract);
        let _filed = self.outfit.bookkeeper.post(&path, &terms).expect(201);
    }

    /// Posts a ticket of logs of these diameters that are still on the landing; answers with its id.
    pub fn post(&self, number: u32, day: &str, diameters: &[u32]) -> String {
        let pieces: Vec<Value> = diameters.iter().map(|diameter| inches(*diameter)).collect();
        let sent = self.on_landing(number, day, &pieces);
        text(&self.outfit.scaler.post("/v1/tickets", &sent).expect(201), "ticket_id")
    }

    /// A ticket of logs that went to no mill: its table ends where this one goes on.
    pub fn on_landing(&self, number: u32, day: &str, pieces: &[Value]) -> Value {
        let mut sent = ticket(&self.outfit, number, day, pieces);
        let _mill = sent.as_object_mut().expect("a ticket").remove("delivered_to");
        sent
    }

    /// A check scale of the felling from 1 to 13 June.
    pub fn check(&self, pieces: &[Value]) -> Value {
        json!({"contract_id": self.outfit.felling_contract, "from": "2026-06-01", "to": "2026-06-13",
               "checked_on": "2026-06-15", "checker": "Check scaler", "notice": "blind", "pieces": pieces})
    }

    /// Files a check scale; answers with its path.
    pub fn file(&self, pieces: &[Value]) -> String {
        let filed = self.outfit.scaler.post("/v1/check-scales", &self.check(pieces)).expect(201);
        format!("/v1/check-scales/{}", text(&filed, "check_scale_id"))
    }
}

/// A request about check scales, for the contract of the outfit's first mill.
pub fn sample(operation: &str, world: &World) -> Sample {
    let outfit = &world.outfit;
    let list = "/v1/check-scales";
    let check_scale = || {
        let posted = text(&outfit.scaler.post("/v1/tickets", &world.ticket()).expect(201), "ticket_id");
        json!({"contract_id": world.mill_contract(), "from": "2026-06-15", "to": "2026-06-15",
               "checked_on": "2026-06-15", "checker": "Check scaler", "notice": "unannounced",
               "pieces": [again(&posted, 1, &log("17", "16"))]})
    };
    let filed = || {
        let filed = outfit.bookkeeper.post(list, &check_scale()).expect(201);
        format!("{list}/{}", text(&filed, "check_scale_id"))
    };
    let adjustment = json!({"reason": "as the mill and we agreed", "although": "the contract is silent"});
    let (path, body) = match operation {
        "file_check_scale" => (list.to_owned(), Some(check_scale())),
        "list_check_scales" => (format!("{list}?contract_id={}", world.mill_contract()), None),
        "show_check_scale" => (filed(), None),
        "file_volume_adjustment" => (format!("{}/adjustments", filed()), Some(adjustment)),
        "reverse_volume_adjustment" => {
            let adjusted =
                outfit.bookkeeper.post(&format!("{}/adjustments", filed()), &adjustment).expect(201);
            let path = format!("/v1/volume-adjustments/{}/reversal", text(&adjusted, "volume_adjustment_id"));
            (path, Some(json!({"reason": "the wrong lot"})))
        }
        other => panic!("{other} is no operation on check scales"),
    };
    Sample { path, body }
}
