//! Who sees what: nobody is led to the door, a scaler is refused, a mill sees its own side, another outfit finds nothing.

use tests::{Furnished, TestApp, Visitor};

use super::two_weeks;

const FOR_ALL: [&str; 5] = [
    "/desk/audit?from=2026-06-01&to=2026-06-06",
    "/desk/audit/find",
    "/desk/audit/overrun?from=2026-06-01&to=2026-06-06",
    "/desk/audit/seals",
    "/desk/contracts",
];
const NOT_FOR_MILLS: [&str; 5] = [
    "/desk/audit/exceptions?from=2026-06-01&to=2026-06-06",
    "/desk/audit/exceptions/late_ticket?from=2026-06-01&to=2026-06-06",
    "/desk/audit/changes",
    "/desk/audit/cruises",
    "/desk/audit/balances",
];

#[test]
fn each_role_sees_what_the_api_lets_it() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _settled = two_weeks(&outfit);
    let mut scaler = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let mut mill = Visitor::signed_in(&app, &outfit, "max", "mill");
    let mut contractor = Visitor::signed_in(&app, &outfit, "ann", "contractor");
    for path in FOR_ALL.into_iter().chain(NOT_FOR_MILLS) {
        assert!(
            Visitor::new(&app).get(path).leads_to().expect("the door").starts_with("/desk/sign-in"),
            "{path}"
        );
        assert_eq!(scaler.get(path).reply.status, 403, "{path}");
        assert_eq!(contractor.get(path).reply.status, 200, "{path}");
        let for_mills = FOR_ALL.contains(&path);
        assert_eq!(mill.get(path).reply.status, if for_mills { 200 } else { 403 }, "{path}");
    }
}

#[test]
fn a_mill_is_shown_nothing_of_crews() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _settled = two_weeks(&outfit);
    let mut mill = Visitor::signed_in(&app, &outfit, "max", "mill");
    for path in ["/desk/audit?from=2026-06-01&to=2026-06-13", "/desk/contracts", "/desk/audit/seals"] {
        let all = mill.get(path).text();
        for hidden in ["Felling crew", "Team", "10.01", "Skidding", "Exceptions", "Cruises"] {
            assert!(!all.contains(hidden), "{path}: {hidden}");
        }
    }
    let other = format!("/desk/contracts/{}", outfit.felling_contract);
    assert_eq!(mill.get(&other).reply.status, 404);
}

#[test]
fn another_outfit_finds_nothing() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let settled = two_weeks(&outfit);
    let id = |value: &serde_json::Value| value.as_str().expect("an id").to_owned();
    let ticket = id(&outfit.contractor.get("/v1/tickets").expect(200)["items"][0]["ticket_id"]);
    let seal = id(&outfit.contractor.get("/v1/seals").expect(200)["items"][0]["statement"]["seal_id"]);
    let statement = id(&outfit.contractor.get("/v1/statements").expect(200)["items"][0]["statement_id"]);
    let settlement = id(&settled["settlement_id"]);
    let other = Furnished::new(&app);
    let mut stranger = Visitor::signed_in(&app, &other, "otto", "manager");
    for path in [
        format!("/desk/audit/tickets/{ticket}"),
        format!("/desk/audit/tickets/{ticket}/pieces/1"),
        format!("/desk/audit/settlements/{settlement}/lines/1"),
        format!("/desk/audit/statements/{statement}/lines/1"),
        format!("/desk/audit/seals/{seal}"),
        format!("/desk/audit/seals/{seal}/check"),
        format!("/desk/audit/seals/{seal}/records.ndjson"),
        format!("/desk/audit/seals/{seal}/ticket-{ticket}.json"),
        format!("/desk/audit/check-scales/{ticket}"),
        format!("/desk/audit/cruises/{ticket}"),
        format!("/desk/contracts/{}", outfit.felling_contract),
        format!("/desk/contracts/{}/amendment", outfit.felling_contract),
        "/desk/audit/exceptions/nothing_of_that_name".to_owned(),
        "/desk/audit/tickets/not-an-id".to_owned(),
    ] {
        assert_eq!(stranger.get(&path).reply.status, 404, "{path}");
    }
}
