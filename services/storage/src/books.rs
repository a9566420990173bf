//! The way into the books: one transaction, one outfit.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use diesel_async::pooled_connection::deadpool::Object;
use diesel_async::{
    AnsiTransactionManager, AsyncPgConnection, RunQueryDsl, SimpleAsyncConnection, TransactionManager,
};
use kernel::{Id, IdSource, OutfitId};

use crate::kept::{Added, Kept};
use crate::known::Known;
use crate::migrate::{MigrationState, migration_state};
use crate::patience::{patient, patiently};
use crate::pool::Connections;
use crate::prepared::Prepared;
use crate::{Access, PoolUsage, StorageError, StoreOptions};

/// The database. Cheap to clone; every clone shares the connections.
#[derive(Clone)]
pub struct Store {
    pub(crate) connections: Arc<Connections>,
    kept: Arc<Kept>,
    known: Arc<Known>,
}

impl std::fmt::Debug for Store {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Store")
    }
}

/// What a transaction is for.
#[derive(Clone, Copy)]
enum Purpose {
    /// Reads see one moment of the books, however many queries they make.
    Read,
    /// Writes see what was committed before each query.
    Write,
}

impl Store {
    /// Makes the pool. No connection is opened until one is needed.
    ///
    /// # Errors
    ///
    /// [`StorageError::Unavailable`] when the machine cannot spare the threads.
    pub fn new(options: &StoreOptions) -> Result<Self, StorageError> {
        Self::over(options, false)
    }

    /// The same for a store that never changes anything, as over a replica: it begins no transaction that writes.
    ///
    /// # Errors
    ///
    /// As [`Store::new`].
    pub fn reader(options: &StoreOptions) -> Result<Self, StorageError> {
        Self::over(options, true)
    }

    fn over(options: &StoreOptions, only_reads: bool) -> Result<Self, StorageError> {
        let connections = Arc::new(Connections::new(options, only_reads)?);
        Ok(Self { connections, kept: Arc::default(), known: Arc::default() })
    }

    /// Whether the database answers.
    ///
    /// # Errors
    ///
    /// [`StorageError::Unavailable`] when it does not.
    pub async fn ping(&self) -> Result<(), StorageError> {
        let question = async |connection: &mut AsyncPgConnection| {
            diesel::sql_query("SELECT 1").execute(connection).await?;
            Ok(())
        };
        self.connections.ask(question).await
    }

    /// How the connections are used at this moment.
    #[must_use]
    pub fn pool_usage(&self) -> PoolUsage {
        self.connections.usage()
    }

    /// What this instance has kept since it started.
    #[must_use]
    pub fn kept(&self) -> Added {
        self.kept.sum()
    }

    /// How the shape of the database stands against what this version needs.
    ///
    /// The service's own role sees nothing of the table that migrations are noted in, so one statement is made under
    /// the role that the connection logged in with.
    ///
    /// # Errors
    ///
    /// [`StorageError::Unavailable`] when the database does not answer.
    pub async fn migration_state(&self) -> Result<MigrationState, StorageError> {
        let look = async {
            let mut connection = self.connections.get().await?;
            let begin = "BEGIN READ ONLY; SET LOCAL ROLE NONE";
            AnsiTransactionManager::begin_transaction_sql(&mut *connection, begin).await?;
            let applied = migration_state(&mut connection).await;
            if AnsiTransactionManager::rollback_transaction(&mut *connection).await.is_err() {
                // It may still have the wrong role: nobody is to be given it again.
                drop(Object::take(connection));
            }
            applied
        };
        let looked = patient(self.connections.patience, look).await;
        looked.unwrap_or_else(|| Err(StorageError::silent(false)))
    }

    /// Does `work` on the books of `outfit` in one transaction: all of it is kept, or, when it answers with an
    /// error, none.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`StorageError`] when the transaction itself fails.
    pub async fn write<T, E: From<StorageError>>(
        &self,
        outfit: OutfitId,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        self.transaction(Access::trusted(outfit), Purpose::Write, work).await
    }

    /// The same for a caller, whose access must stand: the database is asked in the same round trip.
    ///
    /// # Errors
    ///
    /// As [`Store::write`]; [`StorageError::Refused`] with `AccessRevoked` when the access does not stand.
    pub async fn write_as<T, E: From<StorageError>>(
        &self,
        access: Access,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        self.transaction(access, Purpose::Write, work).await
    }

    /// Does `work` on the books of `outfit` as they stand at one moment, without changing them.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`StorageError`] when the transaction itself fails.
    pub async fn read<T, E: From<StorageError>>(
        &self,
        outfit: OutfitId,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        self.transaction(Access::trusted(outfit), Purpose::Read, work).await
    }

    /// The same for a caller, whose access must stand: the database is asked in the same round trip.
    ///
    /// # Errors
    ///
    /// As [`Store::read`]; [`StorageError::Refused`] with `AccessRevoked` when the access does not stand.
    pub async fn read_as<T, E: From<StorageError>>(
        &self,
        access: Access,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        self.transaction(access, Purpose::Read, work).await
    }

