//! Connections: how many, how long they wait, and which runtime drives them.

use std::time::Duration;

use diesel_async::pooled_connection::deadpool::{Object, Pool, PoolError};
use diesel_async::pooled_connection::{AsyncDieselConnectionManager, ManagerConfig};
use diesel_async::{AsyncConnection, AsyncPgConnection, SimpleAsyncConnection};

use crate::StorageError;
use crate::patience::{GRACE, patient};

/// How to reach the database.
#[derive(Clone)]
pub struct StoreOptions {
    /// Where it is, as Postgres connection text. May hold a password: never printed.
    pub url: String,
    /// Connections at the most.
    pub connections: usize,
    /// How long a request waits for a connection before it is told to come back.
    pub wait: Duration,
    /// How long one statement may run.
    pub statement_timeout: Duration,
}

impl std::fmt::Debug for StoreOptions {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter
            .debug_struct("StoreOptions")
            .field("url", &"(hidden)")
            .field("connections", &self.connections)
            .field("wait", &self.wait)
            .field("statement_timeout", &self.statement_timeout)
            .finish()
    }
}

/// How the connections are used at this moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PoolUsage {
    /// Connections at the most.
    pub most: usize,
    /// Connections that are open.
    pub open: usize,
    /// Open connections that nobody uses.
    pub idle: usize,
    /// Requests that wait for a connection.
    pub waiting: usize,
}

/// The pool, together with the runtime that drives its connections.
///
/// A connection's traffic is driven by the runtime that opened it. The web server has one single-threaded runtime
/// for each worker, and a worker that computes for a second would hold up every query on the connections it happened
/// to open. So all connections are opened on a runtime of their own.
pub(crate) struct Connections {
    pool: Pool<AsyncPgConnection>,
    /// Whether no transaction that changes anything is begun on them.
    pub(crate) only_read: bool,
    /// How long an answer is waited for.
    pub(crate) patience: Duration,
    runtime: Option<tokio::runtime::Runtime>,
}

impl Connections {
    pub(crate) fn new(options: &StoreOptions, only_read: bool) -> Result<Self, StorageError> {
        let unavailable = |error: Box<dyn std::error::Error + Send + Sync>| StorageError::Unavailable(error);
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .thread_name("postgres")
            .enable_all()
            .build()
            .map_err(|error| unavailable(Box::new(error)))?;
        let mut config = ManagerConfig::<AsyncPgConnection>::default();
        let handle = runtime.handle().clone();
        let timeout = options.statement_timeout.as_millis();
        let unless_told = if only_read { "on" } else { "off" };
        config.custom_setup = Box::new(move |url| {
            let url = url.to_owned();
            let opened = handle.spawn(async move {
                let mut connection = AsyncPgConnection::establish(&url).await?;
                // From here on the connection may read and add records of one outfit at a time, and nothing else.
                let setup = format!(
                    "SET application_name = 'skidway'; SET ROLE skidway_service; \
                     SET statement_timeout = {timeout}; \
                     SET idle_in_transaction_session_timeout = {timeout}; SET timezone = 'UTC'; \
                     SET default_transaction_read_only = {unless_told}"
                );
                connection
                    .batch_execute(&setup)
                    .await
                    .map_err(diesel::ConnectionError::CouldntSetupConfiguration)?;
                Ok(connection)
            });
            Box::pin(async move {
                opened.await.unwrap_or_else(|error| {
                    Err(diesel::ConnectionError::BadConnection(format!("opening was broken off: {error}")))
                })
            })
        });
        let manager = AsyncDieselConnectionManager::new_with_config(probing(&options.url), config);
        let pool = Pool::builder(manager)
            .max_size(options.connections)
            .wait_timeout(Some(options.wait))
            .create_timeout(Some(options.wait))
            // A connection that a machine in between has forgotten never answers: it is given up and another is opened.
            .recycle_timeout(Some(options.wait))
            .runtime(deadpool::Runtime::Tokio1)
            .build()
            .map_err(|error| unavailable(Box::new(error)))?;
        let patience = options.statement_timeout.saturating_add(GRACE);
        Ok(Self { pool, only_read, patience, runtime: Some(runtime) })
    }

    pub(crate) fn usage(&self) -> PoolUsage {
        let status = self.pool.status();
        PoolUsage {
            most: status.max_size,
            open: status.size,
            idle: status.available,
            waiting: status.waiting,
        }
    }

    pub(crate) async fn get(&self) -> Result<Object<AsyncPgConnection>, StorageError> {
        self.pool.get().await.map_err(|error: PoolError| StorageError::Unavailable(Box::new(error)))
    }

    /// Asks something outside of the books, and waits for the answer no longer than for any other.
    pub(crate) async fn ask<T>(
        &self,
        question: impl AsyncFnOnce(&mut AsyncPgConnection) -> Result<T, StorageError>,
    ) -> Result<T, StorageError> {
        let mut asked = Asked(Some(self.get().await?));
        let Some(connection) = asked.0.as_mut() else { return Err(StorageError::silent(false)) };
        let answer = patient(self.patience, question(connection)).await;
        let answer = answer.ok_or_else(|| StorageError::silent(false))?;
        drop(asked.0.take());
        answer
    }
}

/// A connection that is asked something outside of the books. Unless the answer comes it is closed, and nobody is given it again.
struct Asked(Option<Object<AsyncPgConnection>>);

impl Drop for Asked {
    fn drop(&mut self) {
        if let Some(connection) = self.0.take() {
            drop(Object::take(connection));
        }
    }
}

/// The same database, over connections that are probed while nothing comes: one whose other end is gone without a word, as
/// after a failure of the network, ends after half a minute, with everything that waits for it. Usually that is two
/// hours. What the address itself says of it holds; over a socket of this machine it means nothing.
fn probing(url: &str) -> String {
    const PROBES: &str = "keepalives_idle=15&keepalives_interval=5&keepalives_retries=3&tcp_user_timeout=30";
    let separator = if url.contains('?') { '&' } else { '?' };
    if url.contains("keepalives") { url.to_owned() } else { format!("{url}{separator}{PROBES}") }
}

impl Drop for Connections {
    fn drop(&mut self) {
        // A runtime may not be dropped where async code runs; letting it wind down in the background always may.
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_probed_unless_it_says_how_itself() {
        assert!(probing("postgres://host/books").starts_with("postgres://host/books?keepalives_idle=15&"));
        assert!(probing("postgres:///books?host=/run/x").starts_with("postgres:///books?host=/run/x&keep"));
        let own = "postgres://host/books?keepalives=0";
        assert_eq!(probing(own), own);
    }
}
