//! How the service is.

use wire::{Health, Readiness};

use crate::{Client, ClientError};

impl Client {
    /// Asks whether the service runs. Needs no token.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// assert_eq!(client.live().await?.status, "ok");
    /// # Ok(()) }
    /// ```
    pub async fn live(&self) -> Result<Health, ClientError> {
        self.get("/health/live").await
    }

    /// Asks whether the service can do its work: whether its database answers. Needs no token.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// assert_eq!(client.ready().await?.status, "ok");
    /// # Ok(()) }
    /// ```
    pub async fn ready(&self) -> Result<Readiness, ClientError> {
        self.get("/health/ready").await
    }
}
