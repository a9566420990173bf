//! Signing in and out at the desk; who is kept out, and what a cookie is good for.

use jiff::SignedDuration;
use reqwest::Method;
use tests::{Furnished, TestApp, Visitor};

const SESSION: &str = "__Host-skidway-session";

#[test]
fn everybody_comes_in_where_their_work_is() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    for (role, place) in [
        ("scaler", "/desk/yard"),
        ("bookkeeper", "/desk/week"),
        ("contractor", "/desk/audit"),
        ("mill", "/desk/audit"),
    ] {
        let mut visitor = Visitor::signed_in(&app, &outfit, &format!("one-{role}"), role);
        assert_eq!(visitor.get("/desk").leads_to().as_deref(), Some(place), "{role}");
    }
}

#[test]
fn cookies_stay_on_this_host_and_out_of_scripts() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut visitor = Visitor::new(&app);
    let shown = visitor.get("/desk/sign-in");
    for (_, cookie) in shown.reply.headers.iter().filter(|(name, _)| name == "set-cookie") {
        for attribute in ["HttpOnly", "SameSite=Strict", "Secure", "Path=/"] {
            assert!(cookie.contains(attribute), "{attribute}: {cookie}");
        }
        assert!(cookie.starts_with("__Host-") && !cookie.contains("Domain"), "{cookie}");
    }
    let visitor = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let session = &visitor.cookies[SESSION];
    assert!(session.len() < 3_500, "browsers keep no more than 4096 bytes: {}", session.len());
    assert!(!session.contains("skidway_refresh") && !session.contains("ida"));
}

#[test]
fn a_stranger_is_led_to_the_door_and_then_to_where_they_were_going() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _registered = Visitor::signed_in(&app, &outfit, "ida", "contractor");
    let mut visitor = Visitor::new(&app);
    let door = visitor.get("/desk/audit?from=2026-06-01").leads_to().expect("it leads on");
    assert_eq!(door, "/desk/sign-in?next=/desk/audit%3Ffrom%3D2026-06-01");
    let form = visitor.get(&door).form("/desk/sign-in");
    let form = form
        .with("outfit", &outfit.outfit.to_string())
        .with("name", "ida")
        .with("password", "a cold morning in june");
    let elsewhere = form.clone().with("next", "//elsewhere.example/desk/");
    assert_eq!(visitor.submit(&form).leads_to().as_deref(), Some("/desk/audit?from=2026-06-01"));
    let mut other = Visitor::new(&app);
    let door = other.get("/desk/sign-in").form("/desk/sign-in");
    let door = door.fields.iter().find(|(name, _)| name == "door").expect("the door's field").1.clone();
    assert_eq!(other.submit(&elsewhere.with("door", &door)).leads_to().as_deref(), Some("/desk"));
}

#[test]
fn a_wrong_password_is_told_on_the_page_and_nothing_is_kept_of_it() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut visitor = Visitor::new(&app);
    let form = visitor.get("/desk/sign-in").form("/desk/sign-in");
    let form = form
        .with("outfit", &outfit.outfit.to_string())
        .with("name", "ida")
        .with("password", "hunter2 hunter2");
    let shown = visitor.submit(&form);
    let _page = shown.page(401);
    assert_eq!(shown.texts("[role=alert] strong").len(), 1, "{}", shown.text());
    assert!(!shown.reply.text.contains("hunter2"));
    assert!(!visitor.cookies.contains_key(SESSION));
    let shown = visitor.submit(&form.with("outfit", "the upper camp"));
    let _page = shown.page(400);
    assert!(shown.text().contains("five groups"), "{}", shown.text());
}

#[test]
fn nobody_signs_somebody_in_from_another_site() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let _registered = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let mut visitor = Visitor::new(&app);
    let form = visitor.get("/desk/sign-in").form("/desk/sign-in");
    let form = form
        .with("outfit", &outfit.outfit.to_string())
        .with("name", "ida")
        .with("password", "a cold morning in june");
    let _forged = visitor.submit(&form.clone().with("door", "0123")).page(403);
    let body = desk::page::query(
        &form.fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect::<Vec<_>>(),
    );
    for headers in [
        [("Origin", "https://elsewhere.example")],
        [("Sec-Fetch-Site", "cross-site")],
        [("Sec-Fetch-Site", "same-site")],
        [("Origin", "null")],
    ] {
        let shown = visitor.ask(Method::POST, "/desk/sign-in", Some(body.clone()), &headers);
        let _refused = shown.page(403);
    }
    visitor.cookies.clear();
    let shown = visitor.submit(&form);
    let _page = shown.page(403);
    assert!(shown.text().contains("did not keep the cookie"), "{}", shown.text());
    assert!(!visitor.cookies.contains_key(SESSION));
}

#[test]
fn a_form_needs_the_key_of_its_own_session() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let mut otto = Visitor::signed_in(&app, &outfit, "otto", "scaler");
    let door = "/desk/sign-out";
    let idas = ida.get("/desk/nothing").form(door);
    let _refused = otto.submit(&idas).page(403);
    let _refused = ida.submit(&idas.clone().without("form_key")).page(403);
    let _refused = ida.submit(&idas.clone().with("form_key", "")).page(403);
    assert_eq!(ida.submit(&idas).leads_to().as_deref(), Some("/desk/sign-in"));
    assert!(!ida.cookies.contains_key(SESSION));
}

