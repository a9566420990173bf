//! Lists come in pages; here they are turned one after the other.

use serde::Serialize;
use wire::Listing;

use crate::ClientError;

/// Which page of a list.
///
/// ```
/// use client::PageQuery;
/// let first_ten = PageQuery { limit: Some(10), ..PageQuery::default() };
/// assert_eq!(first_ten.after, None);
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct PageQuery {
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500. The service's own choice when none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

/// Everything on all the pages of a list.
///
/// `page` asks for the page after the place it is given.
///
/// # Errors
///
/// Whatever `page` answers; [`ClientError::NotUnderstood`] when a page names itself as the next one, which would never
/// end.
///
/// ```no_run
/// use client::{Client, PageQuery, all_pages};
/// # async fn example(client: Client) -> Result<(), client::ClientError> {
/// let workers = all_pages(async |after| {
///     client.list_workers(&PageQuery { after, limit: Some(500) }).await
/// }).await?;
/// # Ok(()) }
/// ```
pub async fn all_pages<T>(
    mut page: impl AsyncFnMut(Option<String>) -> Result<Listing<T>, ClientError>,
) -> Result<Vec<T>, ClientError> {
    let mut after: Option<String> = None;
    let mut all = Vec::new();
    loop {
        let listing = page(after.clone()).await?;
        all.extend(listing.items);
        match listing.next {
            None => return Ok(all),
            next if next == after => {
                let detail = "a page of a list names itself as the next one".to_owned();
                return Err(ClientError::NotUnderstood { status: 200, detail });
            }
            next => after = next,
        }
    }
}
