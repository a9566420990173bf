//! Keys of tokens: published, and taken for a while after they stopped signing.

use std::sync::Arc;

use api::http::caller::{Caller, Member};
use api::http::token::Tokens;
use jiff::SignedDuration;
use kernel::{IdSource, SystemEntropy};
use tests::{Furnished, RETIRED_SEED, TestApp};
use wire::{Code, Role};

#[test]
fn the_keys_are_published_and_tokens_name_them() {
    let app = TestApp::start();
    let reply = app.stranger().get("/.well-known/jwks.json");
    assert_eq!(reply.header("cache-control"), Some("public, max-age=300"));
    let keys = reply.expect(200)["keys"].as_array().expect("keys").clone();
    assert_eq!(keys.len(), 2);
    for key in &keys {
        assert_eq!(
            (&key["kty"], &key["crv"], &key["use"]),
            (&"OKP".into(), &"Ed25519".into(), &"sig".into())
        );
        assert!(key.get("d").is_none(), "a private key is published");
    }
    let token =
        app.token(&Caller::Operator { subject: "operator".to_owned() }, SignedDuration::from_hours(1));
    assert_eq!(app.header(&token)["kid"], keys[0]["kid"]);
}

#[test]
fn a_key_that_does_not_sign_any_more_is_still_taken_and_others_are_not() {
    let app = TestApp::start();
    let outfit = Furnished::new(&app);
    let member = Member {
        outfit: outfit.outfit,
        role: Role::Manager,
        subject: "manager".to_owned(),
        mill: None,
        grant: None,
    };
    let signed_with = |seed: &[u8; 32]| {
        let ids = IdSource::new(app.clock.clone(), Arc::new(SystemEntropy));
        let tokens = Tokens::new(seed, app.clock.clone(), ids).expect("the seed is good");
        tokens.grant(&Caller::Member(member.clone()), SignedDuration::from_hours(1)).expect("a token").0
    };
    let _in = app.bearer(&signed_with(&RETIRED_SEED)).get("/v1/outfit").expect(200);
    let _out = app.bearer(&signed_with(&[5; 32])).get("/v1/outfit").refuses(Code::TokenRefused);
    // The header of one key over the signature of another.
    let (old, new) = (signed_with(&RETIRED_SEED), signed_with(&[7; 32]));
    let parts = |token: &str| token.split('.').map(str::to_owned).collect::<Vec<_>>();
    let mixed = [parts(&new)[0].clone(), parts(&old)[1].clone(), parts(&old)[2].clone()].join(".");
    let _out = app.bearer(&mixed).get("/v1/outfit").refuses(Code::TokenRefused);
}