#[test]
fn tokens_are_renewed_on_the_way_and_a_revoked_access_leads_to_the_door() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let mut ida = Visitor::signed_in(&app, &outfit, "ida", "scaler");
    let first = ida.cookies[SESSION].clone();
    let _shown = ida.get("/desk/nothing");
    assert_eq!(ida.cookies[SESSION], first);
    app.clock.advance(SignedDuration::from_mins(20)).expect("a time");
    assert_eq!(ida.get("/desk").leads_to().as_deref(), Some("/desk/yard"));
    let second = ida.cookies[SESSION].clone();
    assert_ne!(second, first);
    // A copy of the old cookie that was on its way at the same moment is as good; later it is not.
    ida.cookies.insert(SESSION.to_owned(), first.clone());
    assert_eq!(ida.get("/desk").leads_to().as_deref(), Some("/desk/yard"));
    let grants = outfit.manager.get("/v1/access-grants?standing=true").expect(200);
    let hers = grants["items"].as_array().expect("a list").iter().find(|one| one["subject"] == "ida");
    let path =
        format!("/v1/access-grants/{}/revocation", hers.expect("hers")["grant_id"].as_str().expect("an id"));
    let _revoked =
        outfit.manager.post(&path, &serde_json::json!({"reason": "the phone was lost"})).expect(201);
    app.clock.advance(SignedDuration::from_mins(20)).expect("a time");
    let door = ida.get("/desk").leads_to().expect("it leads to the door");
    assert!(door.starts_with("/desk/sign-in"), "{door}");
    assert!(!ida.cookies.contains_key(SESSION));
}

#[test]
fn a_session_that_was_made_up_is_none() {
    let app = TestApp::start();
    for made_up in ["", "AAAA", "0123456789abcdef0123456789abcdef", "{\"signed_in\":{}}"] {
        let mut visitor = Visitor::new(&app);
        visitor.cookies.insert(SESSION.to_owned(), made_up.to_owned());
        assert!(visitor.get("/desk").leads_to().expect("the door").starts_with("/desk/sign-in"), "{made_up}");
    }
}

/// An account without a password: its id and the code.
fn enrolment(outfit: &Furnished, name: &str) -> (String, String) {
    let registered =
        outfit.manager.post("/v1/accounts", &serde_json::json!({"name": name, "role": "scaler"})).expect(201);
    let text = |value: &serde_json::Value| value.as_str().expect("a text").to_owned();
    (text(&registered["account"]["account_id"]), text(&registered["enrolment"]["enrolment_code"]))
}

#[test]
fn somebody_sets_their_password_with_the_code_and_signs_in_with_it() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let (account, code) = enrolment(&outfit, "ida");
    let mut visitor = Visitor::new(&app);
    let page = format!("/desk/enrol?outfit={}&account={account}", outfit.outfit);
    let form = visitor.get(&page).form("/desk/enrol");
    let form = form.with("code", &code).with("password", "a stranger words");
    let shown = visitor.submit(&form);
    let door = shown.leads_to().expect("it leads to the door");
    assert_eq!(door, format!("/desk/sign-in?outfit={}&name=ida&set=yes", outfit.outfit));
    let shown = visitor.get(&door);
    assert_eq!(shown.texts("[role=status]"), ["The password is set. Sign in with it."]);
    let form_in = shown.form("/desk/sign-in").with("password", "a stranger words");
    assert_eq!(visitor.submit(&form_in).leads_to().as_deref(), Some("/desk"));
    // The code is good once: sent again, the form changes nothing.
    let mut other = Visitor::new(&app);
    let again =
        other.get(&page).form("/desk/enrol").with("code", &code).with("password", "another few words");
    let shown = other.submit(&again);
    let _refused = shown.page(403);
    assert!(shown.text().contains("this code does not set this account's password"), "{}", shown.text());
    assert!(!shown.reply.text.contains("another few words"), "a password is never shown");
    assert_eq!(visitor.get("/desk").leads_to().as_deref(), Some("/desk/yard"), "and nobody is signed out");
}

#[test]
fn a_password_that_cannot_be_set_is_told_beside_what_was_filled_in() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let (account, code) = enrolment(&outfit, "ida");
    let mut visitor = Visitor::new(&app);
    let page = format!("/desk/enrol?outfit={}&account={account}", outfit.outfit);
    let form = visitor.get(&page).form("/desk/enrol").with("code", &code);
    for (form, status, says) in [
        (form.clone().with("password", "short"), 400, "at least 12 characters"),
        (form.clone().with("password", ""), 400, "Password: this is empty"),
        (
            form.clone().with("outfit", "0197").with("password", "a stranger words"),
            400,
            "The outfit's id is not complete",
        ),
        (
            form.clone().with("account", "").with("password", "a stranger words"),
            400,
            "The account's id is not complete",
        ),
        (
            form.clone().with("code", "AAAAA-BBBBB").with("password", "a stranger words"),
            403,
            "this code does not set",
        ),
        (
            form.clone().with("door", "0123").with("password", "a stranger words"),
            403,
            "not sent from a page of yours",
        ),
    ] {
        let shown = visitor.submit(&form);
        let _page = shown.page(status);
        assert!(shown.text().contains(says), "{says}: {}", shown.text());
    }
    let forged = desk::page::query(&[
        ("outfit", "x"),
        ("account", &account),
        ("code", &code),
        ("password", "a stranger words"),
    ]);
    let shown =
        visitor.ask(Method::POST, "/desk/enrol", Some(forged), &[("Origin", "https://elsewhere.example")]);
    let _refused = shown.page(403);
    // None of it used up the code.
    assert_eq!(visitor.submit(&form.with("password", "a stranger words")).reply.status, 303);
}
