//! The report's figures, recomputed from the tickets; its rows for spreadsheets, held against its JSON.

use std::collections::BTreeMap;

use serde_json::Value;
use tests::{Actor, TestApp};

use super::busy::{Busy, HOSTILE, SPAN};
use super::naive::{Figures, all, answered, figures, millionths, stages};
use crate::world::text;

fn report(actor: &Actor, query: &str) -> Value {
    actor.get(&format!("/v1/reports/audit?{query}")).expect(200)
}

/// A stage on one scale.
type OneScale = (String, Option<(String, String, bool)>);

fn added(sums: &mut BTreeMap<OneScale, Figures>, key: OneScale, more: Figures) {
    let sum = sums.entry(key).or_default();
    *sum = (sum.0 + more.0, sum.1 + more.1, sum.2 + more.2, sum.3 + more.3);
}

#[test]
fn volume_by_week_is_what_the_tickets_say() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.bookkeeper;
    let shown = report(actor, SPAN);
    for ends_on in ["2026-06-06", "2026-06-13", "2026-06-20", "2026-06-27"] {
        let day: jiff::civil::Date = ends_on.parse().expect("a day");
        let query = format!("state=standing&pieces=scaled&from={}&to={day}", day - jiff::Span::new().days(6));
        let mut expected = BTreeMap::new();
        for ((stage, _, _, scale), figures) in stages(actor, &all(actor, &format!("/v1/tickets?{query}"))) {
            added(&mut expected, (stage, scale), figures);
        }
        let mut found = BTreeMap::new();
        for row in shown["volume_by_week"]
            .as_array()
            .expect("rows")
            .iter()
            .filter(|row| row["week_ends_on"] == ends_on)
        {
            let scale = row
                .get("scaled_by")
                .map(|scale| (text(scale, "contract_title"), text(scale, "unit"), scale["own"] == true));
            assert!(
                found.insert((text(row, "stage"), scale), figures(row)).is_none(),
                "{row:#} stands twice"
            );
            share(row);
        }
        assert_eq!(found, expected, "{ends_on}");
    }
    assert_eq!(
        answered(&shown["volume_against_pay"]["stages"]),
        stages(actor, &all(actor, &format!("/v1/tickets?state=standing&pieces=scaled&{SPAN}")))
    );
}

/// The share of defect is net and gross held against each other, in lowest terms or as a decimal.
fn share(row: &Value) {
    let (gross, net) = (millionths(&row["gross"]), millionths(&row["net"]));
    let Some(share) = row["defect_share"].as_str() else {
        assert_eq!(gross, 0, "{row:#}");
        return;
    };
    let (above, below) = share.split_once('/').map_or_else(
        || {
            let (whole, part) = share.split_once('.').unwrap_or((share, ""));
            let digits: i128 = format!("{whole}{part}").parse().expect("digits");
            (digits, 10_i128.pow(u32::try_from(part.len()).expect("few")))
        },
        |(above, below)| (above.parse().expect("digits"), below.parse().expect("digits")),
    );
    assert_eq!(above * i128::from(gross), below * i128::from(gross - net), "{row:#}");
}

