//! The journal.

use jiff::civil::Date;
use kernel::{JournalEntryId, MillId, WorkerId};
use serde::Serialize;
use settlement::AccountKind;
use wire::{JournalEntryView, JournalFormat, Listing, TrialBalance};

use crate::{Client, ClientError};

/// Which entries to list, and which page of them.
///
/// ```
/// use client::JournalQuery;
/// use settlement::AccountKind;
/// let cash = JournalQuery { account: Some(AccountKind::Cash), ..JournalQuery::default() };
/// assert_eq!(serde_json::to_string(&cash)?, r#"{"account":"cash"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct JournalQuery {
    /// Dated on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Dated on this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// With a posting on an account of this kind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub account: Option<AccountKind>,
    /// On an account of this worker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// On an account of this mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

/// In which form to hand the journal over, and which days of it.
///
/// ```
/// use client::ExportQuery;
/// use wire::JournalFormat;
/// let all = ExportQuery { format: JournalFormat::Text, from: None, to: None };
/// assert_eq!(serde_json::to_string(&all)?, r#"{"format":"text"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ExportQuery {
    /// In which form.
    pub format: JournalFormat,
    /// Entries dated on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Entries dated on this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
}

impl Client {
    /// Lists the journal's entries, oldest written first, each with all its postings.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when `from` is later than `to`.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for entry in client.list_journal(&client::JournalQuery::default()).await?.items {
    ///     println!("{} {}", entry.dated, entry.says);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_journal(&self, query: &JournalQuery) -> Result<Listing<JournalEntryView>, ClientError> {
        self.get_with("/v1/journal", query).await
    }

    /// Shows an entry of the journal with all its postings.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// println!("{}", client.show_journal_entry(id).await?.says);
    /// # Ok(()) }
    /// ```
    pub async fn show_journal_entry(&self, entry: JournalEntryId) -> Result<JournalEntryView, ClientError> {
        self.get(&format!("/v1/journal/entries/{entry}")).await
    }

    /// Shows what every account stands at when a day ends; today, where the outfit is, when none is named.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// assert!(client.show_trial_balance(None).await?.difference.is_zero());
    /// # Ok(()) }
    /// ```
    pub async fn show_trial_balance(&self, on: Option<Date>) -> Result<TrialBalance, ClientError> {
        let query: &[(&str, Date)] = &on.map(|day| ("on", day)).into_iter().collect::<Vec<_>>();
        self.get_with("/v1/journal/trial-balance", query).await
    }

    /// Hands the journal over as a text for other tools.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when `from` is later than `to`.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use wire::JournalFormat;
    /// let all = client::ExportQuery { format: JournalFormat::Csv, from: None, to: None };
    /// print!("{}", client.export_journal(&all).await?);
    /// # Ok(()) }
    /// ```
    pub async fn export_journal(&self, query: &ExportQuery) -> Result<String, ClientError> {
        self.get_text("/v1/journal/export", query).await
    }
}
