//! An outfit in the middle of its second week, and for every operation a request that it would accept.

use crate::people::People;
use kernel::MillId;
use serde_json::{Value, json};
use std::cell::Cell;
use tests::{Actor, Furnished, TestApp, log, ticket};
use wire::Role;

/// A Monday: the weeks that ended on 6 and 13 June 2026 are over.
pub const TODAY: &str = "2026-06-15T13:00:00Z";

/// A furnished outfit with a posted week, another that can be posted, and something unpriced in the one after.
#[derive(Debug)]
pub struct World {
    /// The outfit and its people.
    pub outfit: Furnished,
    /// A mill that nothing was delivered to, with a contract of its own.
    pub other_mill: MillId,
    /// Somebody who is in no crew yet.
    pub worker: String,
    /// The teamster himself, a crew of one.
    pub teamster: String,
    /// A ticket of the posted week.
    pub settled_ticket: String,
    /// A ticket with a pole that no rate covers.
    pub unpriced_ticket: String,
    /// The settlement of the posted week.
    pub posted: String,
    /// A statement of the posted week, to the outfit's first mill.
    pub statement: String,
    /// The felling crew's terms.
    pub terms: String,
    /// A table of the outfit's own.
    pub log_table: String,
    /// Somebody of whose pay under the felling contract something is held back.
    pub sawyer: String,
    /// A tool that is told of every kind of event, and that nobody answers for.
    pub subscription: String,
    /// Who has accounts, and signs in.
    pub people: People,
    fresh: Cell<u32>,
}

/// A request.
#[derive(Clone, Debug)]
pub struct Sample {
    /// Path and query.
    pub path: String,
    /// The body.
    pub body: Option<Value>,
}

/// The text of a member.
pub fn text(body: &Value, member: &str) -> String {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}")).to_owned()
}

/// A pole, which the furnished outfit has no rate for.
pub fn pole() -> Value {
    json!({"product": "pole", "species": "cedar", "length_ft": "30"})
}

/// The terms of a contract that pays for felling logs.
pub fn terms(price: &str) -> Value {
    json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
        "rates": [{"name": "felling logs", "task": "felling", "product": "log",
                   "unit": "thousand_board_feet", "basis": "gross", "price": price}]
    })
}

/// The same, and a tenth of it is held back.
pub fn held_back(price: &str) -> Value {
    let mut terms = terms(price);
    terms["holdback"] = json!({"percent": "10"});
    terms
}

/// An invented table of 12 to 16 inches by 12 to 16 feet, which gives ten board feet for each inch and a foot for each
/// foot.
pub fn log_table(title: &str) -> Value {
    let row = |diameter: u32| {
        let volumes = [12, 14, 16].map(|length| (10 * diameter + length).to_string());
        json!({"diameter": diameter.to_string(), "volumes": volumes})
    };
    json!({
        "heading": {"title": title, "unit": "board_foot", "rounding": "to the board foot", "source": "invented"},
        "cells": {"listed": {"lengths": ["12", "14", "16"], "rows": (12..=16).map(row).collect::<Vec<_>>()}}
    })
}

/// A subscription to every kind of event, at a port of this machine where nobody listens.
pub fn subscription() -> Value {
    json!({"url": "http://127.0.0.1:9/skidway", "says": "Payroll of the office",
           "kinds": ["ticket.accepted", "ticket.corrected", "week.posted", "statement.ready"]})
}

