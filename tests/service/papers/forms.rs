//! The papers of the example story as text, line by line as a person reads them: what changes on a paper shows here.

use std::path::PathBuf;

use super::document::{can_read, told};

/// Set to 1, the test writes the files instead of comparing them.
const WRITE: &str = "SKIDWAY_WRITE_PAPERS";

fn folder(parts: &[&str]) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR")].iter().chain(parts).collect()
}

fn reply<T: serde::de::DeserializeOwned>(operation: &str) -> T {
    let file = folder(&["..", "services", "api", "examples"]).join(format!("{operation}.response.json"));
    serde_json::from_str(&std::fs::read_to_string(file).expect("the reply is there")).expect("a reply")
}

#[test]
fn each_paper_reads_as_it_was_committed() {
    let writes = std::env::var_os(WRITE).is_some();
    if !can_read() {
        // Whoever means to write them must not be left with those of before.
        assert!(!writes, "papers are read with pdftotext, which is not here");
        return;
    }
    let papers = [
        ("ticket", papers::ticket(&reply("show_ticket"))),
        ("statement", papers::statement(&reply("show_statement"))),
        ("crew_sheet", papers::crew_sheet(&reply("show_crew_sheet"))),
        ("report", papers::report(&reply("report_audit"))),
    ];
    for (name, paper) in papers {
        let document = papers::pdf(&paper, papers::PaperSize::Letter).expect("it can be set");
        let text = told("pdftotext", &["-layout", "-", "-"], &document).replace('\u{c}', "== page ==\n");
        let lines: String = text.lines().map(|line| format!("{}\n", line.trim_end())).collect();
        let file = folder(&["data", "papers"]).join(format!("{name}.txt"));
        if writes {
            std::fs::write(&file, &lines).expect("it can be written");
        }
        let committed = std::fs::read_to_string(&file).unwrap_or_default();
        assert_eq!(committed, lines, "{name}: if it is meant, write it anew with {WRITE}=1");
    }
}
