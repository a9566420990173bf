//! The examples of the API document: played through on the real service, and held to the committed files.
//!
//! The service gets a clock that the story moves and random bytes from a seed, so ids and times come out the same
//! every time and nothing in an answer needs to be replaced, except the text of a token.

mod check_scales;
mod exceptions;
mod explaining;
mod outside;
mod practices;
mod recorder;
mod reports;
mod seals;
mod story;

use std::collections::BTreeMap;
use std::path::PathBuf;

use api::http::examples::{EXAMPLES, PDF};
use api::routes::OPERATIONS;

use recorder::Recorder;

/// Set to 1, the test writes the files instead of comparing them.
const WRITE: &str = "SKIDWAY_WRITE_EXAMPLES";

fn directory() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "..", "services", "api", "examples"].iter().collect()
}

fn advice() -> String {
    format!(
        "if the change is meant, write the examples anew with\n  \
         {WRITE}=1 cargo test -p tests --test service examples\nand then the document with\n  \
         cargo run -- openapi > openapi/v1.json"
    )
}

#[test]
fn examples_are_what_the_service_does() {
    let mut recorder = Recorder::start();
    story::play(&mut recorder);
    let played = recorder.files();
    let directory = directory();
    if std::env::var(WRITE).is_ok_and(|value| value == "1") {
        for (name, text) in &played {
            std::fs::write(directory.join(name), text).expect("the directory of the examples can be written");
        }
    }
    let listed = std::fs::read_dir(&directory).expect("the directory of the examples is there");
    let committed: BTreeMap<String, String> = listed
        .map(|entry| {
            let entry = entry.expect("an entry");
            let text = std::fs::read_to_string(entry.path()).expect("a text");
            (entry.file_name().to_string_lossy().into_owned(), text)
        })
        .collect();
    let names = |files: &BTreeMap<String, String>| files.keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&committed), names(&played), "files and story differ; {}", advice());
    for (name, text) in &played {
        assert_eq!(&committed[name], text, "{name} is not what the service does; {}", advice());
    }
}

#[test]
fn every_operation_has_an_example() {
    let shown: Vec<_> = EXAMPLES.iter().map(|one| (one.operation, one.request.is_some())).collect();
    let all: Vec<_> = OPERATIONS.iter().map(|one| (one.id, one.body_type().is_some())).collect();
    assert_eq!(shown, all, "http/examples.rs lists the operations in their order");
}

/// The program has the files built in; after they were written anew it must be built again.
#[test]
fn the_document_shows_the_committed_files() {
    for example in EXAMPLES {
        let read = |part: &str| {
            let path = directory().join(format!("{}.{part}", example.operation));
            std::fs::read_to_string(path).expect("the file is there")
        };
        // Documents are held to their paper elsewhere.
        for answer in example.responses.iter().filter(|answer| answer.media_type != PDF) {
            let ending = match answer.media_type {
                "text/csv" => "csv",
                "text/plain" => "txt",
                "text/html" => "html",
                "application/x-ndjson" => "ndjson",
                _ => "json",
            };
            assert_eq!(answer.text, read(&format!("response.{ending}")), "{}", example.operation);
        }
        if let Some(request) = example.request {
            let operation = OPERATIONS.iter().find(|one| one.id == example.operation).expect("an operation");
            let ending = match operation.body_type() {
                Some("text/csv") => "csv",
                Some("application/x-ndjson") => "ndjson",
                _ => "json",
            };
            assert_eq!(request, read(&format!("request.{ending}")), "{}", example.operation);
        }
    }
}