impl World {
    /// Furnishes an outfit and does the work of its first two weeks.
    pub fn new(app: &TestApp) -> Self {
        app.clock.set(TODAY.parse().expect("a time"));
        let outfit = Furnished::new(app);
        let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
        let _filed = outfit.manager.post(&path, &held_back("10.01")).expect(201);
        let post = |number: u32, day: &str, pieces: &[Value]| {
            let accepted =
                outfit.scaler.post("/v1/tickets", &ticket(&outfit, number, day, pieces)).expect(201);
            text(&accepted, "ticket_id")
        };
        let settled_ticket = post(1, "2026-06-03", &[log("16", "16"), log("12", "16")]);
        let posted = outfit.settle("2026-06-06");
        let _second = post(2, "2026-06-10", &[log("20", "16")]);
        let unpriced_ticket = post(3, "2026-06-15", &[log("16", "16"), pole()]);
        let other_mill = outfit.manager.post("/v1/mills", &json!({"name": "Upper mill"})).expect(201);
        let other_mill = text(&other_mill, "mill_id");
        let mut delivery = terms("41");
        delivery["rates"][0]["task"] = "delivery".into();
        let contract = json!({"title": "Logs delivered above", "job_id": outfit.job,
                              "party": {"mill_id": other_mill}, "terms": delivery});
        let _filed = outfit.manager.post("/v1/contracts", &contract).expect(201);
        let table = outfit.manager.post("/v1/log-tables", &log_table("Camp scale")).expect(201);
        let worker = outfit.manager.post("/v1/workers", &json!({"name": "New hand"})).expect(201);
        let crews = outfit.manager.get("/v1/crews").expect(200);
        let crews = crews["items"].as_array().expect("crews");
        let crew_of_one = crews.iter().find(|crew| crew["crew_id"] == *outfit.teamster).expect("the team");
        let crew_of_one = crew_of_one["share_sets"][0].clone();
        let rested = json!({"worker_id": crew_of_one["shares"][0]["worker_id"], "worked_on": "2026-06-10",
                            "hours": "0.5", "what_for": {"kind": "rest"}});
        let _rested = outfit.manager.post("/v1/time-entries", &rested).expect(201);
        let subscription = outfit.manager.post("/v1/event-subscriptions", &subscription()).expect(201);
        let statements = outfit.mill.get("/v1/statements").expect(200);
        let held = outfit.manager.get("/v1/holdback").expect(200);
        let contract = outfit.manager.get(&format!("/v1/contracts/{}", outfit.felling_contract)).expect(200);
        Self {
            other_mill: other_mill.parse().expect("an id"),
            worker: text(&worker, "worker_id"),
            teamster: text(&crew_of_one["shares"][0], "worker_id"),
            settled_ticket,
            unpriced_ticket,
            posted: text(&posted, "settlement_id"),
            statement: text(&statements["items"][0], "statement_id"),
            terms: text(&contract["terms"][0], "terms_id"),
            log_table: text(&table, "table_id"),
            sawyer: text(&held[0]["payee"], "worker_id"),
            subscription: text(&subscription["subscription"], "subscription_id"),
            people: People::new(app.stranger(), app.issuer.clone()),
            outfit,
            fresh: Cell::new(100),
        }
    }

    /// A number that was not used before.
    pub fn fresh(&self) -> u32 {
        self.fresh.set(self.fresh.get() + 1);
        self.fresh.get()
    }

    /// Somebody with a role; a mill speaks for the outfit's first one.
    pub fn actor(&self, app: &TestApp, role: Role) -> Actor {
        match role {
            Role::Operator => app.operator(),
            Role::Mill => self.outfit.mill.clone(),
            role => app.member(self.outfit.outfit, role, None),
        }
    }

    /// A new ticket of two logs.
    pub fn ticket(&self) -> Value {
        ticket(&self.outfit, self.fresh(), "2026-06-15", &[log("16", "16"), log("12", "16")])
    }

    /// A sheet with a new ticket of two logs.
    pub fn sheet(&self) -> String {
        let outfit = &self.outfit;
        let (number, crew) = (self.fresh(), &outfit.felling_crew);
        format!(
            "book,number,job,landing,scaled_on,scaler,crew.felling,product,species,small_diameter_in.1,length_ft\r\n\
             A,{number},{},{},2026-06-15,R. Hale,{crew},log,white pine,16,16\r\n\
             ,,,,,,{crew},log,white pine,12,16\r\n",
            outfit.job, outfit.landing
        )
    }

