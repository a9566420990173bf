//! Check scales and exceptions in the report: as their own operations answer them, on the page as in the rows.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use tests::{Actor, Furnished, TestApp, log, ticket};

use super::busy::SPAN;
use super::page::{all, is_sound, page, rows, shown, within, words};
use crate::check_scales::{Yard, again, inches, two_percent};
use crate::world::text;

fn report(actor: &Actor, query: &str) -> Value {
    actor.get(&format!("/v1/reports/audit?{query}")).expect(200)
}

fn section(actor: &Actor, name: &str) -> Vec<BTreeMap<String, String>> {
    let reply = actor.get(&format!("/v1/reports/audit?{SPAN}&format=csv&section={name}"));
    assert_eq!(reply.status, 200, "{}", reply.text);
    csv::Reader::from_reader(reply.text.as_bytes()).deserialize().map(|row| row.expect("a row")).collect()
}

fn list<'a>(value: &'a Value, member: &str) -> &'a Vec<Value> {
    value[member].as_array().unwrap_or_else(|| panic!("no {member} in {value:#}"))
}

/// A yard with a check scale of its felling, whose contract allows two percent, and one of what the mill got, whose contract
/// says nothing of it. Numbers are missing from its book.
fn checked(app: &TestApp) -> Yard {
    let yard = Yard::new(app, Some(two_percent()));
    let felled = yard.post(1, "2026-06-02", &[12, 14, 20]);
    let delivered = ticket(&yard.outfit, 7, "2026-06-03", &[log("17", "16"), log("19", "16")]);
    let delivered = text(&yard.outfit.scaler.post("/v1/tickets", &delivered).expect(201), "ticket_id");
    let _path = yard.file(&[
        again(&felled, 1, &inches(11)),
        again(&felled, 2, &inches(14)),
        again(&felled, 3, &inches(20)),
    ]);
    let contracts = yard.outfit.mill.get("/v1/contracts").expect(200);
    let mut check =
        yard.check(&[again(&delivered, 1, &log("16", "16")), again(&delivered, 2, &log("19", "16"))]);
    check["contract_id"] = contracts["items"][0]["contract_id"].clone();
    let _filed = yard.outfit.bookkeeper.post("/v1/check-scales", &check).expect(201);
    yard
}

#[test]
fn both_are_what_their_own_operations_answer() {
    let app = TestApp::start();
    let yard = checked(&app);
    let actor = &yard.outfit.contractor;
    let shown = report(actor, SPAN);
    assert_eq!(shown["exceptions"], actor.get(&format!("/v1/audit/exceptions-by-kind?{SPAN}")).expect(200));
    let gaps = list(&shown["exceptions"], "kinds").iter().find(|one| one["kind"] == "scale_book_gap");
    assert_eq!(gaps.expect("the kind")["count"], 1);
    let said = list(&shown, "check_scales");
    assert_eq!(said.len(), 2);
    assert!(shown.get("further_check_scales").is_none());
    for one in said {
        let id = text(&one["check_scale"], "check_scale_id");
        let alone = actor.get(&format!("/v1/check-scales/{id}")).expect(200);
        for (member, says) in one.as_object().expect("members") {
            assert_eq!(says, &alone[member], "{member}");
        }
        for member in ["strata", "points", "verdict", "confidence_percent"] {
            assert!(one.get(member).is_some(), "{member}");
        }
    }
    // The one filed last comes first. Of 460 the checker found 450: more than two percent apart.
    assert_eq!(said[0]["check_scale"]["contract_title"], "Logs delivered");
    assert!(said[0]["verdict"].get("outcome").is_none());
    assert_eq!(said[1]["verdict"]["outcome"], "beyond");
}

