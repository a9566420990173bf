//! Holdback: what is held of workers' pay, and letting it go.

use kernel::WorkerId;
use wire::{HeldView, ReleaseCreate, ReleaseView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Lists what is held, by worker and contract; of one worker when one is named.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for held in client.list_holdback(None).await? {
    ///     println!("{} {}: {}", held.payee.name, held.contract_title, held.held);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_holdback(&self, of: Option<WorkerId>) -> Result<Vec<HeldView>, ClientError> {
        let query: Vec<(&str, WorkerId)> = of.into_iter().map(|worker| ("worker_id", worker)).collect();
        self.get_with("/v1/holdback", &query).await
    }

    /// Lets go of holdback.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is more than is held.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let release = serde_json::from_str(
    ///     r#"{"worker_id": "0197a000-0000-7000-8000-000000000001",
    ///         "contract_id": "0197a000-0000-7000-8000-000000000002", "dated": "2031-10-01",
    ///         "says": "the tract is finished", "amount": "25.00"}"#,
    /// )?;
    /// println!("{}", client.release_holdback(&release).await?.release_id);
    /// # Ok(()) }
    /// ```
    pub async fn release_holdback(&self, release: &ReleaseCreate) -> Result<ReleaseView, ClientError> {
        Ok(self.post("/v1/holdback-releases", release, Repeat::Keyed).await?.body)
    }
}
