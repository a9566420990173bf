//! What nothing pays for yet.

use jiff::civil::Date;
use wire::UnpricedView;

use crate::{Client, ClientError};

impl Client {
    /// Lists what nothing pays for yet on tickets scaled up to a day, oldest first; all of it when there is no day. The service
    /// lists a thousand at the most.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for open in client.list_unpriced(None).await? {
    ///     println!("{}", open.says);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_unpriced(&self, to: Option<Date>) -> Result<Vec<UnpricedView>, ClientError> {
        let query: Vec<(&str, Date)> = to.into_iter().map(|day| ("to", day)).collect();
        self.get_with("/v1/unpriced", &query).await
    }
}
