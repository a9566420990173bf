//! Workers.

use wire::{Listing, WorkerCreate, WorkerView};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

impl Client {
    /// Files a worker.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the outfit has one of that name.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let name = "Otto Lind".to_owned().try_into()?;
    /// let worker = client.file_worker(&wire::WorkerCreate { name }).await?;
    /// println!("{}", worker.worker_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_worker(&self, worker: &WorkerCreate) -> Result<WorkerView, ClientError> {
        Ok(self.post("/v1/workers", worker, Repeat::Keyed).await?.body)
    }

    /// Lists the workers, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_workers(&client::PageQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_workers(&self, page: &PageQuery) -> Result<Listing<WorkerView>, ClientError> {
        self.get_with("/v1/workers", page).await
    }
}
