//! Seals: made, proven by what the client itself computes, and what comes of it when somebody has been at the tables.

mod keys;
mod making;
mod proving;
mod tampering;

use client::verify::{Given, RecordsRead, Report, verify};
use kernel::OutfitId;
use seal::Seal;
use serde_json::{Value, json};
use tests::{Actor, Furnished, Inspector, TestApp, log, ticket};
use wire::{SealCheck, SealConsistency, SealInclusion};

use crate::world::text;

/// An outfit with a posted week, somebody who keeps seals, and whoever owns the tables.
struct Sealed {
    app: TestApp,
    outfit: Furnished,
    /// The tickets of the week.
    tickets: Vec<String>,
    /// The settlement of the week.
    settlement: String,
    /// The seal that the posting made, as somebody kept it.
    kept: Seal,
}

fn read<T: serde::de::DeserializeOwned>(body: Value) -> T {
    serde_json::from_value(body).expect("what the client reads")
}

/// Posts a ticket of the first or second week.
fn post(outfit: &Furnished, number: u32, day: &str) -> String {
    let accepted = outfit.scaler.post("/v1/tickets", &ticket(outfit, number, day, &[log("16", "16")]));
    text(&accepted.expect(201), "ticket_id")
}

impl Sealed {
    /// Lives through the first week, whose posting makes a seal.
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let tickets = (1..=5).map(|number| post(&outfit, number, "2026-06-03")).collect();
        let settlement = text(&outfit.settle("2026-06-06"), "settlement_id");
        let kept = latest(&outfit.contractor);
        // Whatever comes now comes later.
        app.clock.set("2026-06-15T13:00:00Z".parse().expect("a time"));
        Self { app, outfit, tickets, settlement, kept }
    }

    /// Goes on: more tickets, another posted week. Answers with its seal.
    fn another_week(&self) -> Seal {
        for number in 11..=13 {
            let _posted = post(&self.outfit, number, "2026-06-10");
        }
        let _settled = self.outfit.post_week("2026-06-13");
        latest(&self.outfit.contractor)
    }

    fn check(&self, seal: &Seal) -> SealCheck {
        let path = format!("/v1/seals/{}/check", seal.statement.seal_id);
        read(self.outfit.contractor.get(&path).expect(200))
    }

    /// The faults that the check of a seal finds, by name.
    fn faults(&self, seal: &Seal) -> Vec<&'static str> {
        let check = self.check(seal);
        assert_eq!(check.sound, check.findings.is_empty());
        check.findings.iter().map(|finding| finding.fault.name()).collect()
    }

    /// Changes the tables behind the service.
    fn tamper(&self, statements: &str) {
        let owner = Inspector::connect(&self.app.database.url());
        tamper(&owner, statements);
    }
}

/// Does it with every trigger, every key and every policy out of the way: what the owner of the tables or a superuser can
/// do, and the service cannot.
fn tamper(owner: &Inspector, statements: &str) {
    let tables = "SELECT relname FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace \
                  AND relrowsecurity";
    let tables: Vec<String> = owner.ask(tables).into_iter().flatten().flatten().collect();
    let each = |change: &str| -> String {
        tables.iter().map(|table| format!("ALTER TABLE {table} {change};")).collect()
    };
    let keys = "DO $$ DECLARE key record; BEGIN
                    FOR key IN SELECT conrelid::regclass AS of, conname FROM pg_constraint WHERE contype = 'f' LOOP
                        EXECUTE format('ALTER TABLE %s DROP CONSTRAINT %I', key.of, key.conname);
                    END LOOP; END $$;";
    let (off, on) = (each("DISABLE TRIGGER USER"), each("ENABLE TRIGGER USER"));
    let (seen, hidden) = (each("NO FORCE ROW LEVEL SECURITY"), each("FORCE ROW LEVEL SECURITY"));
    let _done = owner.ask(&format!("BEGIN; {keys} {off} {seen} {statements}; {on} {hidden} COMMIT"));
}

fn latest(actor: &Actor) -> Seal {
    let seals = actor.get("/v1/seals?limit=500").expect(200);
    let seals: Vec<Seal> = read(seals["items"].clone());
    seals.into_iter().max_by_key(|seal| seal.statement.tree_size).expect("a seal")
}

fn inclusion(actor: &Actor, seal: &Seal, record: &str) -> SealInclusion {
    read(actor.get(&format!("/v1/seals/{}/inclusion?{record}", seal.statement.seal_id)).expect(200))
}

fn consistency(actor: &Actor, from: &Seal, to: &Seal) -> SealConsistency {
    let (from, to) = (from.statement.seal_id, to.statement.seal_id);
    read(actor.get(&format!("/v1/seals/{to}/consistency?from={from}")).expect(200))
}

/// All the records, as they are saved, in pages of three.
fn records(actor: &Actor, seal: &Seal) -> String {
    let mut next = Some(format!("/v1/seals/{}/records?limit=3", seal.statement.seal_id));
    let mut all = String::new();
    while let Some(path) = next {
        let page = actor.get(&path);
        assert_eq!((page.status, page.header("content-type")), (200, Some("application/x-ndjson")), "{path}");
        all.push_str(&page.text);
        let link = page.header("link");
        next =
            link.map(|link| link.trim_start_matches('<').split_once('>').expect("an address").0.to_owned());
    }
    all
}

/// What is shown by everything that the service hands out, against a seal that was kept.
fn everything(actor: &Actor, kept: &Seal, now: &Seal, record: &str) -> Report {
    let all = records(actor, now);
    verify(&Given {
        known_key: Some(kept.statement.public_key),
        kept: Some(kept.clone()),
        consistency: Some(consistency(actor, kept, now)),
        inclusions: vec![("proof.json".to_owned(), inclusion(actor, now, record))],
        records: Some(RecordsRead::read(all.as_bytes(), Some(kept)).expect("lines")),
        ..Given::of(now.clone())
    })
}

fn refuted(report: &Report) -> Vec<&str> {
    report.claims.iter().filter(|claim| !claim.shown).map(|claim| claim.says.as_str()).collect()
}

fn make(actor: &Actor) -> Seal {
    read(actor.post("/v1/seals", &json!({})).expect(201))
}

/// The rows of one outfit, counted.
fn rows(app: &TestApp, table: &str, outfit: OutfitId) -> u64 {
    let counts = Inspector::connect(&app.database.url()).counts();
    counts.get(&(table.to_owned(), outfit.to_string())).copied().unwrap_or_default()
}
