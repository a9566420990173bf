//! The outfit itself.

use wire::{OutfitCreate, OutfitView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Opens the books of a new outfit. Only an operator of the service may do it.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let outfit = serde_json::from_str(
    ///     r#"{"name": "Fork outfit", "currency": "USD", "time_zone": "America/Detroit",
    ///         "week_ends_on": "saturday"}"#,
    /// )?;
    /// println!("{}", client.open_outfit(&outfit).await?.outfit_id);
    /// # Ok(()) }
    /// ```
    pub async fn open_outfit(&self, outfit: &OutfitCreate) -> Result<OutfitView, ClientError> {
        Ok(self.post("/v1/outfits", outfit, Repeat::Keyed).await?.body)
    }

    /// Shows the outfit whose books the token opens.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// println!("{}", client.show_outfit().await?.name);
    /// # Ok(()) }
    /// ```
    pub async fn show_outfit(&self) -> Result<OutfitView, ClientError> {
        self.get("/v1/outfit").await
    }
}
