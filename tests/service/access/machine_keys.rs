//! Keys for machines: within their scopes, until they end.

use jiff::SignedDuration;
use serde_json::{Value, json};
use tests::{Furnished, TestApp, log, ticket};
use wire::Code;

use crate::world::text;

fn asked(scopes: &[&str], expires_on: &str) -> Value {
    json!({"name": "Tablet", "role": "scaler", "scopes": scopes, "expires_on": expires_on})
}

#[test]
fn a_key_does_what_its_scopes_say_and_no_more() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let made = outfit.manager.post("/v1/machine-keys", &asked(&["tickets:write", "jobs:read"], "2026-12-31"));
    assert_eq!(made.header("cache-control"), Some("no-store"));
    let made = made.expect(201);
    let secret = text(&made, "secret");
    assert!(secret.ends_with(&text(&made["grant"], "last_four")));
    // The last day is over at midnight where the outfit is, five hours west of UTC.
    assert_eq!(made["grant"]["expires_at"], "2027-01-01T05:00:00Z");
    let tablet = app.bearer(&secret);
    let accepted =
        tablet.post("/v1/tickets", &ticket(&outfit, 1, "2026-06-03", &[log("16", "16")])).expect(201);
    let shown = outfit.manager.get(&format!("/v1/tickets/{}", text(&accepted, "ticket_id"))).expect(200);
    assert!(shown.to_string().contains("\"Tablet\""), "{shown:#}");
    let _jobs = tablet.get("/v1/jobs").expect(200);
    let reply = tablet.get("/v1/tickets");
    assert_eq!(reply.header("www-authenticate"), Some("Bearer error=\"insufficient_scope\""));
    let told = reply.refuses(Code::ScopeNotGranted);
    assert!(text(&told, "detail").contains("tickets:read"), "{told:#}");
    let _writes = tablet.post("/v1/jobs", &json!({"name": "Another"})).refuses(Code::RoleNotAllowed);
    let revocation = format!("/v1/access-grants/{}/revocation", text(&made["grant"], "grant_id"));
    let _revoked = outfit.manager.post(&revocation, &json!({"reason": "lost"})).expect(201);
    let _out = tablet.get("/v1/jobs").refuses(Code::AccessRevoked);
}

#[test]
fn no_key_gives_itself_or_others_access() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let all: Vec<String> = api::access::scopes::all().iter().map(ToString::to_string).collect();
    let key = json!({"name": "Tool", "role": "manager", "scopes": all, "expires_on": "2026-12-31"});
    let tool = outfit.manager.post("/v1/machine-keys", &key).expect(201);
    let tool = app.bearer(&text(&tool, "secret"));
    let _everything_else = tool.get("/v1/statements").expect(200);
    for path in ["/v1/accounts", "/v1/access-grants"] {
        let _problem = tool.get(path).refuses(Code::ScopeNotGranted);
    }
    for path in ["/v1/accounts", "/v1/access-tokens", "/v1/machine-keys"] {
        let _problem = tool.post(path, &json!({})).refuses(Code::ScopeNotGranted);
    }
}

#[test]
fn a_key_ends() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let made = outfit.manager.post("/v1/machine-keys", &asked(&["jobs:read"], "2026-06-08")).expect(201);
    let tablet = app.bearer(&text(&made, "secret"));
    // It is nine in the morning in Detroit.
    app.clock.advance(SignedDuration::from_secs(15 * 60 * 60 - 1)).expect("a time");
    let _still = tablet.get("/v1/jobs").expect(200);
    app.clock.advance(SignedDuration::from_secs(1)).expect("a time");
    let _over = tablet.get("/v1/jobs").refuses(Code::TokenExpired);
}

#[test]
fn what_cannot_be_a_key_is_refused() {
    let app = TestApp::start();
    let (outfit, other) = (Furnished::new(&app), Furnished::new(&app));
    for (wrong, pointer) in [
        (asked(&[], "2026-12-31"), "#/scopes"),
        (asked(&["tickets:write", "boots:write"], "2026-12-31"), "#/scopes/1"),
        (asked(&["tickets"], "2026-12-31"), "#/scopes/0"),
        (asked(&["accounts:write"], "2026-12-31"), "#/scopes/0"),
        (asked(&["tickets:write"], "2026-06-07"), "#/expires_on"),
        (asked(&["tickets:write"], "2027-07-14"), "#/expires_on"),
        (asked(&["tickets:write"], "9999-12-31"), "#/expires_on"),
    ] {
        let problem = outfit.manager.post("/v1/machine-keys", &wrong).refuses(Code::WrongForm);
        assert_eq!(problem["errors"][0]["pointer"], pointer, "{wrong}");
    }
    let longest = outfit.manager.post("/v1/machine-keys", &asked(&["jobs:read"], "2027-07-12")).expect(201);
    let secret = text(&longest, "secret");
    let (ours, theirs) =
        (outfit.outfit.to_string().replace('-', ""), other.outfit.to_string().replace('-', ""));
    for wrong in [
        secret.replace(&ours, &theirs),
        secret.to_uppercase().replace("SKIDWAY_KEY", "skidway_key"),
        format!("{secret}0"),
        "skidway_key_".to_owned(),
        secret.replace("skidway_key_", ""),
    ] {
        let _problem = app.bearer(&wrong).get("/v1/jobs").refuses(Code::TokenRefused);
    }
    let _good = app.bearer(&secret).get("/v1/jobs").expect(200);
}
