//! Signing in, staying so, signing out; and how long the impatient wait.

use jiff::SignedDuration;
use serde_json::{Value, json};
use tests::{Furnished, TestApp};
use wire::Code;

use crate::people::{PASSWORD, Person};
use crate::world::text;

/// A service with somebody who has an account.
struct Camp {
    app: TestApp,
    outfit: Furnished,
    person: Person,
}

impl Camp {
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let person = Person::register(&outfit, &app.stranger(), "ida", "scaler");
        Self { app, outfit, person }
    }

    fn sign_in(&self) -> Value {
        self.app.stranger().post("/v1/sign-in", &self.person.sign_in(PASSWORD)).expect(200)
    }

    fn refresh(&self, token: &str) -> tests::Reply {
        self.app.stranger().post("/v1/sign-in/refresh", &json!({"refresh_token": token}))
    }

    fn wait(&self, seconds: i64) {
        self.app.clock.advance(SignedDuration::from_secs(seconds)).expect("a time");
    }
}

#[test]
fn records_name_who_signed_in_and_the_token_lasts_a_quarter_of_an_hour() {
    let camp = Camp::new();
    let reply = camp.app.stranger().post("/v1/sign-in", &camp.person.sign_in(PASSWORD));
    assert_eq!(reply.header("cache-control"), Some("no-store"));
    let signed_in = reply.expect(200);
    assert_eq!((&signed_in["subject"], &signed_in["role"]), (&json!("ida"), &json!("scaler")));
    assert_eq!(signed_in["expires_at"], "2026-06-08T13:15:00Z");
    let scaler = camp.app.bearer(&text(&signed_in, "access_token"));
    let sent = tests::ticket(&camp.outfit, 1, "2026-06-03", &[tests::log("16", "16")]);
    let accepted = scaler.post("/v1/tickets", &sent).expect(201);
    let shown = camp.outfit.manager.get(&format!("/v1/tickets/{}", text(&accepted, "ticket_id"))).expect(200);
    assert!(shown.to_string().contains("\"ida\""), "{shown:#}");
    let _not_hers = scaler.get("/v1/statements").refuses(Code::RoleNotAllowed);
    camp.wait(15 * 60 + 5);
    let _over = scaler.get("/v1/outfit").refuses(Code::TokenExpired);
    let next = camp.refresh(&text(&signed_in, "refresh_token")).expect(200);
    let _in = camp.app.bearer(&text(&next, "access_token")).get("/v1/outfit").expect(200);
    assert_ne!(next["refresh_token"], signed_in["refresh_token"]);
    assert_eq!(next["grant_id"], signed_in["grant_id"]);
}

/// RFC 9068: what an access token says, beside what this service needs.
#[test]
fn the_token_says_what_the_standard_asks() {
    let camp = Camp::new();
    let token = text(&camp.sign_in(), "access_token");
    let claims = camp.app.claims(&token);
    for claim in ["iss", "exp", "aud", "sub", "client_id", "iat", "jti", "grant"] {
        assert!(!claims[claim].is_null(), "{claim}: {claims:#}");
    }
}

#[test]
fn a_token_used_again_later_ends_the_sign_in() {
    let camp = Camp::new();
    let first = text(&camp.sign_in(), "refresh_token");
    let second = camp.refresh(&first).expect(200);
    camp.wait(2 * 60);
    let told = camp.refresh(&first).refuses(Code::RefreshRefused);
    assert!(text(&told, "detail").contains("used before"), "{told:#}");
    let _all_out = camp.refresh(&text(&second, "refresh_token")).refuses(Code::RefreshRefused);
    let _out = camp.app.bearer(&text(&second, "access_token")).get("/v1/outfit").refuses(Code::AccessRevoked);
    let grants = camp.outfit.manager.get("/v1/access-grants").expect(200);
    assert_eq!(grants["items"][0]["revoked"]["reason"], "a refresh token was used twice");
    let _again = camp.sign_in();
}

#[test]
fn a_lost_answer_can_be_asked_for_again() {
    let camp = Camp::new();
    let first = text(&camp.sign_in(), "refresh_token");
    let second = text(&camp.refresh(&first).expect(200), "refresh_token");
    camp.wait(119);
    let again = camp.refresh(&first).expect(200);
    assert_eq!(
        text(&again, "refresh_token"),
        second,
        "the very same, so that there is one chain and no fork"
    );
    // Once the answer was used it was not lost, however soon it is.
    let _third = camp.refresh(&second).expect(200);
    let _reused = camp.refresh(&first).refuses(Code::RefreshRefused);
    let _out = camp.refresh(&second).refuses(Code::RefreshRefused);
}

