//! Faults that are not the caller's: a handler that panics, a database that refuses, vanishes or hangs up. The
//! caller is told that it failed and nothing of the inside; nothing is half done; and it passes.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use api::running::Parts;
use api::running::limits::Limits;
use kernel::{Clock, Entropy, OutfitId, SettableClock, SystemEntropy};
use localpg::{Cluster, ClusterOptions};
use serde_json::{Value, json};
use tests::{Actor, BareApp, Inspector, Reply, migrated_database};
use wire::{Code, Role};

use super::{Yard, understandable};
use crate::world::{terms, text};

/// A clock and random bytes that panic when told to: the one way to make a real handler panic.
struct Fuse {
    blown: AtomicBool,
    clock: SettableClock,
}

impl Fuse {
    fn new() -> Arc<Self> {
        let time = "2026-06-15T13:00:00Z".parse().expect("a time");
        Arc::new(Self { blown: AtomicBool::new(false), clock: SettableClock::at(time) })
    }

    fn blow(&self, blown: bool) {
        self.blown.store(blown, Ordering::SeqCst);
    }

    /// A clock that never panics and stands where this one does.
    fn clock_of(&self) -> SettableClock {
        SettableClock::at(self.clock.now())
    }

    fn hold(&self) {
        assert!(!self.blown.load(Ordering::SeqCst), "the secret inside");
    }
}

impl Entropy for Fuse {
    fn fill(&self, bytes: &mut [u8]) {
        self.hold();
        SystemEntropy.fill(bytes);
    }
}

/// The clock alone.
struct Hands(Arc<Fuse>);

impl Clock for Hands {
    fn now(&self) -> jiff::Timestamp {
        self.0.hold();
        self.0.clock.now()
    }
}

/// Tells a fault from inside: nothing of the cause, and the id by which the log has it.
fn told_nothing(reply: Reply) {
    let asked = reply.asked.clone();
    let problem = reply.refuses(Code::Internal);
    understandable(&problem, &asked);
    assert!(problem["request_id"].as_str().is_some_and(|id| id.len() == 36), "{asked}: {problem:#}");
    let said = problem.to_string();
    for inside in
        ["secret", "permission", "denied", "worker", "crew", "thread", "rs:", "postgres", "relation"]
    {
        assert!(!said.contains(inside), "{asked} tells of {inside}: {said}");
    }
}

fn open_outfit(app: &BareApp) -> OutfitId {
    let outfit = json!({"name": "Invented outfit", "currency": "USD", "time_zone": "America/Detroit",
                        "week_ends_on": "saturday"});
    text(&app.operator().post("/v1/outfits", &outfit).expect(201), "outfit_id").parse().expect("an id")
}

fn parts(url: String, clock: Arc<dyn Clock>, entropy: Arc<dyn Entropy>) -> Parts {
    let (secrets_seed, sender) = ([8; 32], Arc::new(tests::Ear::default()));
    let limits = Limits::wide();
    Parts {
        url,
        connections: 4,
        token_seed: [7; 32],
        retired_token_seeds: Vec::new(),
        external: None,
        clock,
        entropy,
        secrets_seed,
        sender,
        limits,
    }
}

#[test]
fn a_handler_that_panics_answers_and_the_next_one_works() {
    let database = migrated_database();
    let fuse = Fuse::new();
    let app = BareApp::start(&parts(database.url(), Arc::new(fuse.clock_of()), fuse.clone()));
    let outfit = open_outfit(&app);
    let manager = app.member(outfit, Role::Manager, None);
    let inspector = Inspector::connect(&database.url());
    let name = |name: &str| json!({"name": name});
    let before = inspector.counts();
    for _ in 0..10 {
        fuse.blow(true);
        told_nothing(manager.post("/v1/workers", &name("Never")));
        fuse.blow(false);
        assert_eq!(inspector.counts(), before);
        let _listed = manager.get("/v1/workers").expect(200);
    }
    let _filed = manager.post("/v1/workers", &name("At last")).expect(201);
}

/// The guard stands before the operations; its panics are caught like theirs.
#[test]
fn a_guard_that_panics_answers_too() {
    let database = migrated_database();
    let fuse = Fuse::new();
    let hands: Arc<dyn Clock> = Arc::new(Hands(fuse.clone()));
    let app = BareApp::start(&parts(database.url(), hands, Arc::new(SystemEntropy)));
    let manager = app.member(open_outfit(&app), Role::Manager, None);
    fuse.blow(true);
    told_nothing(manager.get("/v1/outfit"));
    fuse.blow(false);
    let _shown = manager.get("/v1/outfit").expect(200);
}

