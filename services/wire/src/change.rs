//! The audit trail: who changed what.

use jiff::Timestamp;
use kernel::AuditEntryId;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::columns::columns;

/// One accepted change of the books.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AuditEntryView {
    /// Its id.
    pub audit_entry_id: AuditEntryId,
    /// The operation that made it, as the API document names it.
    pub operation: String,
    /// The record that was made or changed.
    pub about: Uuid,
    /// Who made it.
    pub made_by: String,
    /// As what.
    pub role: String,
    /// When.
    pub made_at: Timestamp,
    /// The request, as the service's log names it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub request_id: Option<Uuid>,
}

columns!(AuditEntryView: entry {
    "audit_entry_id" => entry.audit_entry_id,
    "operation" => entry.operation,
    "about" => entry.about,
    "made_by" => entry.made_by,
    "role" => entry.role,
    "made_at" => entry.made_at,
    "request_id" => entry.request_id,
});
