//! People with accounts, and requests about who gets in that the service would accept.

use std::cell::OnceCell;
use std::sync::Arc;

use serde_json::{Value, json};
use tests::{Actor, Furnished, Issuer};

use crate::world::{Sample, World, text};

/// What everybody here has for a password.
pub const PASSWORD: &str = "a cold morning in june";

/// An account whose owner has set the password.
#[derive(Clone, Debug)]
pub struct Person {
    /// The account.
    pub account: String,
    /// What they sign in with.
    pub name: String,
    /// The outfit.
    pub outfit: String,
}

impl Person {
    /// Registers somebody, who sets the password.
    pub fn register(outfit: &Furnished, stranger: &Actor, name: &str, role: &str) -> Self {
        let mut account = json!({"name": name, "role": role});
        if role == "mill" {
            account["mill_id"] = json!(outfit.mill_id);
        }
        let registered = outfit.manager.post("/v1/accounts", &account).expect(201);
        let person = Self {
            account: text(&registered["account"], "account_id"),
            name: name.to_owned(),
            outfit: outfit.outfit.to_string(),
        };
        let code = text(&registered["enrolment"], "enrolment_code");
        let _set = stranger.post(&person.path("password"), &person.set(&code, PASSWORD)).expect(200);
        person
    }

    /// A path about the account.
    pub fn path(&self, about: &str) -> String {
        format!("/v1/accounts/{}/{about}", self.account)
    }

    /// The request that sets a password.
    pub fn set(&self, code: &str, password: &str) -> Value {
        json!({"outfit_id": self.outfit, "enrolment_code": code, "password": password})
    }

    /// The request that signs in.
    pub fn sign_in(&self, password: &str) -> Value {
        json!({"outfit_id": self.outfit, "name": self.name, "password": password})
    }
}

/// The people of a world: made when somebody first asks, since most tests do without.
#[derive(Debug)]
pub struct People {
    stranger: Actor,
    issuer: Arc<Issuer>,
    person: OnceCell<Person>,
}

impl People {
    /// Nobody yet.
    pub fn new(stranger: Actor, issuer: Arc<Issuer>) -> Self {
        Self { stranger, issuer, person: OnceCell::new() }
    }

    fn person(&self, world: &World) -> &Person {
        self.person.get_or_init(|| Person::register(&world.outfit, &self.stranger, "ida", "scaler"))
    }

    /// A refresh token that was not used.
    fn refresh_token(&self, world: &World) -> String {
        let signed_in = self.stranger.post("/v1/sign-in", &self.person(world).sign_in(PASSWORD)).expect(200);
        text(&signed_in, "refresh_token")
    }

    /// An account that was just registered, and its code.
    fn registered(&self, world: &World) -> (String, String) {
        let account = json!({"name": format!("hand-{}", world.fresh()), "role": "scaler"});
        let registered = world.outfit.manager.post("/v1/accounts", &account).expect(201);
        (text(&registered["account"], "account_id"), text(&registered["enrolment"], "enrolment_code"))
    }

    /// A request for an operation about access that it would accept.
    pub fn sample(&self, operation: &str, world: &World) -> Sample {
        let manager = &world.outfit.manager;
        let reason = json!({"reason": "for a test"});
        let (path, body) = match operation {
            "list_access" => ("/v1/access-grants?standing=true".to_owned(), None),
            "list_accounts" => ("/v1/accounts".to_owned(), None),
            "show_token_keys" => ("/.well-known/jwks.json".to_owned(), None),
            "revoke_access" => {
                let token = json!({"subject": "somebody", "role": "scaler"});
                let granted = manager.post("/v1/access-tokens", &token).expect(201);
                (format!("/v1/access-grants/{}/revocation", text(&granted, "grant_id")), Some(reason))
            }
            "register_account" => {
                let account = json!({"name": format!("hand-{}", world.fresh()), "role": "mill",
                                     "mill_id": world.outfit.mill_id});
                ("/v1/accounts".to_owned(), Some(account))
            }
            "issue_enrolment" => (self.person(world).path("enrolments"), Some(reason)),
            "set_password" => {
                let (account, code) = self.registered(world);
                let person = Person { account, ..self.person(world).clone() };
                (person.path("password"), Some(person.set(&code, PASSWORD)))
            }
            "close_account" => (format!("/v1/accounts/{}/closure", self.registered(world).0), Some(reason)),
            "make_machine_key" => {
                let key = json!({"name": "Tablet", "role": "mill", "mill_id": world.outfit.mill_id,
                                 "scopes": ["tickets:read"], "expires_on": "2026-12-31"});
                ("/v1/machine-keys".to_owned(), Some(key))
            }
            "sign_in" => ("/v1/sign-in".to_owned(), Some(self.person(world).sign_in(PASSWORD))),
            "refresh_sign_in" => {
                let token = json!({"refresh_token": self.refresh_token(world)});
                ("/v1/sign-in/refresh".to_owned(), Some(token))
            }
            "sign_out" => {
                let token = json!({"refresh_token": self.refresh_token(world)});
                ("/v1/sign-out".to_owned(), Some(token))
            }
            "sign_in_externally" => {
                let subject = format!("subject-{}", world.fresh());
                let account = json!({"name": format!("hand-{}", world.fresh()), "role": "scaler",
                                     "external": {"issuer": self.issuer.url(), "subject": subject}});
                let _bound = manager.post("/v1/accounts", &account).expect(201);
                let now = crate::world::TODAY.parse::<jiff::Timestamp>().expect("a time").as_second();
                let token = self.issuer.token(1, &self.issuer.claims(&subject, now));
                let sent = json!({"outfit_id": world.outfit.outfit, "id_token": token});
                ("/v1/sign-in/external".to_owned(), Some(sent))
            }
            other => panic!("{other} is not about access"),
        };
        Sample { path, body }
    }
}
