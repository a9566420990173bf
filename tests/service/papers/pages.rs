//! Long papers: heads repeated, no row torn, pages numbered, and a paper that counts no more says so on each.

use scraper::Html;
use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};

use super::document::{Document, can_read, told};
use crate::auditing::page::all;
use crate::world::text;

/// An outfit whose felling crew has a rate for each of many kinds of timber, all of it on one ticket.
fn long_week(app: &TestApp, kinds: usize) -> (Furnished, Value) {
    let outfit = Furnished::new(app);
    let name = |kind: usize| format!("pine of kind {kind:03}");
    let rates: Vec<Value> = (0..kinds)
        .map(|kind| {
            json!({"name": format!("felling {}", name(kind)), "task": "felling", "product": "log", "covers": {"species": [name(kind)]},
                   "unit": "thousand_board_feet", "basis": "gross", "price": format!("{}.25", 10 + kind)})
        })
        .collect();
    let terms = json!({"effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}}, "rates": rates});
    let path = format!("/v1/contracts/{}/terms", outfit.felling_contract);
    let _filed = outfit.bookkeeper.post(&path, &terms).expect(201);
    let logs: Vec<Value> = (0..kinds)
        .map(|kind| {
            let mut log = log("16", "16");
            log["species"] = json!(name(kind));
            log
        })
        .collect();
    let accepted = outfit.scaler.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-03", &logs)).expect(201);
    let _posted = outfit.settle("2026-06-06");
    (outfit, accepted)
}

#[test]
fn a_long_statement_repeats_its_heads_and_tears_no_row() {
    let app = TestApp::start();
    let (outfit, _) = long_week(&app, 150);
    let listed = outfit.bookkeeper.get("/v1/statements?limit=500").expect(200);
    let first =
        listed["items"].as_array().expect("a list").iter().find(|one| one["payee"]["name"] == "First sawyer");
    let path = format!("/v1/statements/{}", text(first.expect("his"), "statement_id"));
    let reply = outfit.bookkeeper.get(&path).expect(200);
    let lines = reply["lines"].as_array().expect("lines");
    assert_eq!(lines.len(), 150);
    if !can_read() {
        return;
    }
    let bytes = outfit.bookkeeper.get(&format!("{path}?format=pdf")).bytes;
    assert_eq!(
        bytes,
        outfit.bookkeeper.get(&format!("{path}?format=pdf")).bytes,
        "the same bytes for the same reply"
    );
    let document = Document::read(&bytes);
    let count = document.pages.len();
    assert!(count > 5, "{count}");
    for (number, (head, foot)) in (1..).zip(document.heads.iter().zip(&document.feet)) {
        assert!(head.contains("Invented outfit") && head.contains("Pay statement: First sawyer"), "{head}");
        assert!(foot.contains(&format!("Page {number} of {count}")), "{foot}");
    }
    let mut rows = 0;
    for (page, lines) in document.pages.iter().enumerate() {
        let has_rows = lines.iter().any(|line| line.contains("Felling: felling pine"));
        let head = lines.iter().position(|line| line.contains("Quantity") && line.contains("Price"));
        assert_eq!(has_rows, head.is_some(), "page {page}: {lines:#?}");
        for (place, line) in
            lines.iter().enumerate().filter(|(_, line)| line.contains("Felling: felling pine"))
        {
            rows += 1;
            // What is said of the line stands below it, on the same page.
            let below =
                lines.get(place + 1).unwrap_or_else(|| panic!("the remark of {line} is on another page"));
            assert!(below.contains("part of") && below.contains("to Felling crew"), "{line}\n{below}");
        }
    }
    assert_eq!(rows, lines.len());
}

#[test]
fn a_document_is_tagged_titled_and_as_large_as_was_asked_for() {
    if !can_read() {
        return;
    }
    let app = TestApp::start();
    let (outfit, accepted) = long_week(&app, 3);
    let path = format!("/v1/tickets/{}?format=pdf", text(&accepted, "ticket_id"));
    for (paper, size) in [
        ("", "612 x 792 pts (letter)"),
        ("&paper=letter", "612 x 792"),
        ("&paper=a4", "595.276 x 841.89 pts (A4)"),
    ] {
        let bytes = outfit.scaler.get(&format!("{path}{paper}")).bytes;
        let info = told("pdfinfo", &["-"], &bytes);
        for says in
            ["Title:           Scale ticket: A 1", "Tagged:          yes", "PDF version:     1.7", size]
        {
            assert!(info.contains(says), "{says}: {info}");
        }
        assert!(!info.contains("CreationDate"), "a date that is not the reply's: {info}");
        let tree = told("pdfinfo", &["-struct-text", "-"], &bytes);
        for says in ["H1", "Table", "TH", "TD", "white pine", "Scale ticket"] {
            assert!(says == "white pine" || tree.contains(says), "{says}: {tree}");
        }
    }
}

#[test]
fn a_ticket_that_counts_no_more_says_so_at_the_top_and_on_every_page() {
    let app = TestApp::start();
    let (outfit, accepted) = long_week(&app, 60);
    let mut right = ticket(&outfit, 2, "2026-06-03", &[log("16", "16")]);
    right["work"] = json!([]);
    let correction = json!({"reason": "the wrong pile", "ticket": right});
    let path = format!("/v1/tickets/{}/corrections", text(&accepted, "ticket_id"));
    let right = outfit.scaler.post(&path, &correction).expect(201);
    let void = json!({"reason": "not scaled at all", "ticket": ticket(&outfit, 3, "2026-06-03", &[])});
    let path = format!("/v1/tickets/{}/corrections", text(&right, "ticket_id"));
    let void = outfit.scaler.post(&path, &void).expect(201);
    for (id, word, says) in [
        (text(&accepted, "ticket_id"), "CORRECTED", "Ticket A 2 took its place"),
        (text(&right, "ticket_id"), "CORRECTED", "Ticket A 3 took its place"),
        (text(&void, "ticket_id"), "VOID", "took the place of ticket A 2"),
    ] {
        let path = format!("/v1/tickets/{id}");
        let page = outfit.scaler.get(&format!("{path}?format=html"));
        let html = Html::parse_document(&page.text);
        assert_eq!(all(&html, "body.struck .through").len(), 1, "{}", page.text);
        let notice: String = all(&html, "header .standing")[0].text().collect();
        assert!(notice.to_uppercase().starts_with(word) && notice.contains(says), "{notice}");
        if can_read() {
            let document = Document::read(&outfit.scaler.get(&format!("{path}?format=pdf")).bytes);
            let first = document.pages[0].join("\n");
            assert!(first.contains(says) && first.contains(word), "{first}");
            assert!(document.feet.iter().all(|foot| foot.contains(word)), "{:?}", document.feet);
        }
    }
}

#[test]
fn a_sheet_that_is_drafted_says_so() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let sent = ticket(&outfit, 1, "2026-06-03", &[log("16", "16")]);
    let _accepted = outfit.scaler.post("/v1/tickets", &sent).expect(201);
    let draft = outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-06"})).expect(201);
    let path = format!("/v1/settlements/{}/crews/{}", text(&draft, "settlement_id"), outfit.felling_crew);
    let page = outfit.bookkeeper.get(&format!("{path}?format=html")).text;
    assert!(page.contains("nothing is paid by it"), "{page}");
    assert!(!page.contains("class=\"through\""), "a draft is not crossed out: {page}");
}
