//! Signing in by the word of an OpenID Connect issuer, which runs on this machine.

use jiff::SignedDuration;
use jsonwebtoken::{Algorithm, EncodingKey, Header};
use kernel::Clock;
use serde_json::{Value, json};
use tests::{Furnished, Reply, TestApp};
use wire::Code;

use crate::world::text;

/// A service with somebody whom the issuer knows as `7f3a`.
struct Camp {
    app: TestApp,
    outfit: Furnished,
    account: String,
}

impl Camp {
    fn new() -> Self {
        let app = TestApp::start();
        let outfit = Furnished::new(&app);
        let account = json!({"name": "ida", "role": "scaler",
                             "external": {"issuer": app.issuer.url(), "subject": "7f3a"}});
        let registered = outfit.manager.post("/v1/accounts", &account).expect(201);
        let account = text(&registered["account"], "account_id");
        Self { app, outfit, account }
    }

    fn claims(&self) -> Value {
        self.app.issuer.claims("7f3a", self.app.clock.now().as_second())
    }

    fn send(&self, token: &str) -> Reply {
        let sent = json!({"outfit_id": self.outfit.outfit, "id_token": token});
        self.app.stranger().post("/v1/sign-in/external", &sent)
    }

    fn wait(&self, seconds: i64) {
        self.app.clock.advance(SignedDuration::from_secs(seconds)).expect("a time");
    }
}

#[test]
fn a_good_token_signs_its_subject_in() {
    let camp = Camp::new();
    let signed_in = camp.send(&camp.app.issuer.token(1, &camp.claims())).expect(200);
    assert_eq!((&signed_in["subject"], &signed_in["role"]), (&json!("ida"), &json!("scaler")));
    let _in = camp.app.bearer(&text(&signed_in, "access_token")).get("/v1/outfit").expect(200);
    let refresh = json!({"refresh_token": signed_in["refresh_token"]});
    let _next = camp.app.stranger().post("/v1/sign-in/refresh", &refresh).expect(200);
    // The keys are kept: the issuer is not asked for every sign-in.
    let _again = camp.send(&camp.app.issuer.token(1, &camp.claims())).expect(200);
    assert_eq!(camp.app.issuer.asked(), 1);
    let closing = format!("/v1/accounts/{}/closure", camp.account);
    let _closed = camp.outfit.manager.post(&closing, &json!({"reason": "left"})).expect(201);
    let _out = camp.send(&camp.app.issuer.token(1, &camp.claims())).refuses(Code::ExternalSignInRefused);
}

#[test]
fn what_the_issuer_does_not_say_is_refused() {
    let camp = Camp::new();
    let issuer = &camp.app.issuer;
    let with = |name: &str, value: Value| {
        let mut claims = camp.claims();
        claims[name] = value;
        claims
    };
    let now = camp.app.clock.now().as_second();
    let without = |name: &str| {
        let mut claims = camp.claims();
        claims.as_object_mut().expect("claims").remove(name);
        claims
    };
    for (says, claims) in [
        ("another audience", with("aud", json!("another-service"))),
        ("no audience", without("aud")),
        ("several audiences and nothing more", with("aud", json!(["skidway-tests", "another"]))),
        ("made out to another program", with("azp", json!("another"))),
        ("another issuer", with("iss", json!("https://accounts.example"))),
        ("no issuer", without("iss")),
        ("another subject", with("sub", json!("7f3b"))),
        ("no subject", without("sub")),
        ("expired", with("exp", json!(now - 60))),
        ("no end", without("exp")),
        ("too old", with("iat", json!(now - 601))),
        ("no beginning", without("iat")),
        ("from the future", with("iat", json!(now + 61))),
        ("not good yet", with("nbf", json!(now + 61))),
        ("past all calendars", with("exp", json!(i64::MAX))),
    ] {
        let reply = camp.send(&issuer.token(1, &claims));
        assert_eq!(reply.code(), Some(Code::ExternalSignInRefused), "{says}: {:#}", reply.body);
        assert_eq!(reply.header("www-authenticate"), Some("Bearer"));
        let _problem = reply.refuses(Code::ExternalSignInRefused);
    }
    for (says, claims) in [
        ("within the leeway", with("exp", json!(now - 59))),
        ("several audiences and ours", {
            let mut claims = with("aud", json!(["skidway-tests", "another"]));
            claims["azp"] = json!("skidway-tests");
            claims
        }),
    ] {
        let reply = camp.send(&issuer.token(1, &claims));
        assert_eq!(reply.status, 200, "{says}: {:#}", reply.body);
    }
}

