//! A connection that holds outfits across transactions: so that one of several instances delivers an outfit's events.

use std::sync::Arc;
use std::time::Duration;

use diesel::QueryableByName;
use diesel::sql_types::{Bool, Text};
use diesel_async::pooled_connection::deadpool::Object;
use diesel_async::{AnsiTransactionManager, AsyncPgConnection, RunQueryDsl, TransactionManager};
use kernel::OutfitId;
use tokio::sync::Mutex;

use crate::books::Unfinished;
use crate::patience::patient;
use crate::{Books, StorageError, Store};

/// A connection of one's own. What it holds is held until it is let go of or the connection ends; and all its
/// transactions run on that same connection, so whoever has lost the hold cannot write any more either.
///
/// Transactions of one session wait for each other; nothing else does. With the last clone the connection is closed.
#[derive(Clone)]
pub struct Session {
    connection: Arc<Mutex<Kept>>,
    /// How long an answer is waited for.
    patience: Duration,
}

/// The connection; none once it was lost. It never goes back to the pool, where its holds would outlive it.
struct Kept(Option<Object<AsyncPgConnection>>);

impl Drop for Kept {
    fn drop(&mut self) {
        if let Some(connection) = self.0.take() {
            drop(Object::take(connection));
        }
    }
}

impl std::fmt::Debug for Session {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Session")
    }
}

#[derive(QueryableByName)]
struct Held {
    #[diesel(sql_type = Bool)]
    held: bool,
}

impl Store {
    /// Takes a connection out of the pool for good.
    ///
    /// # Errors
    ///
    /// [`StorageError::Unavailable`] when there is none to be had.
    pub async fn session(&self) -> Result<Session, StorageError> {
        if self.connections.only_read {
            return Err(StorageError::only_read());
        }
        let connection = self.connections.get().await?;
        let connection = Arc::new(Mutex::new(Kept(Some(connection))));
        Ok(Session { connection, patience: self.connections.patience })
    }
}

impl Session {
    /// Takes hold of an outfit's deliveries, unless another session has. Every hold is let go of once.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the connection was lost.
    pub async fn hold(&self, outfit: OutfitId) -> Result<bool, StorageError> {
        self.ask("pg_try_advisory_lock", outfit).await
    }

    /// Lets go of an outfit.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the connection was lost; with it the hold is gone too.
    pub async fn let_go(&self, outfit: OutfitId) -> Result<(), StorageError> {
        self.ask("pg_advisory_unlock", outfit).await.map(drop)
    }

    async fn ask(&self, function: &str, outfit: OutfitId) -> Result<bool, StorageError> {
        let mut place = self.connection.lock().await;
        let mut asked = Unfinished(Some(Books::over(place.0.take().ok_or_else(lost)?, outfit)));
        let books = asked.0.as_mut().ok_or_else(lost)?;
        let question = diesel::sql_query(format!("SELECT {function}(hashtextextended($1, 0)) AS held"))
            .bind::<Text, _>(format!("deliveries of {outfit}"));
        let answer = patient(self.patience, question.get_result::<Held>(&mut books.connection)).await;
        let held = answer.ok_or_else(lost)??;
        place.0 = asked.0.take().map(|books| books.connection);
        Ok(held.held)
    }

    /// Does `work` on the books of `outfit` in one transaction: all of it is kept, or, when it answers with an error,
    /// none.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`StorageError`] when the transaction itself fails or the connection was lost.
    pub async fn write<T, E: From<StorageError>>(
        &self,
        outfit: OutfitId,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        let whole = self.begun_and_ended(outfit, work);
        patient(self.patience, whole).await.unwrap_or_else(|| Err(lost().into()))
    }

    async fn begun_and_ended<T, E: From<StorageError>>(
        &self,
        outfit: OutfitId,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, E>,
    ) -> Result<T, E> {
        let mut place = self.connection.lock().await;
        let mut unfinished = Unfinished(Some(Books::over(place.0.take().ok_or_else(lost)?, outfit)));
        let books = unfinished.0.as_mut().ok_or_else(lost)?;
        let begin =
            format!("BEGIN ISOLATION LEVEL READ COMMITTED READ WRITE; SET LOCAL skidway.outfit = '{outfit}'");
        AnsiTransactionManager::begin_transaction_sql(&mut *books.connection, &begin)
            .await
            .map_err(StorageError::from)?;
        let outcome = work(books).await;
        let ended = match outcome {
            Ok(_) => AnsiTransactionManager::commit_transaction(&mut *books.connection).await,
            Err(_) => AnsiTransactionManager::rollback_transaction(&mut *books.connection).await,
        };
        match (outcome, ended) {
            (outcome, Ok(())) => {
                place.0 = unfinished.0.take().map(|books| books.connection);
                outcome
            }
            (Ok(_), Err(error)) => Err(StorageError::from(error).into()),
            (Err(error), Err(_)) => Err(error),
        }
    }
}

fn lost() -> StorageError {
    StorageError::Unavailable("the connection of the session was lost".into())
}