#[test]
fn refreshes_at_the_same_moment_do_not_sign_anybody_out() {
    let camp = Camp::new();
    let first = text(&camp.sign_in(), "refresh_token");
    let answers: Vec<String> = std::thread::scope(|scope| {
        let asking: Vec<_> = (0..6).map(|_| scope.spawn(|| camp.refresh(&first).expect(200))).collect();
        asking.into_iter().map(|one| text(&one.join().expect("answered"), "refresh_token")).collect()
    });
    assert!(answers.iter().all(|one| *one == answers[0]));
}

#[test]
fn refresh_tokens_and_sign_ins_end() {
    let camp = Camp::new();
    let mut token = text(&camp.sign_in(), "refresh_token");
    let day = 24 * 60 * 60;
    camp.wait(14 * day);
    let _unused_for_too_long = camp.refresh(&token).refuses(Code::RefreshRefused);
    token = text(&camp.sign_in(), "refresh_token");
    for _ in 0..6 {
        camp.wait(9 * day);
        token = text(&camp.refresh(&token).expect(200), "refresh_token");
    }
    camp.wait(6 * day);
    let _sixty_days = camp.refresh(&token).refuses(Code::RefreshRefused);
    for wrong in ["x".to_owned(), token.replace("refresh", "key"), format!("{}0", &token[..token.len() - 1])]
    {
        let told = camp.refresh(&wrong);
        if wrong != token {
            let _problem = told.refuses(Code::RefreshRefused);
        }
    }
}

#[test]
fn signing_out_ends_it_at_once() {
    let camp = Camp::new();
    let (one, other) = (camp.sign_in(), camp.sign_in());
    let out = json!({"refresh_token": one["refresh_token"]});
    for _ in 0..2 {
        let told = camp.app.stranger().post("/v1/sign-out", &out).expect(200);
        assert_eq!(told["grant_id"], one["grant_id"]);
    }
    let _out = camp.app.bearer(&text(&one, "access_token")).get("/v1/outfit").refuses(Code::AccessRevoked);
    let _out = camp.refresh(&text(&one, "refresh_token")).refuses(Code::RefreshRefused);
    let _in = camp.app.bearer(&text(&other, "access_token")).get("/v1/outfit").expect(200);
}

#[test]
fn nobody_learns_which_names_there_are() {
    let camp = Camp::new();
    let nobody = camp.app.stranger();
    let unknown = Person { name: "nobody".to_owned(), ..camp.person.clone() };
    let elsewhere =
        Person { outfit: "01977000-0000-7000-8000-000000000099".to_owned(), ..camp.person.clone() };
    let answers = [&camp.person, &unknown, &elsewhere]
        .map(|person| nobody.post("/v1/sign-in", &person.sign_in("not the password")));
    let told = answers.map(|reply| {
        let mut problem = reply.refuses(Code::SignInRefused);
        problem["request_id"] = Value::Null;
        problem
    });
    assert!(told[0] == told[1] && told[1] == told[2], "{told:#?}");
}

#[test]
fn failures_in_a_row_make_the_name_wait() {
    let camp = Camp::new();
    let nobody = camp.app.stranger();
    for name in ["ida", "nobody-of-this-name"] {
        let person = Person { name: name.to_owned(), ..camp.person.clone() };
        let fail = || nobody.post("/v1/sign-in", &person.sign_in("not the password"));
        for _ in 0..5 {
            let _refused = fail().refuses(Code::SignInRefused);
        }
        for minutes in [1, 2, 4, 8, 16, 32, 60, 60] {
            let reply = nobody.post("/v1/sign-in", &person.sign_in(PASSWORD));
            let seconds = (minutes * 60).to_string();
            assert_eq!(reply.header("retry-after"), Some(seconds.as_str()), "{name}: {:#}", reply.body);
            let _locked = reply.refuses(Code::SignInLocked);
            camp.wait(minutes * 60 - 1);
            let still = fail();
            assert_eq!(still.header("retry-after"), Some("1"), "{name}");
            let _locked = still.refuses(Code::SignInLocked);
            camp.wait(1);
            let _refused = fail().refuses(Code::SignInRefused);
        }
        camp.wait(60 * 60);
    }
    // The right password ends it, and everything is forgotten.
    let _in = camp.sign_in();
    for _ in 0..4 {
        let _refused =
            nobody.post("/v1/sign-in", &camp.person.sign_in("not the password")).refuses(Code::SignInRefused);
    }
    let _in = camp.sign_in();
}

/// Tries at the same moment count each: nobody gets more of them by being quick.
#[test]
fn guesses_at_once_are_counted() {
    let camp = Camp::new();
    let refused = std::thread::scope(|scope| {
        let guess = || camp.app.stranger().post("/v1/sign-in", &camp.person.sign_in("not the password"));
        let guesses: Vec<_> = (0..12).map(|_| scope.spawn(guess)).collect();
        let codes = guesses.into_iter().map(|one| one.join().expect("answered").code());
        codes.filter(|code| *code == Some(Code::SignInRefused)).count()
    });
    assert_eq!(refused, 5);
}
