//! What storage promises of a transaction: all of it or nothing, one moment, and connections that go on working.

use std::cell::Cell;
use std::sync::Arc;
use std::time::Duration;

use ::settlement::{Account, Task};
use kernel::{CrewId, Fixed, Id, IdSource, OutfitId, SettableClock, SystemEntropy, WorkerId};
use localpg::ThrowawayDatabase;
use storage::{
    Books, JournalEntry, Named, Outfit, Page, Rule, Share, ShareSet, Stamp, StorageError, Store, StoreOptions,
};
use tests::migrated_database;

use crate::session::Session;

/// Books of one outfit, opened without the service.
struct Opened {
    database: ThrowawayDatabase,
    outfit: OutfitId,
    ids: IdSource,
}

fn stamp() -> Stamp {
    Stamp { at: "2026-06-08T13:00:00Z".parse().expect("a time"), by: "somebody".to_owned() }
}

impl Opened {
    async fn new() -> Self {
        let clock = Arc::new(SettableClock::at(stamp().at));
        let ids = IdSource::new(clock, Arc::new(SystemEntropy));
        let opened = Self { database: migrated_database(), outfit: ids.make(), ids };
        opened.open(opened.outfit).await;
        opened
    }

    async fn open(&self, id: OutfitId) {
        let outfit = Outfit {
            id,
            name: "Invented outfit".to_owned(),
            currency: "USD".parse().expect("a currency"),
            time_zone: jiff::tz::TimeZone::UTC,
            week_ends_on: jiff::civil::Weekday::Saturday,
            cut_off: settlement::CutOff::default(),
            made: stamp(),
        };
        let store = self.store(1);
        let opening = store.write(id, async |books| books.open_outfit(&outfit).await);
        opening.await.expect("books can be opened");
    }

    fn store(&self, connections: usize) -> Store {
        self.store_that_waits(connections, Duration::from_secs(30))
    }

    fn store_that_waits(&self, connections: usize, statement_timeout: Duration) -> Store {
        let url = self.database.url();
        let wait = Duration::from_secs(30);
        Store::new(&StoreOptions { url, connections, wait, statement_timeout }).expect("a pool can be made")
    }

    /// The names of the workers, in the order of filing.
    async fn workers(&self, store: &Store) -> Vec<String> {
        store.read(self.outfit, names).await.expect("reading works")
    }

    async fn add(&self, books: &mut Books, name: &str) -> Result<(), StorageError> {
        books.add_worker(self.ids.make(), name, &stamp()).await
    }
}

async fn names(books: &mut Books) -> Result<Vec<String>, StorageError> {
    let workers: Vec<Named<WorkerId>> = books.workers(Page { after: None, limit: 100 }).await?;
    Ok(workers.into_iter().map(|worker| worker.name).collect())
}

/// Runs one test on a runtime of a single thread, as a worker of the web server has.
fn run<T>(work: impl Future<Output = T>) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    runtime.expect("a runtime can be made").block_on(work)
}

/// A refusal of the caller's own, as the service has them.
#[derive(Debug)]
enum Refusal {
    Own,
    Storage(StorageError),
}

impl From<StorageError> for Refusal {
    fn from(error: StorageError) -> Self {
        Self::Storage(error)
    }
}

#[test]
fn what_ends_well_is_kept_whole() {
    run(async {
        let opened = Opened::new().await;
        let store = opened.store(1);
        let kept = store.write(opened.outfit, async |books| {
            opened.add(books, "First sawyer").await?;
            opened.add(books, "Second sawyer").await
        });
        kept.await.expect("nothing stands against it");
        assert_eq!(opened.workers(&store).await, ["First sawyer", "Second sawyer"]);
    });
}

#[test]
fn what_is_refused_leaves_nothing() {
    run(async {
        let opened = Opened::new().await;
        let store = opened.store(1);
        let refused = store.write(opened.outfit, async |books| {
            opened.add(books, "First sawyer").await?;
            assert_eq!(names(books).await?, ["First sawyer"]);
            Err::<(), _>(Refusal::Own)
        });
        assert!(matches!(refused.await, Err(Refusal::Own)));
        assert!(opened.workers(&store).await.is_empty());

        let refused = store.write(opened.outfit, async |books| {
            opened.add(books, "First sawyer").await?;
            opened.add(books, "First sawyer").await?;
            Ok::<_, Refusal>(())
        });
        let refused = refused.await;
        let taken = matches!(&refused, Err(Refusal::Storage(StorageError::Refused(Rule::NameTaken, _))));
        assert!(taken, "{refused:?}");
        assert!(opened.workers(&store).await.is_empty());
    });
}

