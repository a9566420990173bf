//! The outfit's own log rules.

use kernel::LogTableId;
use wire::{Listing, LogTableCheck, LogTableCreate, LogTableEntry, LogTableView};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

impl Client {
    /// Files a table. The same table again under the same title is answered as it was filed; another one is the next
    /// version.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it has faults, or gives less for a larger log and nobody acknowledged that.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// # let written = "";
    /// let table: wire::LogTableCreate = serde_json::from_str(written)?;
    /// println!("version {}", client.file_log_table(&table).await?.entry.version);
    /// # Ok(()) }
    /// ```
    pub async fn file_log_table(&self, table: &LogTableCreate) -> Result<LogTableView, ClientError> {
        Ok(self.post("/v1/log-tables", table, Repeat::Harmless).await?.body)
    }

    /// Lists the versions of the outfit's tables, oldest first, without their cells.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_log_tables(&client::PageQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_log_tables(&self, page: &PageQuery) -> Result<Listing<LogTableEntry>, ClientError> {
        self.get_with("/v1/log-tables", page).await
    }

    /// Shows a version of a table with its cells.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// println!("{}", client.show_log_table(id).await?.entry.title);
    /// # Ok(()) }
    /// ```
    pub async fn show_log_table(&self, table: LogTableId) -> Result<LogTableView, ClientError> {
        self.get(&format!("/v1/log-tables/{table}")).await
    }

    /// Asks what is wrong with a table, without filing it.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// # let written = "";
    /// let table: wire::LogTableCreate = serde_json::from_str(written)?;
    /// for fault in client.check_log_table(&table).await?.faults {
    ///     println!("{}", fault.detail);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn check_log_table(&self, table: &LogTableCreate) -> Result<LogTableCheck, ClientError> {
        Ok(self.post("/v1/log-table-checks", table, Repeat::Harmless).await?.body)
    }
}
