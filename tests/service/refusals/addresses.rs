//! Paths and queries: ids of no form, values out of range, what nobody knows, methods that are not there.

use reqwest::Method;
use wire::Code;

use super::{Yard, understandable};
use crate::raw;

#[test]
fn ids_of_no_form_in_the_path() {
    let yard = Yard::new();
    let ids = [
        "7",
        "nonsense",
        "01977000-0000-7000-8000-00000000009",
        "01977000-0000-7000-8000-0000000000999",
        "01977000-0000-7000-8000-00000000009g",
        "%00",
        "%27%20OR%20true",
        "..%2f..",
        "%ff",
        "*",
    ];
    let paths = [
        "/v1/contracts/{}",
        "/v1/tickets/{}",
        "/v1/tickets/{}/working",
        "/v1/settlements/{}",
        "/v1/settlements/{}/lines/1",
        "/v1/settlements/{}/crews/01977000-0000-7000-8000-000000000099",
        "/v1/statements/{}",
        "/v1/journal/entries/{}",
    ];
    for path in paths {
        for id in ids {
            let _problem = yard.refused(Code::WrongAddress, || yard.manager().get(&path.replace("{}", id)));
        }
        for id in ["00000000-0000-0000-0000-000000000000", "ffffffff-ffff-ffff-ffff-ffffffffffff"] {
            let _problem = yard.refused(Code::NotFound, || yard.manager().get(&path.replace("{}", id)));
        }
    }
    let bodies = [
        "/v1/tickets/{}/corrections",
        "/v1/tickets/{}/set-asides",
        "/v1/contracts/{}/terms",
        "/v1/crews/{}/share-sets",
        "/v1/jobs/{}/landings",
    ];
    let ticket = yard.world.ticket();
    for path in bodies {
        let _problem =
            yard.refused(Code::WrongAddress, || yard.manager().post(&path.replace("{}", "7"), &ticket));
    }
    let _problem = yard.refused(Code::WrongAddress, || yard.manager().put("/v1/settlements/7/posting"));
}

#[test]
fn line_numbers() {
    let yard = Yard::new();
    let line = |number: &str| format!("/v1/settlements/{}/lines/{number}", yard.world.posted);
    for number in ["one", "1.0", "1e0", "2147483648", "-2147483649", "0x1", "%20"] {
        let _problem = yard.refused(Code::WrongAddress, || yard.manager().get(&line(number)));
    }
    for number in ["0", "-1", "99", "2147483647", "-2147483648"] {
        let _problem = yard.refused(Code::NotFound, || yard.manager().get(&line(number)));
    }
    // A draft has lines and no posted ones.
    let week = serde_json::json!({"week_ends_on": "2026-06-13"});
    let draft = yard.manager().post("/v1/settlements", &week).expect(201);
    let path = format!("/v1/settlements/{}/lines/1", draft["settlement_id"].as_str().expect("an id"));
    let _problem = yard.refused(Code::NotFound, || yard.manager().get(&path));
}

