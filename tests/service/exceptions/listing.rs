//! The list: pages, rows, filters, tags, and who may see it.

use serde_json::{Value, json};
use tests::{Furnished, TestApp, log};
use wire::{Code, ExceptionKind};

use super::clean::{Clean, SPAN, kinds, listed};

/// A gap, something unpriced, and a late ticket.
fn with_three(app: &TestApp) -> Clean {
    let clean = Clean::new(app);
    let _posted = clean.outfit.settle("2026-06-06");
    let _late = clean.post(&clean.ticket(4, "2026-06-04", &[log("13", "16")]));
    let pole = json!({"product": "pole", "species": "cedar", "length_ft": "30"});
    let crew = clean.outfit.felling_crew.clone();
    let _unpriced = clean.post(&clean.work(6, "2026-06-10", &[("felling", &crew)], &[pole]));
    clean
}

#[test]
fn pages_filters_rows_and_tags() {
    let app = TestApp::start();
    let clean = with_three(&app);
    let contractor = &clean.outfit.contractor;
    let all = clean.exceptions();
    assert_eq!(kinds(&all), ["scale_book_gap", "unpriced_piece", "late_ticket"]);
    let mut paged = Vec::new();
    let mut path = format!("/v1/audit/exceptions?{SPAN}&limit=1");
    loop {
        let page = contractor.get(&path).expect(200);
        paged.extend(page["items"].as_array().expect("items").clone());
        let Some(next) = page["next"].as_str() else { break };
        path = format!("/v1/audit/exceptions?{SPAN}&limit=1&after={next}");
    }
    assert_eq!(paged, all);
    for kind in ExceptionKind::ALL {
        let expected: Vec<_> = all.iter().filter(|one| one["kind"] == kind.name()).cloned().collect();
        assert_eq!(listed(contractor, &format!("{SPAN}&kind={}", kind.name())), expected, "{kind:?}");
    }
    assert_eq!(
        kinds(&listed(contractor, "from=2026-06-08&to=2026-06-14")),
        ["scale_book_gap", "unpriced_piece"]
    );
    assert!(listed(contractor, "from=2026-06-01&to=2026-06-02").is_empty());
    assert_eq!(listed(contractor, &format!("{SPAN}&job_id={}", clean.outfit.job)), all);
    let other = clean.outfit.manager.post("/v1/jobs", &json!({"name": "Other tract"})).expect(201);
    let other = other["job_id"].as_str().expect("an id");
    assert!(listed(contractor, &format!("{SPAN}&job_id={other}")).is_empty());
    let rows = contractor.get(&format!("/v1/audit/exceptions?{SPAN}&format=csv")).text;
    let rows: Vec<_> = rows.lines().collect();
    assert!(rows.len() == 4 && rows[0].starts_with("kind,says,day,job_id,tickets,"), "{rows:?}");
    assert!(rows[2].contains("A 6 (1)"), "{rows:?}");
    let path = format!("/v1/audit/exceptions?{SPAN}");
    let tag = contractor.get(&path).header("etag").expect("a tag").to_owned();
    assert_eq!(contractor.get_with(&path, "If-None-Match", &tag).status, 304);
    for wrong in
        ["from=2026-06-14&to=2026-06-01", "from=2026-06-01", "from=2026-06-01&to=2026-06-14&kind=bad_luck"]
    {
        let _problem = contractor.get(&format!("/v1/audit/exceptions?{wrong}")).refused(Code::WrongAddress);
    }
    for one in &all {
        for link in one["links"].as_array().into_iter().flatten().filter_map(Value::as_str) {
            let _shown = contractor.get(link).expect(200);
        }
    }
}

#[test]
fn the_summary_counts_and_explains_every_kind() {
    let app = TestApp::start();
    let clean = with_three(&app);
    let summary = clean.outfit.contractor.get(&format!("/v1/audit/exceptions-by-kind?{SPAN}")).expect(200);
    assert_eq!(summary["count"], 3);
    let counted: Vec<_> = summary["kinds"].as_array().expect("kinds").iter().collect();
    assert_eq!(counted.len(), ExceptionKind::ALL.len());
    let all = clean.exceptions();
    for one in counted {
        let expected = kinds(&all).iter().filter(|kind| **kind == one["kind"]).count();
        assert_eq!(one["count"], expected, "{one:#}");
        for member in ["means", "found_by", "what_to_do"] {
            assert!(one[member].as_str().is_some_and(|text| text.ends_with('.')), "{one:#}");
        }
    }
}

#[test]
fn mill_scaler_and_other_outfits_see_nothing_of_it() {
    let app = TestApp::start();
    let clean = with_three(&app);
    let paths = [
        format!("/v1/audit/exceptions?{SPAN}"),
        format!("/v1/audit/exceptions-by-kind?{SPAN}"),
        "/v1/turn-counts".to_owned(),
    ];
    for path in &paths {
        for kept_out in [&clean.outfit.mill, &clean.outfit.scaler] {
            let _problem = kept_out.get(path).refused(Code::RoleNotAllowed);
        }
        for let_in in [&clean.outfit.contractor, &clean.outfit.bookkeeper, &clean.outfit.manager] {
            let _shown = let_in.get(path).expect(200);
        }
    }
    let other = Furnished::new(&app);
    assert!(listed(&other.contractor, SPAN).is_empty());
    assert!(listed(&other.contractor, &format!("{SPAN}&job_id={}", clean.outfit.job)).is_empty());
    let count = json!({"job_id": clean.outfit.job, "counted_on": "2026-06-02", "turns": 1, "counted_by": "Clerk",
                       "party": {"crew_id": other.teamster}});
    let _problem = other.bookkeeper.post("/v1/turn-counts", &count).refused(Code::NamesMissingRecord);
    for kept_out in [&clean.outfit.mill, &clean.outfit.scaler, &clean.outfit.contractor] {
        let _problem = kept_out.post("/v1/turn-counts", &count).refused(Code::RoleNotAllowed);
    }
}
