//! Mills.

use wire::{Listing, MillCreate, MillView};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

impl Client {
    /// Files a mill.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the outfit has one of that name.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let name = "Lower mill".to_owned().try_into()?;
    /// let mill = client.file_mill(&wire::MillCreate { name }).await?;
    /// println!("{}", mill.mill_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_mill(&self, mill: &MillCreate) -> Result<MillView, ClientError> {
        Ok(self.post("/v1/mills", mill, Repeat::Keyed).await?.body)
    }

    /// Lists the mills, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_mills(&client::PageQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_mills(&self, page: &PageQuery) -> Result<Listing<MillView>, ClientError> {
        self.get_with("/v1/mills", page).await
    }
}
