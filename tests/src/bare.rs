//! The real service from parts that the test chooses: its clock, its random bytes, its database.

use std::net::SocketAddr;
use std::sync::Arc;
use std::thread::JoinHandle;

use actix_web::dev::ServerHandle;
use api::http::app::Bound;
use api::http::caller::{Caller, Member};
use api::http::token::Tokens;
use api::running::Parts;
use jiff::SignedDuration;
use kernel::{IdSource, MillId, OutfitId, SystemEntropy};
use wire::Role;

use crate::Actor;

/// The real service, put together from given parts; stops with the value.
pub struct BareApp {
    /// Where it listens.
    pub address: SocketAddr,
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
        let service = parts.service().expect("the service can be put together");
        let local = SocketAddr::from(([127, 0, 0, 1], 0));
        let bound = Bound::bind(local, service, 2).expect("a port is free");
        let address = bound.address().expect("it was bound");
        let (sender, receiver) = std::sync::mpsc::channel();
        let thread = std::thread::spawn(move || {
            actix_web::rt::System::new().block_on(async move {
                let server = bound.run().expect("the socket can be listened on");
                sender.send(server.handle()).expect("the test waits for it");
                server.await.expect("the server ends in order");
            });
        });
        let handle = receiver.recv().expect("the server starts");
        // Its own random bytes: granting a token in a test must not move the ids that the service makes.
        let ids = IdSource::new(parts.clock.clone(), Arc::new(SystemEntropy));
        let tokens = Tokens::new(&parts.token_seed, parts.clock.clone(), ids).expect("the seed is good");
        Self { address, tokens, server: Some((handle, thread)) }
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

    /// Somebody without a token.
    #[must_use]
    pub fn stranger(&self) -> Actor {
        Actor::new(format!("http://{}", self.address), None)
    }

    fn caller(&self, caller: &Caller) -> Actor {
        let lifetime = SignedDuration::from_hours(24 * 365);
        let token = self.tokens.grant(caller, lifetime).expect("tokens can be signed").0;
        Actor::new(format!("http://{}", self.address), Some(token))
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
