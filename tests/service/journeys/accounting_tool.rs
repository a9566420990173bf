//! The plain-text journal read by somebody else: a general-purpose accounting tool from the system's own packages,
//! where one is installed.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::PathBuf;
use std::process::Command;

use tests::{Furnished, TestApp};

use super::export::{exported, write_hostile_entries};
use super::several_weeks::{cents, several_weeks};

/// The tools that read the form, by the names of their Debian packages; any one will do.
const TOOLS: [&str; 2] = ["ledger", "hledger"];

/// Every tool that is on the path.
fn installed() -> Vec<PathBuf> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let folders: Vec<_> = std::env::split_paths(&path).collect();
    TOOLS
        .iter()
        .filter_map(|tool| folders.iter().map(|at| at.join(tool)).find(|file| file.is_file()))
        .collect()
}

/// What the tool says every account stands at, in cents.
fn balances_by(tool: &PathBuf, journal: &str) -> BTreeMap<String, i64> {
    let folder = std::env::temp_dir().join(format!("skidway-journal-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder for the journal");
    let file = folder.join("books.journal");
    std::fs::write(&file, journal).expect("the journal can be written");
    // Nobody's own settings are to have a say.
    let output = Command::new(tool)
        .env_clear()
        .env("HOME", &folder)
        .env("LC_ALL", "C.UTF-8")
        .arg("-f")
        .arg(&file)
        .args(["balance", "--flat", "--empty", "--no-total"])
        .output()
        .expect("the tool can be run");
    std::fs::remove_dir_all(&folder).expect("the folder can be removed");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{} refuses the journal: {told}\n{journal}", tool.display());
    let answer = String::from_utf8(output.stdout).expect("UTF-8");
    let lines = answer.lines().filter(|line| !line.trim().is_empty());
    lines
        .map(|line| {
            let (amount, account) = line.trim().split_once("  ").expect("an amount and an account");
            let minor = match amount.strip_suffix(" USD") {
                Some(amount) => cents(&amount.into()),
                None => {
                    assert_eq!(amount, "0", "{line}");
                    0
                }
            };
            (account.to_owned(), minor)
        })
        .collect()
}

/// What the service says every account stands at, in cents.
fn trial_balance(outfit: &Furnished) -> BTreeMap<String, i64> {
    let shown = outfit.bookkeeper.get("/v1/journal/trial-balance?on=2026-12-31").expect(200);
    let rows = shown["accounts"].as_array().expect("accounts").iter();
    rows.map(|row| {
        (row["title"].as_str().expect("a title").to_owned(), cents(&row["debit"]) - cents(&row["credit"]))
    })
    .collect()
}

#[test]
fn an_accounting_tool_finds_the_same_balances() {
    let tools = installed();
    if tools.is_empty() {
        let says = format!(
            "\nSKIPPED: none of {} is installed, so no accounting tool has read the exported journal. Install one (on \
             Debian: apt-get install ledger) and run the test again.\n",
            TOOLS.join(", ")
        );
        // Written past the test runner, which would keep what a passing test prints to itself.
        std::io::stderr().write_all(says.as_bytes()).expect("standard error can be written to");
        return;
    }
    let app = TestApp::start();
    let outfit = several_weeks(&app, 37);
    let check = |least: usize| {
        let journal = exported(&outfit, "format=text");
        let ours = trial_balance(&outfit);
        assert!(ours.len() >= least, "{ours:?}");
        for tool in &tools {
            assert_eq!(balances_by(tool, &journal), ours, "{}", tool.display());
        }
    };
    check(6);
    // Once more with names that try to break the form.
    let _written = write_hostile_entries(&app, &outfit);
    check(30);
}
