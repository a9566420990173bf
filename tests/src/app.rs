//! The real service on a free port, with a database of its own and a clock that stands still.

use std::net::SocketAddr;
use std::sync::Arc;
use std::thread::JoinHandle;

use actix_web::dev::ServerHandle;
use api::access::external::ExternalOptions;
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
use serde_json::Value;
use wire::Role;

use crate::issuer::AUDIENCE;
use crate::{Actor, Issuer, migrated_database};

/// When the clock of a new service stands: a Monday morning, two days after the week that ended on 6 June 2026.
pub const NOW: &str = "2026-06-08T13:00:00Z";

/// The seed of a key that the service signed with before, and still takes.
pub const RETIRED_SEED: [u8; 32] = [6; 32];

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
    /// The issuer whose word it takes.
    pub issuer: Arc<Issuer>,
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
        let issuer = Arc::new(Issuer::start());
        let parts = Parts {
            url: database.url(),
            connections: 8,
            token_seed,
            retired_token_seeds: vec![RETIRED_SEED],
            external: Some(ExternalOptions::new(&issuer.url(), AUDIENCE).expect("it is on this machine")),
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
            issuer,
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
        let subject = role.name().to_owned();
        self.caller(&Caller::Member(Member { outfit, role, subject, mill, grant: None }))
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

/// What a part of a token says, without looking at its signature.
fn said(part: &str) -> Value {
    let digit = |letter: u8| -> u32 {
        u32::from(match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'-' => 62,
            b'_' => 63,
            other => panic!("{other} is no digit of base64 for addresses"),
        })
    };
    let mut bytes = Vec::new();
    for chunk in part.as_bytes().chunks(4) {
        let number =
            chunk.iter().fold(0, |number, letter| number << 6 | digit(*letter)) << (6 * (4 - chunk.len()));
        bytes.extend(&number.to_be_bytes()[1..chunk.len()]);
    }
    serde_json::from_slice(&bytes).expect("JSON")
}

impl TestApp {
    /// What the header of a token says.
    ///
    /// # Panics
    ///
    /// When it is no token.
    #[must_use]
    pub fn header(&self, token: &str) -> Value {
        said(token.split('.').next().expect("a header"))
    }

    /// What a token says.
    ///
    /// # Panics
    ///
    /// When it is no token.
    #[must_use]
    pub fn claims(&self, token: &str) -> Value {
        said(token.split('.').nth(1).expect("claims"))
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
