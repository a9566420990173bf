//! What the office files: charges, hours, payments, set-asides; by name, once, and taken back.

use serde_json::json;
use tests::{Furnished, TestApp, log, ticket};
use wire::Role;

use crate::machine::Machine;

#[test]
fn records_of_money_are_filed_by_name_listed_and_taken_back() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let charge = |worker: &'static str, more: &[&'static str]| {
        let words = [
            "charge",
            "file",
            "--worker",
            worker,
            "--dated",
            "2026-06-02",
            "--kind",
            "tools",
            "--says",
            "a broadaxe handle",
            "--amount",
            "0.60",
        ];
        machine.run(&words.iter().chain(more).copied().collect::<Vec<_>>())
    };
    // A rehearsal keeps nothing; a name that may be two people's is refused with both.
    assert!(charge("Teamster", &["--dry-run"]).ends(0).contains("Nothing was kept"));
    let ambiguous = charge("sawyer", &[]);
    assert!(
        ambiguous.err.contains("First sawyer") && ambiguous.err.contains("Second sawyer"),
        "{ambiguous:?}"
    );
    assert_eq!(ambiguous.status, 1);
    assert_eq!(machine.run(&["charge", "list"]).ends(0), "No charges.\n");

    let filed = charge("first SAWYER", &["--json"]).json(0);
    assert_eq!(filed["record"]["payee"]["name"], "First sawyer");
    assert_eq!(filed["record"]["amount"]["amount"], "0.60");
    let id = filed["record"]["charge_id"].as_str().expect("an id").to_owned();
    let listed = machine.run(&["charge", "list", "--worker", "First sawyer"]).ends(0);
    assert!(listed.contains("tools: a broadaxe handle") && listed.contains(&id), "{listed}");
    assert!(listed.lines().all(|line| line.chars().count() <= 80), "{listed}");

    let back = ["take-back", "charge", &id, "--reason", "it was his own"];
    assert!(machine.run(&back).ends(0).contains("It stays readable"));
    let refused = machine.run(&back);
    assert_eq!(refused.status, 3, "{refused:?}");
    assert!(machine.run(&["charge", "list"]).ends(0).contains("taken back by bookkeeper: it was his own"));
    // What was refused while somebody watched waits for no decision.
    assert!(!machine.run(&["outbox", "--json"]).ends(0).contains("\"refused\""));
}

#[test]
fn advances_payments_holdback_and_registers_are_listed() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let advance = [
        "advance",
        "file",
        "--worker",
        "Teamster",
        "--dated",
        "2026-06-02",
        "--says",
        "new boots",
        "--amount",
        "2.00",
        "--most-a-week",
        "0.50",
    ];
    assert_eq!(machine.run(&advance).status, 0);
    assert!(machine.run(&["advance", "list"]).ends(0).contains("new boots"));
    let payment = [
        "payment",
        "file",
        "--mill",
        "Invented mill",
        "--dated",
        "2026-06-05",
        "--says",
        "draft 7",
        "--amount",
        "5.00",
    ];
    assert!(machine.run(&payment).ends(0).contains("stands at"));
    assert!(machine.run(&["holdback", "list"]).ends(0).contains("Nothing is held."));
    for register in ["people", "crews", "jobs", "mills", "contracts"] {
        let listed = machine.run(&[register, "list"]).ends(0);
        assert!(
            listed.lines().count() > 2 && listed.lines().all(|line| line.chars().count() <= 80),
            "{listed}"
        );
    }
}

#[test]
fn a_filing_whose_answer_is_lost_goes_from_the_outbox_once() {
    let mut app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let workers = outfit.bookkeeper.get("/v1/workers").expect(200);
    let worker = workers["items"][0]["worker_id"].as_str().expect("an id").to_owned();
    app.stop(std::time::Duration::ZERO);
    let charge = [
        "charge",
        "file",
        "--worker",
        &worker,
        "--dated",
        "2026-06-02",
        "--kind",
        "board",
        "--says",
        "a week's board",
        "--amount",
        "3",
    ];
    let kept = machine.run(&charge);
    assert!(kept.out.contains("No signal: kept; 1 waits."), "{kept:?}");
    assert_eq!(kept.status, 0);
    assert!(machine.run(&["outbox"]).ends(0).contains("a week's board"));
}