/// The web server drops the work of a caller who has gone away, wherever it stands.
#[test]
fn what_is_dropped_half_way_leaves_nothing() {
    run(async {
        let opened = Opened::new().await;
        let store = opened.store(1);
        for _ in 0..3 {
            let added = Cell::new(false);
            let work = store.write(opened.outfit, async |books| {
                opened.add(books, "First sawyer").await?;
                added.set(true);
                std::future::pending::<Result<(), StorageError>>().await
            });
            let until_added = async {
                while !added.get() {
                    tokio::task::yield_now().await;
                }
            };
            tokio::select! {
                ended = work => panic!("it never ends by itself: {ended:?}"),
                () = until_added => {}
            }
            // The pool has one connection: it works again, outside of the transaction that was dropped.
            assert!(opened.workers(&store).await.is_empty());
        }
        let kept = store.write(opened.outfit, async |books| opened.add(books, "First sawyer").await);
        kept.await.expect("the name is free");
        assert_eq!(opened.workers(&store).await, ["First sawyer"]);
    });
}

#[test]
fn reading_changes_nothing() {
    run(async {
        let opened = Opened::new().await;
        let store = opened.store(1);
        let refused = store.read(opened.outfit, async |books| opened.add(books, "First sawyer").await);
        assert!(matches!(refused.await, Err(StorageError::Database(_))));
        assert!(opened.workers(&store).await.is_empty());
    });
}

/// Storage logs in as the owner and puts the service's role on: what that role may not do, storage may not.
#[test]
fn storage_has_the_rights_of_the_service_and_no_more() {
    run(async {
        let opened = Opened::new().await;
        let revoked = std::thread::scope(|scope| {
            let revoke =
                || Session::owner(&opened.database).run("REVOKE INSERT ON worker FROM skidway_service");
            scope.spawn(revoke).join().expect("the thread ends")
        });
        assert_eq!(revoked, Ok(()));
        let store = opened.store(1);
        let refused = store.write(opened.outfit, async |books| opened.add(books, "First sawyer").await);
        assert!(matches!(refused.await, Err(StorageError::Database(_))));
        assert!(opened.workers(&store).await.is_empty());
    });
}

#[test]
fn reading_sees_one_moment() {
    run(async {
        let opened = Opened::new().await;
        let store = opened.store(2);
        let seen = store.read(opened.outfit, async |books| {
            let before = names(books).await?;
            let between = store.write(opened.outfit, async |books| opened.add(books, "First sawyer").await);
            between.await?;
            Ok::<_, StorageError>((before, names(books).await?))
        });
        assert_eq!(seen.await.expect("reading works"), (Vec::new(), Vec::new()));
        assert_eq!(opened.workers(&store).await, ["First sawyer"]);
    });
}

/// Even on one connection, which serves one outfit after the other.
#[test]
fn a_connection_forgets_whose_books_it_had_open() {
    run(async {
        let opened = Opened::new().await;
        let other: OutfitId = opened.ids.make();
        opened.open(other).await;
        let store = opened.store(1);
        let kept = store.write(opened.outfit, async |books| opened.add(books, "First sawyer").await);
        kept.await.expect("nothing stands against it");
        let theirs = store.read(other, names).await.expect("reading works");
        assert!(theirs.is_empty());
        let nobody: OutfitId = opened.ids.make();
        let none = store.read(nobody, async |books| books.own_outfit().await);
        assert_eq!(none.await.expect("reading works"), None);
    });
}

