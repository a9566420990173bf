//! Who sees what: a mill its own side, an outfit its own books.

use serde_json::Value;
use tests::{Furnished, TestApp};
use wire::Code;

use super::busy::{Busy, SPAN};
use crate::world::text;

/// Every text anywhere in an answer.
fn texts<'a>(value: &'a Value, found: &mut Vec<&'a str>) {
    match value {
        Value::String(text) => found.push(text),
        Value::Array(items) => items.iter().for_each(|item| texts(item, found)),
        Value::Object(members) => members.values().for_each(|member| texts(member, found)),
        _ => {}
    }
}

#[test]
fn a_mill_is_told_of_its_own_side_only() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let contracts = busy.outfit.manager.get("/v1/contracts").expect(200);
    for (mill, title, unit) in [
        (&busy.outfit.mill, "Logs delivered", "board_foot"),
        (&busy.upper, "Logs for the upper mill", "cubic_foot"),
    ] {
        let audit = mill.get(&format!("/v1/audit/volume-against-pay?{SPAN}")).expect(200);
        let report = mill.get(&format!("/v1/reports/audit?{SPAN}")).expect(200);
        let csv = mill.get(&format!("/v1/reports/audit?{SPAN}&format=csv")).text;
        let page = mill.get(&format!("/v1/reports/audit?{SPAN}&format=html")).text;
        for answer in [&audit, &report["volume_against_pay"]] {
            assert!(answer.get("margin").is_none() && answer.get("earned_by_crews").is_none(), "{answer:#}");
            for row in answer["stages"].as_array().expect("rows") {
                assert_eq!(row["stage"], "delivered");
                if let Some(scale) = row.get("scaled_by") {
                    assert_eq!(
                        (text(scale, "contract_title").as_str(), text(scale, "unit").as_str()),
                        (title, unit)
                    );
                    assert_eq!(scale["own"], true);
                }
            }
            let payees = answer["payees"].as_array().map_or(0, Vec::len);
            assert!(
                payees <= 1
                    && answer["payees"]
                        .as_array()
                        .into_iter()
                        .flatten()
                        .all(|one| one["payee"].get("worker_id").is_none())
            );
        }
        assert!(report.get("cost_by_week").is_none() && report.get("margin").is_none(), "{report:#}");
        let mut said = Vec::new();
        texts(&audit, &mut said);
        texts(&report, &mut said);
        let others = contracts["items"].as_array().expect("items").iter().filter(|one| one["title"] != title);
        for hidden in others.flat_map(|one| [text(one, "title"), text(one, "contract_id")]) {
            assert!(!said.iter().any(|one| one.contains(&hidden)), "{hidden}");
            assert!(!csv.contains(&hidden) && !page.contains(&hidden.replace('\'', "&#39;")), "{hidden}");
        }
        for hidden in ["hand 0", "sawyer", "Teamster", "Cost per thousand"] {
            assert!(!page.contains(hidden) && !csv.contains(hidden), "{hidden}");
        }
        // A crew asked about by a mill is nobody, a crew's contract is not there.
        let of_crew = mill
            .get(&format!("/v1/audit/volume-against-pay?{SPAN}&crew_id={}", busy.other_fellers))
            .expect(200);
        assert!(
            of_crew.get("stages").is_none() && of_crew["contracts"] == serde_json::json!([]),
            "{of_crew:#}"
        );
        let path =
            format!("/v1/audit/volume-against-pay?{SPAN}&contract_id={}", busy.outfit.felling_contract);
        let _problem = mill.get(&path).refuses(Code::NotFound);
    }
}

#[test]
fn another_outfit_sees_nothing_of_it() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let other = Furnished::new(&app);
    let audit = other.contractor.get(&format!("/v1/audit/volume-against-pay?{SPAN}")).expect(200);
    assert!(audit["contracts"] == serde_json::json!([]) && audit.get("stages").is_none(), "{audit:#}");
    for query in [format!("crew_id={}", busy.hewers), format!("job_id={}", busy.outfit.job)] {
        let shown = other.contractor.get(&format!("/v1/audit/volume-against-pay?{SPAN}&{query}")).expect(200);
        assert!(
            shown.get("stages").is_none() && shown["margin"]["rows"] == serde_json::json!([]),
            "{shown:#}"
        );
    }
    let contract =
        format!("/v1/audit/volume-against-pay?{SPAN}&contract_id={}", busy.outfit.felling_contract);
    let _problem = other.manager.get(&contract).refuses(Code::NotFound);
    let job = format!("/v1/reports/audit?{SPAN}&job_id={}", busy.outfit.job);
    let _problem = other.manager.get(&job).refuses(Code::NotFound);
    let _problem = busy.outfit.scaler.get(&format!("/v1/reports/audit?{SPAN}")).refuses(Code::RoleNotAllowed);
}