/// A panic in the middle of a transaction that has the books shut must not leave them shut.
#[test]
fn a_panic_leaves_no_books_shut() {
    let database = migrated_database();
    let fuse = Fuse::new();
    let app = BareApp::start(&parts(database.url(), Arc::new(fuse.clock_of()), fuse.clone()));
    let manager = app.member(open_outfit(&app), Role::Manager, None);
    let file = |path: &str, body: Value, member: &str| text(&manager.post(path, &body).expect(201), member);
    let job = file("/v1/jobs", json!({"name": "Tract"}), "job_id");
    let crew = file("/v1/crews", json!({"name": "Crew"}), "crew_id");
    let contract =
        json!({"title": "Felling", "job_id": job, "party": {"crew_id": crew}, "terms": terms("10")});
    let contract = file("/v1/contracts", contract, "contract_id");
    let inspector = Inspector::connect(&database.url());
    let before = inspector.counts();
    let path = format!("/v1/contracts/{contract}/terms");
    fuse.blow(true);
    told_nothing(manager.post(&path, &terms("11")));
    fuse.blow(false);
    inspector.until("the books stay shut after a panic", || inspector.number(HELD) == 0);
    assert_eq!(inspector.counts(), before);
    let _filed = manager.post(&path, &terms("12")).expect(201);
}

/// Locks on books that somebody holds, and transactions that nobody is working on.
const HELD: &str = "SELECT (SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND granted \
                    AND database = (SELECT oid FROM pg_database WHERE datname = current_database()) \
                    AND pid <> pg_backend_pid()) \
                    + (SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() \
                    AND pid <> pg_backend_pid() AND state LIKE 'idle in transaction%')";

/// A caller who hangs up while the request waits in the database: either it is done or it is not, and in the end
/// nobody holds anything.
#[test]
fn a_caller_who_hangs_up_while_waiting_holds_nothing_up() {
    use std::io::Write;
    let yard = Yard::new();
    let outfit = yard.world.outfit.outfit;
    let scaler = api::http::caller::Caller::Member(api::http::caller::Member {
        outfit,
        role: Role::Manager,
        subject: "manager".to_owned(),
        mill: None,
        grant: None,
    });
    let token = yard.app.token(&scaler, jiff::SignedDuration::from_hours(1));
    let headers = [
        format!("Authorization: Bearer {token}"),
        "Content-Type: application/json".to_owned(),
        "Idempotency-Key: \"raw\"".to_owned(),
    ];
    let headers: Vec<&str> = headers.iter().map(String::as_str).collect();
    let path = format!("/v1/contracts/{}/terms", yard.world.outfit.felling_contract);
    let ticket = yard.world.ticket();
    let requests = [("POST /v1/tickets".to_owned(), ticket.clone()), (format!("POST {path}"), terms("11"))];
    let watcher = Inspector::connect(&yard.app.database.url());
    for (line, body) in requests {
        yard.database.hold_shut(outfit);
        let mut stream = std::net::TcpStream::connect(yard.app.address).expect("the service listens");
        let bytes = crate::raw::request(yard.app.address, &line, &headers, body.to_string().as_bytes());
        stream.write_all(&bytes).expect("the service reads");
        watcher.await_waiting(1);
        drop(stream);
        yard.database.let_go();
        watcher.until("the books stay shut after the caller has hung up", || watcher.number(HELD) == 0);
    }
    let reply = yard.manager().post("/v1/tickets", &ticket);
    assert!(matches!(reply.status, 200 | 201), "{:#}", reply.body);
    let scaled = reply.body["scaled"].as_array().map(Vec::len);
    assert_eq!(scaled, Some(3), "under each contract once: {:#}", reply.body);
}

/// A table that the service may no longer read: its own fault, told as such.
#[test]
fn a_database_that_refuses_is_a_fault_inside() {
    let yard = Yard::new();
    let _none = yard.database.ask("REVOKE SELECT, INSERT ON worker FROM skidway_service");
    told_nothing(yard.manager().get("/v1/workers"));
    let before = yard.database.counts();
    told_nothing(yard.manager().post("/v1/workers", &json!({"name": "Never"})));
    assert_eq!(yard.database.counts(), before);
    let _still = yard.manager().get("/v1/mills").expect(200);
    let _none = yard.database.ask("GRANT SELECT, INSERT ON worker TO skidway_service");
    let _listed = yard.manager().get("/v1/workers").expect(200);
}

