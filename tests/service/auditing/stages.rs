//! The stages and the weeks, held against the tickets.

use serde_json::Value;
use tests::{Actor, TestApp};

use super::busy::{Busy, SPAN};
use super::naive::{all, answered, stages};
use crate::world::text;

fn audit(actor: &Actor, query: &str) -> Value {
    actor.get(&format!("/v1/audit/volume-against-pay?{query}")).expect(200)
}

fn tickets(actor: &Actor, query: &str) -> Vec<Value> {
    all(actor, &format!("/v1/tickets?state=standing&pieces=scaled&{query}"))
}

#[test]
fn stages_are_what_the_tickets_say_for_every_question() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    let whole = audit(actor, SPAN);
    let found = answered(&whole["stages"]);
    assert_eq!(found, stages(actor, &tickets(actor, SPAN)));
    // All that is hard is in it: scales of their own and others that stand in, culls, pieces without any, every unit.
    assert!(found.keys().any(|key| key.3.is_none()) && found.values().any(|figures| figures.1 > 0));
    assert!(found.keys().any(|key| key.3.as_ref().is_some_and(|scale| !scale.2)));
    assert!(found.keys().any(|key| key.3.as_ref().is_some_and(|scale| scale.1 == "cubic_foot")));
    for job in [&busy.outfit.job, &busy.other_job] {
        let query = format!("{SPAN}&job_id={job}");
        let of_job = answered(&audit(actor, &query)["stages"]);
        assert!(!of_job.is_empty() && of_job != found);
        assert_eq!(of_job, stages(actor, &tickets(actor, &query)));
    }
    let weeks = whole["weeks"].as_array().expect("weeks");
    assert_eq!(
        weeks.iter().map(|week| text(week, "week_ends_on")).collect::<Vec<_>>(),
        ["2026-06-06", "2026-06-13", "2026-06-20", "2026-06-27"]
    );
    for week in weeks {
        let ends_on: jiff::civil::Date = text(week, "week_ends_on").parse().expect("a day");
        let begins_on = ends_on - jiff::Span::new().days(6);
        let of_week = tickets(actor, &format!("from={begins_on}&to={ends_on}"));
        assert_eq!(answered(&week["stages"]), stages(actor, &of_week));
    }
}

#[test]
fn a_crew_is_asked_about_with_the_pieces_that_it_worked() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let actor = &busy.outfit.contractor;
    for crew in [&busy.outfit.felling_crew, &busy.other_fellers, &busy.hewers, &busy.outfit.teamster] {
        let shown = audit(actor, &format!("{SPAN}&crew_id={crew}"));
        // The same tickets with nobody's work but this crew's, and no piece that it did not work.
        let mut of_crew = tickets(actor, &format!("{SPAN}&crew_id={crew}"));
        for ticket in &mut of_crew {
            let work = ticket["ticket"]["work"].as_array_mut().expect("work");
            work.retain(|entry| entry["crew_id"] == **crew);
            let worked: Vec<u64> = work
                .iter()
                .flat_map(|entry| entry["pieces"].as_array().expect("pieces"))
                .map(|piece| piece.as_u64().expect("a number"))
                .collect();
            leave_out(ticket, &worked);
        }
        assert_eq!(answered(&shown["stages"]), stages(actor, &of_crew), "{shown:#}");
        for contract in shown["contracts"].as_array().expect("contracts") {
            assert_eq!(contract["party"]["crew_id"], **crew);
            // A contract is asked about with its own job alone.
            let id = text(contract, "contract_id");
            let one = audit(actor, &format!("{SPAN}&contract_id={id}"));
            assert_eq!(one["contracts"].as_array().map(Vec::len), Some(1));
            assert_eq!(one["contracts"][0]["earned"], contract["earned"]);
            let job = &actor.get(&format!("/v1/contracts/{id}")).expect(200)["job_id"];
            let same =
                audit(actor, &format!("{SPAN}&crew_id={crew}&job_id={}", job.as_str().expect("an id")));
            assert_eq!(one["stages"], same["stages"]);
            assert_eq!(one["margin"], same["margin"]);
        }
    }
}

/// Leaves out the pieces that nobody worked: they become pieces of a kind that no row has.
fn leave_out(ticket: &mut Value, worked: &[u64]) {
    let pieces = ticket["ticket"]["pieces"].as_array().expect("pieces").len();
    assert!(!worked.is_empty());
    let kept: Vec<usize> =
        (0..pieces).filter(|place| worked.contains(&u64::try_from(place + 1).expect("a number"))).collect();
    let keep = |list: &Value| Value::from(kept.iter().map(|place| list[*place].clone()).collect::<Vec<_>>());
    let facts = &mut ticket["ticket"];
    facts["pieces"] = keep(&facts["pieces"]);
    for entry in facts["work"].as_array_mut().expect("work") {
        let numbers = entry["pieces"].as_array().expect("pieces").iter();
        let moved: Vec<_> = numbers
            .map(|number| {
                let place = usize::try_from(number.as_u64().expect("a number") - 1).expect("a place");
                Value::from(kept.iter().position(|one| *one == place).expect("it is kept") + 1)
            })
            .collect();
        entry["pieces"] = moved.into();
    }
    for contract in ticket["scaled"].as_array_mut().expect("scaled") {
        contract["pieces"] = keep(&contract["pieces"]);
    }
}

#[test]
fn rules_are_named_and_volumes_of_two_rules_stand_apart() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let shown = audit(&busy.outfit.contractor, &format!("{SPAN}&job_id={}", busy.outfit.job));
    let rows = shown["stages"].as_array().expect("rows");
    let rules = |title: &str| {
        let row = rows.iter().find(|row| {
            row["stage"] == "felled"
                && row["scaled_by"]["contract_title"] == title
                && row["species"] == "white pine"
        });
        row.unwrap_or_else(|| panic!("{title}: {rows:#?}"))["scaled_by"]["rules"].clone()
    };
    // The first crew's terms changed within the span.
    assert_eq!(rules("Felling"), serde_json::json!(["international-quarter-inch", "scribner-decimal-c"]));
    assert_eq!(rules("Felling on Doyle's rule"), serde_json::json!(["doyle"]));
    let hewn = rows.iter().find(|row| row["stage"] == "hewn").expect("timbers were hewn");
    assert!(hewn["scaled_by"].get("rules").is_none() && hewn["scaled_by"]["own"] == true, "{hewn:#}");
}

#[test]
fn nothing_scaled_is_nothing_shown() {
    let app = TestApp::start();
    let busy = Busy::new(&app);
    let shown = audit(&busy.outfit.contractor, "from=2030-01-01&to=2030-01-31");
    for member in ["stages", "weeks"] {
        assert!(shown.get(member).is_none(), "{shown:#}");
    }
    assert_eq!(shown["margin"]["rows"], serde_json::json!([]));
    let report = busy.outfit.contractor.get("/v1/reports/audit?from=2030-01-01&to=2030-01-31").expect(200);
    assert_eq!(report["volume_by_week"], serde_json::json!([]));
}