#[test]
fn a_sheet_of_hours_is_rehearsed_mended_and_filed_once() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    let head = "worker,worked_on,hours,what_for,job,crew,task\n";
    let good =
        "First sawyer,2026-06-01,9.5,piece_work,,,\nTeamster,2026-06-01,4,paid,Invented tract,Team,loading\n";
    let twice = "Second sawyer,2026-06-02,2,rest,,,\nSecond sawyer,2026-06-02,2,rest,,,\n";
    let wrong = "Nobody,2026-06-01,9,piece_work,,,\nTeamster,2026-06-01,25,piece_work,,,\nTeamster,1 June,2,rest,,,\n";
    let sheet = machine.write("hours.csv", &format!("{head}{good}{wrong}{twice}"));
    let rehearsed = machine.run(&["hours", "file", "--sheet", &sheet, "--dry-run"]);
    assert_eq!(rehearsed.status, 3, "{rehearsed:?}");
    assert!(rehearsed.out.contains("row 2: would be accepted"), "{rehearsed:?}");
    assert!(
        rehearsed.out.contains("row 4: refused, worker: there is no worker called \"Nobody\""),
        "{rehearsed:?}"
    );
    assert!(rehearsed.out.contains("row 5: refused, hours"), "{rehearsed:?}");
    assert!(rehearsed.out.contains("row 6: refused, worked_on"), "{rehearsed:?}");
    assert!(rehearsed.out.ends_with("4 would be filed, 0 there already, 3 refused. Nothing was kept.\n"));
    assert_eq!(machine.run(&["hours", "list"]).ends(0), "None.\n");

    let filed = machine.run(&["hours", "file", "--sheet", &sheet]);
    assert!(filed.out.ends_with("4 filed, 0 there already, 3 refused.\n"), "{filed:?}");
    // Mended and sent again, only the mended rows are filed.
    let mended = "Second sawyer,2026-06-01,9,piece_work,,,\n";
    let sheet = machine.write("hours.csv", &format!("{head}{mended}{good}{twice}"));
    let again = machine.run(&["hours", "file", "--sheet", &sheet]).ends(0);
    assert!(again.ends_with("1 filed, 4 there already, 0 refused.\n"), "{again}");
    let entries = outfit.bookkeeper.get("/v1/time-entries?limit=500").expect(200);
    assert_eq!(entries["items"].as_array().map(Vec::len), Some(5));
    let one = machine
        .run(&[
            "hours",
            "file",
            "--worker",
            "Teamster",
            "--worked-on",
            "2026-06-03",
            "--hours",
            "8",
            "--for",
            "piece-work",
            "--json",
        ])
        .json(0);
    let id = one["record"]["time_entry_id"].as_str().expect("an id").to_owned();
    let corrected = machine.run(&[
        "hours",
        "file",
        "--worker",
        "Teamster",
        "--worked-on",
        "2026-06-03",
        "--hours",
        "7",
        "--for",
        "piece-work",
        "--corrects",
        &id,
        "--reason",
        "misread",
    ]);
    assert_eq!(corrected.status, 0, "{corrected:?}");
    let listed = machine.run(&["hours", "list", "--worker", "Teamster"]).ends(0);
    assert!(listed.contains("corrected") && listed.contains("misread"), "{listed}");
}

#[test]
fn tickets_are_corrected_voided_and_set_aside_by_book_and_number() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let machine = Machine::with_token(&app, &outfit, Role::Bookkeeper);
    for number in [1, 2, 5] {
        let mut sent = ticket(&outfit, number, "2026-06-02", &[log("16", "16")]);
        sent["work"]
            .as_array_mut()
            .expect("work")
            .push(json!({"task": "peeling", "crew_id": outfit.felling_crew}));
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let right = ticket(&outfit, 6, "2026-06-02", &[log("12", "16")]);
    let file = machine.write("right.json", &right.to_string());
    let corrected =
        machine.run(&["ticket", "correct", "A", "1", "--with", &file, "--reason", "read wrong"]).ends(0);
    assert!(corrected.contains("A 6"), "{corrected}");
    let void = ["ticket", "void", "A", "2", "--number", "7", "--reason", "scaled twice"];
    assert_eq!(machine.run(&void).status, 0);
    let aside = ["set-aside", "A", "5", "--task", "peeling", "--reason", "peeled by the mill"];
    assert!(machine.run(&aside).ends(0).contains("Set aside: A 5, peeling, every piece"));
    let gaps = machine.run(&["books", "gaps", "A"]).ends(0);
    assert!(gaps.contains("3 to 4"), "{gaps}");
    assert_eq!(machine.run(&["books", "void", "A", "3", "--reason", "the sheet got wet"]).status, 0);
    assert!(machine.run(&["books", "voided", "A"]).ends(0).contains("the sheet got wet"));
    assert!(machine.run(&["books", "list"]).ends(0).contains("Missing"));
    let preview = machine.run(&["week", "preview", "2026-06-06", "--short"]).ends(0);
    assert!(
        preview.contains("Nothing keeps it") && preview.contains("Missing from scale book A: 4"),
        "{preview}"
    );
    let certificate = [
        "certificate",
        "file",
        "--scaler",
        "Yard scaler",
        "--certificate",
        "7",
        "--issued-by",
        "The county",
        "--valid-from",
        "2026-01-01",
        "--valid-to",
        "2026-12-31",
    ];
    assert_eq!(machine.run(&certificate).status, 0);
    assert!(machine.run(&["certificate", "list"]).ends(0).contains("The county"));
}
