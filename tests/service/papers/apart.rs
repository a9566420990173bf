//! Whose paper it is: a scaler gets no statement in any form, a mill its own and nobody else's.

use super::camp::Camp;
use crate::world::text;
use wire::Code;

const FORMS: [&str; 4] = ["format=json", "format=html", "format=pdf", "format=pdf&paper=a4"];

#[test]
fn rights_are_the_same_in_every_form() {
    let camp = Camp::new();
    let outfit = &camp.busy.outfit;
    let stranger = camp.app.stranger();
    for place in camp.everything() {
        for form in FORMS {
            let path = place.form(form);
            let _told = stranger.get(&path).refused(Code::NoToken);
            if place.kind != "ticket" {
                let _told = outfit.scaler.get(&path).refused(Code::RoleNotAllowed);
            }
            if place.kind == "crew sheet" {
                let _told = outfit.mill.get(&path).refused(Code::RoleNotAllowed);
            }
        }
    }
}

#[test]
fn a_mill_gets_its_own_papers_alone() {
    let camp = Camp::new();
    let outfit = &camp.busy.outfit;
    let mut own = 0;
    for place in camp.everything().iter().filter(|place| ["statement", "ticket"].contains(&place.kind)) {
        let reply = outfit.manager.get(&place.path).expect(200);
        let pointer = if place.kind == "statement" { "/payee/mill_id" } else { "/ticket/delivered_to" };
        let is_its =
            reply.pointer(pointer).and_then(serde_json::Value::as_str) == Some(outfit.mill_id.as_str());
        for form in FORMS {
            let answer = outfit.mill.get(&place.form(form));
            if !is_its {
                let _told = answer.refused(Code::NotFound);
                continue;
            }
            own += 1;
            assert_eq!(answer.status, 200, "{}", answer.text);
            if form == "format=html" && place.kind == "ticket" {
                // Its own scale, and nothing of the crews.
                assert!(
                    !answer.text.contains("Felling crew") && !answer.text.contains("Team"),
                    "{}",
                    answer.text
                );
            }
        }
    }
    assert!(own >= 8, "{own}");
}

#[test]
fn a_paper_is_named_and_may_do_nothing() {
    let camp = Camp::new();
    let office = &camp.busy.outfit.bookkeeper;
    for place in camp.everything() {
        for (form, kind) in [("html", "text/html; charset=utf-8"), ("pdf", "application/pdf")] {
            let reply = office.get(&place.form(&format!("format={form}")));
            assert_eq!(reply.header("content-type"), Some(kind), "{place:?}");
            assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
            let named = reply.header("content-disposition").expect("a name");
            let name = named.strip_prefix("inline; filename=\"").and_then(|rest| rest.strip_suffix('"'));
            let name = name.and_then(|name| name.strip_suffix(&format!(".{form}"))).expect("a name");
            let plain = |letter: char| {
                letter.is_ascii_lowercase() || letter.is_ascii_digit() || "-_".contains(letter)
            };
            assert!(name.len() > 8 && name.chars().all(plain), "{named}");
            if form == "html" {
                let policy = reply.header("content-security-policy").expect("a policy");
                assert!(policy.starts_with("default-src 'none'; style-src 'unsafe-inline'"), "{policy}");
            }
        }
        // A size goes with documents alone.
        let wrong = office.get(&place.form("format=html&paper=a4"));
        let _told = wrong.refused(Code::WrongAddress);
        let wrong = office.get(&place.form("format=pdf&paper=legal"));
        assert_eq!(wrong.status, 400, "{}", wrong.text);
        let _tag =
            text(&serde_json::json!({"etag": office.get(&place.form("format=pdf")).header("etag")}), "etag");
    }
}
