//! Revocation: from the moment it is told, no operation lets the access in.

use api::http::operation::Access;
use api::routes::OPERATIONS;
use serde_json::json;
use tests::{Inspector, TestApp};
use wire::{Code, Role};

use crate::world::{World, text};

#[test]
fn no_operation_lets_revoked_access_in() {
    let app = TestApp::start();
    let world = World::new(&app);
    let token = |role: Role| {
        let mut asked = json!({"subject": "Somebody", "role": role.name()});
        if role == Role::Mill {
            asked["mill_id"] = json!(world.outfit.mill_id);
        }
        let granted = world.outfit.manager.post("/v1/access-tokens", &asked).expect(201);
        (app.bearer(&text(&granted, "access_token")), text(&granted, "grant_id"))
    };
    let database = Inspector::connect(&app.database.url());
    for operation in OPERATIONS {
        let Access::Roles(roles) = operation.access else { continue };
        let Some(role) = roles.iter().find(|role| **role != Role::Operator) else { continue };
        let (actor, grant) = token(*role);
        let reason = json!({"reason": "for a test"});
        let _revoked =
            world.outfit.manager.post(&format!("/v1/access-grants/{grant}/revocation"), &reason).expect(201);
        let sample = world.sample(operation.id);
        let before = database.counts();
        let reply = sample.send(operation, &actor);
        assert_eq!(reply.code(), Some(Code::AccessRevoked), "{}: {:#}", operation.id, reply.body);
        assert_eq!(reply.header("www-authenticate"), Some("Bearer error=\"invalid_token\""));
        let _problem = reply.refuses(Code::AccessRevoked);
        assert_eq!(database.counts(), before, "{}", operation.id);
    }
    // The connections it was refused on are as good as before.
    for _ in 0..20 {
        let _shown = world.outfit.manager.get("/v1/outfit").expect(200);
    }
}

#[test]
fn what_was_granted_is_listed_without_a_secret() {
    let app = TestApp::start();
    let world = World::new(&app);
    let manager = &world.outfit.manager;
    let granted =
        manager.post("/v1/access-tokens", &json!({"subject": "Clerk", "role": "bookkeeper"})).expect(201);
    let clerk = app.bearer(&text(&granted, "access_token"));
    let _shown = clerk.get("/v1/outfit").expect(200);
    let listed = manager.get("/v1/access-grants").expect(200);
    let one = &listed["items"][0];
    assert_eq!((&one["grant_id"], &one["kind"]), (&granted["grant_id"], &json!("token")));
    assert_eq!(
        (&one["subject"], &one["stands"], &one["made_by"]),
        (&json!("Clerk"), &json!(true), &json!("manager"))
    );
    assert_eq!(one["expires_at"], granted["expires_at"]);
    assert!(!listed.to_string().contains(&text(&granted, "access_token")));
    let path = format!("/v1/access-grants/{}/revocation", text(&granted, "grant_id"));
    let revoked = manager.post(&path, &json!({"reason": "no clerk any more"})).expect(201);
    assert_eq!(revoked["revoked"]["reason"], "no clerk any more");
    let _out = clerk.get("/v1/outfit").refuses(Code::AccessRevoked);
    let _twice = manager.post(&path, &json!({"reason": "again"})).refuses(Code::EndedAlready);
}

/// A grant that is not in the books of the token's outfit is none, whoever signed the token.
#[test]
fn a_grant_of_nobodys_does_not_stand() {
    let app = TestApp::start();
    let world = World::new(&app);
    let member = api::http::caller::Member {
        outfit: world.outfit.outfit,
        role: Role::Manager,
        subject: "manager".to_owned(),
        mill: None,
        grant: Some("01977000-0000-7000-8000-000000000099".parse().expect("an id")),
    };
    let caller = api::http::caller::Caller::Member(member);
    let token = app.token(&caller, jiff::SignedDuration::from_hours(1));
    let _refused = app.bearer(&token).get("/v1/outfit").refuses(Code::AccessRevoked);
}
