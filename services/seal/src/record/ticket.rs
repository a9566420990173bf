//! An accepted ticket as it is sealed.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{JobId, LandingId, MillId, OutfitId, SettlementId, TicketId};
use serde::Serialize;
use serde_json::Value;

use super::RecordKind;

/// A ticket as it was accepted, corrected since or not: all that was sent, and who sent it when. What contracts made of
/// it is not in it; that follows from it and from the terms.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedTicket {
    /// [`RecordKind::Ticket`].
    pub kind: RecordKind,
    /// [`TICKET_FORM`](super::TICKET_FORM).
    pub form: i16,
    /// Whose books.
    pub outfit_id: OutfitId,
    /// Its id.
    pub ticket_id: TicketId,
    /// The scale book.
    pub book: String,
    /// Its number in the book.
    pub number: i64,
    /// The job.
    pub job_id: JobId,
    /// The landing.
    pub landing_id: LandingId,
    /// The day it was scaled.
    pub scaled_on: Date,
    /// Who scaled it.
    pub scaler: String,
    /// Which crew did what to which pieces.
    pub work: Value,
    /// The load.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn: Option<Value>,
    /// The mill it was delivered to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub delivered_to: Option<MillId>,
    /// The sticks as they were measured, in their order.
    pub pieces: Value,
    /// What else was written down.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub remarks: Option<String>,
    /// The ticket it takes the place of.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrects: Option<TicketId>,
    /// Why.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub correction_reason: Option<String>,
    /// SHA-256 of the content as it was sent, as hexadecimal digits.
    pub fingerprint: String,
    /// When it was measured, by the device's clock.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_at: Option<Timestamp>,
    /// When it was sent, by the same.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sent_at: Option<Timestamp>,
    /// How far that clock was ahead.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub device_clock_ahead_seconds: Option<i64>,
    /// The settlement that had closed its week before it came.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub late_for: Option<SettlementId>,
    /// When it was accepted.
    pub accepted_at: Timestamp,
    /// Who sent it.
    pub accepted_by: String,
}