#[test]
fn queries() {
    let yard = Yard::new();
    let lists = [
        "/v1/workers",
        "/v1/crews",
        "/v1/mills",
        "/v1/jobs",
        "/v1/contracts",
        "/v1/tickets",
        "/v1/settlements",
        "/v1/statements",
        "/v1/charges",
        "/v1/advances",
        "/v1/payments",
        "/v1/journal",
        "/v1/unpriced",
        "/v1/time-entries",
        "/v1/log-tables",
        "/v1/scale-books",
        "/v1/scale-books/A/gaps",
        "/v1/scale-books/A/voided-numbers",
        "/v1/scaler-certificates",
    ];
    let everywhere = [
        "limit=0",
        "limit=501",
        "limit=-1",
        "limit=65536",
        "limit=ten",
        "limit=",
        "limit=1.5",
        "limit=1&limit=2",
        "after=7",
        "after=ffffffff-ffff-ffff-ffff-ffffffffffff",
        "format=xml",
        "format=CSV",
        "%61fter=7",
        "after=",
        "page=2",
        "Limit=5",
        "limit[]=5",
        "limit=%00",
    ];
    for list in lists {
        for query in everywhere {
            let _problem =
                yard.refused(Code::WrongAddress, || yard.manager().get(&format!("{list}?{query}")));
        }
        for query in ["limit=1", "limit=500", "", "format=json", "format=csv", "limit=1&format=csv"] {
            let _listed = yard.manager().get(&format!("{list}?{query}")).expect(200);
        }
    }
    let own = [
        "/v1/tickets?job_id=7",
        "/v1/tickets?from=yesterday",
        "/v1/tickets?to=2026-02-30",
        "/v1/tickets?standing=maybe",
        "/v1/tickets?standing=1",
        "/v1/tickets?from=20260601",
        "/v1/tickets?from=2026-06-01T00:00",
        "/v1/tickets?from=-009999-01-01",
        "/v1/tickets?book=%00",
        "/v1/tickets?book=a%00b",
        "/v1/settlements?week_ends_on=2026-6-6",
        "/v1/settlements?week_ends_on=-009999-01-01",
        "/v1/settlements?posted=yes",
        "/v1/statements?settlement_id=7",
        "/v1/statements?worker_id=",
        "/v1/unpriced?to=soon",
        "/v1/unpriced?to=-009999-01-01",
        "/v1/unpriced?from=2026-06-02&to=2026-06-01",
        "/v1/tickets?state=lost",
        "/v1/tickets?late=1",
        "/v1/tickets?pieces=all",
        "/v1/tickets?pieces=scaled&limit=101",
        "/v1/tickets?crew_id=7",
        "/v1/tickets?scaler=%00",
        "/v1/tickets?accepted_from=2026-06-02&accepted_to=2026-06-01",
        "/v1/tickets?corrects=7",
        "/v1/scale-books/%00/gaps",
        "/v1/scaler-certificates?on=soon",
        "/v1/scaler-certificates?scaler=%20",
        "/v1/statements?week_ends_on=soon",
        "/v1/charges?from=2026-06-02&to=2026-06-01",
        "/v1/rules?format=xml",
        "/v1/balances?format=xml",
        "/v1/audit/volume-against-pay",
        "/v1/audit/volume-against-pay?from=2026-06-01",
        "/v1/audit/volume-against-pay?to=2026-06-01",
        "/v1/audit/volume-against-pay?from=2026-06-02&to=2026-06-01",
        "/v1/audit/volume-against-pay?from=2026-06-01&to=2026-06-06&job_id=all",
        "/v1/audit/volume-against-pay?from=-009999-01-01&to=2026-06-06",
    ];
    for path in own {
        let _problem = yard.refused(Code::WrongAddress, || yard.manager().get(path));
    }
}

#[test]
fn queries_for_the_journal_and_the_margin() {
    let yard = Yard::new();
    let own = [
        "/v1/audit/margin",
        "/v1/audit/margin?from=2026-06-01",
        "/v1/audit/margin?from=2026-06-02&to=2026-06-01",
        "/v1/audit/margin?from=2026-06-01&to=2026-06-06&job_id=all",
        "/v1/journal?from=2026-06-02&to=2026-06-01",
        "/v1/journal?account=petty_cash",
        "/v1/journal?worker_id=7",
        "/v1/journal?mill_id=",
        "/v1/journal/trial-balance?on=2026-02-30",
        "/v1/journal/trial-balance?from=2026-06-01",
        "/v1/journal/export",
        "/v1/journal/export?format=xml",
        "/v1/journal/export?format=CSV",
        "/v1/journal/export?format=csv&from=2026-06-02&to=2026-06-01",
        "/v1/journal/export?format=text&to=soon",
        "/v1/balances?on=yesterday",
        "/v1/balances?on=-009999-01-01",
    ];
    for path in own {
        let _problem = yard.refused(Code::WrongAddress, || yard.manager().get(path));
    }
}

#[test]
fn queries_for_records_of_money() {
    let yard = Yard::new();
    let both = format!("worker_id={}&mill_id={}", yard.world.sawyer, yard.world.outfit.mill_id);
    let problem = yard.refused(Code::WrongAddress, || yard.manager().get(&format!("/v1/payments?{both}")));
    assert!(problem["detail"].as_str().is_some_and(|says| says.contains("both")), "{problem:#}");
    for path in [
        "/v1/charges?worker_id=7",
        "/v1/advances?worker_id=",
        "/v1/payments?mill_id=all",
        "/v1/holdback?worker_id=7",
        "/v1/holdback?limit=5",
    ] {
        let _problem = yard.refused(Code::WrongAddress, || yard.manager().get(path));
    }
}

/// Days at the ends of the calendar are days; nothing may give way under them.
#[test]
fn far_days() {
    let yard = Yard::new();
    for path in [
        "/v1/tickets?from=0001-01-01&to=9999-12-31",
        "/v1/settlements?week_ends_on=9999-12-25",
        "/v1/unpriced?to=9999-12-31",
        "/v1/audit/volume-against-pay?from=0001-01-01&to=9999-12-31",
        "/v1/audit/volume-against-pay?from=9999-12-30&to=9999-12-31",
        "/v1/audit/margin?from=0001-01-01&to=9999-12-31",
        "/v1/journal?from=0001-01-01&to=9999-12-31",
        "/v1/journal/trial-balance?on=9999-12-31",
        "/v1/journal/trial-balance?on=0001-01-01",
        "/v1/journal/export?format=csv&from=0001-01-01&to=9999-12-31",
        "/v1/balances?on=9999-12-31",
    ] {
        let reply = yard.manager().get(path).documented();
        assert!(reply.status == 200 || reply.code() == Some(Code::WrongAddress), "{path}: {:#}", reply.body);
    }
}

