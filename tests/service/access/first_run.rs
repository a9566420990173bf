//! The first run: from an empty database to a manager who is signed in.

use api::access::first_run::{SetUp, set_up};
use api::running::Parts;
use jiff::SignedDuration;
use kernel::{SettableClock, SystemEntropy};
use serde_json::json;
use std::sync::Arc;
use tests::{TestApp, migrated_database};

use crate::people::PASSWORD;
use crate::world::text;

fn run<T>(work: impl Future<Output = T>) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    runtime.expect("a runtime").block_on(work)
}

#[test]
fn setting_up_lets_the_manager_in_and_is_done_once() {
    let database = migrated_database();
    let url = database.url();
    assert!(run(storage::has_no_outfit(&url)).expect("an answer"));
    let clock = Arc::new(SettableClock::at(tests::NOW.parse().expect("a time")));
    let parts = Parts {
        url: url.clone(),
        connections: 1,
        token_seed: [7; 32],
        retired_token_seeds: Vec::new(),
        external: None,
        secrets_seed: [8; 32],
        sender: Arc::new(tests::Ear::default()),
        limits: api::running::limits::Limits::wide(),
        clock,
        entropy: Arc::new(SystemEntropy),
    };
    let service = parts.service().expect("the service can be put together");
    let asked = |name: &str| {
        let outfit = json!({"name": name, "currency": "USD", "time_zone": "America/Detroit",
                            "week_ends_on": "saturday"});
        let outfit = serde_json::from_value(outfit).expect("an outfit");
        let manager = "Anna".to_owned().try_into().expect("a name");
        run(set_up(&service, &url, outfit, manager)).expect("it is set up")
    };
    let SetUp::Opened(enrolment) = asked("Fork outfit") else { panic!("it was there already") };
    assert!(!run(storage::has_no_outfit(&url)).expect("an answer"));
    match asked("Fork outfit") {
        SetUp::ThereAlready(outfit) => assert_eq!(outfit, enrolment.outfit_id),
        SetUp::Opened(_) => panic!("it was opened twice"),
    }
    let SetUp::Opened(other) = asked("Another outfit") else { panic!("it is another") };
    assert_ne!(other.outfit_id, enrolment.outfit_id);
    drop(service);

    let app = TestApp::start_on(database);
    app.clock.advance(SignedDuration::from_hours(1)).expect("a time");
    let path = format!("/v1/accounts/{}/password", enrolment.account_id);
    let set = json!({"outfit_id": enrolment.outfit_id, "password": PASSWORD,
                     "enrolment_code": enrolment.enrolment_code});
    let _set = app.stranger().post(&path, &set).expect(200);
    let sign_in = json!({"outfit_id": enrolment.outfit_id, "name": "anna", "password": PASSWORD});
    let signed_in = app.stranger().post("/v1/sign-in", &sign_in).expect(200);
    let manager = app.bearer(&text(&signed_in, "access_token"));
    assert_eq!(manager.get("/v1/outfit").expect(200)["name"], "Fork outfit");
    let _registered = manager.post("/v1/accounts", &json!({"name": "ida", "role": "scaler"})).expect(201);
}