    /// Does `work` on the books of `outfit` like [`Store::write`], holds the database to all its rules, and keeps none
    /// of it.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`StorageError`] when a rule would have been broken or the transaction itself fails.
    pub async fn rehearse<T, E: From<StorageError>>(
        &self,
        outfit: OutfitId,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        self.rehearse_as(Access::trusted(outfit), work).await
    }

    /// The same for a caller, whose access must stand.
    ///
    /// # Errors
    ///
    /// As [`Store::rehearse`]; [`StorageError::Refused`] with `AccessRevoked` when the access does not stand.
    pub async fn rehearse_as<T, E: From<StorageError>>(
        &self,
        access: Access,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        let mut rehearsed = None;
        let outcome: Result<(), Rehearsal<E>> = self
            .transaction(access, Purpose::Write, async |books| {
                rehearsed = Some(work(books).await.map_err(Rehearsal::Refused)?);
                let all_rules = diesel::sql_query("SET CONSTRAINTS ALL IMMEDIATE");
                all_rules.execute(&mut books.connection).await.map_err(StorageError::from)?;
                // An error is what undoes a transaction.
                Err(Rehearsal::Over)
            })
            .await;
        match (outcome, rehearsed) {
            (Err(Rehearsal::Refused(refused)), _) => Err(refused),
            (_, Some(rehearsed)) => Ok(rehearsed),
            (_, None) => Err(gone().into()),
        }
    }

    async fn transaction<T, E: From<StorageError>>(
        &self,
        access: Access,
        purpose: Purpose,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        patiently(self.connections.patience, async |committing: &AtomicBool| {
            self.begun_and_ended(access, purpose, work, committing).await
        })
        .await
    }

    /// A transaction from its beginning to its end.
    async fn begun_and_ended<T, E: From<StorageError>>(
        &self,
        access: Access,
        purpose: Purpose,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
        committing: &AtomicBool,
    ) -> Result<T, E> {
        let mut unfinished = Unfinished(Some(self.begin(access, purpose).await?));
        let Some(books) = unfinished.0.as_mut() else { return Err(gone().into()) };
        let outcome = work(books).await;
        committing.store(outcome.is_ok(), Ordering::Relaxed);
        self.end(unfinished, outcome).await
    }

    /// Keeps what was done, or undoes it where that was an error.
    pub(crate) async fn end<T, E: From<StorageError>>(
        &self,
        mut unfinished: Unfinished,
        outcome: Result<T, E>,
    ) -> Result<T, E> {
        let Some(books) = unfinished.0.as_mut() else { return Err(gone().into()) };
        let ended = match outcome {
            Ok(_) => AnsiTransactionManager::commit_transaction(&mut *books.connection).await,
            Err(_) => AnsiTransactionManager::rollback_transaction(&mut *books.connection).await,
        };
        match (&outcome, ended) {
            // Committed, or undone: the connection is good for the next.
            (Ok(_), Ok(())) => self.is_kept(unfinished),
            (Err(_), Ok(())) => drop(unfinished.0.take()),
            (Ok(_), Err(error)) => return Err(StorageError::at_commit(error).into()),
            // A rollback that fails leaves a connection that is thrown away; nothing was kept.
            (Err(_), Err(error)) => {
                tracing::warn!(error = %error, "rollback failed; the connection is dropped");
            }
        }
        outcome
    }

    /// Counts what was committed, and gives the connection back.
    pub(crate) fn is_kept(&self, mut finished: Unfinished) {
        if let Some(books) = finished.0.take() {
            self.kept.count(books.added);
        }
    }

    async fn begin(&self, access: Access, purpose: Purpose) -> Result<Books, StorageError> {
        let kind = match purpose {
            Purpose::Read => "ISOLATION LEVEL REPEATABLE READ READ ONLY",
            Purpose::Write if self.connections.only_read => return Err(StorageError::only_read()),
            Purpose::Write => WRITING,
        };
        let mut connection = self.connections.get().await?;
        let outfit = access.outfit;
        let begin = beginning(kind, access);
        if let Err(error) = AnsiTransactionManager::begin_transaction_sql(&mut *connection, &begin).await {
            // It may have begun and then been refused, which diesel takes for not begun. Ended here, the connection is
            // good for the next; otherwise it is closed.
            undo(connection).await;
            return Err(error.into());
        }
        Ok(self.books(connection, outfit))
    }

    pub(crate) fn books(&self, connection: Object<AsyncPgConnection>, outfit: OutfitId) -> Books {
        Books { connection, outfit, added: Added::default(), known: self.known.clone() }
    }
}

/// How a transaction that changes something is begun.
pub(crate) const WRITING: &str = "ISOLATION LEVEL READ COMMITTED READ WRITE";

/// What begins a transaction on the books that a caller has access to, in one round trip. The ids are parsed UUIDs: nothing of
/// a caller's text gets into the statement.
pub(crate) fn beginning(kind: &str, access: Access) -> String {
    let outfit = access.outfit;
    let check = match access.grant {
        Some(grant) => format!("; SELECT access_must_stand('{grant}')"),
        None => String::new(),
    };
    format!("BEGIN {kind}; SET LOCAL skidway.outfit = '{outfit}'{check}")
}