/// RFC 8725: the key fixes the algorithm, and nothing in the header brings a key along.
#[test]
fn the_header_decides_nothing() {
    let camp = Camp::new();
    let issuer = &camp.app.issuer;
    let good = issuer.token(1, &camp.claims());
    let named = |algorithm| Header { kid: Some("key-1".to_owned()), ..Header::new(algorithm) };
    let parts: Vec<&str> = good.split('.').collect();
    // {"alg":"none","kid":"key-1"}
    let none = "eyJhbGciOiJub25lIiwia2lkIjoia2V5LTEifQ";
    let public = api::http::token_key::PublicKey::of(&api::http::token_key::signing_key(&[1; 32]));
    let x = public.expect("a key").view().x;
    let shared =
        EncodingKey::from_base64_secret(&x).or_else(|_| EncodingKey::from_base64_secret(&format!("{x}=")));
    let shared = shared.unwrap_or_else(|_| EncodingKey::from_secret(x.as_bytes()));
    let hmac = jsonwebtoken::encode(&named(Algorithm::HS256), &camp.claims(), &shared).expect("a token");
    let typed = |kind: &str| Header { typ: Some(kind.to_owned()), ..named(Algorithm::EdDSA) };
    let unknown = Header { kid: Some("key-2".to_owned()), ..Header::new(Algorithm::EdDSA) };
    let elsewhere = Header { jku: Some("http://127.0.0.1:1/keys".to_owned()), ..unknown.clone() };
    for (says, token) in [
        ("no algorithm", format!("{none}.{}.", parts[1])),
        ("no algorithm and a signature", format!("{none}.{}.{}", parts[1], parts[2])),
        ("the public key as a password", hmac),
        ("signed by somebody else", issuer.token_under(&named(Algorithm::EdDSA), 2, &camp.claims())),
        ("an access token", issuer.token_under(&typed("at+jwt"), 1, &camp.claims())),
        ("a key that there is not", issuer.token_under(&unknown, 2, &camp.claims())),
        ("an address for keys", issuer.token_under(&elsewhere, 2, &camp.claims())),
        ("cut off", good[..good.len() - 4].to_owned()),
        ("no token", "garbage".to_owned()),
    ] {
        let reply = camp.send(&token);
        assert_eq!(reply.code(), Some(Code::ExternalSignInRefused), "{says}: {:#}", reply.body);
    }
    let _good = camp.send(&good).expect(200);
    // A token without a name for its key is taken as long as there is only one.
    let nameless = issuer.token_under(&Header::new(Algorithm::EdDSA), 1, &camp.claims());
    let _good = camp.send(&nameless).expect(200);
}

#[test]
fn a_new_key_is_found_and_an_old_one_forgotten() {
    let camp = Camp::new();
    let issuer = &camp.app.issuer;
    let _in = camp.send(&issuer.token(1, &camp.claims())).expect(200);
    issuer.publish(&[1, 2]);
    // Just asked: the service does not ask again at once, whoever wants it to.
    for number in [2, 3, 4] {
        let _not_yet = camp.send(&issuer.token(number, &camp.claims())).refuses(Code::ExternalSignInRefused);
    }
    assert_eq!(issuer.asked(), 1);
    camp.wait(30);
    let _rolled_over = camp.send(&issuer.token(2, &camp.claims())).expect(200);
    let _still = camp.send(&issuer.token(1, &camp.claims())).expect(200);
    assert_eq!(issuer.asked(), 2);
    issuer.publish(&[2]);
    camp.wait(60 * 60);
    let _gone = camp.send(&issuer.token(1, &camp.claims())).refuses(Code::ExternalSignInRefused);
    let _in = camp.send(&issuer.token(2, &camp.claims())).expect(200);
    assert_eq!(issuer.asked(), 3);
}

