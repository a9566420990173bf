//! The papers, from what the service answers to what lies on the desk.

use client::text;
use serde::de::DeserializeOwned;

use crate::golden;

fn from<T: DeserializeOwned>(name: &str) -> T {
    serde_json::from_str(&golden::read(&format!("papers/{name}.json"))).unwrap()
}

fn check(name: &str, paper: &str) {
    golden::check(&format!("papers/{name}.txt"), paper);
    let widest = paper.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    assert!(widest <= 80, "{name} is {widest} characters wide");
    assert!(paper.lines().all(|line| line.trim_end() == line), "{name} has blanks at the end of a line");
}

#[test]
fn settlements() {
    for name in ["settlement_draft", "settlement_posted"] {
        check(name, &text::settlement(&from(name)));
    }
}

#[test]
fn statements() {
    for name in ["statement_worker", "statement_mill"] {
        check(name, &text::statement(&from(name)));
    }
}

#[test]
fn an_explanation() {
    check("explanation", &text::explanation(&from("explanation")));
}

#[test]
fn an_audit() {
    check("audit", &text::audit(&from("audit")));
    check("audit_stages", &text::audit(&from("audit_stages")));
}

#[test]
fn what_accounts_stand_at() {
    check("trial_balance", &text::trial_balance(&from("trial_balance")));
    check("balances", &text::balances(&from("balances")));
}

#[test]
fn a_margin() {
    check("margin", &text::margin(&from("margin")));
}

#[test]
fn what_mills_sawed_and_cruises_expected() {
    check("overrun", &text::overrun(&from("overrun")));
    check("cruise", &text::cruise(&from("cruise")));
    check("cut_out", &text::cut_out(&from("cut_out")));
}

#[test]
fn a_crew_sheet() {
    check("crew_sheet", &text::crew_sheet(&from("crew_sheet")));
}

#[test]
fn a_ticket_its_working_and_a_list() {
    check("ticket", &text::ticket(&from("ticket")));
    check("working", &text::working(&from("working")));
    check("tickets", &text::tickets(&[from("ticket"), from("ticket_corrected")]));
}
