//! Following the addresses that the service gives with its figures.

use serde::de::DeserializeOwned;

use crate::{Client, ClientError};

impl Client {
    /// Asks what lies at an address that the service gave, such as [`wire::MadeOf::address`].
    ///
    /// # Errors
    ///
    /// [`ClientError`]; `NotUnderstood` when it is no address of the API.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client, made_of: wire::MadeOf) -> Result<(), client::ClientError> {
    /// let tickets: wire::Listing<wire::TicketView> = client.follow(&made_of.address).await?;
    /// # Ok(()) }
    /// ```
    pub async fn follow<T: DeserializeOwned>(&self, address: &str) -> Result<T, ClientError> {
        if !address.starts_with("/v1/") {
            let detail = format!("{address:?} is no address of the API");
            return Err(ClientError::NotUnderstood { status: 0, detail });
        }
        self.get(address).await
    }
}
