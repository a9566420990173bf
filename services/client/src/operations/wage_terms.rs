//! Wage terms: what is paid by the hour beside the pieces.

use wire::{WageTermsCreate, WageTermsFiled, WageTermsList};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Files wage terms.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let terms = serde_json::from_str(
    ///     r#"{"effective_from": "2031-06-01", "terms": {"overtime": {"after_hours": "40"}}}"#,
    /// )?;
    /// println!("{}", client.file_wage_terms(&terms).await?.caution);
    /// # Ok(()) }
    /// ```
    pub async fn file_wage_terms(&self, terms: &WageTermsCreate) -> Result<WageTermsFiled, ClientError> {
        Ok(self.post("/v1/wage-terms", terms, Repeat::Keyed).await?.body)
    }

    /// Lists every wage terms filed, by day and revision.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// println!("{} filed", client.list_wage_terms().await?.wage_terms.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_wage_terms(&self) -> Result<WageTermsList, ClientError> {
        self.get("/v1/wage-terms").await
    }
}