#[test]
fn the_check_scales_tables_hold_the_reports_figures() {
    let app = TestApp::start();
    let yard = checked(&app);
    let actor = &yard.outfit.contractor;
    let (page, source) = page(actor, SPAN);
    is_sound(&page, &source);
    let report = report(actor, SPAN);
    let found = rows(&page, "table-check-scales");
    assert_eq!(found.len(), 2);
    for (place, one) in list(&report, "check_scales").iter().enumerate() {
        let (head, stratum, row) = (&one["check_scale"], &one["strata"][0], &found[place]);
        let ratio = &stratum["net_ratio"];
        let figures = [
            &stratum["original"]["pieces"],
            &stratum["check"]["pieces"],
            &ratio["ratio"],
            &ratio["from"],
            &ratio["to"],
        ];
        let names = ["contract_title", "checker", "checked_on", "scaler"].map(|member| text(head, member));
        assert_eq!(row[..4], names);
        assert_eq!(row[4], format!("{} to {}", text(head, "from"), text(head, "to")));
        assert_eq!(row[6..11], figures.map(shown));
        let sticks = rows(&page, &format!("table-check-{}-1", place + 1));
        let sticks: Vec<_> = sticks.iter().map(|row| row[1..3].to_vec()).collect();
        let points: Vec<_> = list(one, "points")
            .iter()
            .map(|point| ["original", "check"].map(|side| shown(&point[side])).to_vec())
            .collect();
        assert_eq!(sticks, points);
        for says in list(&one["verdict"], "says") {
            // The first letter is a capital there.
            let says = says.as_str().expect("words").get(1..).expect("more than a letter");
            assert!(
                all(&page, "#check-scales li").into_iter().any(|item| words(item).contains(says)),
                "{says}"
            );
        }
    }
    assert_eq!([&found[0][11], &found[1][11]], ["no tolerance", "beyond"]);
}

#[test]
fn the_exceptions_table_holds_the_kinds_that_there_are() {
    let app = TestApp::start();
    let yard = checked(&app);
    let (page, _) = page(&yard.outfit.contractor, SPAN);
    let report = report(&yard.outfit.contractor, SPAN);
    let kinds: Vec<Vec<String>> = list(&report["exceptions"], "kinds")
        .iter()
        .filter(|kind| kind["count"] != 0)
        .map(|kind| ["count", "means", "what_to_do"].map(|member| shown(&kind[member])).to_vec())
        .collect();
    assert!(!kinds.is_empty());
    let found: Vec<_> = rows(&page, "table-exceptions").iter().map(|row| row[1..].to_vec()).collect();
    assert_eq!(found, kinds);
}

#[test]
fn the_rows_hold_the_reports_figures() {
    let app = TestApp::start();
    let yard = checked(&app);
    let actor = &yard.outfit.contractor;
    let report = report(actor, SPAN);
    let sheet = section(actor, "check_scales");
    assert_eq!(sheet.len(), 2);
    for (row, one) in sheet.iter().zip(list(&report, "check_scales")) {
        let (head, stratum) = (&one["check_scale"], &one["strata"][0]);
        let (original, ratio) = (&stratum["original"], &stratum["net_ratio"]);
        for (column, figure) in [
            ("contract", &head["contract_title"]),
            ("checker", &head["checker"]),
            ("checked_on", &head["checked_on"]),
            ("scaler", &head["scaler"]),
            ("lot_from", &head["from"]),
            ("lot_to", &head["to"]),
            ("product", &stratum["product"]),
            ("unit", &stratum["unit"]),
            ("pieces", &original["pieces"]),
            ("gross", &original["gross"]),
            ("net", &original["net"]),
            ("ratio", &ratio["ratio"]),
            ("ratio_from", &ratio["from"]),
            ("ratio_to", &ratio["to"]),
        ] {
            assert_eq!(row[column], shown(figure), "{column}");
        }
        assert_eq!(row["outcome"], one["verdict"]["outcome"].as_str().unwrap_or_default());
    }
    let counts: Vec<_> =
        section(actor, "exceptions").iter().map(|row| (row["kind"].clone(), row["count"].clone())).collect();
    let expected: Vec<_> = list(&report["exceptions"], "kinds")
        .iter()
        .map(|kind| (text(kind, "kind"), shown(&kind["count"])))
        .collect();
    assert_eq!(counts, expected);
}

