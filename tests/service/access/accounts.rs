//! Accounts: codes that are good once, passwords that nobody else knows, and closing.

use jiff::SignedDuration;
use serde_json::json;
use tests::{Actor, Furnished, Inspector, TestApp};
use wire::Code;

use crate::people::{PASSWORD, Person};
use crate::world::text;

fn code(manager: &Actor, person: &Person) -> String {
    let code = manager.post(&person.path("enrolments"), &json!({"reason": "forgot it"})).expect(201);
    text(&code, "enrolment_code")
}

#[test]
fn a_code_sets_one_password_and_only_the_newest_does() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let nobody = app.stranger();
    let registered =
        outfit.manager.post("/v1/accounts", &json!({"name": "Ida", "role": "scaler"})).expect(201);
    assert_eq!(registered["account"]["name"], "ida");
    assert_eq!(registered["account"]["has_password"], false);
    let person = Person {
        account: text(&registered["account"], "account_id"),
        name: "IDA".to_owned(),
        outfit: outfit.outfit.to_string(),
    };
    let first = text(&registered["enrolment"], "enrolment_code");
    let _none_yet = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD)).refuses(Code::SignInRefused);
    let second = code(&outfit.manager, &person);
    let set = |code: &str, password: &str| nobody.post(&person.path("password"), &person.set(code, password));
    let _superseded = set(&first, PASSWORD).refuses(Code::EnrolmentRefused);
    let short = set(&second, "axe file").refuses(Code::WrongForm);
    assert!(!short.to_string().contains("axe file"), "{short:#}");
    assert_eq!(short["errors"][0]["pointer"], "#/password");
    let _set = set(&second.to_lowercase().replace('-', " "), PASSWORD).expect(200);
    let _used = set(&second, "another cold morning").refuses(Code::EnrolmentRefused);
    let _in = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD)).expect(200);
    let listed = outfit.manager.get("/v1/accounts").expect(200);
    assert_eq!(listed["items"][0]["has_password"], true);
    assert!(listed["items"][0].get("enrolment_expires_at").is_none(), "{listed:#}");
}

#[test]
fn a_code_lasts_seven_days() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let person = Person::register(&outfit, &app.stranger(), "ida", "scaler");
    let code = code(&outfit.manager, &person);
    app.clock.advance(SignedDuration::from_hours(7 * 24)).expect("a time");
    let late = app.stranger().post(&person.path("password"), &person.set(&code, "another cold morning"));
    let _problem = late.refuses(Code::EnrolmentRefused);
}

#[test]
fn a_code_is_good_for_its_account_and_outfit_only() {
    let app = TestApp::start();
    let (outfit, other) = (Furnished::new(&app), Furnished::new(&app));
    let nobody = app.stranger();
    let ida = Person::register(&outfit, &nobody, "ida", "scaler");
    let bob = Person::register(&outfit, &nobody, "bob", "manager");
    let code = code(&outfit.manager, &ida);
    let elsewhere = Person { outfit: other.outfit.to_string(), ..ida.clone() };
    let nowhere = Person { account: "01977000-0000-7000-8000-000000000099".to_owned(), ..ida.clone() };
    let words: Vec<_> = [&bob, &elsewhere, &nowhere]
        .iter()
        .map(|person| {
            let reply = nobody.post(&person.path("password"), &person.set(&code, PASSWORD));
            text(&reply.refuses(Code::EnrolmentRefused), "detail")
        })
        .collect();
    assert!(words.windows(2).all(|pair| pair[0] == pair[1]), "{words:?}");
}

#[test]
fn a_new_password_signs_everybody_out() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let nobody = app.stranger();
    let person = Person::register(&outfit, &nobody, "ida", "scaler");
    let signed_in = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD)).expect(200);
    let scaler = app.bearer(&text(&signed_in, "access_token"));
    let _shown = scaler.get("/v1/outfit").expect(200);
    let code = code(&outfit.manager, &person);
    let _still = scaler.get("/v1/outfit").expect(200);
    let _set = nobody.post(&person.path("password"), &person.set(&code, "another cold morning")).expect(200);
    let _out = scaler.get("/v1/outfit").refuses(Code::AccessRevoked);
    let _old = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD)).refuses(Code::SignInRefused);
    let _new = nobody.post("/v1/sign-in", &person.sign_in("another cold morning")).expect(200);
}

