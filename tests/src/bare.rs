//! The real service from parts that the test chooses: its clock, its random bytes, its database.

use std::net::SocketAddr;
use std::sync::Arc;
use std::thread::JoinHandle;

use actix_web::dev::ServerHandle;
use api::http::app::Bound;
use api::http::caller::{Caller, Member};
use api::http::token::Tokens;
use api::running::Parts;
use api::running::metrics_page::MetricsPage;
use api::service::Service;
use jiff::SignedDuration;
use kernel::{IdSource, MillId, OutfitId, SystemEntropy};
use wire::Role;

use crate::Actor;

/// The real service, put together from given parts; stops with the value.
pub struct BareApp {
    /// Where it listens.
    pub address: SocketAddr,
    /// Where its metrics are.
    pub metrics_address: SocketAddr,
    tokens: Tokens,
    server: Option<(ServerHandle, JoinHandle<()>)>,
}

impl std::fmt::Debug for BareApp {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("BareApp").field("address", &self.address).finish_non_exhaustive()
    }
}

impl BareApp {
    /// Starts the service.
    ///
    /// # Panics
    ///
    /// When it cannot be started.
    #[must_use]
    pub fn start(parts: &Parts) -> Self {
        Self::serve(parts, parts.service().expect("the service can be put together"))
    }

    /// Starts an instance that only reads, and tells whoever wants to change something to go to `keeper`.
    ///
    /// # Panics
    ///
    /// When it cannot be started.
    #[must_use]
    pub fn start_reader(parts: &Parts, keeper: &str) -> Self {
        let service = parts.reader(Some(keeper.to_owned())).expect("the service can be put together");
        Self::serve(parts, service)
    }

    fn serve(parts: &Parts, service: Service) -> Self {
        let local = SocketAddr::from(([127, 0, 0, 1], 0));
        let metrics = MetricsPage::bind(local, service.clone()).expect("a port is free");
        let metrics_address = metrics.address().expect("it was bound");
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
        // Its own random bytes: granting a token in a test must not move the ids that the service makes.
        let ids = IdSource::new(parts.clock.clone(), Arc::new(SystemEntropy));
        let tokens = Tokens::new(&parts.token_seed, parts.clock.clone(), ids).expect("the seed is good");
        Self { address, metrics_address, tokens, server: Some((handle, thread)) }
    }

    /// Somebody without a token.
    #[must_use]
    pub fn stranger(&self) -> Actor {
        Actor::new(format!("http://{}", self.address), None)
    }

    /// Somebody with this text for a token.
    #[must_use]
    pub fn bearer(&self, token: &str) -> Actor {
        Actor::new(format!("http://{}", self.address), Some(token.to_owned()))
    }

    /// The same people where they come by another address, as by that of a proxy.
    #[must_use]
    pub fn from_outside(&self, url: &str) -> Outside<'_> {
        Outside { app: self, url: url.to_owned() }
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
        Actor::new(format!("http://{}", self.address), Some(self.token(caller)))
    }

    fn token(&self, caller: &Caller) -> String {
        let lifetime = SignedDuration::from_hours(24 * 365);
        self.tokens.grant(caller, lifetime).expect("tokens can be signed").0
    }
}

/// People with tokens of a service who call it by another address.
#[derive(Debug)]
pub struct Outside<'app> {
    app: &'app BareApp,
    url: String,
}

impl Outside<'_> {
    /// Somebody with this text for a token, or with none.
    #[must_use]
    pub fn bearer(&self, token: Option<&str>) -> Actor {
        Actor::new(self.url.clone(), token.map(str::to_owned))
    }

    /// Whoever runs the service.
    #[must_use]
    pub fn operator(&self) -> Actor {
        self.bearer(Some(&self.app.token(&Caller::Operator { subject: "operator".to_owned() })))
    }

    /// Somebody of an outfit.
    #[must_use]
    pub fn member(&self, outfit: OutfitId, role: Role, mill: Option<MillId>) -> Actor {
        let subject = role.name().to_owned();
        self.bearer(Some(&self.app.token(&Caller::Member(Member {
            outfit,
            role,
            subject,
            mill,
            grant: None,
        }))))
    }
}

impl Drop for BareApp {
    fn drop(&mut self) {
        if let Some((handle, thread)) = self.server.take() {
            // Ordering a stop does not wait for it; joining the thread does.
            drop(handle.stop(false));
            let _ended = thread.join();
        }
    }
}