/// Posting a week waits for tickets and holds them up; tickets do not hold up each other, nor another outfit.
#[test]
fn closing_the_books_keeps_others_out() {
    run(async {
        let opened = Opened::new().await;
        let other: OutfitId = opened.ids.make();
        let (holding, passing) = (opened.store(1), opened.store(1));
        // Whoever must wait would wait for ever: so he is told soon. Whoever need not wait has all the time he wants.
        let waiting = opened.store_that_waits(1, Duration::from_millis(50));
        let enter = async |store: &Store, outfit| {
            store.write(outfit, async |books| books.enter_records(&opened.ids).await).await
        };
        let close = async |store: &Store, outfit| {
            store.write(outfit, async |books| books.close_to_others(&opened.ids).await).await
        };
        let closed = holding.write(opened.outfit, async |books| {
            books.close_to_others(&opened.ids).await?;
            assert!(
                enter(&waiting, opened.outfit).await.is_err(),
                "a ticket got in while the books were closed"
            );
            assert!(close(&waiting, opened.outfit).await.is_err(), "two weeks were posted at once");
            enter(&passing, other).await?;
            close(&passing, other).await
        });
        closed.await.expect("other outfits are not held up");
        let entered = holding.write(opened.outfit, async |books| {
            books.enter_records(&opened.ids).await?;
            enter(&passing, opened.outfit).await?;
            assert!(close(&waiting, opened.outfit).await.is_err(), "a week was posted past an open ticket");
            Ok::<_, StorageError>(())
        });
        entered.await.expect("tickets do not hold up each other");
        close(&passing, opened.outfit).await.expect("everybody has left");
    });
}

#[test]
fn an_entry_out_of_balance_is_refused_whole() {
    run(async {
        let opened = Opened::new().await;
        let store = opened.store(1);
        let worker: WorkerId = opened.ids.make();
        let entry = |owed: i64| JournalEntry {
            id: opened.ids.make(),
            dated: "2026-06-06".parse().expect("a day"),
            says: "A try".to_owned(),
            postings: vec![
                (Account::WorkExpense(Task::Felling), 100),
                (Account::PayableToWorker(worker), -owed),
            ],
            made: stamp(),
        };
        let written = async |owed: i64| {
            let entry = entry(owed);
            let work = store.write(opened.outfit, async |books| {
                books.add_worker(worker, "First sawyer", &stamp()).await?;
                books.add_journal_entry(&entry).await
            });
            work.await
        };
        let refused = written(99).await;
        assert!(matches!(refused, Err(StorageError::Refused(Rule::Other(_), _))), "{refused:?}");
        assert!(opened.workers(&store).await.is_empty());
        written(100).await.expect("it balances");
        let balances = store.read(opened.outfit, async |books| books.balances().await);
        let balances: Vec<_> = balances.await.expect("reading works").into_iter().collect();
        assert_eq!(balances, [(::settlement::Payee::Worker(worker), 100)]);
    });
}

#[test]
fn a_missing_record_is_named() {
    run(async {
        let opened = Opened::new().await;
        let store = opened.store(1);
        let crew: CrewId = opened.ids.make();
        let set = |crew: CrewId| ShareSet {
            id: opened.ids.make(),
            crew,
            effective_from: "2026-06-01".parse().expect("a day"),
            revision: 0,
            method: ::settlement::ShareMethod::Parts,
            shares: vec![Share { worker: opened.ids.make(), parts: Fixed::from_millionths(1_000_000) }],
            made: stamp(),
        };
        let filed = async |known: bool| {
            let set = set(crew);
            let work = store.write(opened.outfit, async |books| {
                if known {
                    books.add_crew(crew, "Felling crew", &stamp()).await?;
                }
                books.add_share_set(&set).await
            });
            work.await
        };
        for (known, missing) in [(false, "crew"), (true, "worker")] {
            let refused = filed(known).await;
            let named =
                matches!(&refused, Err(StorageError::Refused(Rule::NoSuch(kind), _)) if *kind == missing);
            assert!(named, "{missing}: {refused:?}");
        }
        let kept = store.read(opened.outfit, async |books| books.crew(crew).await);
        assert_eq!(kept.await.expect("reading works").map(|crew| crew.id.uuid()), None);
    });
}

#[test]
fn a_database_that_is_not_there_is_told_from_one_that_refuses() {
    run(async {
        let opened = Opened::new().await;
        let url = format!("{}_gone", opened.database.url());
        let wait = Duration::from_secs(30);
        let options = StoreOptions { url, connections: 1, wait, statement_timeout: wait };
        let told = format!("{options:?}");
        assert!(!told.contains("_gone") && told.contains("(hidden)"), "{told}");
        let nowhere = Store::new(&options).expect("no connection is needed yet");
        assert!(matches!(nowhere.ping().await, Err(StorageError::Unavailable(_))));
        opened.store(1).ping().await.expect("this one is there");
    });
}