/// Undoes whatever was begun, and closes the connection where that fails.
pub(crate) async fn undo(mut connection: Object<AsyncPgConnection>) {
    if connection.batch_execute("ROLLBACK").await.is_err() {
        drop(Object::take(connection));
    }
}

/// A transaction that has not come to its end. When its work panics or is abandoned, the connection is closed, which
/// undoes everything and lets go of every lock at once; given back to the pool, it would hold them until somebody
/// happened to be given it again.
pub(crate) struct Unfinished(pub(crate) Option<Books>);

impl Drop for Unfinished {
    fn drop(&mut self) {
        if let Some(books) = self.0.take() {
            drop(Object::take(books.connection));
        }
    }
}

/// How a rehearsal ends: refused, or gone through to its end.
enum Rehearsal<E> {
    Refused(E),
    Over,
}

impl<E: From<StorageError>> From<StorageError> for Rehearsal<E> {
    fn from(error: StorageError) -> Self {
        Self::Refused(error.into())
    }
}

pub(crate) fn gone() -> StorageError {
    StorageError::Unavailable("the transaction is over".into())
}

/// The books of one outfit within one transaction.
pub struct Books {
    pub(crate) connection: Object<AsyncPgConnection>,
    outfit: OutfitId,
    pub(crate) added: Added,
    pub(crate) known: Arc<Known>,
}

impl std::fmt::Debug for Books {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Books").field("outfit", &self.outfit).finish_non_exhaustive()
    }
}

impl Books {
    pub(crate) fn over(connection: Object<AsyncPgConnection>, outfit: OutfitId) -> Self {
        Self { connection, outfit, added: Added::default(), known: Arc::default() }
    }

    /// Whose books these are.
    #[must_use]
    pub fn outfit(&self) -> OutfitId {
        self.outfit
    }

    pub(crate) fn outfit_uuid(&self) -> uuid::Uuid {
        self.outfit.uuid()
    }

    /// Joins the others who add records: they do not wait for each other, only for whoever closes the books. The ids that
    /// are made from then on come after all that are there ([`Books::go_on`]).
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the wait is too long.
    pub async fn enter_records(&mut self, ids: &IdSource) -> Result<(), StorageError> {
        self.lock("SELECT pg_advisory_xact_lock_shared(hashtextextended($::text, 0))").await?;
        self.go_on(ids).await
    }

    /// The same for whoever adds tickets and does nothing else in the transaction. What they are looked up and added with is
    /// planned once for a connection then: with the arrays of each request at hand it would be planned anew every time,
    /// which costs more than doing it. [`Books::ground`] sees to the ids.
    ///
    /// # Errors
    ///
    /// As [`Books::enter_records`].
    pub async fn enter_tickets(&mut self) -> Result<(), StorageError> {
        let joining = Self::joining_tickets(self.outfit);
        Ok(self.connection.batch_execute(&joining).await?)
    }

    /// What joins those who add tickets.
    pub(crate) fn joining_tickets(outfit: OutfitId) -> String {
        format!(
            "SELECT pg_advisory_xact_lock_shared(hashtextextended('{outfit}', 0)); \
             SET LOCAL plan_cache_mode = force_generic_plan"
        )
    }

    /// Closes the books to everybody else until the transaction ends: for filing terms and posting weeks, which
    /// must see every ticket and be seen by every later one. The ids that are made from then on come after all that are
    /// there ([`Books::go_on`]).
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the wait is too long.
    pub async fn close_to_others(&mut self, ids: &IdSource) -> Result<(), StorageError> {
        self.lock("SELECT pg_advisory_xact_lock(hashtextextended($::text, 0))").await?;
        self.go_on(ids).await
    }

    /// Does `work` so that it can be undone by itself: when it answers with an error, what it did is gone, and the
    /// transaction goes on.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`StorageError`] when the database fails.
    pub async fn attempt<T, E: From<StorageError>>(
        &mut self,
        work: impl AsyncFnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let of = |error| E::from(StorageError::from(error));
        AnsiTransactionManager::begin_transaction(&mut *self.connection).await.map_err(of)?;
        let before = self.added;
        let outcome = work(self).await;
        let ended = match &outcome {
            Ok(_) => AnsiTransactionManager::commit_transaction(&mut *self.connection).await,
            Err(_) => {
                self.added = before;
                AnsiTransactionManager::rollback_transaction(&mut *self.connection).await
            }
        };
        ended.map_err(of)?;
        outcome
    }

    /// Waits until nobody else holds `name` within this outfit, and holds it until the transaction ends.
    pub(crate) async fn hold(&mut self, name: &str) -> Result<(), StorageError> {
        diesel::sql_query("SELECT pg_advisory_xact_lock(hashtextextended($1, 1))")
            .bind::<diesel::sql_types::Text, _>(format!("{} {name}", self.outfit))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    async fn lock(&mut self, statement: &'static str) -> Result<(), StorageError> {
        Prepared::new(statement)
            .bind::<diesel::sql_types::Text, _>(self.outfit.to_string())
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }
}
