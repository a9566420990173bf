//! Proofs over HTTP, verified by what the client computes alone.

use client::verify::{Given, RecordsRead, verify};
use serde_json::json;
use wire::Code;

use super::{Sealed, consistency, everything, inclusion, post, records, refuted};

#[test]
fn everything_that_is_handed_out_is_verified_without_the_service() {
    let sealed = Sealed::new();
    let later = sealed.another_week();
    let contractor = &sealed.outfit.contractor;
    for record in sealed.tickets.iter().map(|ticket| format!("ticket_id={ticket}")) {
        let report = everything(contractor, &sealed.kept, &later, &record);
        assert!(report.holds(), "{report:#?}");
    }
    let week = format!("settlement_id={}", sealed.settlement);
    let report = everything(contractor, &sealed.kept, &later, &week);
    assert!(report.holds(), "{report:#?}");
    let says: Vec<_> = report.claims.iter().map(|claim| claim.says.as_str()).collect();
    assert!(says.iter().any(|says| says.contains("the settlement of the week that ended on 2026-06-06")));
    // Also from either end, and to itself.
    let backwards = consistency(contractor, &later, &sealed.kept);
    assert_eq!((&backwards.from, &backwards.to), (&sealed.kept, &later));
    assert_eq!(consistency(contractor, &later, &later).path, []);
}

#[test]
fn what_is_not_given_is_not_shown() {
    let sealed = Sealed::new();
    let later = sealed.another_week();
    let alone = verify(&Given::of(later.clone()));
    assert!(alone.holds());
    assert!(alone.not_shown.iter().any(|says| says.contains("only a seal kept from before")), "{alone:#?}");
    let unproven = verify(&Given { kept: Some(sealed.kept.clone()), ..Given::of(later.clone()) });
    assert!(!unproven.holds(), "{unproven:#?}");
    let wrong_key = seal::SigningKey::from_seed(&[9; 32]).expect("a key").public();
    let report = verify(&Given { known_key: Some(wrong_key), ..Given::of(later.clone()) });
    assert_eq!(refuted(&report).len(), 1);
    // The two exchanged: the books cannot have become fewer.
    let proof = consistency(&sealed.outfit.contractor, &sealed.kept, &later);
    let exchanged = Given { kept: Some(later), consistency: Some(proof), ..Given::of(sealed.kept.clone()) };
    assert!(refuted(&verify(&exchanged))[0].contains("fewer"), "{:#?}", verify(&exchanged));
}

