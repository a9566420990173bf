//! Volume held against pay.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{ContractId, CrewId, JobId};
use serde::Serialize;
use wire::{AuditEntryView, Listing, Margin, VolumeAgainstPay};

use crate::{Client, ClientError};

/// Which days, and which job, contract or crew.
///
/// ```
/// use client::AuditQuery;
/// use jiff::civil::date;
/// let june = AuditQuery::of_days(date(2031, 6, 1), date(2031, 6, 30));
/// assert_eq!(serde_json::to_string(&june)?, r#"{"from":"2031-06-01","to":"2031-06-30"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct AuditQuery {
    /// The first day; the week it falls in counts whole.
    pub from: Date,
    /// The last day; likewise.
    pub to: Date,
    /// Only contracts of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Only this contract, and the wood that it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contract_id: Option<ContractId>,
    /// Only contracts with this crew, and the pieces that it worked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crew_id: Option<CrewId>,
}

impl AuditQuery {
    /// Everything of some days.
    #[must_use]
    pub const fn of_days(from: Date, to: Date) -> Self {
        Self { from, to, job_id: None, contract_id: None, crew_id: None }
    }
}

/// Which days' wood, and which job's.
///
/// ```
/// use client::SpanQuery;
/// use jiff::civil::date;
/// let june = SpanQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
/// assert_eq!(serde_json::to_string(&june)?, r#"{"from":"2031-06-01","to":"2031-06-30"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SpanQuery {
    /// The first day.
    pub from: Date,
    /// The last day.
    pub to: Date,
    /// Only wood of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
}

/// Which changes to list, and which page of them.
///
/// ```
/// use client::ChangeQuery;
/// assert_eq!(serde_json::to_string(&ChangeQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct ChangeQuery {
    /// Made by this person or tool.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made_by: Option<String>,
    /// By this operation, as the API document names it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub operation: Option<String>,
    /// Of the record with this id.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
    /// Made at this time or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Timestamp>,
    /// Made before this time.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before: Option<Timestamp>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Lists who changed what in the books, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for change in client.list_changes(&client::ChangeQuery::default()).await?.items {
    ///     println!("{} {} {}", change.made_at, change.made_by, change.operation);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_changes(&self, query: &ChangeQuery) -> Result<Listing<AuditEntryView>, ClientError> {
        self.get_with("/v1/audit/changes", query).await
    }

    /// Holds volume against pay, contract by contract. A mill sees its own contracts.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use jiff::civil::date;
    /// let june = client::AuditQuery::of_days(date(2031, 6, 1), date(2031, 6, 30));
    /// print!("{}", client::text::audit(&client.audit_volume_against_pay(&june).await?));
    /// # Ok(()) }
    /// ```
    pub async fn audit_volume_against_pay(
        &self,
        query: &AuditQuery,
    ) -> Result<VolumeAgainstPay, ClientError> {
        self.get_with("/v1/audit/volume-against-pay", query).await
    }

    /// Holds what mills owe for the wood on tickets scaled within these days against what crews earn on it.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use jiff::civil::date;
    /// let june = client::SpanQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
    /// print!("{}", client::text::margin(&client.audit_margin(&june).await?));
    /// # Ok(()) }
    /// ```
    pub async fn audit_margin(&self, query: &SpanQuery) -> Result<Margin, ClientError> {
        self.get_with("/v1/audit/margin", query).await
    }
}
