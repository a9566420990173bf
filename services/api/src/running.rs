//! What the service needs around it to run: a database, a key, a signal to stop.

pub mod admission;
pub mod instance;
pub mod limits;
pub mod metrics;
pub mod metrics_page;
pub mod rates;
pub mod reading;
pub mod stopping;

use std::fs;
use std::io::Write;
use std::os::unix::fs::OpenOptionsExt;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use anyhow::Context;
use kernel::{Clock, Entropy, IdSource};
use localpg::{Cluster, ClusterOptions};
use storage::{StorageError, Store, StoreOptions};

use crate::access::external::{ExternalIssuer, ExternalOptions};
use crate::access::passwords::Passwords;
use crate::config::{Config, seed};
use crate::events::courier::Courier;
use crate::events::running::deliver_until;
use crate::events::secrets::SecretBox;
use crate::events::sending::Sender;
use crate::http::token::Tokens;
use crate::service::Service;
use instance::Instance;
use limits::Limits;
use reading::Reading;

/// How long a request waits for a connection.
const WAIT: Duration = Duration::from_secs(5);
/// How long one statement may run.
const STATEMENT_TIMEOUT: Duration = Duration::from_secs(60);

/// The database: somebody's, or a private one that is started and stopped with the service.
pub struct Database {
    url: String,
    cluster: Option<Cluster>,
}

impl std::fmt::Debug for Database {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Database").field("private", &self.cluster.is_some()).finish_non_exhaustive()
    }
}

impl Database {
    /// Takes the database in the configuration, or starts a private one.
    ///
    /// # Errors
    ///
    /// When there is no Postgres to start, or it does not start; the message says what to do.
    pub fn open(config: &Config, progress: &dyn Fn(&str)) -> anyhow::Result<Self> {
        if let Some(url) = &config.database_url {
            return Ok(Self { url: url.clone(), cluster: None });
        }
        let options = ClusterOptions { data_dir: config.data_dir.clone(), durable: true, progress };
        let cluster = Cluster::open(options)?;
        Ok(Self { url: cluster.url(), cluster: Some(cluster) })
    }

    /// Where it is, as connection text. May hold a password.
    #[must_use]
    pub fn url(&self) -> &str {
        &self.url
    }

    /// Stops a private database; leaves somebody's alone.
    ///
    /// # Errors
    ///
    /// When it does not stop.
    pub fn close(self) -> anyhow::Result<()> {
        match self.cluster {
            Some(cluster) => Ok(cluster.stop()?),
            None => Ok(()),
        }
    }
}

/// What a service is made of.
#[derive(Clone)]
pub struct Parts {
    /// The database. May hold a password.
    pub url: String,
    /// Connections to it at the most.
    pub connections: usize,
    /// The seed of the token key.
    pub token_seed: [u8; 32],
    /// Seeds of token keys that signed before, and whose tokens are still good.
    pub retired_token_seeds: Vec<[u8; 32]>,
    /// The issuer whose word is taken for who somebody is.
    pub external: Option<ExternalOptions>,
    /// The time.
    pub clock: Arc<dyn Clock>,
    /// Random bytes.
    pub entropy: Arc<dyn Entropy>,
    /// The seed of the key that seals the secrets of event subscriptions.
    pub secrets_seed: [u8; 32],
    /// Sends events.
    pub sender: Arc<dyn Sender>,
    /// How much it takes on at once.
    pub limits: Limits,
}

impl std::fmt::Debug for Parts {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Parts").field("connections", &self.connections).finish_non_exhaustive()
    }
}

impl Parts {
    /// Puts the service together.
    ///
    /// # Errors
    ///
    /// When the pool or the key cannot be made.
    pub fn service(&self) -> anyhow::Result<Service> {
        self.with(Store::new(&self.store_options())?, None)
    }

    /// Puts a service together that only reads, from the books or from a replica of them; `keeper` is the address that
    /// changes are to be sent to, where it is known.
    ///
    /// # Errors
    ///
    /// When the pool or the key cannot be made.
    pub fn reader(&self, keeper: Option<String>) -> anyhow::Result<Service> {
        self.with(Store::reader(&self.store_options())?, Some(Reading::beside(keeper)))
    }