#[test]
fn a_chart_has_the_band_of_its_contract_or_none() {
    let app = TestApp::start();
    let yard = checked(&app);
    let (page, _) = page(&yard.outfit.contractor, SPAN);
    let charts = all(&page, "#check-scales svg");
    // What the mill's contract says nothing of has two circles, and neither band nor key.
    assert_eq!((within(charts[0], "polygon").len(), within(charts[0], "circle[r='3.5']").len()), (0, 2));
    // Three sticks, of which 120 against 110 is outside; one of each mark is in the key.
    assert_eq!((within(charts[1], "polygon").len(), within(charts[1], "circle[r='3.5']").len()), (1, 2 + 1));
    assert_eq!(within(charts[1], "path[stroke-width='1.8']").len(), 1 + 1);
    // Axes to 200, and two percent of the scaler's figure: 196 is 2 % less than 200, and 200 is 2 % more than 196.078431.
    let corners = within(charts[1], "polygon")[0].value().attr("points").expect("corners");
    assert!(corners.starts_with("56,406 399,56 406,56 406,62."), "{corners}");
    assert_eq!(charts.len(), 2);
    let band = |table: &str| rows(&page, table).iter().map(|row| row[3].clone()).collect::<Vec<_>>();
    assert_eq!(band("table-check-1-1"), ["none", "none"]);
    assert_eq!(band("table-check-2-1"), ["outside", "within", "within"]);
}

#[test]
fn a_mill_is_told_of_its_own_check_scales_and_of_no_exceptions() {
    let app = TestApp::start();
    let yard = checked(&app);
    let mill = &yard.outfit.mill;
    let shown = report(mill, SPAN);
    assert!(shown.get("exceptions").is_none(), "{shown:#}");
    let titles: Vec<_> =
        list(&shown, "check_scales").iter().map(|one| text(&one["check_scale"], "contract_title")).collect();
    assert_eq!(titles, ["Logs delivered"]);
    let (page, source) = page(mill, SPAN);
    is_sound(&page, &source);
    assert_eq!(all(&page, "#check-scales svg").len(), 1);
    assert!(all(&page, "#exceptions").is_empty() && !source.contains("Felling"), "{source}");
    assert_eq!((section(mill, "check_scales").len(), section(mill, "exceptions").len()), (1, 0));
}

#[test]
fn where_there_are_none_the_page_says_so() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let (empty, source) = page(&outfit.contractor, SPAN);
    is_sound(&empty, &source);
    assert!(source.contains("There are no exceptions on tickets of these weeks."), "{source}");
    assert!(source.contains("There is no check scale of wood"), "{source}");
    let shown = report(&outfit.contractor, SPAN);
    assert!(shown["exceptions"]["count"] == 0 && shown.get("check_scales").is_none(), "{shown:#}");
    // It is the lot that counts: the week of the check itself has none.
    let yard = checked(&app);
    let shown = report(&yard.outfit.contractor, "from=2026-06-14&to=2026-06-20");
    assert!(shown.get("check_scales").is_none(), "{shown:#}");
    let shown = report(&yard.outfit.contractor, "from=2026-06-07&to=2026-06-13");
    assert_eq!(list(&shown, "check_scales").len(), 2);
}

#[test]
fn of_many_check_scales_the_latest_are_shown_and_the_others_counted() {
    let app = TestApp::start();
    let yard = Yard::new(&app, Some(two_percent()));
    let felled = yard.post(1, "2026-06-02", &[12, 14]);
    let file = |day: &str| {
        let mut check = yard.check(&[again(&felled, 1, &inches(12)), again(&felled, 2, &inches(14))]);
        check["checked_on"] = json!(day);
        text(&yard.outfit.scaler.post("/v1/check-scales", &check).expect(201), "check_scale_id")
    };
    // Filed first, and checked last.
    let mut expected = vec![file("2026-06-15")];
    let others: Vec<String> = (0..13).map(|_| file("2026-06-14")).collect();
    expected.extend(others.into_iter().rev().take(11));
    let shown = report(&yard.outfit.contractor, SPAN);
    let ids: Vec<_> =
        list(&shown, "check_scales").iter().map(|one| text(&one["check_scale"], "check_scale_id")).collect();
    assert_eq!(ids, expected);
    assert_eq!(shown["further_check_scales"], 2);
    let (page, source) = page(&yard.outfit.contractor, SPAN);
    is_sound(&page, &source);
    assert_eq!(all(&page, "#check-scales svg").len(), 12);
    assert!(source.contains("there are 2 more"), "{source}");
}