/// Tells that the books cannot be reached, and when to come again.
fn told_to_wait(reply: Reply) {
    let asked = reply.asked.clone();
    let wait = reply.header("retry-after").and_then(|seconds| seconds.parse::<u32>().ok());
    // Readiness is asked by programs that watch the service; it has a code of its own.
    let code = if asked.ends_with("/health/ready") { Code::NotReady } else { Code::Unavailable };
    let problem = reply.refuses(code);
    assert!(wait.is_some_and(|seconds| seconds > 0), "{asked}: no Retry-After");
    understandable(&problem, &asked);
    let said = problem.to_string();
    for inside in ["socket", "No such file", "connection closed", "postgres", "5432", "terminating"] {
        assert!(!said.contains(inside), "{asked} tells of {inside}: {said}");
    }
}

/// Every kind of request at once: reading, filing, scaling under terms.
fn tried(actor: &Actor) -> Vec<Reply> {
    vec![
        actor.get("/v1/workers"),
        actor.get("/v1/tickets"),
        actor.post("/v1/workers", &json!({"name": "Later"})),
        actor.post("/v1/settlements", &json!({"week_ends_on": "2026-06-13"})),
        actor.get("/health/ready"),
    ]
}

#[test]
fn a_database_that_is_gone_is_waited_for() {
    let directory = Scratch::new();
    let open = || {
        let options = ClusterOptions { data_dir: directory.0.clone(), durable: false, progress: &|_| {} };
        Cluster::open(options).expect("a private Postgres can be started")
    };
    let cluster = open();
    let url = cluster.url();
    storage::migrate(&url).expect("the migrations apply");
    let fuse = Fuse::new();
    let app = BareApp::start(&parts(url.clone(), Arc::new(fuse.clock_of()), Arc::new(SystemEntropy)));
    let manager = app.member(open_outfit(&app), Role::Manager, None);
    let _filed = manager.post("/v1/workers", &json!({"name": "Before"})).expect(201);
    cluster.stop().expect("it stops");
    for _ in 0..3 {
        for reply in tried(&manager) {
            told_to_wait(reply);
        }
        // What needs no books goes on, and says that the service lives.
        let scale = json!({"rule": "doyle", "diameter_in": "16", "length_ft": "16"});
        let _scaled = manager.post("/v1/scale", &scale).expect(200);
        let _alive = manager.get("/health/live").expect(200);
    }
    let cluster = open();
    assert_eq!(cluster.url(), url);
    let _ready = manager.get("/health/ready").expect(200);
    let workers = manager.get("/v1/workers").expect(200);
    assert_eq!(workers["items"].as_array().map(Vec::len), Some(1), "nothing was kept: {workers:#}");
    let _filed = manager.post("/v1/workers", &json!({"name": "Later"})).expect(201);
    drop(app);
    drop(cluster);
}

/// A directory that other accounts can pass through, gone with the value.
struct Scratch(PathBuf);

impl Scratch {
    fn new() -> Self {
        let name = format!("skidway-outage-{}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&path).expect("a directory can be made");
        Self(path)
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _gone = std::fs::remove_dir_all(&self.0);
    }
}

const CUT_ALL: &str = "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity \
                       WHERE datname = current_database() AND pid <> pg_backend_pid()";

/// Connections that were cut while nobody used them cost nobody more than a second try.
#[test]
fn connections_cut_while_idle_are_made_anew() {
    let yard = Yard::new();
    let served =
        yard.database.number("SELECT count(*) FROM pg_stat_activity WHERE application_name = 'skidway'");
    assert!(served > 0);
    for _ in 0..3 {
        assert!(yard.database.number(CUT_ALL) > 0);
        for reply in tried(yard.manager()) {
            match reply.documented() {
                reply if reply.code() == Some(Code::Unavailable) => told_to_wait(reply),
                reply => assert!(reply.code() != Some(Code::Internal), "{}: {:#}", reply.asked, reply.body),
            }
        }
        let _listed = yard.manager().get("/v1/workers").expect(200);
    }
}

/// A connection that is cut in the middle of a transaction: told to wait, and nothing kept.
#[test]
fn a_connection_cut_in_the_middle_keeps_nothing() {
    let yard = Yard::new();
    let outfit = yard.world.outfit.outfit;
    let ticket = yard.world.ticket();
    let before = yard.database.counts();
    yard.database.hold_shut(outfit);
    let watcher = Inspector::connect(&yard.app.database.url());
    let scaler = yard.app.member(outfit, Role::Scaler, None);
    let reply = std::thread::scope(|scope| {
        let sending = scope.spawn(|| scaler.post("/v1/tickets", &ticket));
        watcher.await_waiting(1);
        let cut = "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity \
                   WHERE datname = current_database() AND wait_event_type = 'Lock' AND wait_event = 'advisory'";
        assert_eq!(watcher.number(cut), 1);
        sending.join().expect("the request is answered")
    });
    yard.database.let_go();
    told_to_wait(reply);
    assert_eq!(yard.database.counts(), before);
    let _accepted = scaler.post("/v1/tickets", &ticket).expect(201);
}
