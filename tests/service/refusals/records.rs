//! Everything else that is filed: names, shares, tokens, settlements, set-asides, questions of scale.

use serde_json::{Value, json};
use wire::Code;

use super::{Yard, misformed, wrong};
use crate::world::text;

const NOBODY: &str = "01977000-0000-7000-8000-000000000099";

#[test]
fn names() {
    let yard = Yard::new();
    let world = &yard.world;
    let lists = [
        ("/v1/workers".to_owned(), "First sawyer"),
        ("/v1/crews".to_owned(), "Felling crew"),
        ("/v1/mills".to_owned(), "Invented mill"),
        ("/v1/jobs".to_owned(), "Invented tract"),
        (format!("/v1/jobs/{}/landings", world.outfit.job), "North landing"),
    ];
    for (path, taken) in lists {
        let name = |value: Value, says| misformed("/name", value, "#/name", says);
        let table = vec![
            name(json!(""), "empty"),
            name(json!(" \u{3000} "), "empty"),
            name(json!("x".repeat(81)), "80 characters"),
            name(json!("two\nlines"), "control character"),
            name(json!("nul\u{0}"), "control character"),
            name(json!("tab\there"), "control character"),
            name(json!("\u{9b}31m"), "control character"),
            name(json!(7), ""),
            name(json!(null), ""),
            wrong("/name", json!(taken), Code::NameTaken, "", "name"),
            wrong("/name", json!(format!("  {taken} ")), Code::NameTaken, "", "name"),
        ];
        yard.refuses_each(&path, || json!({"name": "Good"}), table);
    }
    let nowhere = format!("/v1/jobs/{NOBODY}/landings");
    let _problem = yard.refused(Code::NotFound, || yard.manager().post(&nowhere, &json!({"name": "Good"})));
}

/// Eighty characters are eighty as people count them, not bytes.
#[test]
fn the_longest_name_that_is_taken() {
    let yard = Yard::new();
    let name = "ö".repeat(80);
    let filed = yard.manager().post("/v1/workers", &json!({"name": name})).expect(201);
    assert_eq!(text(&filed, "name"), name);
}

#[test]
fn shares() {
    let yard = Yard::new();
    let world = &yard.world;
    let path = format!("/v1/crews/{}/share-sets", world.outfit.teamster);
    let good = || world.sample("file_share_set").body.expect("a body");
    let share = json!({"worker_id": world.worker, "parts": "1"});
    let table = vec![
        misformed("/shares", json!([]), "#/shares", "1 to 1,000"),
        misformed("/shares", json!(vec![share.clone(); 1_001]), "#/shares", "1 to 1,000"),
        misformed("/shares", json!([share, share]), "#/shares/1/worker_id", "already"),
        misformed("/shares", json!({}), "#/shares", ""),
        misformed("/shares/0/parts", json!("0"), "#/shares/0/parts", "above zero"),
        misformed("/shares/0/parts", json!("-1"), "#/shares/0/parts", "above zero"),
        misformed("/shares/0/parts", json!(1), "#/shares/0/parts", ""),
        misformed("/shares/0/parts", json!("1/3"), "#/shares/0/parts", "plain decimal"),
        misformed("/shares/0/parts", json!("0.0000001"), "#/shares/0/parts", "digits after the point"),
        misformed("/shares/0/hours", json!("8"), "#/shares/0/hours", "hours"),
        misformed("/shares/0/worker_id", json!("him"), "#/shares/0/worker_id", ""),
        wrong("/shares/0/worker_id", json!(NOBODY), Code::NamesMissingRecord, "", "worker"),
        misformed("/effective_from", json!("2026-02-30"), "#/effective_from", ""),
        misformed("/effective_from", json!("-009999-01-01"), "#/effective_from", ""),
    ];
    yard.refuses_each(&path, good, table);
    let nowhere = format!("/v1/crews/{NOBODY}/share-sets");
    let _problem = yard.refused(Code::NotFound, || yard.manager().post(&nowhere, &good()));
}

#[test]
fn outfits() {
    let yard = Yard::new();
    let good = yard.world.sample("open_outfit").body.expect("a body");
    let operator = yard.app.operator();
    for (member, values) in [
        ("currency", vec![json!("usd"), json!("ZZZ"), json!("US$"), json!(""), json!(840)]),
        (
            "time_zone",
            vec![json!("Mars/Base"), json!(""), json!("EST5EDT4,M3"), json!("../etc/passwd"), json!(-5)],
        ),
        ("week_ends_on", vec![json!("someday"), json!("Saturday"), json!(6), json!("")]),
        ("name", vec![json!(""), json!("a\u{0}b")]),
    ] {
        for value in values {
            let mut body = good.clone();
            body[member] = value.clone();
            let problem = yard.refused(Code::WrongForm, || operator.post("/v1/outfits", &body));
            assert_eq!(problem["errors"][0]["pointer"], format!("#/{member}"), "{value}: {problem:#}");
        }
    }
}

