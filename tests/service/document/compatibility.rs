//! Compatibility: a program written against the published document goes on working.
//!
//! `openapi/v1.published.json` is the document that was published last. Whoever publishes the next one makes it anew:
//!
//! ```text
//! SKIDWAY_PUBLISH_DOCUMENT=1 cargo test -p tests --test service compatibility
//! ```
//!
//! Until then every difference that breaks a program needs a line in `openapi/intended_breaks.txt` with its reason.

mod rules;
mod truth_table;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;

/// A file of the API document's folder.
fn file(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../openapi").join(name)
}

#[test]
fn nothing_breaks_a_program_written_against_the_published_document() {
    let published = file("v1.published.json");
    let made = api::http::openapi::document_text().expect("the document has a JSON form");
    if std::env::var_os("SKIDWAY_PUBLISH_DOCUMENT").is_some() {
        fs::write(&published, &made).expect("the document can be written");
        fs::write(file("intended_breaks.txt"), "").expect("the list can be written");
    }
    let published = fs::read_to_string(published).expect("the published document is there");
    let published: Value = serde_json::from_str(&published).expect("it is JSON");
    let made: Value = serde_json::from_str(&made).expect("it is JSON");
    let breaks = rules::breaks(&published, &made);
    let intended = fs::read_to_string(file("intended_breaks.txt")).expect("the list is there");
    let left = judge(&intended, &breaks);
    assert!(
        left.is_empty(),
        "openapi/README.md says what a compatible change is. A break that is meant stands in \
         openapi/intended_breaks.txt as `what = why`:\n{}",
        left.join("\n")
    );
}

/// What is left of the breaks, and what is wrong with the list of those that are meant.
fn judge(intended: &str, breaks: &BTreeSet<String>) -> Vec<String> {
    let mut left = Vec::new();
    let mut listed = BTreeSet::new();
    for line in intended.lines().filter(|line| !line.trim().is_empty()) {
        let (what, why) = line.split_once(" = ").unwrap_or((line, ""));
        if why.trim().is_empty() {
            left.push(format!("it needs a reason: {what}"));
        }
        if !breaks.contains(what) {
            left.push(format!("nothing breaks like this any more, take it out: {what}"));
        }
        listed.insert(what);
    }
    left.extend(breaks.iter().filter(|one| !listed.contains(one.as_str())).cloned());
    left
}

#[test]
fn every_intended_break_is_needed_and_has_a_reason() {
    let breaks = BTreeSet::from(["a: gone".to_owned()]);
    assert!(judge("a: gone = never used\n", &breaks).is_empty());
    assert_eq!(judge("", &breaks), ["a: gone"]);
    assert_eq!(judge("a: gone\n", &breaks).len(), 1);
    assert_eq!(judge("a: gone = why\nb: gone = why\n", &breaks).len(), 1);
}
