//! The week's settlement.

use jiff::civil::Date;
use kernel::{ContractId, CrewId, SettlementId};
use serde::Serialize;
use wire::{CrewSheet, LineExplanation, Listing, Rederivation, SettlementCreate, SettlementView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// A settlement that stands for good, and whether it did before.
///
/// ```no_run
/// # async fn example(client: client::Client, draft: kernel::SettlementId) -> Result<(), client::ClientError> {
/// if client.post_settlement(draft).await?.replayed {
///     println!("it was posted before");
/// }
/// # Ok(()) }
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostedSettlement {
    /// The settlement as it was posted.
    pub settlement: SettlementView,
    /// Whether it was posted already, so that nothing has changed.
    pub replayed: bool,
}

/// Which settlements to list, and which page of them.
///
/// ```
/// use client::SettlementQuery;
/// let posted = SettlementQuery { posted: Some(true), ..SettlementQuery::default() };
/// assert_eq!(serde_json::to_string(&posted)?, r#"{"posted":true}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct SettlementQuery {
    /// Of the week that ends on this day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub week_ends_on: Option<Date>,
    /// Only posted ones.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub posted: Option<bool>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Drafts the settlement of a week. Nothing is paid by it; every draft is a record of its own, so it is sent once.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the day ends no week or the week was posted.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let week_ends_on = jiff::civil::date(2031, 6, 7);
    /// let draft = client.draft_settlement(&wire::SettlementCreate { week_ends_on, whole_history: false }).await?;
    /// print!("{}", client::text::settlement(&draft));
    /// # Ok(()) }
    /// ```
    pub async fn draft_settlement(&self, week: &SettlementCreate) -> Result<SettlementView, ClientError> {
        Ok(self.post("/v1/settlements", week, Repeat::Keyed).await?.body)
    }

    /// Lists settlements, oldest draft first, without their lines.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_settlements(&client::SettlementQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_settlements(
        &self,
        query: &SettlementQuery,
    ) -> Result<Listing<SettlementView>, ClientError> {
        self.get_with("/v1/settlements", query).await
    }

    /// Shows a settlement with its lines.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// print!("{}", client::text::settlement(&client.show_settlement(id).await?));
    /// # Ok(()) }
    /// ```
    pub async fn show_settlement(&self, settlement: SettlementId) -> Result<SettlementView, ClientError> {
        self.get(&format!("/v1/settlements/{settlement}")).await
    }

    /// Posts a draft for good. Posting it again changes nothing.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when something is unpriced, the week is not over, an earlier one is open, or the books have
    /// changed since the draft.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// println!("{:?}", client.post_settlement(id).await?.settlement.posted_at);
    /// # Ok(()) }
    /// ```
    pub async fn post_settlement(&self, settlement: SettlementId) -> Result<PostedSettlement, ClientError> {
        let answer = self.put(&format!("/v1/settlements/{settlement}/posting")).await?;
        Ok(PostedSettlement { settlement: answer.body, replayed: answer.replayed })
    }

    /// Follows a posted line, by its number from 1, down to the sticks.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when there is no such posted line.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// print!("{}", client::text::explanation(&client.explain_line(id, 1).await?));
    /// # Ok(()) }
    /// ```
    pub async fn explain_line(
        &self,
        settlement: SettlementId,
        line: i32,
    ) -> Result<LineExplanation, ClientError> {
        self.get(&format!("/v1/settlements/{settlement}/lines/{line}")).await
    }

    /// Computes a posted week again from the measured facts, or the lines of one contract, and compares it with what was
    /// posted.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when there is no such posted settlement.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// assert!(client.rederive_settlement(id, None).await?.agrees);
    /// # Ok(()) }
    /// ```
    pub async fn rederive_settlement(
        &self,
        settlement: SettlementId,
        contract: Option<ContractId>,
    ) -> Result<Rederivation, ClientError> {
        let query: &[(&str, ContractId)] =
            &contract.map(|contract| ("contract_id", contract)).into_iter().collect::<Vec<_>>();
        self.get_with(&format!("/v1/settlements/{settlement}/rederivation"), query).await
    }

    /// Shows a crew's part of a settlement, drafted or posted, and how it was divided.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the settlement or the crew is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let settlement = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let crew = "0197a000-0000-7000-8000-000000000002".parse()?;
    /// print!("{}", client::text::crew_sheet(&client.show_crew_sheet(settlement, crew).await?));
    /// # Ok(()) }
    /// ```
    pub async fn show_crew_sheet(
        &self,
        settlement: SettlementId,
        crew: CrewId,
    ) -> Result<CrewSheet, ClientError> {
        self.get(&format!("/v1/settlements/{settlement}/crews/{crew}")).await
    }
}
