//! The log rules the service knows.

use wire::RuleList;

use crate::{Client, ClientError};

impl Client {
    /// Lists the log rules, all on one page. Needs no token.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for rule in client.list_rules().await?.items {
    ///     println!("{}: {}", rule.title, rule.formula);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_rules(&self) -> Result<RuleList, ClientError> {
        self.get("/v1/rules").await
    }
}
