//! The bookkeeper's week: from signing in to the journal.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Role;

use crate::machine::{Machine, register};

/// A pole, which no rate of the felling contract covers.
fn pole() -> Value {
    json!({"product": "pole", "species": "cedar", "length_ft": "35"})
}

/// The terms that cover poles too, from the terms as they are shown.
fn amended(machine: &Machine) -> String {
    let shown = machine.run(&["contract", "show", "Felling", "--json"]).json(0);
    let terms = &shown["terms"][0];
    let mut rates = terms["rates"].as_array().expect("rates").clone();
    rates.push(json!({"name": "felling poles", "task": "felling", "product": "pole", "unit": "piece",
                      "price": "0.15"}));
    let terms = json!({"effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
                       "rates": rates});
    machine.write("terms.json", &terms.to_string())
}

#[test]
fn from_signing_in_to_the_journal() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    register(&app, &outfit, "berta", "bookkeeper");
    let mut with_pole = ticket(&outfit, 2, "2026-06-03", &[log("12", "16"), pole()]);
    with_pole["work"] = json!([{"task": "felling", "crew_id": outfit.felling_crew}]);
    with_pole.as_object_mut().expect("a ticket").remove("delivered_to");
    with_pole.as_object_mut().expect("a ticket").remove("turn");
    for sent in [ticket(&outfit, 1, "2026-06-02", &[log("16", "16")]), with_pole] {
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let machine = Machine::new(&app);
    machine.sign_in(&outfit, "berta");

    // What no rate covers is told first, with what to do.
    let mut terminal = machine.terminal(80, &["week", "preview", "2026-06-06"]);
    assert_eq!(terminal.end(), 0);
    let screen = terminal.screen();
    let held_up = screen.find("HELD UP: 1 task has no price").expect("it is told");
    assert!(held_up < screen.find("SETTLEMENT, DRAFT").expect("the draft"), "{screen}");
    assert!(screen.contains("Ticket A 2, felling, piece 2"), "{screen}");
    assert!(screen.contains("skid set-aside A 2"), "{screen}");
    assert!(terminal.everything().contains("\u{1b}[1m"), "titles are bold on a terminal");
    let refused = machine.run(&["week", "post", "2026-06-06", "--yes"]);
    assert!(refused.err.contains("unpriced-pieces"), "{refused:?}");
    assert_eq!(refused.status, 3);

    // The terms are mended, looked at, and filed.
    let file = amended(&machine);
    let looked_at = ["contract", "preview", "Felling", &file, "--from", "2026-06-01", "--to", "2026-06-06"];
    assert!(machine.run(&looked_at).ends(0).contains("Difference  0.15 USD"));
    let filed = machine.run(&["contract", "amend", "Felling", &file]).ends(0);
    assert!(filed.contains("tickets worked out again: 2"), "{filed}");

    // A ticket comes in as well, and the next preview says what both did.
    let third = ticket(&outfit, 3, "2026-06-04", &[log("12", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &third).expect(201);
    let preview = machine.run(&["week", "preview", "2026-06-06"]).ends(0);
    assert!(preview.contains("Nothing keeps it from being posted."), "{preview}");
    let (_, since) = preview.split_once("SINCE THE PREVIEW BEFORE").expect("there was one before");
    assert!(since.contains("under new terms; by ticket A 3"), "{preview}");
    assert!(since.contains("by ticket A 3"), "{preview}");
    assert!(since.contains("Invented mill (mill) owes"), "{preview}");
    let again = machine.run(&["week", "preview", "2026-06-06", "--short"]).ends(0);
    assert!(again.contains("None: it comes to the same."), "{again}");

    posting(&app, &outfit, &machine);
}

/// Posting: refused when something came in since, then after a yes at the prompt; then the papers.
fn posting(app: &TestApp, outfit: &Furnished, machine: &Machine) {
    let fourth = ticket(outfit, 4, "2026-06-05", &[log("16", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &fourth).expect(201);
    let refused = machine.run(&["week", "post", "2026-06-06", "--yes"]);
    assert!(refused.err.contains("draft-out-of-date"), "{refused:?}");
    assert!(refused.out.contains("by ticket A 4"), "{refused:?}");
    assert!(refused.out.contains("Nothing was posted."), "{refused:?}");
    assert_eq!(refused.status, 3);
    let nobody = machine.run(&["week", "post", "2026-06-06"]);
    assert!(nobody.err.contains("add --yes"), "{nobody:?}");
    assert_eq!(nobody.status, 1);

    let mut no = machine.terminal(80, &["week", "post", "2026-06-06"]);
    no.wait_for("Type yes:");
    no.type_line("no");
    assert_eq!(no.end(), 0);
    assert!(no.screen().contains("Not posted: a draft pays nothing."));
    let mut yes = machine.terminal(80, &["week", "post", "2026-06-06"]);
    yes.wait_for("Type yes:");
    yes.type_line("yes");
    assert_eq!(yes.end(), 0);
    let shown = yes.everything();
    assert!(shown.contains("Posted for good."), "{shown}");
    assert!(shown.contains("STATEMENT FOR FIRST SAWYER"), "{shown}");

    // What is on the papers is what the service says.
    let reader = Machine::with_token(app, outfit, Role::Contractor);
    let settlements = outfit.bookkeeper.get("/v1/settlements?posted=true").expect(200);
    let id = settlements["items"][0]["settlement_id"].as_str().expect("an id").to_owned();
    let posted = outfit.bookkeeper.get(&format!("/v1/settlements/{id}")).expect(200);
    assert_eq!(reader.run(&["week", "show", &id, "--json"]).json(0), posted);
    let twice = machine.run(&["week", "post", &id, "--yes", "--json"]).json(0);
    assert_eq!(twice["replayed"], true);
    let statements = outfit.bookkeeper.get("/v1/statements").expect(200);
    let statement = statements["items"][0]["statement_id"].as_str().expect("an id");
    assert!(machine.run(&["statement", "show", statement]).ends(0).contains("Carried down"));
    let journal = machine.run(&["journal", "export", "--format", "csv"]).ends(0);
    assert!(journal.contains("Settlement of the week that ended on 2026-06-06"), "{journal}");
    assert!(machine.run(&["journal", "balance"]).ends(0).contains("TRIAL BALANCE"));
    assert_eq!(machine.run(&["sign-out"]).status, 0);
    let out = machine.run(&["people", "list"]);
    assert_eq!(out.status, 3, "{out:?}");
}
