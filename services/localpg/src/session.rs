//! Talking to the server.
//!
//! Callers may be inside an asynchronous runtime, where blocking on another one is forbidden, or outside of any.
//! So everything here happens on a thread of its own with a runtime of its own.

use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use tokio::runtime;
use tokio_postgres::error::SqlState;
use tokio_postgres::{Client, NoTls};

use crate::Error;

const PAUSE: Duration = Duration::from_millis(10);

/// Connects to `url` and runs one statement, which `doing` describes.
pub(crate) fn execute(url: &str, statement: &str, doing: &str) -> Result<(), Error> {
    on_own_runtime(async || {
        let outcome = async {
            let (client, connection) = connect(url).await?;
            let outcome = client.batch_execute(statement).await;
            drop(client);
            // Ends once the server has been told: afterwards nothing of ours is connected.
            let _ended = connection.await;
            outcome
        };
        outcome.await.map_err(|error| refusal(doing, &error))
    })?
}

/// Connects to `url` again and again until it works, and says how it ended otherwise. A server that writes
/// "starting up" may be recovering for long, so only the `limit` without any answer counts.
pub(crate) fn wait_until_ready(
    url: &str,
    limit: Duration,
    mut is_alive: impl FnMut() -> bool + Send,
) -> Result<(), String> {
    let waited = on_own_runtime(async move || {
        let mut answered = Instant::now();
        loop {
            let Err(error) = connect(url).await else { return Ok(()) };
            match error.code() {
                Some(code) if *code == SqlState::CANNOT_CONNECT_NOW => answered = Instant::now(),
                Some(_) => return Err(message(&error)),
                None if answered.elapsed() > limit => {
                    return Err(format!("no answer within {} s: {}", limit.as_secs(), message(&error)));
                }
                None => {}
            }
            if !is_alive() {
                return Err("it ended while starting".to_owned());
            }
            tokio::time::sleep(PAUSE).await;
        }
    });
    waited.unwrap_or_else(|error| Err(error.to_string()))
}

async fn connect(url: &str) -> Result<(Client, tokio::task::JoinHandle<()>), tokio_postgres::Error> {
    let (client, connection) = tokio_postgres::connect(url, NoTls).await?;
    let driven = tokio::spawn(async move {
        // A broken connection shows in the statement that needed it.
        let _ended = connection.await;
    });
    Ok((client, driven))
}

fn on_own_runtime<Answer: Send>(work: impl AsyncFnOnce() -> Answer + Send) -> Result<Answer, Error> {
    let doing = "start a thread for the database connection";
    let io = |source| Error::Io { doing: doing.to_owned(), source: Arc::new(source) };
    thread::scope(|scope| {
        let thread = thread::Builder::new().name("localpg".to_owned()).spawn_scoped(scope, || {
            let runtime = runtime::Builder::new_current_thread().enable_all().build()?;
            Ok(runtime.block_on(work()))
        });
        let joined = thread.map_err(io)?.join();
        joined.unwrap_or_else(|_| Err(std::io::Error::other("the thread ended early"))).map_err(io)
    })
}

fn refusal(doing: &str, error: &tokio_postgres::Error) -> Error {
    Error::Database { doing: doing.to_owned(), message: message(error) }
}

/// The server's own words if it has any; the error's display form alone says only "db error".
fn message(error: &tokio_postgres::Error) -> String {
    let Some(said) = error.as_db_error() else { return error.to_string() };
    [Some(said.message()), said.detail(), said.hint()].into_iter().flatten().collect::<Vec<_>>().join("; ")
}
