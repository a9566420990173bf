//! Every outfit's books are on one cluster, and whoever comes through the proxy gets to them, however they name them.

use std::collections::BTreeSet;

use kernel::OutfitId;
use serde_json::{Value, json};
use tests::{Furnished, Visitor, log, new_key, ticket};
use wire::{Code, Role};

use crate::proxy;
use crate::shards::{NAMES, Shards};

/// What everybody here has for a password.
const PASSWORD: &str = "a cold morning in june";

/// A text out of a reply.
fn text(body: &Value, member: &str) -> String {
    body[member].as_str().unwrap_or_else(|| panic!("no {member} in {body:#}")).to_owned()
}

#[test]
fn each_outfit_has_its_books_on_one_cluster_and_nobody_gets_to_anothers() {
    if !proxy::is_there() {
        return;
    }
    let shards = Shards::start();
    let outside = shards.outside();
    let opened: Vec<OutfitId> = (0..12)
        .map(|number| {
            let asked = json!({"name": format!("Outfit {number}"), "currency": "USD",
                               "time_zone": "America/Detroit", "week_ends_on": "saturday"});
            let key = new_key();
            let first = outside.operator().post_with_key("/v1/outfits", &asked, &key).expect(201);
            let again = outside.operator().post_with_key("/v1/outfits", &asked, &key);
            assert_eq!(again.header("replayed"), Some("true"), "the same key leads to the same shard");
            text(&first, "outfit_id").parse().expect("an id")
        })
        .collect();
    let places: BTreeSet<_> = opened.iter().map(|outfit| shards.place_of(*outfit)).collect();
    assert_eq!(places.len(), 3, "twelve outfits lie on {places:?} only");

    let furnished: Vec<Furnished> = (0..3).map(|_| shards.furnish()).collect();
    for outfit in &furnished {
        let _kept = outfit
            .scaler
            .post("/v1/tickets", &ticket(outfit, 1, "2026-06-05", &[log("16", "16")]))
            .expect(201);
        let again = outfit.scaler.post("/v1/tickets", &ticket(outfit, 1, "2026-06-05", &[log("16", "16")]));
        assert_eq!(again.header("replayed"), Some("true"));
        let _posted = outfit.settle("2026-06-06");
    }
    for outfit in &furnished {
        let own = outfit.manager.get("/v1/outfit").expect(200);
        assert_eq!(text(&own, "outfit_id"), outfit.outfit.to_string());
        assert_eq!(outfit.manager.get("/v1/jobs").expect(200)["items"].as_array().map(Vec::len), Some(1));
        // Whatever of another's they ask for is asked for in their own books.
        for other in furnished.iter().filter(|other| other.outfit != outfit.outfit) {
            let _hidden =
                outfit.manager.get(&format!("/v1/jobs/{}/practices", other.job)).refuses(Code::NotFound);
        }
        // And where somebody goes past the proxy to a shard that is not theirs, there is nothing of theirs.
        let place = shards.place_of(outfit.outfit);
        for (number, service) in shards.services.iter().enumerate().filter(|(number, _)| *number != place) {
            let stray = service.member(outfit.outfit, Role::Manager, None);
            let refused = stray.post("/v1/workers", &json!({"name": "Somebody"}));
            assert!(refused.status >= 400, "{} takes records of {}", NAMES[number], outfit.outfit);
            assert!(stray.get("/v1/outfit").status >= 400, "{}", NAMES[number]);
        }
        assert_eq!(shards.place_of(outfit.outfit), place);
    }
}

#[test]
fn whoever_has_no_token_yet_gets_to_their_books_too() {
    if !proxy::is_there() {
        return;
    }
    let shards = Shards::start();
    // Enough of them that chance alone would lead somebody astray.
    for _ in 0..4 {
        let outfit = shards.furnish();
        let stranger = shards.outside().bearer(None);
        let asked = json!({"name": "Anna", "role": "bookkeeper"});
        let account = outfit.manager.post("/v1/accounts", &asked).expect(201);
        let path = format!("/v1/accounts/{}/password", text(&account["account"], "account_id"));
        let set = json!({"outfit_id": outfit.outfit, "password": PASSWORD,
                         "enrolment_code": text(&account["enrolment"], "enrolment_code")});
        let _set = stranger.post(&path, &set).expect(200);
        let sign_in = json!({"outfit_id": outfit.outfit, "name": "Anna", "password": PASSWORD});
        let signed_in = stranger.post("/v1/sign-in", &sign_in).expect(200);
        let refresh = json!({"refresh_token": text(&signed_in, "refresh_token")});
        let pair = stranger.post("/v1/sign-in/refresh", &refresh).expect(200);
        let anna = shards.outside().bearer(Some(&text(&pair, "access_token")));
        assert_eq!(text(&anna.get("/v1/outfit").expect(200), "outfit_id"), outfit.outfit.to_string());
        let _kept = outfit
            .scaler
            .post("/v1/tickets", &ticket(&outfit, 1, "2026-06-05", &[log("16", "16")]))
            .expect(201);
        let asked = json!({"name": "Tablet", "role": "scaler", "scopes": ["tickets:read"], "expires_on": "2026-12-31"});
        let key = outfit.manager.post("/v1/machine-keys", &asked).expect(201);
        let tablet = shards.outside().bearer(Some(&text(&key, "secret")));
        let seen = tablet.get("/v1/tickets").expect(200);
        assert_eq!(seen["items"].as_array().map(Vec::len), Some(1), "{seen:#}");
        let mut visitor = Visitor::coming_by(stranger, shards.proxy.url());
        let form = visitor.get("/desk/sign-in").form("/desk/sign-in");
        let id = outfit.outfit.to_string();
        let filled = form.with("outfit", &id).with("name", "Anna").with("password", PASSWORD);
        assert_eq!(visitor.submit(&filled).reply.status, 303, "{id} is not let in at the desk");
        let week = visitor.get("/desk/week").reply;
        assert_eq!(week.status, 200, "{}", week.text);
    }
    // What is nobody's books is answered by any of them alike.
    let stranger = shards.outside().bearer(None);
    let keys: BTreeSet<String> =
        (0..6).map(|_| stranger.get("/.well-known/jwks.json").expect(200).to_string()).collect();
    assert_eq!(keys.len(), 1, "the shards sign with different keys");
    let _no_token = stranger.get("/v1/jobs").refuses(Code::NoToken);
    let forged = shards.outside().bearer(Some("not.a.token"));
    let _refused = forged.get("/v1/jobs").refuses(Code::TokenRefused);
}
