//! A database that has taken a question and does not answer, though nothing has ended: its process is stopped. And one that has
//! undone a transaction because of what else it has to do.

use std::process::Command;
use std::sync::Arc;
use std::time::{Duration, Instant};

use kernel::{Id, IdSource, OutfitId, SettableClock, SystemEntropy, WorkerId};
use localpg::ThrowawayDatabase;
use storage::{Books, Named, Page, Stamp, StorageError, Store, StoreOptions};
use tests::migrated_database;

use crate::session::Session;

/// How long a statement may take; a question is given up a few seconds later.
const STATEMENT: Duration = Duration::from_millis(500);
/// Long before anybody else would give up.
const SOON: Duration = Duration::from_secs(20);

/// A process that is stopped, until the end of the value.
struct Stopped<'a>(&'a str);

impl<'a> Stopped<'a> {
    fn now(pid: &'a str) -> Self {
        signal("-STOP", pid);
        Self(pid)
    }
}

impl Drop for Stopped<'_> {
    fn drop(&mut self) {
        signal("-CONT", self.0);
    }
}

fn signal(which: &str, pid: &str) {
    assert!(Command::new("kill").args([which, pid]).status().expect("there is such a program").success());
}

/// A store with one connection, and the process of the database that serves it.
struct Silent {
    store: Store,
    outfit: OutfitId,
    pid: String,
    database: ThrowawayDatabase,
}

impl Silent {
    fn new() -> Self {
        let database = migrated_database();
        let options = StoreOptions {
            url: database.url(),
            connections: 1,
            wait: Duration::from_secs(2),
            statement_timeout: STATEMENT,
        };
        let store = Store::new(&options).expect("a pool can be made");
        run(store.ping()).expect("the database answers");
        let pids = Session::owner(&database).try_rows(
            "SELECT pid FROM pg_stat_activity WHERE datname = current_database() AND application_name = 'skidway'",
        );
        let pids = pids.expect("the database answers");
        assert_eq!(pids.len(), 1, "the service has one connection: {pids:?}");
        let pid = pids[0][0].clone().expect("a number");
        let clock = Arc::new(SettableClock::at("2026-06-08T13:00:00Z".parse().expect("a time")));
        let outfit = IdSource::new(clock, Arc::new(SystemEntropy)).make();
        Self { store, outfit, pid, database }
    }
}

/// Runs something as a web worker would.
fn run<T>(work: impl Future<Output = T>) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    let within = async { tokio::time::timeout(SOON, work).await.expect("it is waited for without end") };
    runtime.expect("a runtime can be made").block_on(within)
}

async fn workers(books: &mut Books) -> Result<usize, StorageError> {
    let workers: Vec<Named<WorkerId>> = books.workers(Page { after: None, limit: 10 }).await?;
    Ok(workers.len())
}

#[test]
fn a_question_that_is_not_answered_is_given_up_and_the_next_connection_is_good() {
    let silent = Silent::new();
    run(async {
        let (mut stopped, mut began) = (None, None);
        let asked = silent.store.read(silent.outfit, async |books| {
            stopped = Some(Stopped::now(&silent.pid));
            began = Some(Instant::now());
            workers(books).await
        });
        let asked = asked.await;
        assert!(matches!(asked, Err(StorageError::Unavailable(_))), "{asked:?}");
        let waited = began.expect("it was asked").elapsed();
        assert!(waited > STATEMENT, "the database is given the time that a statement may take: {waited:?}");
        // It is stopped still.
        let next = silent.store.read(silent.outfit, workers).await;
        assert_eq!(next.expect("another connection is opened"), 0);
    });
}

#[test]
fn of_a_commit_that_is_not_answered_nobody_knows_whether_it_was_kept() {
    let silent = Silent::new();
    run(async {
        let mut stopped = None;
        let written = silent.store.write(silent.outfit, async |books| {
            let found = workers(books).await?;
            stopped = Some(Stopped::now(&silent.pid));
            Ok::<_, StorageError>(found)
        });
        let written = written.await;
        assert!(matches!(written, Err(StorageError::Unanswered(_))), "{written:?}");
    });
}

#[test]
fn what_is_asked_outside_of_the_books_is_given_up_too() {
    let silent = Silent::new();
    run(async {
        let session = silent.store.session().await.expect("a connection");
        let _stopped = Stopped::now(&silent.pid);
        let held = session.hold(silent.outfit).await;
        assert!(matches!(held, Err(StorageError::Unavailable(_))), "{held:?}");
    });
}

/// As when a migration has taken a table for little, and takes it for more while somebody is in between who had read it.
#[test]
fn whoever_is_undone_by_a_deadlock_may_come_again() {
    let silent = Silent::new();
    let (url, outfit) = (silent.database.url(), silent.outfit);
    let patient = StoreOptions {
        url: url.clone(),
        connections: 1,
        wait: Duration::from_secs(2),
        statement_timeout: Duration::from_secs(15),
    };
    let store = Store::new(&patient).expect("a pool can be made");
    run(async {
        let (client, connection) =
            tokio_postgres::connect(&url, tokio_postgres::NoTls).await.expect("the database answers");
        let _driven = tokio::spawn(connection);
        let written: Result<(), StorageError> = store
            .write(outfit, async |books| {
                let _found = workers(books).await?;
                let little = "BEGIN; LOCK TABLE worker IN SHARE ROW EXCLUSIVE MODE";
                client.batch_execute(little).await.expect("nobody is in the way");
                let more = client.batch_execute("LOCK TABLE worker IN ACCESS EXCLUSIVE MODE");
                let stamp = Stamp { at: "2026-06-08T13:00:00Z".parse().expect("a time"), by: "x".to_owned() };
                let id = WorkerId::from_uuid(outfit.uuid());
                // Whoever comes to wait for somebody who waits for him is undone at once.
                let adding = async {
                    tokio::time::sleep(Duration::from_millis(300)).await;
                    books.add_worker(id, "Somebody", &stamp).await
                };
                let (_, added) = tokio::join!(more, adding);
                added
            })
            .await;
        assert!(matches!(written, Err(StorageError::Unavailable(_))), "{written:?}");
    });
}