    /// A request for an operation that it would accept from whoever may send it.
    pub fn sample(&self, operation: &str) -> Sample {
        if let Some(sample) = crate::outside::sample(self, operation) {
            return sample;
        }
        let with = |path: &str, body: Value| Sample { path: path.to_owned(), body: Some(body) };
        let name = |path: &str| with(path, json!({"name": format!("Number {}", self.fresh())}));
        let at = |path: String| Sample { path, body: None };
        let outfit = &self.outfit;
        match operation {
            "open_outfit" => with(
                "/v1/outfits",
                json!({"name": "Another outfit", "currency": "USD", "time_zone": "America/Detroit",
                       "week_ends_on": "saturday"}),
            ),
            "grant_access" => with(
                "/v1/access-tokens",
                json!({"subject": "The mill's clerk", "role": "mill", "mill_id": outfit.mill_id}),
            ),
            "file_worker" => name("/v1/workers"),
            "file_crew" => name("/v1/crews"),
            "file_mill" => name("/v1/mills"),
            "file_job" => name("/v1/jobs"),
            "file_landing" => name(&format!("/v1/jobs/{}/landings", outfit.job)),
            "file_share_set" => with(
                &format!("/v1/crews/{}/share-sets", outfit.teamster),
                json!({"effective_from": "2026-07-01", "shares": [{"worker_id": self.worker, "parts": "1"}]}),
            ),
            "file_log_table" => with("/v1/log-tables", log_table(&format!("Table {}", self.fresh()))),
            "check_log_table" => with("/v1/log-table-checks", log_table("Camp scale")),
            "file_contract" => self.contract(),
            "file_terms" => {
                with(&format!("/v1/contracts/{}/terms", outfit.felling_contract), held_back("10.01"))
            }
            "preview_terms" => with(
                &format!("/v1/contracts/{}/terms/preview", outfit.felling_contract),
                json!({"terms": terms("11"), "from": "2026-06-01", "to": "2026-06-14"}),
            ),
            "scale" => with("/v1/scale", json!({"rule": "doyle", "diameter_in": "16", "length_ft": "16"})),
            "scale_piece" => {
                with("/v1/scale/piece", json!({"terms_id": self.terms, "piece": log("16", "16")}))
            }
            "post_ticket" => with("/v1/tickets", self.ticket()),
            "post_tickets" => with("/v1/ticket-batches", self.ticket()),
            "post_ticket_sheet" => with("/v1/ticket-sheets", self.sheet().into()),
            "ticket_sheet_template" => at("/v1/ticket-sheets/template".to_owned()),
            "correct_ticket" => with(
                &format!("/v1/tickets/{}/corrections", self.settled_ticket),
                json!({"reason": "read the wrong end", "ticket": self.ticket()}),
            ),
            "set_aside" => with(
                &format!("/v1/tickets/{}/set-asides", self.unpriced_ticket),
                json!({"task": "delivery", "piece": 2, "reason": "kept for the camp"}),
            ),
            "file_time" => with(
                "/v1/time-entries",
                json!({"worker_id": self.teamster, "worked_on": "2026-06-15", "hours": "0.25",
                       "what_for": {"kind": "paid", "job_id": outfit.job, "crew_id": outfit.teamster,
                                    "task": "loading"}}),
            ),
            "draft_settlement" => with("/v1/settlements", json!({"week_ends_on": "2026-06-20"})),
            "post_settlement" => at(format!("/v1/settlements/{}/posting", self.newest_draft())),
            "list_access" | "revoke_access" | "register_account" | "list_accounts" | "issue_enrolment"
            | "set_password" | "close_account" | "make_machine_key" | "sign_in" | "sign_in_externally"
            | "refresh_sign_in" | "sign_out" | "show_token_keys" => self.people.sample(operation, self),
            "file_check_scale"
            | "list_check_scales"
            | "show_check_scale"
            | "file_volume_adjustment"
            | "reverse_volume_adjustment" => crate::check_scales::sample(operation, self),
            other => self.sample_of_money(other),
        }
    }

    /// The same for records of money, and for what is only read.
    fn sample_of_money(&self, operation: &str) -> Sample {
        let with = |path: &str, body: Value| Sample { path: path.to_owned(), body: Some(body) };
        match operation {
            "void_numbers" => with(
                "/v1/scale-books/A/voided-numbers",
                json!({"from": 10_000 + self.fresh(), "reason": "the sheet got wet"}),
            ),
            "file_scaler_certificate" => with(
                "/v1/scaler-certificates",
                json!({"scaler": "Ada Quill", "certificate": "log scaler, 1417", "issued_by": "a board of scalers",
                       "valid_from": "2026-01-01", "valid_to": "2028-12-31"}),
            ),
            "file_turn_count" => with(
                "/v1/turn-counts",
                json!({"job_id": self.outfit.job, "counted_on": "2026-06-10", "party": {"mill_id": self.outfit.mill_id},
                       "turns": 1, "counted_by": "Clerk of the mill"}),
            ),
            "file_wage_terms" => with(
                "/v1/wage-terms",
                json!({"effective_from": "2026-06-21", "terms": {"minimum_an_hour": "7.25"}}),
            ),
            "file_charge" => with("/v1/charges", self.charge()),
            "file_advance" => with(
                "/v1/advances",
                json!({"worker_id": self.worker, "dated": "2026-06-15", "says": "for boots", "amount": "12.50",
                       "recovery": {"by": "most_a_week", "amount": "5"}}),
            ),
            "file_payment" => with(
                "/v1/payments",
                json!({"party": {"worker_id": self.sawyer}, "dated": "2026-06-15", "says": "in cash",
                       "amount": "0.40"}),
            ),
            "release_holdback" => with(
                "/v1/holdback-releases",
                json!({"worker_id": self.sawyer, "contract_id": self.outfit.felling_contract,
                       "dated": "2026-06-15", "says": "as agreed", "amount": "0.01"}),
            ),
            "file_reversal" => {
                let charge = self.outfit.manager.post("/v1/charges", &self.charge()).expect(201);
                let record = json!({"charge_id": text(&charge, "charge_id")});
                with("/v1/reversals", json!({"record": record, "reason": "charged twice"}))
            }
            other => self.sample_of_seals(other).unwrap_or_else(|| self.sample_of_events(other)),
        }
    }

