//! The audit as one report.

use jiff::civil::Date;
use kernel::{ContractId, CrewId, JobId};
use serde::Serialize;
use wire::{AuditReport, ReportFormat, ReportSection};

use crate::{Client, ClientError};

/// Which weeks to report, and which job.
///
/// ```
/// use client::ReportQuery;
/// use jiff::civil::date;
/// let june = ReportQuery::of_days(date(2031, 6, 1), date(2031, 6, 30));
/// assert_eq!(serde_json::to_string(&june)?, r#"{"from":"2031-06-01","to":"2031-06-30"}"#);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ReportQuery {
    /// The first day; the week it falls in counts whole.
    pub from: Date,
    /// The last day; likewise.
    pub to: Date,
    /// Only this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Only this contract, and the wood that it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contract_id: Option<ContractId>,
    /// Only contracts with this crew, and the pieces that it worked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crew_id: Option<CrewId>,
}

impl ReportQuery {
    /// Everything of some days.
    #[must_use]
    pub const fn of_days(from: Date, to: Date) -> Self {
        Self { from, to, job_id: None, contract_id: None, crew_id: None }
    }
}

/// The same in a form of its own.
#[derive(Serialize)]
struct Formed {
    #[serde(flatten)]
    query: ReportQuery,
    format: ReportFormat,
    #[serde(skip_serializing_if = "Option::is_none")]
    section: Option<ReportSection>,
}

impl Client {
    /// Reports volume, cost, defect and pay over some weeks. A mill gets its own side.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use jiff::civil::date;
    /// let june = client::ReportQuery::of_days(date(2031, 6, 1), date(2031, 6, 30));
    /// for row in client.report_audit(&june).await?.volume_by_week {
    ///     println!("{} {} {}", row.week_ends_on, row.stage.name(), row.pieces);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn report_audit(&self, query: &ReportQuery) -> Result<AuditReport, ClientError> {
        self.get_with("/v1/reports/audit", query).await
    }

    /// The same report as a text in another form: rows, of one section where one is named, or a page to print.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when a section is named for anything but rows.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use jiff::civil::date;
    /// use wire::ReportFormat;
    /// let june = client::ReportQuery::of_days(date(2031, 6, 1), date(2031, 6, 30));
    /// std::fs::write("june.html", client.report_audit_as(&june, ReportFormat::Html, None).await?)?;
    /// # Ok(()) }
    /// ```
    pub async fn report_audit_as(
        &self,
        query: &ReportQuery,
        format: ReportFormat,
        section: Option<ReportSection>,
    ) -> Result<String, ClientError> {
        self.get_text("/v1/reports/audit", &Formed { query: *query, format, section }).await
    }
}