#[test]
fn access() {
    let yard = Yard::new();
    let world = &yard.world;
    let table = vec![
        misformed("/subject", json!(""), "#/subject", "empty"),
        misformed("/role", json!("owner"), "#/role", "owner"),
        misformed("/role", json!("operator"), "#/role", "belongs to no outfit"),
        misformed("/role", json!("scaler"), "#/mill_id", "only for it"),
        misformed("/mill_id", json!(null), "#/mill_id", "name a mill"),
        wrong("/mill_id", json!(NOBODY), Code::NamesMissingRecord, "", NOBODY),
        wrong("/mill_id", json!(world.outfit.felling_crew), Code::NamesMissingRecord, "", "no mill"),
        misformed("/minutes", json!(0), "#/minutes", "1 to 1440"),
        misformed("/minutes", json!(1_441), "#/minutes", "1 to 1440"),
        misformed("/minutes", json!(65_536), "#/minutes", ""),
        misformed("/minutes", json!(-1), "#/minutes", ""),
        misformed("/minutes", json!("60"), "#/minutes", ""),
    ];
    yard.refuses_each("/v1/access-tokens", || world.sample("grant_access").body.expect("a body"), table);
}

#[test]
fn set_asides() {
    let yard = Yard::new();
    let world = &yard.world;
    let path = format!("/v1/tickets/{}/set-asides", world.unpriced_ticket);
    let good = || world.sample("set_aside").body.expect("a body");
    let beyond = |value| wrong("/piece", value, Code::TicketInconsistent, "#/piece", "2 pieces");
    let table = vec![
        beyond(json!(0)),
        beyond(json!(3)),
        beyond(json!(65_535)),
        misformed("/piece", json!(65_536), "#/piece", ""),
        misformed("/piece", json!("2"), "#/piece", ""),
        misformed("/reason", json!(""), "#/reason", "empty"),
        misformed("/task", json!("sleeping"), "#/task", "sleeping"),
    ];
    yard.refuses_each(&path, good, table);
    let nowhere = format!("/v1/tickets/{NOBODY}/set-asides");
    let _problem = yard.refused(Code::NotFound, || yard.manager().post(&nowhere, &good()));
}

#[test]
fn weeks() {
    let yard = Yard::new();
    let week = |value: Value, code, pointer, says| wrong("/week_ends_on", value, code, pointer, says);
    let table = vec![
        week(json!("2026-06-19"), Code::NotAWeekEnd, "", "2026-06-20"),
        week(json!("9999-12-30"), Code::NotAWeekEnd, "", ""),
        week(json!("2026-06-06"), Code::WeekPosted, "", "2026-06-06"),
        week(json!("2026-05-30"), Code::WeekPosted, "", "2026-06-06"),
        week(json!("0000-01-01"), Code::WeekPosted, "", "2026-06-06"),
        week(json!("-009999-01-02"), Code::WrongForm, "#/week_ends_on", ""),
        week(json!("2026-W25"), Code::WrongForm, "#/week_ends_on", ""),
        week(json!("20260620"), Code::WrongForm, "#/week_ends_on", ""),
        week(json!(""), Code::WrongForm, "#/week_ends_on", ""),
        week(json!(null), Code::WrongForm, "#/week_ends_on", ""),
    ];
    yard.refuses_each("/v1/settlements", || json!({"week_ends_on": "2026-06-20"}), table);
}

#[test]
fn postings() {
    let yard = Yard::new();
    let world = &yard.world;
    let draft = |week: &str| {
        let draft = yard.manager().post("/v1/settlements", &json!({"week_ends_on": week})).expect(201);
        format!("/v1/settlements/{}/posting", text(&draft, "settlement_id"))
    };
    let put = |path: &str| yard.manager().put(path);
    let nowhere = format!("/v1/settlements/{NOBODY}/posting");
    let _problem = yard.refused(Code::NotFound, || put(&nowhere));
    let (second, third) = (draft("2026-06-13"), draft("2026-06-20"));
    let problem = yard.refused(Code::WeekNotOver, || put(&third));
    assert!(problem["detail"].as_str().is_some_and(|text| text.contains("it is 2026-06-15")), "{problem:#}");
    yard.app.clock.set("2026-06-22T13:00:00Z".parse().expect("a time"));
    let problem = yard.refused(Code::UnpricedPieces, || put(&third));
    let pointer = format!("/v1/tickets/{}#/ticket/pieces/1", world.unpriced_ticket);
    assert!(problem["errors"].as_array().is_some_and(|all| all.iter().all(|one| one["pointer"] == pointer)));
    for task in ["felling", "delivery"] {
        let aside = json!({"task": task, "reason": "kept for the camp"});
        let path = format!("/v1/tickets/{}/set-asides", world.unpriced_ticket);
        let _aside = yard.manager().post(&path, &aside).expect(201);
    }
    let problem = yard.refused(Code::EarlierWeekOpen, || put(&third));
    assert!(problem["detail"].as_str().is_some_and(|text| text.contains("2026-06-13")), "{problem:#}");
    let mut late = world.ticket();
    late["scaled_on"] = "2026-06-09".into();
    let _late = yard.manager().post("/v1/tickets", &late).expect(201);
    let _problem = yard.refused(Code::DraftOutOfDate, || put(&second));
    // A posting takes no body; one that is sent is not read.
    let good = draft("2026-06-13");
    let _posted = yard.manager().send(reqwest::Method::PUT, &good, Some("no JSON".to_owned())).expect(201);
    let _problem = yard.refused(Code::WeekPosted, || put(&second));
}

