//! Volume held against pay.

use jiff::civil::Date;
use kernel::JobId;
use serde::Serialize;
use wire::{Margin, VolumeAgainstPay};

use crate::{Client, ClientError};

/// Which days, and which job.
///
/// ```
/// use client::AuditQuery;
/// use jiff::civil::date;
/// let june = AuditQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
/// assert_eq!(serde_json::to_string(&june)?, r#"{"from":"2031-06-01","to":"2031-06-30"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct AuditQuery {
    /// The first day; for volume against pay the week it falls in counts whole.
    pub from: Date,
    /// The last day; likewise.
    pub to: Date,
    /// Only contracts of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
}

impl Client {
    /// Holds volume against pay, contract by contract. A mill sees its own contracts.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use jiff::civil::date;
    /// let june = client::AuditQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
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
    /// let june = client::AuditQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
    /// print!("{}", client::text::margin(&client.audit_margin(&june).await?));
    /// # Ok(()) }
    /// ```
    pub async fn audit_margin(&self, query: &AuditQuery) -> Result<Margin, ClientError> {
        self.get_with("/v1/audit/margin", query).await
    }
}