#[test]
fn a_forged_seal_or_paper_is_seen() {
    let sealed = Sealed::new();
    let contractor = &sealed.outfit.contractor;
    let mut forged = sealed.kept.clone();
    forged.statement.tree_size = 5;
    assert!(!verify(&Given::of(forged)).holds());
    let good = inclusion(contractor, &sealed.kept, &format!("ticket_id={}", sealed.tickets[2]));
    let holds = |proof: &wire::SealInclusion| {
        let inclusions = vec![("proof.json".to_owned(), proof.clone())];
        verify(&Given { inclusions, ..Given::of(sealed.kept.clone()) }).holds()
    };
    assert!(holds(&good));
    let mut other = good.clone();
    other.document = good.document.replace(r#""length_ft":"16""#, r#""length_ft":"14""#);
    assert_ne!(other, good);
    assert!(!holds(&other), "another length");
    let mut other = good.clone();
    other.document = good.document.replace(r#""number":3"#, r#""number":3.0"#);
    assert_ne!(other, good);
    assert!(!holds(&other), "the same number, written otherwise");
    let mut other = good.clone();
    other.position = 1;
    assert!(!holds(&other), "another place");
    let mut other = good;
    other.path.swap(0, 1);
    assert!(!holds(&other), "hashes exchanged");
    let lines = records(contractor, &sealed.kept);
    let of = |lines: String| {
        let records = RecordsRead::read(lines.as_bytes(), None).expect("lines");
        verify(&Given { records: Some(records), ..Given::of(sealed.kept.clone()) }).holds()
    };
    assert!(of(lines.clone()));
    let (first, rest) = lines.split_once('\n').expect("lines");
    assert!(!of(rest.to_owned()), "one fewer");
    assert!(!of(format!("{lines}{first}\n")), "one more");
    assert!(!of(format!("{rest}{first}\n")), "another order");
}

#[test]
fn what_came_after_a_seal_is_not_in_it() {
    let sealed = Sealed::new();
    let later = post(&sealed.outfit, 11, "2026-06-10");
    let kept = sealed.kept.statement.seal_id;
    let contractor = &sealed.outfit.contractor;
    let path = |query: &str| format!("/v1/seals/{kept}/inclusion{query}");
    let told = contractor.get(&path(&format!("?ticket_id={later}"))).refuses(Code::NotFound);
    assert!(
        told["detail"].as_str().is_some_and(|says| says.contains("ticket A 11 came in after")),
        "{told:#}"
    );
    let draft = sealed.outfit.bookkeeper.post("/v1/settlements", &json!({"week_ends_on": "2026-06-13"}));
    let draft = crate::world::text(&draft.expect(201), "settlement_id");
    // A draft is no record yet.
    let _told = contractor.get(&path(&format!("?settlement_id={draft}"))).refuses(Code::NotFound);
    for query in ["", &format!("?ticket_id={later}&settlement_id={draft}")] {
        let _told = contractor.get(&path(query)).refuses(Code::WrongAddress);
    }
    for query in ["?limit=0", "?limit=1001", "?from=-1", "?from=18446744073709551615", "?after=1"] {
        let _told = contractor.get(&format!("/v1/seals/{kept}/records{query}")).refuses(Code::WrongAddress);
    }
    assert_eq!(contractor.get(&format!("/v1/seals/{kept}/records?from=6")).text, "");
}

/// The document of a ticket says nothing that the ticket itself does not show its mill.
#[test]
fn a_mill_proves_what_was_delivered_to_it_and_sees_no_pay() {
    let sealed = Sealed::new();
    let later = sealed.another_week();
    let mill = &sealed.outfit.mill;
    let record = format!("ticket_id={}", sealed.tickets[0]);
    let inclusions = vec![("proof.json".to_owned(), inclusion(mill, &later, &record))];
    let given = Given {
        kept: Some(sealed.kept.clone()),
        consistency: Some(consistency(mill, &sealed.kept, &later)),
        inclusions,
        ..Given::of(later.clone())
    };
    assert!(verify(&given).holds());
    let seal = later.statement.seal_id;
    let week = format!("/v1/seals/{seal}/inclusion?settlement_id={}", sealed.settlement);
    let _hidden = mill.get(&week).refuses(Code::NotFound);
    let mut elsewhere = tests::ticket(&sealed.outfit, 21, "2026-06-15", &[tests::log("16", "16")]);
    elsewhere["delivered_to"] = serde_json::Value::Null;
    let elsewhere = sealed.outfit.scaler.post("/v1/tickets", &elsewhere).expect(201);
    let elsewhere = crate::world::text(&elsewhere, "ticket_id");
    let seal = super::make(&sealed.outfit.bookkeeper).statement.seal_id;
    let path = format!("/v1/seals/{seal}/inclusion?ticket_id={elsewhere}");
    let _hidden = mill.get(&path).refuses(Code::NotFound);
    assert_eq!(sealed.outfit.contractor.get(&path).status, 200);
    for whole in ["records", "check"] {
        let _hidden = mill.get(&format!("/v1/seals/{seal}/{whole}")).refuses(Code::RoleNotAllowed);
        let _hidden =
            sealed.outfit.scaler.get(&format!("/v1/seals/{seal}/{whole}")).refuses(Code::RoleNotAllowed);
    }
}
