//! Exceptions, and the turns they are held against.

use jiff::civil::Date;
use kernel::{CrewId, JobId, MillId};
use serde::Serialize;
use wire::{ExceptionKind, ExceptionSummary, ExceptionView, Listing, TurnCountCreate, TurnCountView};

use super::SpanQuery;
use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which exceptions to list, and which page of them.
///
/// ```
/// use client::{SpanQuery, ExceptionQuery};
/// use jiff::civil::date;
/// let june = SpanQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
/// let late = ExceptionQuery { kind: Some(wire::ExceptionKind::LateTicket), ..ExceptionQuery::of(june) };
/// assert_eq!(serde_json::to_value(&late)?["kind"], "late_ticket");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ExceptionQuery {
    /// The first day on which the tickets were scaled.
    pub from: Date,
    /// The last day.
    pub to: Date,
    /// Only of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Only of this kind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<ExceptionKind>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl ExceptionQuery {
    /// Exceptions of every kind of some days, the first page of them.
    #[must_use]
    pub fn of(days: SpanQuery) -> Self {
        let SpanQuery { from, to, job_id } = days;
        Self { from, to, job_id, kind: None, after: None, limit: None }
    }
}

/// Which counts of turns to list, and which page of them.
///
/// ```
/// use client::TurnCountQuery;
/// assert_eq!(serde_json::to_string(&TurnCountQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct TurnCountQuery {
    /// Of this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Of this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// Of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Of turns that this crew moved; not together with a mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crew_id: Option<CrewId>,
    /// Of turns that came in at this mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// Only those that no later count took the place of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<bool>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Lists what an auditor would stop at, by kind, day and ticket.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use client::{SpanQuery, ExceptionQuery};
    /// use jiff::civil::date;
    /// let june = SpanQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
    /// for one in client.list_exceptions(&ExceptionQuery::of(june)).await?.items {
    ///     println!("{}: {}", one.kind.name(), one.says);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_exceptions(
        &self,
        query: &ExceptionQuery,
    ) -> Result<Listing<ExceptionView>, ClientError> {
        self.get_with("/v1/audit/exceptions", query).await
    }

    /// Counts exceptions by kind, and says of every kind what it means, how it is found and what to do.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// use jiff::civil::date;
    /// let june = client::SpanQuery { from: date(2031, 6, 1), to: date(2031, 6, 30), job_id: None };
    /// for one in client.summarize_exceptions(&june).await?.kinds {
    ///     println!("{} {}: {}", one.count, one.kind.name(), one.what_to_do);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn summarize_exceptions(&self, query: &SpanQuery) -> Result<ExceptionSummary, ClientError> {
        self.get_with("/v1/audit/exceptions-by-kind", query).await
    }

    /// Files how many turns were counted; it takes the place of an earlier count for the same job, day and party.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused for a day that is still to come.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client, job: kernel::JobId, mill: kernel::MillId)
    /// # -> Result<(), Box<dyn std::error::Error>> {
    /// let count = wire::TurnCountCreate {
    ///     job_id: job,
    ///     counted_on: jiff::civil::date(2031, 6, 3),
    ///     party: wire::Party::MillId(mill),
    ///     turns: 7,
    ///     counted_by: "Clerk of the mill".to_owned().try_into()?,
    /// };
    /// client.file_turn_count(&count).await?;
    /// # Ok(()) }
    /// ```
    pub async fn file_turn_count(&self, count: &TurnCountCreate) -> Result<TurnCountView, ClientError> {
        Ok(self.post("/v1/turn-counts", count, Repeat::Keyed).await?.body)
    }

    /// Lists counted turns, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for count in client.list_turn_counts(&client::TurnCountQuery::default()).await?.items {
    ///     println!("{} {}: {}", count.counted_on, count.counted_by, count.turns);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_turn_counts(
        &self,
        query: &TurnCountQuery,
    ) -> Result<Listing<TurnCountView>, ClientError> {
        self.get_with("/v1/turn-counts", query).await
    }
}