#[test]
fn a_closed_account_is_out_at_once_and_for_good() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let nobody = app.stranger();
    let person = Person::register(&outfit, &nobody, "ida", "scaler");
    let signed_in = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD)).expect(200);
    let reason = json!({"reason": "left the outfit"});
    let closed = outfit.manager.post(&person.path("closure"), &reason).expect(201);
    assert_eq!(closed["closed"]["reason"], "left the outfit");
    let _out = app.bearer(&text(&signed_in, "access_token")).get("/v1/outfit").refuses(Code::AccessRevoked);
    let refresh = json!({"refresh_token": signed_in["refresh_token"]});
    let _out = nobody.post("/v1/sign-in/refresh", &refresh).refuses(Code::RefreshRefused);
    let _refused = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD)).refuses(Code::SignInRefused);
    let _twice = outfit.manager.post(&person.path("closure"), &reason).refuses(Code::EndedAlready);
    let _no_code = outfit.manager.post(&person.path("enrolments"), &reason).refuses(Code::EndedAlready);
    let grants = outfit.manager.get("/v1/access-grants").expect(200);
    assert_eq!(grants["items"][0]["stands"], false, "{grants:#}");
    let standing = outfit.manager.get("/v1/access-grants?standing=true").expect(200);
    assert_eq!(standing["items"], json!([]));
}

#[test]
fn what_cannot_be_an_account_is_refused() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let register = |account: serde_json::Value| outfit.manager.post("/v1/accounts", &account);
    let _first = register(json!({"name": "ida", "role": "scaler"})).expect(201);
    let _taken = register(json!({"name": "Ida", "role": "manager"})).refuses(Code::NameTaken);
    for (wrong, pointer) in [
        (json!({"name": "ida holmquill", "role": "scaler"}), "#/name"),
        (json!({"name": "", "role": "scaler"}), "#/name"),
        (json!({"name": "bob", "role": "operator"}), "#/role"),
        (json!({"name": "bob", "role": "mill"}), "#/mill_id"),
        (json!({"name": "bob", "role": "scaler", "mill_id": outfit.mill_id}), "#/mill_id"),
        (json!({"name": "bob", "role": "scaler", "password": "short"}), "#/password"),
    ] {
        let problem = register(wrong.clone()).refuses(Code::WrongForm);
        assert_eq!(problem["errors"][0]["pointer"], pointer, "{wrong}");
    }
    let nobodys = json!({"name": "bob", "role": "mill", "mill_id": "01977000-0000-7000-8000-000000000099"});
    let _problem = register(nobodys).refuses(Code::NamesMissingRecord);
}

/// Neither codes, passwords nor tokens are in the database as they are.
#[test]
fn no_secret_is_kept() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let nobody = app.stranger();
    let person = Person::register(&outfit, &nobody, "ida", "scaler");
    let code = code(&outfit.manager, &person);
    let signed_in = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD)).expect(200);
    let key =
        json!({"name": "Tablet", "role": "scaler", "scopes": ["tickets:write"], "expires_on": "2026-12-31"});
    let key = outfit.manager.post("/v1/machine-keys", &key).expect(201);
    let database = Inspector::connect(&app.database.url());
    let mut kept = String::new();
    for table in [
        "account",
        "account_enrolment",
        "account_password",
        "access_grant",
        "refresh_token",
        "sign_in_attempt",
    ] {
        let lift = format!("BEGIN; ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY; SELECT * FROM {table}");
        for row in database.ask(&lift) {
            row.iter().flatten().for_each(|cell| kept.push_str(cell));
        }
        let _over = database.ask("ROLLBACK");
    }
    assert!(kept.contains("$argon2id$v=19$m=19456,t=2,p=1$"), "{kept}");
    for secret in [
        PASSWORD.to_owned(),
        code.clone(),
        code.replace('-', ""),
        text(&signed_in, "access_token"),
        text(&signed_in, "refresh_token"),
        text(&key, "secret"),
    ] {
        let hex: String = secret.bytes().map(|byte| format!("{byte:02x}")).collect();
        assert!(!kept.contains(&secret) && !kept.contains(&hex), "a secret is kept");
    }
}
