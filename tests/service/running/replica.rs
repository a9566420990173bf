//! An instance that only reads, from a streaming replica of the books.

use std::sync::OnceLock;
use std::time::{Duration, Instant};

use api::http::operation::{Access, Effect, Operation};
use api::routes::OPERATIONS;
use api::running::Parts;
use kernel::SystemClock;
use localpg::Replicated;
use serde_json::{Value, json};
use tests::{Actor, BareApp, Inspector, TestApp};
use wire::{Code, Role};

use crate::raw::exchange;
use crate::world::World;

/// Where the books are said to be kept.
const KEEPER: &str = "https://books.example";

/// A primary and its replica, made once for all tests here.
fn pair() -> &'static Replicated {
    static PAIR: OnceLock<Replicated> = OnceLock::new();
    PAIR.get_or_init(|| localpg::throwaway_replicated().expect("a primary and a replica can be started"))
}

/// The books on the primary, and an instance beside them that only reads from the replica.
struct Beside {
    app: TestApp,
    reader: BareApp,
    primary: Inspector,
    replica: Inspector,
}

impl Beside {
    fn start() -> Self {
        let pair = pair();
        let database = localpg::throwaway_database_in(&pair.primary, None).expect("a database can be made");
        storage::migrate(&database.url()).expect("the migrations apply");
        let primary = Inspector::connect(&database.url());
        let url = pair.replica.database_url(database.name());
        wait_for_all(&primary, &Inspector::connect(&pair.replica.url()));
        let replica = Inspector::connect(&url);
        let app = TestApp::start_on(database);
        let reader = BareApp::start_reader(&Parts { url, ..app.parts.clone() }, KEEPER);
        Self { app, reader, primary, replica }
    }

    /// Waits until the replica holds all that was kept until now.
    fn settle(&self) {
        wait_for_all(&self.primary, &self.replica);
    }

    /// Somebody who may use an operation, where the books are kept and at the instance that only reads.
    fn callers(&self, world: &World, operation: &Operation) -> [Actor; 2] {
        match operation.access {
            Access::Open => [self.app.stranger(), self.reader.stranger()],
            Access::Roles([Role::Operator, ..]) => [self.app.operator(), self.reader.operator()],
            Access::Roles(roles) => {
                let role = if roles.contains(&Role::Manager) { Role::Manager } else { roles[0] };
                assert_ne!(role, Role::Mill, "{}: a mill is never the only one", operation.id);
                [world.actor(&self.app, role), self.reader.member(world.outfit.outfit, role, None)]
            }
        }
    }

    fn ready(&self) -> Value {
        self.reader.stranger().get("/health/ready").expect(200)["replica"].clone()
    }
}

/// Has a table alone at the primary for a moment, which the replica replays when nobody there reads it.
fn have_alone(primary: &Inspector, table: &str) {
    let _had = primary.ask(&format!("BEGIN; LOCK TABLE {table} IN ACCESS EXCLUSIVE MODE; COMMIT"));
}

fn wait_for_all(primary: &Inspector, replica: &Inspector) {
    let at = primary.ask("SELECT pg_current_wal_insert_lsn()")[0][0].clone().expect("a place");
    let arrived = format!("SELECT (pg_last_wal_replay_lsn() >= '{at}')::integer");
    until("the replica does not catch up", || replica.number(&arrived) == 1);
}

