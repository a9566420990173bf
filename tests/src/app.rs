//! The real service on a free port, with a database of its own and a clock that stands still.

use std::net::SocketAddr;
use std::sync::Arc;
use std::thread::JoinHandle;

use actix_web::dev::ServerHandle;
use api::events::allowed::AllowedTargets;
use api::events::courier::Courier;
use api::events::http_sender::HttpSender;
use api::http::app::Bound;
use api::http::caller::{Caller, Member};
use api::http::token::Tokens;
use api::running::Parts;
use api::running::instance::Instance;
use api::running::limits::Limits;
use api::running::metrics_page::MetricsPage;
use api::running::stopping::stop_in_order;
use jiff::SignedDuration;
use kernel::{IdSource, MillId, OutfitId, SettableClock, SystemEntropy};
use localpg::ThrowawayDatabase;
use wire::Role;

use crate::{Actor, migrated_database};

/// When the clock of a new service stands: a Monday morning, two days after the week that ended on 6 June 2026.
pub const NOW: &str = "2026-06-08T13:00:00Z";

/// The real service, for one test.
pub struct TestApp {
    /// Where it listens.
    pub address: SocketAddr,
    /// Where its metrics are.
    pub metrics_address: SocketAddr,
    /// Its clock.
    pub clock: Arc<SettableClock>,
    /// Its database.
    pub database: ThrowawayDatabase,
    /// What it was put together from.
    pub parts: Parts,
    /// Delivers its events, when it is told to.
    pub courier: Courier,
    /// What it knows of itself.
    pub instance: Arc<Instance>,
    tokens: Tokens,
    server: Option<(ServerHandle, JoinHandle<()>)>,
}

impl std::fmt::Debug for TestApp {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("TestApp").field("address", &self.address).finish_non_exhaustive()
    }
}

/// Receivers of tests listen here.
fn this_machine() -> AllowedTargets {
    AllowedTargets::read("127.0.0.0/8").expect("a network")
}

impl TestApp {
    /// Starts the service.
    ///
    /// # Panics
    ///
    /// When it cannot be started.
    #[must_use]
    pub fn start() -> Self {
        Self::start_on(migrated_database())
    }

    /// Starts the service on a database that is there already.
    ///
    /// # Panics
    ///
    /// When it cannot be started.
    #[must_use]
    pub fn start_on(database: ThrowawayDatabase) -> Self {
        Self::start_with(database, Limits::wide())
    }

    /// Starts the service on a database that is there already, taking on no more than this.
    ///
    /// # Panics
    ///
    /// When it cannot be started.
    #[must_use]
    pub fn start_with(database: ThrowawayDatabase, limits: Limits) -> Self {
        let clock = Arc::new(SettableClock::at(NOW.parse().expect("a time")));
        let token_seed = [7; 32];
        let parts = Parts {
            url: database.url(),
            connections: 8,
            token_seed,
            clock: clock.clone(),
            entropy: Arc::new(SystemEntropy),
            secrets_seed: [8; 32],
            sender: Arc::new(HttpSender::new(this_machine()).expect("a sender can be made")),
            limits,
        };
        let service = parts.service().expect("the service can be put together");
        let courier = Courier::new(service.clone());
        let running = service.running.clone();
        let metrics = MetricsPage::bind(SocketAddr::from(([127, 0, 0, 1], 0)), service.clone())
            .expect("a port is free");
        let metrics_address = metrics.address().expect("it was bound");
        let local = SocketAddr::from(([127, 0, 0, 1], 0));
        let bound = Bound::bind(local, service, 2).expect("a port is free");
        let address = bound.address().expect("it was bound");
        let (sender, receiver) = std::sync::mpsc::channel();
        let thread = std::thread::spawn(move || {
            actix_web::rt::System::new().block_on(async move {
                let page = metrics.run().expect("the socket can be listened on");
                drop(actix_web::rt::spawn(page));
                let server = bound.run().expect("the socket can be listened on");
                sender.send(server.handle()).expect("the test waits for it");
                server.await.expect("the server ends in order");
            });
        });
        let handle = receiver.recv().expect("the server starts");
        let ids = IdSource::new(clock.clone(), Arc::new(SystemEntropy));
        let tokens = Tokens::new(&token_seed, clock.clone(), ids).expect("the seed is good");
        Self {
            address,
            metrics_address,
            clock,
            database,
            parts,
            courier,
            instance: running,
            tokens,
            server: Some((handle, thread)),
        }
    }

    /// Delivers until so many events were sent, for a while at the most: what another database of the same Postgres has
    /// under way may hold them up. Answers how many were sent.
    ///
    /// # Panics
    ///
    /// When the database fails.
    pub fn deliver(&self, expected: u32) -> u32 {
        deliver_with(&self.courier, expected)
    }

    /// One step of delivering; answers how many events were sent.
    ///
    /// # Panics
    ///
    /// When the database fails.
    #[must_use]
    pub fn courier_step(&self) -> u32 {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
        runtime.expect("a runtime can be made").block_on(self.courier.step()).expect("the database answers")
    }

    /// The service's address as the beginning of a URL.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Somebody without a token.
    #[must_use]
    pub fn stranger(&self) -> Actor {
        Actor::new(self.url(), None)
    }

    /// Somebody with this text for a token.
    #[must_use]
    pub fn bearer(&self, token: &str) -> Actor {
        Actor::new(self.url(), Some(token.to_owned()))
    }

    /// Whoever runs the service.
    #[must_use]
    pub fn operator(&self) -> Actor {
        self.caller(&Caller::Operator { subject: "operator".to_owned() })
    }

    /// Somebody of an outfit.
    #[must_use]
    pub fn member(&self, outfit: OutfitId, role: Role, mill: Option<MillId>) -> Actor {
        self.caller(&Caller::Member(Member { outfit, role, subject: role.name().to_owned(), mill }))
    }

    fn caller(&self, caller: &Caller) -> Actor {
        self.bearer(&self.token(caller, SignedDuration::from_hours(24 * 365)))
    }

    /// Stops it in order while it goes on serving for as long as `drain`; comes back when all is over.
    ///
    /// # Panics
    ///
    /// When it was stopped before.
    pub fn stop(&mut self, drain: std::time::Duration) {
        let (handle, thread) = self.server.take().expect("it runs");
        actix_web::rt::System::new().block_on(stop_in_order(&self.instance, &handle, drain));
        thread.join().expect("it ends in order");
    }

    /// A token for a caller.
    ///
    /// # Panics
    ///
    /// When it cannot be signed.
    #[must_use]
    pub fn token(&self, caller: &Caller, lifetime: SignedDuration) -> String {
        self.tokens.grant(caller, lifetime).expect("tokens can be signed").0
    }
}

/// Delivers by this courier until so many events were sent, for a while at the most.
///
/// # Panics
///
/// When the database fails.
pub fn deliver_with(courier: &Courier, expected: u32) -> u32 {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    let runtime = runtime.expect("a runtime can be made");
    runtime.block_on(async {
        let mut sent = 0;
        let since = std::time::Instant::now();
        while since.elapsed() < std::time::Duration::from_secs(20) {
            sent += courier.step().await.expect("the database answers");
            if sent >= expected {
                break;
            }
            tokio::time::sleep(std::time::Duration::from_millis(10)).await;
        }
        sent
    })
}

impl Drop for TestApp {
    fn drop(&mut self) {
        if let Some((handle, thread)) = self.server.take() {
            // Ordering a stop does not wait for it; joining the thread does.
            drop(handle.stop(false));
            let _ended = thread.join();
        }
    }
}
