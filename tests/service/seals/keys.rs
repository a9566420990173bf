//! The outfit's key: one as long as it can be opened, and another one rather than no posting.

use api::running::Parts;
use client::verify::{Given, verify};
use serde_json::json;
use tests::{BareApp, Inspector};
use wire::{Role, SealKeyView};

use super::{Sealed, consistency, make, post, read};

#[test]
fn when_the_services_key_changes_a_new_one_is_made_and_old_seals_stay_good() {
    let sealed = Sealed::new();
    let changed = BareApp::start(&Parts { secrets_seed: [9; 32], ..sealed.app.parts.clone() });
    let outfit = sealed.outfit.outfit;
    let bookkeeper = changed.member(outfit, Role::Bookkeeper, None);
    let _ticket = post(&sealed.outfit, 11, "2026-06-10");
    let later = make(&bookkeeper);
    assert!(later.is_signed() && sealed.kept.is_signed());
    assert_ne!(later.statement.public_key, sealed.kept.statement.public_key);
    let keys: Vec<SealKeyView> = read(sealed.outfit.contractor.get("/v1/seal-keys").expect(200));
    let public: Vec<_> = keys.iter().map(|key| key.public_key).collect();
    assert_eq!(public, [sealed.kept.statement.public_key, later.statement.public_key]);
    // What joins them is the proof, and it needs no key.
    let given = Given {
        kept: Some(sealed.kept.clone()),
        consistency: Some(consistency(&sealed.outfit.mill, &sealed.kept, &later)),
        ..Given::of(later.clone())
    };
    let report = verify(&given);
    assert!(report.holds(), "{report:#?}");
    assert!(report.not_shown.iter().any(|says| says.contains("different keys")), "{report:#?}");
    assert_eq!(sealed.faults(&later), Vec::<&str>::new());
    // Whoever can open the old one signs with it again.
    let _ticket = post(&sealed.outfit, 12, "2026-06-10");
    assert_eq!(make(&sealed.outfit.bookkeeper).statement.public_key, sealed.kept.statement.public_key);
}

#[test]
fn the_seed_lies_nowhere_in_clear() {
    let sealed = Sealed::new();
    let owner = Inspector::connect(&sealed.app.database.url());
    owner.open_books_of(sealed.outfit.outfit);
    let length = owner.number("SELECT octet_length(sealed_seed) FROM seal_key");
    assert_eq!(length, 1 + 12 + 32 + 16, "layout, nonce, seed and tag");
    // A public key that was exchanged is not signed with.
    super::tamper(&owner, "UPDATE seal_key SET public_key = sha256('x')");
    let _ticket = post(&sealed.outfit, 11, "2026-06-10");
    let later = make(&sealed.outfit.bookkeeper);
    assert!(later.is_signed());
    assert_eq!(sealed.faults(&later), ["signature_wrong"], "the seal that was made with the key");
    let keys = sealed.outfit.contractor.get("/v1/seal-keys").expect(200);
    assert_eq!(keys.as_array().map(Vec::len), Some(2), "{keys:#}");
    let _refused = sealed.outfit.contractor.post("/v1/seals", &json!({})).refuses(wire::Code::RoleNotAllowed);
}
