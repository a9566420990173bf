//! The keys that access tokens are checked with.

use wire::TokenKeys;

use crate::{Client, ClientError};

impl Client {
    /// Lists the keys that access tokens are checked with.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// println!("{} keys", client.show_token_keys().await?.keys.len());
    /// # Ok(()) }
    /// ```
    pub async fn show_token_keys(&self) -> Result<TokenKeys, ClientError> {
        self.get("/.well-known/jwks.json").await
    }
}
