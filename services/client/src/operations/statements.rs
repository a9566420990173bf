//! Statements: what each payee has coming.

use jiff::civil::Date;
use kernel::{MillId, SettlementId, StatementId, WorkerId};
use serde::Serialize;
use wire::{Listing, StatementLineExplanation, StatementView};

use crate::{Client, ClientError};

/// Which statements to list, and which page of them.
///
/// ```
/// use client::StatementQuery;
/// assert_eq!(serde_json::to_string(&StatementQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct StatementQuery {
    /// Of this settlement.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settlement_id: Option<SettlementId>,
    /// Of this worker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// Of this mill; one of the two at the most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// Of the week that ends on this day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub week_ends_on: Option<Date>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Lists statements, oldest first, without their lines. A mill sees its own.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for statement in client.list_statements(&client::StatementQuery::default()).await?.items {
    ///     println!("{} {}", statement.payee.name, statement.closing);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_statements(
        &self,
        query: &StatementQuery,
    ) -> Result<Listing<StatementView>, ClientError> {
        self.get_with("/v1/statements", query).await
    }

    /// Shows a statement with its lines. A mill sees its own.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// print!("{}", client::text::statement(&client.show_statement(id).await?));
    /// # Ok(()) }
    /// ```
    pub async fn show_statement(&self, statement: StatementId) -> Result<StatementView, ClientError> {
        self.get(&format!("/v1/statements/{statement}")).await
    }

    /// Follows a line of a statement, by the number that stands on it, down to the sticks. A mill sees its own.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when there is no such line.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// print!("{}", client::text::statement_line(&client.explain_statement_line(id, 1).await?));
    /// # Ok(()) }
    /// ```
    pub async fn explain_statement_line(
        &self,
        statement: StatementId,
        line: i32,
    ) -> Result<StatementLineExplanation, ClientError> {
        self.get(&format!("/v1/statements/{statement}/lines/{line}")).await
    }
}