    /// The same for what tools are told, and for what is only read.
    fn sample_of_events(&self, operation: &str) -> Sample {
        let at = |subscription: &str, rest: &str| format!("/v1/event-subscriptions/{subscription}/{rest}");
        let (path, body) = match operation {
            "file_event_subscription" => ("/v1/event-subscriptions".to_owned(), subscription()),
            "end_event_subscription" => {
                let filed = self.outfit.manager.post("/v1/event-subscriptions", &subscription()).expect(201);
                let filed = text(&filed["subscription"], "subscription_id");
                (at(&filed, "end"), json!({"reason": "another program keeps the pay now"}))
            }
            "make_signing_secret" => (at(&self.subscription, "secrets"), json!({"overlap_hours": 0})),
            "try_event_subscription" => (at(&self.subscription, "trial"), json!({"says": "hello"})),
            "replay_dead_letters" => {
                (at(&self.subscription, "dead-letters/replay"), json!({"event_ids": []}))
            }
            other => return Sample { path: self.address(other), body: None },
        };
        Sample { path, body: Some(body) }
    }

    /// A charge for what a worker had from the store.
    fn charge(&self) -> Value {
        json!({"worker_id": self.worker, "dated": "2026-06-15", "kind": "store", "says": "a pair of mittens",
               "amount": "1.75", "most_a_week": "1"})
    }

    /// A draft of the second week as the books now stand, or the one that was posted.
    fn newest_draft(&self) -> String {
        let week = json!({"week_ends_on": "2026-06-13"});
        let drafted = self.outfit.bookkeeper.post("/v1/settlements", &week);
        if drafted.status == 201 {
            return text(&drafted.body, "settlement_id");
        }
        let posted =
            self.outfit.bookkeeper.get("/v1/settlements?week_ends_on=2026-06-13&posted=true").expect(200);
        text(&posted["items"][0], "settlement_id")
    }

    fn contract(&self) -> Sample {
        let crew = json!({"name": format!("Crew {}", self.fresh())});
        let crew = self.outfit.manager.post("/v1/crews", &crew).expect(201);
        let body = json!({"title": "More felling", "job_id": self.outfit.job,
                          "party": {"crew_id": text(&crew, "crew_id")}, "terms": terms("9")});
        Sample { path: "/v1/contracts".to_owned(), body: Some(body) }
    }

