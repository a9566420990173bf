//! The contractor: from signing in to a seal that is verified from files.

use tests::{Furnished, TestApp, log, ticket};

use crate::machine::{Machine, register};

#[test]
fn from_signing_in_to_a_seal_that_is_verified() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    register(&app, &outfit, "conrad", "contractor");
    for number in [1, 2] {
        let sent = ticket(&outfit, number, "2026-06-02", &[log("16", "16"), log("12", "16")]);
        let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    }
    let posted = outfit.settle("2026-06-06");
    let machine = Machine::new(&app);
    machine.sign_in(&outfit, "conrad");

    // The audit, by the name of the job, and by that of a crew.
    let days = ["--from", "2026-06-01", "--to", "2026-06-06"];
    let audit = |more: &[&str]| {
        let words: Vec<_> = ["audit"].iter().chain(more).chain(&days).copied().collect();
        machine.run(&words).ends(0)
    };
    assert!(audit(&["--job", "Invented tract"]).contains("Felling crew"));
    assert!(audit(&["--crew", "Felling crew"]).contains("Felling crew"));
    let mut terminal = machine.terminal(80, &["audit", "--from", "2026-06-01", "--to", "2026-06-06"]);
    assert_eq!(terminal.end(), 0);
    assert!(terminal.screen().lines().all(|line| line.chars().count() <= 80));
    let ambiguous =
        machine.run(&["audit", "--contract", "nothing of the kind", days[0], days[1], days[2], days[3]]);
    assert!(ambiguous.err.contains("no contract called"), "{ambiguous:?}");
    assert_eq!(ambiguous.status, 1);

    // Down and up.
    let id = posted["settlement_id"].as_str().expect("an id");
    let down = machine.run(&["explain", "line", id, "1"]).ends(0);
    assert!(down.contains("stands at 160 board feet"), "{down}");
    let up = machine.run(&["explain", "ticket", "A", "1", "2"]).ends(0);
    assert!(up.contains("2026-06-06"), "{up}");

    // The books computed again, and nothing in them to be stopped at but that nobody counted turns.
    assert_eq!(machine.run(&["week", "rederive", "2026-06-06"]).status, 0);
    let exceptions = machine.run(&["audit", "exceptions", days[0], days[1], days[2], days[3], "--json"]);
    assert!([0, 5].contains(&exceptions.status), "{exceptions:?}");
    let report = machine.run(&["report", days[0], days[1], days[2], days[3], "--out", "june.html"]);
    assert_eq!(report.status, 0, "{report:?}");
    assert!(std::fs::read_to_string(machine.file("june.html")).expect("it is there").contains("<svg"));

    // The seal is kept, and holds without the service; a file that somebody has been at does not.
    let saved = machine.run(&["seal", "save", "kept", "--records", "--settlement", id]).ends(0);
    assert!(saved.contains("seal.json"), "{saved}");
    let verify = ["verify", "--seal", "kept/seal.json", "--records", "kept/records.ndjson"];
    let verified = machine.run(&verify);
    assert_eq!(verified.status, 0, "{verified:?}");
    let records = std::fs::read_to_string(machine.file("kept/records.ndjson")).expect("it is there");
    let touched = records.replacen("white pine", "white fir", 1);
    assert_ne!(records, touched);
    machine.write("kept/records.ndjson", &touched);
    assert_eq!(machine.run(&verify).status, 5);

    // An auditor changes nothing.
    let refused = machine.run(&["week", "preview", "2026-06-06"]);
    assert_eq!(refused.status, 3, "{refused:?}");
    assert!(refused.err.contains("role-not-allowed"), "{refused:?}");
}