#[test]
fn paths_where_nothing_is() {
    let yard = Yard::new();
    let paths = [
        "/",
        "/v1",
        "/v1/",
        "/v2/tickets",
        "/v1/ticket",
        "/v1/tickets/",
        "//v1/tickets",
        "/v1//tickets",
        "/v1/tickets/7/pieces",
        "/V1/tickets",
        "/v1/tickets;a=b",
        "/openapi.yaml",
        "/.env",
        "/problems",
    ];
    for path in paths {
        for actor in [yard.manager().clone(), yard.app.stranger()] {
            let reply = actor.get(path).documented();
            assert!(
                matches!(reply.code(), Some(Code::NoSuchPath)),
                "{path}: {} {:#}",
                reply.status,
                reply.body
            );
            understandable(reply.refused(Code::NoSuchPath), path);
        }
    }
    let _problem = yard.refused(Code::NotFound, || yard.app.stranger().get("/problems/nonsense"));
}

#[test]
fn methods_that_a_path_does_not_have() {
    let yard = Yard::new();
    let id = &yard.world.settled_ticket;
    let table = [
        (Method::DELETE, "/v1/tickets".to_owned(), "GET, HEAD, POST"),
        (Method::PUT, "/v1/tickets".to_owned(), "GET, HEAD, POST"),
        (Method::PATCH, format!("/v1/tickets/{id}"), "GET, HEAD"),
        (Method::DELETE, format!("/v1/tickets/{id}"), "GET, HEAD"),
        (Method::PUT, format!("/v1/tickets/{id}"), "GET, HEAD"),
        (Method::GET, format!("/v1/tickets/{id}/corrections"), "POST"),
        (Method::POST, format!("/v1/settlements/{}/posting", yard.world.posted), "PUT"),
        (Method::GET, "/v1/outfits".to_owned(), "POST"),
        (Method::POST, "/v1/outfit".to_owned(), "GET, HEAD"),
        (Method::OPTIONS, "/v1/tickets".to_owned(), "GET, HEAD, POST"),
        (Method::POST, "/health/live".to_owned(), "GET, HEAD"),
        (Method::from_bytes(b"SCALE").expect("a method"), "/v1/tickets".to_owned(), "GET, HEAD, POST"),
    ];
    for (method, path, allow) in table {
        let before = yard.database.counts();
        let reply = yard.manager().send(method.clone(), &path, Some("{}".to_owned()));
        assert_eq!(reply.header("allow"), Some(allow), "{method} {path}: {:#}", reply.body);
        let _problem = reply.refuses(Code::MethodNotAllowed);
        assert_eq!(yard.database.counts(), before, "{method} {path}");
    }
}

/// HEAD is GET without the body (RFC 9110, section 9.3.2), also where it is refused.
#[test]
fn head_has_no_body() {
    let yard = Yard::new();
    for path in ["/health/live", "/v1/tickets", "/nothing"] {
        let reply = raw::exchange(yard.app.address, &format!("HEAD {path}"), &[], b"");
        assert!([200, 401, 404, 405].contains(&reply.status), "{path}: {}", reply.head);
        assert_eq!(reply.text, "", "{path}");
        if reply.status == 405 {
            assert_eq!(
                reply.header("allow"),
                Some(if path.contains("tickets") { "GET, HEAD, POST" } else { "GET" })
            );
        }
    }
}

#[test]
fn requests_that_are_no_http_are_refused() {
    let yard = Yard::new();
    for line in ["GET", "GET /v1/tickets HTTP/9.9", "get\0 /v1/outfit", "GET /v1/out fit"] {
        let reply = raw::exchange(yard.app.address, line, &[], b"");
        assert!(reply.status == 0 || (400..=505).contains(&reply.status), "{line}: {}", reply.head);
    }
    let long = format!("/v1/tickets?book={}", "x".repeat(200_000));
    let reply = raw::exchange(yard.app.address, &format!("GET {long}"), &[], b"");
    assert!(reply.status == 0 || (400..500).contains(&reply.status), "{}", reply.head);
    let _alive = yard.app.stranger().get("/health/live").expect(200);
}