    fn store_options(&self) -> StoreOptions {
        StoreOptions {
            url: self.url.clone(),
            connections: self.connections,
            wait: WAIT,
            statement_timeout: STATEMENT_TIMEOUT,
        }
    }

    fn with(&self, store: Store, reading: Option<Reading>) -> anyhow::Result<Service> {
        let ids = IdSource::new(self.clock.clone(), self.entropy.clone());
        let tokens = Tokens::new(&self.token_seed, self.clock.clone(), ids.clone())?
            .still_taking(&self.retired_token_seeds)?;
        let issuer = |options: &ExternalOptions| ExternalIssuer::new(options.clone(), self.clock.clone());
        let secrets = SecretBox::new(&self.secrets_seed, self.entropy.clone())?;
        let mut instance = Instance::new(&self.limits, self.clock.clone(), self.entropy.as_ref())?;
        instance.reading = reading;
        Ok(Service {
            store,
            clock: self.clock.clone(),
            ids,
            tokens,
            entropy: self.entropy.clone(),
            secrets,
            sender: self.sender.clone(),
            passwords: Passwords::new(self.entropy.clone()),
            external: self.external.as_ref().map(issuer).transpose()?.map(Arc::new),
            desk_seed: self.secrets_seed,
            running: Arc::new(instance),
        })
    }
}

/// Sees to it that the ids this instance makes come after all that are in the books, also where the clock was set back since
/// they were made: much is told apart by the order of ids.
///
/// # Errors
///
/// [`StorageError`] when the database fails.
pub async fn go_on_from_the_books(service: &Service) -> Result<(), StorageError> {
    if let Some(newest) = service.store.newest_change().await? {
        service.ids.go_on_after(newest);
    }
    Ok(())
}

/// The seed of the token key: the configured one, or one that is kept in the data directory and made on first use. An
/// instance that only reads makes none, since nobody would have a token of it.
///
/// # Errors
///
/// When the data directory cannot be read or written, or holds something else under that name.
pub fn token_seed(config: &Config, entropy: &dyn Entropy) -> anyhow::Result<[u8; 32]> {
    if let Some(seed) = config.token_seed {
        return Ok(seed);
    }
    let path = config.data_dir.join("token-seed");
    if !path.exists() {
        anyhow::ensure!(
            config.reader.is_none(),
            "an instance that only reads takes the tokens of the one that keeps the books: set SKIDWAY_TOKEN_SEED to \
             that one's, or SKIDWAY_DATA_DIR to its data directory"
        );
        fs::create_dir_all(&config.data_dir)
            .with_context(|| format!("the directory {} cannot be made", config.data_dir.display()))?;
        make_seed(&path, entropy)?;
    }
    let text = fs::read_to_string(&path).with_context(|| format!("{} cannot be read", path.display()))?;
    seed(&text).with_context(|| {
        format!("{} does not hold 64 hexadecimal digits; move it away to have a new one made", path.display())
    })
}

fn make_seed(path: &Path, entropy: &dyn Entropy) -> anyhow::Result<()> {
    let mut bytes = [0_u8; 32];
    entropy.fill(&mut bytes);
    let text = kernel::hexadecimal(&bytes);
    let made = fs::OpenOptions::new().write(true).create_new(true).mode(0o600).open(path);
    match made {
        // Another program has just made it: that one counts.
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => Ok(()),
        made => made
            .and_then(|mut file| file.write_all(text.as_bytes()).and_then(|()| file.sync_all()))
            .with_context(|| format!("{} cannot be written", path.display())),
    }
}

/// Delivery of events, running beside the server.
#[derive(Debug)]
pub struct Delivering {
    stop: tokio::sync::watch::Sender<bool>,
    task: actix_web::rt::task::JoinHandle<()>,
}

impl Delivering {
    /// Begins to deliver. Only where the server's own runtime runs.
    #[must_use]
    pub fn start(service: Service) -> Self {
        let (stop, told) = tokio::sync::watch::channel(false);
        Self { stop, task: actix_web::rt::spawn(deliver_until(Courier::new(service), told)) }
    }

    /// Stops after what is being sent now.
    pub async fn finish(self) {
        self.stop.send_replace(true);
        // It cannot fail, only panic; then there is nothing left to wait for.
        let _ended = self.task.await;
    }
}