#[test]
fn every_scalers_pieces_count_once() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    let shown = report(actor, SPAN);
    let mut expected: BTreeMap<(String, String), Figures> = BTreeMap::new();
    let parties: BTreeMap<String, bool> = all(actor, "/v1/contracts")
        .iter()
        .map(|one| (text(one, "contract_id"), one["party"].get("mill_id").is_some()))
        .collect();
    for ticket in all(actor, &format!("/v1/tickets?state=standing&pieces=scaled&{SPAN}")) {
        let mut scales: Vec<&Value> = ticket["scaled"].as_array().into_iter().flatten().collect();
        // A mill's scale before the crews', and of these the first that was filed.
        scales.sort_by_key(|one| {
            (!parties[one["contract_id"].as_str().expect("an id")], text(one, "contract_id"))
        });
        for place in 0..ticket["piece_count"].as_u64().expect("a count") {
            let place = usize::try_from(place).expect("a place");
            let scale = scales.iter().find(|one| one["pieces"][place].get("unit").is_some());
            let Some(scale) = scale else { continue };
            let volume = &scale["pieces"][place];
            let sum = expected
                .entry((text(&ticket["ticket"], "scaler"), text(scale, "contract_title")))
                .or_default();
            let cull = i64::from(volume.get("cull").is_some());
            *sum = (
                sum.0 + 1,
                sum.1 + cull,
                sum.2 + millionths(&volume["gross"]),
                sum.3 + millionths(&volume["net"]),
            );
        }
    }
    let rows = shown["defect_by_scaler"].as_array().expect("rows");
    let found: BTreeMap<_, _> = rows
        .iter()
        .map(|row| ((text(row, "scaler"), text(&row["scaled_by"], "contract_title")), figures(row)))
        .collect();
    assert_eq!(found, expected);
    assert_eq!(found.len(), rows.len());
    assert!(found.keys().any(|key| key.0 == HOSTILE));
    for row in rows {
        share(row);
        let mut all = (0, 0, 0, 0);
        for timber in row["timber"].as_array().expect("timber") {
            share(timber);
            let more = figures(timber);
            all = (all.0 + more.0, all.1 + more.1, all.2 + more.2, all.3 + more.3);
        }
        assert_eq!(all, figures(row));
        let address = text(&row["made_of"][0], "address");
        let tickets = self::all(actor, &address);
        assert!(!tickets.is_empty() && tickets.iter().all(|one| one["ticket"]["scaler"] == row["scaler"]));
    }
}

#[test]
fn rows_for_spreadsheets_say_what_the_report_says() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    let shown = report(actor, SPAN);
    let reply = actor.get(&format!("/v1/reports/audit?{SPAN}&format=csv"));
    assert_eq!(reply.header("content-type"), Some("text/csv; charset=utf-8; header=present"));
    assert!(
        reply
            .header("content-disposition")
            .is_some_and(|says| says.contains("audit_2026-05-31_2026-06-27.csv"))
    );
    let mut reader = csv::Reader::from_reader(reply.text.as_bytes());
    let rows: Vec<BTreeMap<String, String>> = reader.deserialize().map(|row| row.expect("a row")).collect();
    let of = |section: &str| rows.iter().filter(|row| row["section"] == section).collect::<Vec<_>>();
    let list = |pointer: &str| shown.pointer(pointer).and_then(Value::as_array).expect("rows").clone();
    for (section, pointer) in [
        ("volume_by_week", "/volume_by_week"),
        ("stages", "/volume_against_pay/stages"),
        ("margin", "/margin/rows"),
        ("contracts", "/volume_against_pay/contracts"),
        ("payees", "/volume_against_pay/payees"),
    ] {
        let (rows, said) = (of(section), list(pointer));
        assert_eq!(rows.len(), said.len(), "{section}");
        for (row, said) in rows.iter().zip(&said) {
            for figure in ["pieces", "culls", "gross", "net"] {
                if section != "margin" {
                    let text = said[figure].as_str().map(str::to_owned);
                    let text = text.or_else(|| said[figure].as_i64().map(|count| count.to_string()));
                    assert_eq!(row[figure], text.unwrap_or_default(), "{section} {figure}");
                }
            }
            for amount in ["earned", "posted", "open", "paid", "balance", "owed", "cost", "margin"] {
                assert_eq!(
                    row[amount],
                    said[amount]["amount"].as_str().unwrap_or_default(),
                    "{section} {amount}"
                );
            }
        }
    }
    let timber: usize =
        list("/defect_by_scaler").iter().map(|one| one["timber"].as_array().map_or(0, Vec::len)).sum();
    assert_eq!(of("defect_by_scaler").len(), timber);
    assert!(of("defect_by_scaler").iter().any(|row| row["scaler"] == HOSTILE));
    let costs: usize =
        list("/cost_by_week").iter().map(|one| one["tasks"].as_array().map_or(0, Vec::len) + 1).sum();
    assert_eq!(of("cost_by_week").len(), costs);
    // One section is the same rows alone.
    let one = actor.get(&format!("/v1/reports/audit?{SPAN}&format=csv&section=payees")).text;
    assert_eq!(one.lines().count(), of("payees").len() + 1);
    assert!(one.lines().skip(1).all(|line| line.starts_with("payees,") && reply.text.contains(line)));
}
