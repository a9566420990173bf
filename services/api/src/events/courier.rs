//! Whoever delivers: finds the outfits with something to tell, and works off their subscriptions' lines.

use futures_util::future::join_all;
use kernel::OutfitId;
use storage::{DeliveryLag, Session};

use super::line::Line;
use crate::http::refusal::Refusal;
use crate::service::Service;

/// Delivers events. Any number of instances may: one of them delivers for an outfit at a time.
#[derive(Clone, Debug)]
pub struct Courier {
    service: Service,
}

impl Courier {
    /// A courier of this service.
    #[must_use]
    pub fn new(service: Service) -> Self {
        Self { service }
    }

    /// The outfits that have something to tell, or to send again.
    ///
    /// # Errors
    ///
    /// [`wire::Code::Unavailable`] or [`wire::Code::Internal`] when the database fails.
    pub async fn waiting(&self) -> Result<Vec<OutfitId>, Refusal> {
        Ok(self.service.store.outfits_to_tell().await?)
    }

    /// How far behind deliveries are, over all outfits: numbers only.
    ///
    /// # Errors
    ///
    /// [`wire::Code::Unavailable`] or [`wire::Code::Internal`] when the database fails.
    pub async fn lag(&self) -> Result<DeliveryLag, Refusal> {
        Ok(self.service.store.delivery_lag().await?)
    }

    /// A connection to hold outfits with.
    ///
    /// # Errors
    ///
    /// [`wire::Code::Unavailable`] when there is none to be had.
    pub async fn session(&self) -> Result<Session, Refusal> {
        Ok(self.service.store.session().await?)
    }

    /// Sends everything that is due now, of every outfit, once. Answers how many events were sent.
    ///
    /// # Errors
    ///
    /// [`wire::Code::Unavailable`] or [`wire::Code::Internal`] when the database fails.
    pub async fn step(&self) -> Result<u32, Refusal> {
        let waiting = self.waiting().await?;
        if waiting.is_empty() {
            return Ok(0);
        }
        let session = self.session().await?;
        let mut sent = 0;
        for outfit in waiting {
            sent += self.deliver(&session, outfit, &|| false).await?;
        }
        Ok(sent)
    }

    /// Sends what an outfit has to tell, unless another instance is at it. Answers how many events were sent.
    ///
    /// # Errors
    ///
    /// [`wire::Code::Unavailable`] or [`wire::Code::Internal`] when the database fails.
    pub async fn deliver(
        &self,
        session: &Session,
        outfit: OutfitId,
        stopping: &(dyn Fn() -> bool + Sync),
    ) -> Result<u32, Refusal> {
        if !session.hold(outfit).await? {
            return Ok(0);
        }
        let sent = self.deliver_held(session, outfit, stopping).await;
        session.let_go(outfit).await?;
        sent
    }

    async fn deliver_held(
        &self,
        session: &Session,
        outfit: OutfitId,
        stopping: &(dyn Fn() -> bool + Sync),
    ) -> Result<u32, Refusal> {
        let subscriptions: Vec<_> = session
            .write(outfit, async |books| Ok::<_, Refusal>(books.lasting_event_subscriptions().await?))
            .await?;
        let lines: Vec<_> = subscriptions
            .iter()
            .map(|subscription| Line { service: &self.service, session, outfit, subscription, stopping })
            .collect();
        // Tools do not wait for each other.
        let mut sent = 0;
        for line in join_all(lines.iter().map(Line::work_off)).await {
            sent += line?;
        }
        Ok(sent)
    }
}
