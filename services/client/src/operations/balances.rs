//! What every payee's account stands at.

use jiff::civil::Date;
use wire::Balances;

use crate::{Client, ClientError};

impl Client {
    /// Lists what every payee's account stands at when a day ends; today, where the outfit is, when none is named.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// print!("{}", client::text::balances(&client.list_balances(None).await?));
    /// # Ok(()) }
    /// ```
    pub async fn list_balances(&self, on: Option<Date>) -> Result<Balances, ClientError> {
        let query: &[(&str, Date)] = &on.map(|day| ("on", day)).into_iter().collect::<Vec<_>>();
        self.get_with("/v1/balances", query).await
    }
}
