//! Plays requests on a service that does the same every time, and writes down what was said.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use api::access::external::ExternalOptions;
use api::events::courier::Courier;
use api::routes::OPERATIONS;
use api::running::Parts;
use api::running::limits::Limits;
use jiff::SignedDuration;
use kernel::{Entropy, SettableClock};
use localpg::ThrowawayDatabase;
use reqwest::Method;
use serde_json::{Value, json};
use tests::{AUDIENCE, Actor, BareApp, Ear, Issuer, KEY_HEADER, deliver_with, migrated_database};

/// Bytes that look random and are the same in every run (the generator is Vigna's splitmix64).
struct SeededBytes(Mutex<u64>);

impl Entropy for SeededBytes {
    fn fill(&self, bytes: &mut [u8]) {
        let mut state = self.0.lock().expect("no test panics while it holds this");
        for chunk in bytes.chunks_mut(8) {
            *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut mixed = *state;
            mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            mixed ^= mixed >> 31;
            chunk.copy_from_slice(&mixed.to_be_bytes()[..chunk.len()]);
        }
    }
}

/// Puts something that looks like it in the place of every secret: scanners for secrets would stumble even over those
/// that open nothing.
fn hide(said: &mut Value) {
    let shown = [
        ("access_token", "header.claims.signature"),
        ("refresh_token", "skidway_refresh_(outfit)_(64 digits)"),
        ("enrolment_code", "AAAAA-BBBBB-CCCCC-DDDDD-EEEEE"),
        ("secret", "skidway_key_(outfit)_(64 digits)"),
        ("password", "a few words of your own"),
        ("id_token", "header.claims.signature"),
        // Where it listens is different every time.
        ("issuer", "https://accounts.example"),
    ];
    match said {
        Value::Object(members) => {
            for (name, value) in members {
                match shown.iter().find(|(secret, _)| secret == name) {
                    Some(_) if value.as_str().is_some_and(|secret| secret.starts_with("whsec_")) => {
                        *value = json!("whsec_");
                    }
                    Some((_, shown)) => *value = json!(shown),
                    None => hide(value),
                }
            }
        }
        Value::Array(items) => items.iter_mut().for_each(hide),
        _ => {}
    }
}

/// The service and what was said so far.
pub struct Recorder {
    /// The service.
    pub app: BareApp,
    /// The tool that is told of events.
    pub tool: Arc<Ear>,
    courier: Courier,
    clock: Arc<SettableClock>,
    files: BTreeMap<String, String>,
    /// The issuer whose word it takes.
    pub issuer: Issuer,
    /// Dropped last, when nobody is connected to it any more.
    _database: ThrowawayDatabase,
}

impl Recorder {
    /// Starts the service, on the first Monday of June 2026.
    pub fn start() -> Self {
        let database = migrated_database();
        let clock = Arc::new(SettableClock::at("2026-06-01T10:00:00Z".parse().expect("a time")));
        let tool = Arc::new(Ear::default());
        let issuer = Issuer::start();
        let parts = Parts {
            url: database.url(),
            connections: 2,
            token_seed: [7; 32],
            retired_token_seeds: Vec::new(),
            external: Some(ExternalOptions::new(&issuer.url(), AUDIENCE).expect("it is on this machine")),
            clock: clock.clone(),
            entropy: Arc::new(SeededBytes(Mutex::new(1))),
            secrets_seed: [8; 32],
            sender: tool.clone(),
            limits: Limits::wide(),
        };
        let courier = Courier::new(parts.service().expect("an instance"));
        Self {
            app: BareApp::start(&parts),
            tool,
            courier,
            clock,
            files: BTreeMap::new(),
            issuer,
            _database: database,
        }
    }

    /// Tells the tool what there is to tell: so many events.
    pub fn tell(&self, events: u32) {
        assert_eq!(deliver_with(&self.courier, events), events);
    }

    /// Moves the clock.
    pub fn at(&self, time: &str) {
        self.clock.set(time.parse().expect("a time"));
    }

    /// Lets time pass.
    pub fn later(&self, span: SignedDuration) {
        self.clock.advance(span).expect("a time");
    }

    /// What its clock says.
    pub fn now(&self) -> jiff::Timestamp {
        kernel::Clock::now(self.clock.as_ref())
    }

    /// Sends a request that is only there to set the scene.
    pub fn quietly(&self, actor: &Actor, path: &str, body: &Value) -> Value {
        self.clock.advance(SignedDuration::from_secs(61)).expect("a time");
        actor.post(path, body).expect(201)
    }