fn until(otherwise: &str, mut done: impl FnMut() -> bool) {
    let since = Instant::now();
    while !done() {
        assert!(since.elapsed() < Duration::from_secs(60), "{otherwise}");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// What is answered of an operation that only the two instances' own state makes different.
const OF_THE_INSTANCE: [&str; 3] = ["live", "ready", "try_event_subscription"];

/// Every operation, from the one list.
#[test]
fn what_reads_is_answered_alike_and_what_changes_is_sent_away() {
    let beside = Beside::start();
    let world = World::new(&beside.app);
    let (mut read, mut sent_away) = (0, 0);
    let samples: Vec<_> = OPERATIONS.iter().map(|one| (*one, world.sample(one.id))).collect();
    beside.settle();
    let before = beside.primary.counts();
    for (operation, sample) in samples {
        let [keeper, reader] = beside.callers(&world, operation);
        let reply = sample.send(operation, &reader).documented();
        if operation.effect != Effect::None {
            let problem = reply.refuses(Code::ReadOnly);
            assert!(problem["detail"].as_str().is_some_and(|text| text.ends_with(KEEPER)), "{problem:#}");
            sent_away += 1;
        } else if !OF_THE_INSTANCE.contains(&operation.id) {
            assert_eq!(reply.status, 200, "{}: {:#}", operation.id, reply.body);
            assert_eq!(
                reply.header("books-as-of").is_some(),
                operation.access != Access::Open,
                "{}: {:?}",
                operation.id,
                reply.headers
            );
            let kept = sample.send(operation, &keeper);
            assert!(kept.header("books-as-of").is_none(), "{}", operation.id);
            assert_eq!(kept.text, reply.text, "{}", operation.id);
            read += 1;
        }
    }
    assert_eq!(beside.primary.counts(), before);
    assert!(read > 60 && sent_away > 40, "{read} read, {sent_away} sent away");
}

/// A rehearsal writes too, and is taken back: it needs the books themselves.
#[test]
fn a_rehearsal_is_sent_away_and_so_is_whoever_signs_in() {
    let beside = Beside::start();
    let world = World::new(&beside.app);
    beside.settle();
    let manager = beside.reader.member(world.outfit.outfit, Role::Manager, None);
    let _sent_away = manager.post("/v1/workers?dry_run=true", &json!({"name": "A"})).refuses(Code::ReadOnly);
    let asked = json!({"outfit_id": world.outfit.outfit, "name": "Anna", "password": "a long password"});
    let _sent_away = beside.reader.stranger().post("/v1/sign-in", &asked).refuses(Code::ReadOnly);
}

#[test]
fn revoked_access_ends_there_as_soon_as_the_revocation_arrives() {
    let beside = Beside::start();
    let world = World::new(&beside.app);
    let manager = &world.outfit.manager;
    let asked = json!({"subject": "Auditor", "role": "contractor"});
    let granted = manager.post("/v1/access-tokens", &asked).expect(201);
    let auditor = beside.reader.bearer(granted["access_token"].as_str().expect("a token"));
    beside.settle();
    let _shown = auditor.get("/v1/outfit").expect(200);
    let path = format!("/v1/access-grants/{}/revocation", granted["grant_id"].as_str().expect("a grant"));
    let _revoked = manager.post(&path, &json!({"reason": "The audit is over"})).expect(201);
    beside.settle();
    let _refused = auditor.get("/v1/outfit").refuses(Code::AccessRevoked);
}

/// Somebody reads a table at the replica, and the primary asks to have it alone: until one of them gives way, nothing
/// arrives any more.
#[test]
fn how_old_the_books_are_is_told_and_what_is_held_up_arrives_later() {
    let beside = Beside::start();
    let world = World::new(&beside.app);
    beside.settle();
    until("it does not catch up", || beside.ready()["caught_up"] == true);
    assert_eq!(beside.ready()["lag_seconds"], 0, "a quiet night is no lag");
    let manager = beside.reader.member(world.outfit.outfit, Role::Manager, None);
    let before = manager.get("/v1/workers");
    let as_of = |reply: &tests::Reply| -> jiff::Timestamp {
        reply.header("books-as-of").and_then(|text| text.parse().ok()).expect("a time")
    };
    let _held = beside.replica.ask("BEGIN; SELECT count(*) FROM worker");
    have_alone(&beside.primary, "worker");
    let _filed = world.outfit.manager.post("/v1/workers", &json!({"name": "A newcomer"})).expect(201);
    until("the lag is not told", || beside.ready()["behind_bytes"].as_u64().is_some_and(|bytes| bytes > 0));
    let told = beside.ready();
    assert_eq!(told["caught_up"], false, "{told:#}");
    let metrics = exchange(beside.reader.metrics_address, "GET /metrics", &[], b"").text;
    assert!(metrics.contains("skidway_replica_caught_up 0\n"), "{metrics}");
    assert!(metrics.contains("\nskidway_replica_behind_bytes "), "{metrics}");
    let held_up = manager.get("/v1/jobs");
    assert_eq!(held_up.status, 200, "what is there can be read meanwhile");
    assert!(as_of(&held_up) >= as_of(&before));
    let _let_go = beside.replica.ask("COMMIT");
    beside.settle();
    let after = manager.get("/v1/workers");
    assert!(after.text.contains("A newcomer"), "{}", after.text);
    until("it does not catch up", || beside.ready()["caught_up"] == true);
    until("the time does not go on", || as_of(&manager.get("/v1/workers")) > as_of(&before));
}

/// A reader at the replica stands in the way of what is to be replayed for longer than it may: it is broken off, and its
/// caller is told to come back.
#[test]
fn whoever_reads_for_too_long_there_is_told_to_come_back() {
    let beside = Beside::start();
    let world = World::new(&beside.app);
    beside.settle();
    let url = pair().replica.database_url(beside.app.database.name());
    let second = Duration::from_secs(1);
    let options =
        storage::StoreOptions { url, connections: 1, wait: 5 * second, statement_timeout: 60 * second };
    let store = storage::Store::reader(&options).expect("a pool can be made");
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
    let outcome = runtime.block_on(store.read(world.outfit.outfit, async |books| {
        books.own_outfit().await?;
        let primary = beside.app.database.url();
        let asked = std::thread::spawn(move || have_alone(&Inspector::connect(&primary), "outfit"));
        asked.join().expect("the primary gives it");
        let since = Instant::now();
        while since.elapsed() < Duration::from_secs(60) {
            books.own_outfit().await?;
            tokio::time::sleep(Duration::from_millis(200)).await;
        }
        Ok::<_, storage::StorageError>(())
    }));
    assert!(matches!(outcome, Err(storage::StorageError::Unavailable(_))), "{outcome:?}");
    let refused =
        runtime.block_on(store.write(world.outfit.outfit, async |_| Ok::<_, storage::StorageError>(())));
    assert!(matches!(refused, Err(storage::StorageError::Unavailable(_))), "{refused:?}");
}

/// An instance that keeps books is not ready with a database that follows another one, and loses nobody's request.
#[test]
fn whoever_keeps_books_is_not_ready_on_a_replica() {
    let beside = Beside::start();
    let world = World::new(&beside.app);
    beside.settle();
    let url = pair().replica.database_url(beside.app.database.name());
    let misled =
        BareApp::start(&Parts { url, clock: std::sync::Arc::new(SystemClock), ..beside.app.parts.clone() });
    let problem = misled.stranger().get("/health/ready").refuses(Code::NotReady);
    assert_eq!(problem["errors"][0]["pointer"], "#/database");
    let manager = misled.member(world.outfit.outfit, Role::Manager, None);
    let _later = manager.post("/v1/workers", &json!({"name": "A"})).refuses(Code::Unavailable);
}
