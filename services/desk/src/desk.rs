//! What every page works with: the way to the service, the key that sessions are sealed with, the time.

use std::net::IpAddr;
use std::sync::Arc;

use client::{Client, Patience, SetupError};
use jiff::Timestamp;
use kernel::{Clock, Entropy};

use crate::session::seal::SessionKey;

/// Where a request came from, as the service in front of the desk makes it out. It stands among the request's extensions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CameFrom(pub IpAddr);

/// What a desk is put together from.
#[derive(Clone)]
pub struct DeskParts {
    /// Where the service listens, as the beginning of a URL.
    pub service: String,
    /// What shows the service that a request comes from its own desk.
    pub pass: String,
    /// What the key of sessions grows from. Instances with the same seed read each other's sessions.
    pub seed: [u8; 32],
    /// The time.
    pub clock: Arc<dyn Clock>,
    /// Random bytes.
    pub entropy: Arc<dyn Entropy>,
}

impl std::fmt::Debug for DeskParts {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("DeskParts").field("service", &self.service).finish_non_exhaustive()
    }
}

/// Why there is no desk.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// The service cannot be asked.
    #[error(transparent)]
    Service(#[from] SetupError),
    /// The cryptographic library refuses.
    #[error("the key of sessions cannot be made")]
    Key,
}

/// The desk: shared by all requests, holds no record.
#[derive(Clone)]
pub struct Desk {
    client: Client,
    pass: String,
    /// Seals and opens sessions.
    pub key: SessionKey,
    clock: Arc<dyn Clock>,
    entropy: Arc<dyn Entropy>,
}

impl std::fmt::Debug for Desk {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.debug_struct("Desk").field("service", &self.client.service()).finish_non_exhaustive()
    }
}

impl Desk {
    /// Puts a desk together; asks nobody yet.
    ///
    /// # Errors
    ///
    /// [`DeskError`].
    pub fn new(parts: DeskParts) -> Result<Self, DeskError> {
        let DeskParts { service, pass, seed, clock, entropy } = parts;
        // Whoever waits for a page is better told at once than after several tries.
        let client = Client::new(&service, None)?.with_patience(Patience::NONE);
        let key = SessionKey::new(&seed, entropy.clone()).map_err(|_| DeskError::Key)?;
        Ok(Self { client, pass, key, clock, entropy })
    }

    /// The way to the service for somebody who is not signed in.
    ///
    /// # Errors
    ///
    /// [`SetupError`] when the pass cannot be sent, which is a fault of ours.
    pub fn for_nobody(&self, from: CameFrom) -> Result<Client, SetupError> {
        self.client.clone().on_behalf_of(&self.pass, from.0)
    }

    /// The way to the service with somebody's token.
    ///
    /// # Errors
    ///
    /// [`SetupError`] when the token cannot be sent.
    pub fn with_token(&self, from: CameFrom, token: &str) -> Result<Client, SetupError> {
        self.for_nobody(from)?.with_token(token)
    }

    /// What time it is.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        self.clock.now()
    }

    /// Thirty-two hexadecimal digits that nobody can guess.
    #[must_use]
    pub fn random(&self) -> String {
        let mut bytes = [0; 16];
        self.entropy.fill(&mut bytes);
        kernel::hexadecimal(&bytes)
    }
}