/// A crew that worked without a division of its pay holds up the draft, naming the crew and the day.
#[test]
fn a_crew_without_shares() {
    let yard = Yard::new();
    let contract = yard.world.sample("file_contract");
    let filed = yard.manager().post(&contract.path, contract.body.as_ref().expect("a body")).expect(201);
    let mut ticket = yard.world.ticket();
    ticket["work"][0]["crew_id"] = filed["party"]["crew_id"].clone();
    let _accepted = yard.manager().post("/v1/tickets", &ticket).expect(201);
    let week = json!({"week_ends_on": "2026-06-20"});
    let problem = yard.refused(Code::NoShareSet, || yard.manager().post("/v1/settlements", &week));
    assert!(problem["detail"].as_str().is_some_and(|text| text.contains("2026-06-15")), "{problem:#}");
    let audit = "/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-20";
    let _problem = yard.refused(Code::NoShareSet, || yard.manager().get(audit));
}

/// Prices and quantities may each be held, and their product not: told as such, never rounded or wrapped.
#[test]
fn pay_that_cannot_be_held() {
    let yard = Yard::new();
    let terms = json!({
        "effective_from": "2026-06-01", "practice": {"log": {"rule": "scribner-decimal-c"}},
        "rates": [{"name": "golden logs", "task": "felling", "product": "log", "unit": "piece",
                   "price": "9223372036854.775807"}]
    });
    let path = format!("/v1/contracts/{}/terms", yard.world.outfit.felling_contract);
    let before = yard.database.counts();
    let filed = yard.manager().post(&path, &terms).documented();
    if filed.status != 201 {
        assert_eq!(filed.code(), Some(Code::TooLarge), "{:#}", filed.body);
        assert_eq!(yard.database.counts(), before);
        return;
    }
    let mut ticket = yard.world.ticket();
    ticket["pieces"] = json!(vec![ticket["pieces"][0].clone(); 2_000]);
    for _ in 0..6 {
        ticket["number"] = json!(yard.world.fresh());
        let _accepted = yard.manager().post("/v1/tickets", &ticket).expect(201);
    }
    let week = json!({"week_ends_on": "2026-06-20"});
    let _problem = yard.refused(Code::TooLarge, || yard.manager().post("/v1/settlements", &week));
}

#[test]
fn questions_of_scale() {
    let yard = Yard::new();
    let cannot = |at, value: Value, says| wrong(at, value, Code::CannotScale, "", says);
    let table = vec![
        misformed("/rule", json!("scribble"), "#/rule", "scribble"),
        misformed("/rule", json!(null), "#/rule", ""),
        misformed("/diameter_in", json!(16), "#/diameter_in", ""),
        misformed("/diameter_in", json!("0"), "#/diameter_in", "more than 0"),
        misformed("/diameter_in", json!("-16"), "#/diameter_in", "more than 0"),
        misformed("/length_ft", json!("201"), "#/length_ft", "at most 200"),
        misformed("/rounding", json!("sometimes"), "#/rounding", "sometimes"),
        misformed("/label", json!("a\u{0}"), "#/label", ""),
        misformed("/label", json!("x".repeat(1_000)), "#/label", ""),
        cannot("/diameter_in", json!(null), "diameter"),
        cannot("/length_ft", json!(null), "length"),
        cannot("/rule", json!("smalian"), ""),
        cannot("/diameter_cm", json!("40"), ""),
        cannot("/printed_cells_only", json!(true), ""),
        cannot("/unit", json!("cubic_metre"), ""),
    ];
    yard.refuses_each("/v1/scale", || yard.world.sample("scale").body.expect("a body"), table);
    let pole = crate::world::pole();
    let tie =
        json!({"product": "tie", "species": "oak", "width_in": "9", "thickness_in": "7", "length_ft": "8.5"});
    let table = vec![
        misformed("/terms_id", json!("these"), "#/terms_id", ""),
        wrong("/terms_id", json!(NOBODY), Code::NamesMissingRecord, "", NOBODY),
        misformed("/piece", json!({}), "#/piece", "product"),
        misformed("/piece/length_ft", json!(16), "#/piece", "length_ft"),
        wrong("/piece", tie, Code::CannotScale, "", "tie"),
    ];
    yard.refuses_each("/v1/scale/piece", || yard.world.sample("scale_piece").body.expect("a body"), table);
    let mut of_pole = yard.world.sample("scale_piece").body.expect("a body");
    of_pole["piece"] = pole;
    let _scaled = yard.manager().post("/v1/scale/piece", &of_pole).expect(200);
}