#[test]
fn keys_that_are_none_are_left_out() {
    let camp = Camp::new();
    let issuer = &camp.app.issuer;
    issuer.publish(&[1]);
    let secret = json!({"kty": "oct", "kid": "key-2", "k": "c2VjcmV0IHNlY3JldCBzZWNyZXQgc2VjcmV0IQ"});
    let good = json!({"kty": "OKP", "crv": "Ed25519", "kid": "key-1",
                      "x": api::http::token_key::PublicKey::of(&api::http::token_key::signing_key(&[1; 32]))
                          .expect("a key").view().x});
    let mut other_use = good.clone();
    other_use["use"] = json!("enc");
    other_use["kid"] = json!("key-3");
    issuer.publish_as_they_are(&[json!("nonsense"), json!({"kty": "new"}), secret, other_use, good]);
    let _in = camp.send(&issuer.token(1, &camp.claims())).expect(200);
    let shared = EncodingKey::from_secret(b"secret secret secret secret!");
    let header = Header { kid: Some("key-2".to_owned()), ..Header::new(Algorithm::HS256) };
    let hmac = jsonwebtoken::encode(&header, &camp.claims(), &shared).expect("a token");
    let _refused = camp.send(&hmac).refuses(Code::ExternalSignInRefused);
    let header = Header { kid: Some("key-3".to_owned()), ..Header::new(Algorithm::EdDSA) };
    let _refused =
        camp.send(&issuer.token_under(&header, 1, &camp.claims())).refuses(Code::ExternalSignInRefused);
}

#[test]
fn an_issuer_that_cannot_be_trusted_is_not_followed() {
    let camp = Camp::new();
    let issuer = &camp.app.issuer;
    let at = issuer.url();
    let keys = format!("{at}/keys");
    let documents = [
        json!({"issuer": "https://accounts.example", "jwks_uri": keys}),
        json!({"issuer": at, "jwks_uri": "http://keys.example/keys"}),
        json!({"issuer": at, "jwks_uri": "file:///etc/keys"}),
        json!({"issuer": at, "jwks_uri": format!("{at}/nowhere")}),
        json!({"issuer": at}),
        json!("nonsense"),
    ];
    for document in documents {
        issuer.discover(document.clone());
        let reply = camp.send(&issuer.token(1, &camp.claims()));
        assert_eq!(reply.code(), Some(Code::Unavailable), "{document}: {:#}", reply.body);
        camp.wait(30);
    }
    assert_eq!(issuer.asked(), 0);
    issuer.discover(json!({"issuer": at, "jwks_uri": keys}));
    let redirect = format!(
        "HTTP/1.1 302 Found\r\nLocation: {at}/keys\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
    );
    let long = "x".repeat(300 * 1024);
    let endless =
        format!("HTTP/1.1 200 OK\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{long}", long.len());
    for wrong in
        [redirect, endless, "HTTP/1.1 500 Oops\r\nContent-Length: 0\r\n\r\n".to_owned(), "no HTTP".to_owned()]
    {
        issuer.answer_instead(Some(wrong.into_bytes()));
        let _problem = camp.send(&issuer.token(1, &camp.claims())).refuses(Code::Unavailable);
        camp.wait(30);
    }
    assert_eq!(issuer.asked(), 4);
    issuer.answer_instead(None);
    let _in = camp.send(&issuer.token(1, &camp.claims())).expect(200);
}

#[test]
fn a_subject_opens_one_account_of_an_outfit_and_none_of_another() {
    let camp = Camp::new();
    let bound = |name: &str| json!({"name": name, "role": "manager", "external": {"issuer": camp.app.issuer.url(), "subject": "7f3a"}});
    let _taken = camp.outfit.manager.post("/v1/accounts", &bound("bob")).refuses(Code::NameTaken);
    let other = Furnished::new(&camp.app);
    let token = camp.app.issuer.token(1, &camp.claims());
    let sent = json!({"outfit_id": other.outfit, "id_token": token});
    let stranger = camp.app.stranger();
    let _nobody_there = stranger.post("/v1/sign-in/external", &sent).refuses(Code::ExternalSignInRefused);
    let _registered = other.manager.post("/v1/accounts", &bound("ida")).expect(201);
    let signed_in = stranger.post("/v1/sign-in/external", &sent).expect(200);
    assert_eq!((&signed_in["outfit_id"], &signed_in["role"]), (&json!(other.outfit), &json!("manager")));
}
