//! Crews and how they divide their pay.

use kernel::CrewId;
use wire::{CrewCreate, CrewView, Listing, ShareSetCreate, ShareSetView};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

impl Client {
    /// Files a crew.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the outfit has one of that name.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let name = "North crew".to_owned().try_into()?;
    /// let crew = client.file_crew(&wire::CrewCreate { name }).await?;
    /// println!("{}", crew.crew_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_crew(&self, crew: &CrewCreate) -> Result<CrewView, ClientError> {
        Ok(self.post("/v1/crews", crew, Repeat::Keyed).await?.body)
    }

    /// Lists the crews, oldest first; how they divide their pay is left out for a scaler.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_crews(&client::PageQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_crews(&self, page: &PageQuery) -> Result<Listing<CrewView>, ClientError> {
        self.get_with("/v1/crews", page).await
    }

    /// Files how a crew divides its pay from a day on.
    ///
    /// For days past, it changes weeks already posted by an adjustment in the open week.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the crew or a member is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let crew = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let halves = serde_json::from_str(
    ///     r#"{"effective_from": "2031-06-01", "shares": [
    ///         {"worker_id": "0197a000-0000-7000-8000-000000000002", "parts": "1"},
    ///         {"worker_id": "0197a000-0000-7000-8000-000000000003", "parts": "1"}]}"#,
    /// )?;
    /// client.file_share_set(crew, &halves).await?;
    /// # Ok(()) }
    /// ```
    pub async fn file_share_set(
        &self,
        crew: CrewId,
        shares: &ShareSetCreate,
    ) -> Result<ShareSetView, ClientError> {
        Ok(self.post(&format!("/v1/crews/{crew}/share-sets"), shares, Repeat::Keyed).await?.body)
    }
}