    /// Where something that is only read lies.
    fn address(&self, operation: &str) -> String {
        match operation {
            "show_outfit" => "/v1/outfit".to_owned(),
            "list_workers" => "/v1/workers".to_owned(),
            "list_crews" => "/v1/crews".to_owned(),
            "list_mills" => "/v1/mills".to_owned(),
            "list_jobs" => "/v1/jobs".to_owned(),
            "list_practices" => format!("/v1/jobs/{}/practices?on=2026-06-15", self.outfit.job),
            "list_log_tables" => "/v1/log-tables".to_owned(),
            "show_log_table" => format!("/v1/log-tables/{}", self.log_table),
            "list_rules" => "/v1/rules".to_owned(),
            "list_contracts" => "/v1/contracts".to_owned(),
            "show_contract" => format!("/v1/contracts/{}", self.mill_contract()),
            "list_tickets" => format!("/v1/tickets?job_id={}", self.outfit.job),
            "show_ticket" => format!("/v1/tickets/{}", self.settled_ticket),
            "show_working" => format!("/v1/tickets/{}/working", self.settled_ticket),
            "list_unpriced" => "/v1/unpriced".to_owned(),
            "list_scale_books" => "/v1/scale-books".to_owned(),
            "list_gaps" => "/v1/scale-books/A/gaps".to_owned(),
            "list_turn_counts" => "/v1/turn-counts".to_owned(),
            "list_exceptions" => "/v1/audit/exceptions?from=2026-06-01&to=2026-06-20".to_owned(),
            "summarize_exceptions" => "/v1/audit/exceptions-by-kind?from=2026-06-01&to=2026-06-20".to_owned(),
            "list_voided_numbers" => "/v1/scale-books/A/voided-numbers".to_owned(),
            "list_scaler_certificates" => "/v1/scaler-certificates".to_owned(),
            "list_time" => format!("/v1/time-entries?worker_id={}", self.teamster),
            "list_settlements" => "/v1/settlements".to_owned(),
            "show_settlement" => format!("/v1/settlements/{}", self.posted),
            "explain_line" => format!("/v1/settlements/{}/lines/1", self.posted),
            "rederive_settlement" => format!("/v1/settlements/{}/rederivation", self.posted),
            "explain_statement_line" => format!("/v1/statements/{}/lines/3", self.statement),
            "explain_ticket" => format!("/v1/tickets/{}/explanation", self.settled_ticket),
            "explain_piece" => format!("/v1/tickets/{}/pieces/2/explanation", self.settled_ticket),
            "show_crew_sheet" => {
                format!("/v1/settlements/{}/crews/{}", self.posted, self.outfit.felling_crew)
            }
            "list_statements" => format!("/v1/statements?settlement_id={}", self.posted),
            "show_statement" => format!("/v1/statements/{}", self.statement),
            "list_wage_terms" => "/v1/wage-terms".to_owned(),
            "list_charges" => format!("/v1/charges?worker_id={}", self.worker),
            "list_advances" => format!("/v1/advances?worker_id={}", self.worker),
            "list_payments" => format!("/v1/payments?worker_id={}", self.sawyer),
            "list_holdback" => format!("/v1/holdback?worker_id={}", self.sawyer),
            "audit_volume_against_pay" => {
                let job = &self.outfit.job;
                format!("/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-20&job_id={job}")
            }
            "list_journal" => format!("/v1/journal?mill_id={}", self.outfit.mill_id),
            "show_journal_entry" => {
                let listed = self.outfit.bookkeeper.get("/v1/journal?limit=1").expect(200);
                format!("/v1/journal/entries/{}", text(&listed["items"][0], "journal_entry_id"))
            }
            "show_trial_balance" => "/v1/journal/trial-balance".to_owned(),
            "export_journal" => "/v1/journal/export?format=text".to_owned(),
            "list_balances" => "/v1/balances".to_owned(),
            "list_changes" => "/v1/audit/changes?operation=post_ticket".to_owned(),
            "audit_margin" => {
                format!("/v1/audit/margin?from=2026-06-01&to=2026-06-20&job_id={}", self.outfit.job)
            }
            "report_audit" => "/v1/reports/audit?from=2026-06-01&to=2026-06-20".to_owned(),
            "list_event_subscriptions" => "/v1/event-subscriptions".to_owned(),
            "show_event_subscription" => format!("/v1/event-subscriptions/{}", self.subscription),
            "list_deliveries" => format!("/v1/event-subscriptions/{}/deliveries", self.subscription),
            "list_dead_letters" => format!("/v1/event-subscriptions/{}/dead-letters", self.subscription),
            "live" => "/health/live".to_owned(),
            "ready" => "/health/ready".to_owned(),
            "show_problem" => "/problems/ticket-differs".to_owned(),
            other => panic!("the operation {other} is new: write a request for it here"),
        }
    }

    /// The contract of the outfit's first mill, as that mill sees it.
    pub fn mill_contract(&self) -> String {
        text(&self.outfit.mill.get("/v1/contracts").expect(200)["items"][0], "contract_id")
    }
}

impl Sample {
    /// Sends it.
    pub fn send(&self, operation: &api::http::operation::Operation, actor: &Actor) -> tests::Reply {
        let kind = operation.body_type().unwrap_or("application/json");
        actor.send_as(operation.method.as_str().parse().expect("a method"), &self.path, self.text(), kind)
    }

    /// The body as it is sent: a text as such, anything else as JSON.
    pub fn text(&self) -> Option<String> {
        self.body.as_ref().map(|body| body.as_str().map_or_else(|| body.to_string(), str::to_owned))
    }
}
