//! What every operation works with.

use std::sync::Arc;

use kernel::{Clock, Entropy, IdSource};
use storage::{Books, Store};

use crate::access::external::ExternalIssuer;
use crate::access::passwords::Passwords;
use crate::events::secrets::SecretBox;
use crate::events::sending::Sender;
use crate::http::caller::Member;
use crate::http::refusal::Refusal;
use crate::http::token::Tokens;
use crate::running::instance::Instance;

/// The running service: the books, the clock, and what makes ids and tokens. Holds no record of its own.
#[derive(Clone)]
pub struct Service {
    /// The books.
    pub store: Store,
    /// The time.
    pub clock: Arc<dyn Clock>,
    /// New ids.
    pub ids: IdSource,
    /// Random bytes.
    pub entropy: Arc<dyn Entropy>,
    /// Makes and checks access tokens.
    pub tokens: Tokens,
    /// Makes, seals and opens the secrets that events are signed with.
    pub secrets: SecretBox,
    /// Sends events.
    pub sender: Arc<dyn Sender>,
    /// What the key of the desk's sessions grows from.
    pub desk_seed: [u8; 32],
    /// What this instance knows of itself: figures, limits, whether it is about to stop.
    pub running: Arc<Instance>,
    /// Makes and checks hashes of passwords.
    pub passwords: Passwords,
    /// The issuer whose word is taken for who somebody is, where there is one.
    pub external: Option<Arc<ExternalIssuer>>,
}

impl std::fmt::Debug for Service {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Service")
    }
}

impl Service {
    /// Any number, to spread things by.
    #[must_use]
    pub fn chance(&self) -> u16 {
        let mut bytes = [0; 2];
        self.entropy.fill(&mut bytes);
        u16::from_be_bytes(bytes)
    }

    /// Does `work` on the books of the caller's outfit in one transaction: all of it is kept, or none.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`wire::Code::AccessRevoked`] when the caller's access does not stand;
    /// [`wire::Code::Unavailable`] or [`wire::Code::Internal`] when the transaction fails.
    pub async fn write<T>(
        &self,
        member: &Member,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        self.store.write_as(member.access(), work).await
    }

    /// Does `work` as [`Service::write`] would, and keeps none of it.
    ///
    /// # Errors
    ///
    /// What `work` answers, and what the database would not have kept.
    pub async fn rehearse<T>(
        &self,
        member: &Member,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        self.store.rehearse_as(member.access(), work).await
    }

    /// Does `work` on the books of the caller's outfit as they stand at one moment, without changing them.
    ///
    /// # Errors
    ///
    /// What `work` answers; [`wire::Code::AccessRevoked`] when the caller's access does not stand;
    /// [`wire::Code::Unavailable`] or [`wire::Code::Internal`] when the transaction fails.
    pub async fn read<T>(
        &self,
        member: &Member,
        work: impl AsyncFnOnce(&mut Books) -> Result<T, Refusal>,
    ) -> Result<T, Refusal> {
        self.store.read_as(member.access(), work).await
    }

    /// Makes sure that the caller's access stands, for an operation that does not open the books.
    ///
    /// # Errors
    ///
    /// As [`Service::read`].
    pub async fn let_in(&self, member: &Member) -> Result<(), Refusal> {
        match member.grant {
            Some(_) => self.read(member, async |_| Ok(())).await,
            None => Ok(()),
        }
    }
}