    /// Sends the example of an operation, and writes down what was sent and answered.
    pub fn shown(&mut self, operation: &str, actor: &Actor, path: &str, body: Option<Value>) -> Value {
        self.clock.advance(SignedDuration::from_secs(61)).expect("a time");
        let known = OPERATIONS.iter().find(|one| one.id == operation).expect("an operation");
        let method = known.method.as_str().parse().expect("a method");
        let text = body.as_ref().map(ToString::to_string);
        // The id of an outfit is made from the key.
        let key = format!("\"{operation}\"");
        let headers = [("Content-Type", "application/json"), (KEY_HEADER, &key)];
        let reply = actor.send_with(method, path, text, &headers);
        assert_eq!(tests::operation_for(known.method.as_str(), path).map(|one| one.id), Some(operation));
        assert!(reply.status < 300, "{}: {} {:#}", reply.asked, reply.status, reply.body);
        let mut answer = reply.body.clone();
        // Scanners for secrets would stumble over a token, even over one that opens nothing.
        hide(&mut answer);
        let items = answer.get_mut("items").and_then(Value::as_array_mut);
        for item in items.into_iter().flatten() {
            if let Some(request) = item.get_mut("request_id") {
                // Made anew in every run, by the log.
                *request = json!("0197a000-0000-7000-8000-000000000000");
            }
        }
        let pretty = |value: &Value| serde_json::to_string_pretty(value).expect("JSON") + "\n";
        if let Some(mut body) = body {
            hide(&mut body);
            self.files.insert(format!("{operation}.request.json"), pretty(&body));
        }
        let before = self.files.insert(format!("{operation}.response.json"), pretty(&answer));
        assert_eq!(before, None, "{operation} is shown twice");
        if known.is_list() {
            let mark = if path.contains('?') { '&' } else { '?' };
            let rows = actor.get(&format!("{path}{mark}format=csv"));
            assert_eq!(rows.status, 200, "{}: {:#}", rows.asked, rows.body);
            // The same as in the items above.
            let made_anew = reply.body["items"].as_array().into_iter().flatten();
            let text = made_anew
                .filter_map(|item| item["request_id"].as_str())
                .fold(rows.text, |text, id| text.replace(id, "0197a000-0000-7000-8000-000000000000"))
                .replace(&self.issuer.url(), "https://accounts.example");
            let _none = self.files.insert(format!("{operation}.response.csv"), text);
        }
        reply.body
    }

    /// Sends the example of an operation that takes or answers something else than JSON, and writes down both sides under
    /// the endings of their forms.
    pub fn shown_in(
        &mut self,
        operation: &str,
        actor: &Actor,
        path: &str,
        request: (&str, &str),
        answer_ending: &str,
    ) {
        self.clock.advance(SignedDuration::from_secs(61)).expect("a time");
        let (ending, body) = request;
        let known = OPERATIONS.iter().find(|one| one.id == operation).expect("an operation");
        let kind = known.body_type().expect("a body");
        let reply = actor.send_as(Method::POST, path, Some(body.to_owned()), kind);
        assert_eq!(reply.status, 200, "{}: {}", reply.asked, reply.text);
        let text = match answer_ending {
            "json" => serde_json::to_string_pretty(&reply.body).expect("JSON") + "\n",
            _ => reply.text,
        };
        self.files.insert(format!("{operation}.request.{ending}"), body.to_owned());
        let before = self.files.insert(format!("{operation}.response.{answer_ending}"), text);
        assert_eq!(before, None, "{operation} is shown twice");
    }

    /// Sends the example of an operation that answers in text, and writes down what was answered under the ending of
    /// its form.
    pub fn shown_as_text(&mut self, operation: &str, actor: &Actor, path: &str, ending: &str) {
        self.clock.advance(SignedDuration::from_secs(61)).expect("a time");
        assert_eq!(tests::operation_for("GET", path).map(|one| one.id), Some(operation));
        let reply = actor.get(path);
        assert!(reply.status < 300, "{}: {} {:#}", reply.asked, reply.status, reply.body);
        let before = self.files.insert(format!("{operation}.response.{ending}"), reply.text);
        assert_eq!(before, None, "{operation} is shown twice as {ending}");
    }

    /// What was written down, by file name.
    pub fn files(self) -> BTreeMap<String, String> {
        self.files
    }
}
