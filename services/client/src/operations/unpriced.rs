//! What nothing pays for yet.

use jiff::civil::Date;
use serde::Serialize;
use wire::{Listing, UnpricedView};

use crate::{Client, ClientError};

/// Which of it to list, and which page.
///
/// ```
/// use client::UnpricedQuery;
/// assert_eq!(serde_json::to_string(&UnpricedQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct UnpricedQuery {
    /// On tickets scaled on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// On tickets scaled on this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Lists what nothing pays for yet, in the order of days, books and numbers.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for open in client.list_unpriced(&client::UnpricedQuery::default()).await?.items {
    ///     println!("{}", open.says);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_unpriced(&self, query: &UnpricedQuery) -> Result<Listing<UnpricedView>, ClientError> {
        self.get_with("/v1/unpriced", query).await
    }
}
