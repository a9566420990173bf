//! Access for the people of the outfit.

use wire::{AccessTokenCreate, AccessTokenView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Grants an access token to somebody of the outfit. It is shown this once and kept nowhere.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused to everybody but a manager.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let access = serde_json::from_str(r#"{"subject": "yard tablet", "role": "scaler"}"#)?;
    /// let granted = client.grant_access(&access).await?;
    /// println!("good until {}", granted.expires_at);
    /// # Ok(()) }
    /// ```
    pub async fn grant_access(&self, access: &AccessTokenCreate) -> Result<AccessTokenView, ClientError> {
        Ok(self.post("/v1/access-tokens", access, Repeat::Keyed).await?.body)
    }
}
