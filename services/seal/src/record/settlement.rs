//! A posted settlement as it is sealed.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{
    AdvanceId, ChargeId, ContractId, CrewId, Fixed, JournalEntryId, MillId, OutfitId, SettlementId,
    ShareSetId, StatementId, TermsId, WorkerId,
};
use serde::Serialize;
use serde_json::Value;
use uuid::Uuid;

use super::{RecordKind, as_text};

/// A posted settlement, with everything that any payee was told of it: the draft that was read, the lines and how they
/// were shared, what was added and kept back, the statements, and the entry in the journal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedSettlement {
    /// [`RecordKind::Settlement`].
    pub kind: RecordKind,
    /// [`SETTLEMENT_FORM`](super::SETTLEMENT_FORM).
    pub form: i16,
    /// Whose books.
    pub outfit_id: OutfitId,
    /// The currency of every amount.
    pub currency: String,
    /// Its id.
    pub settlement_id: SettlementId,
    /// The week's last day.
    pub week_ends_on: Date,
    /// What was read before it was posted.
    pub draft: SealedDraft,
    /// When it was posted.
    pub posted_at: Timestamp,
    /// Who posted it.
    pub posted_by: String,
    /// Its lines, by their numbers.
    pub lines: Vec<SealedLine>,
    /// How the lines fell to their payees, by line and place.
    pub shares: Vec<SealedShare>,
    /// What was added to pay, by worker, week and kind.
    pub supplements: Vec<SealedSupplement>,
    /// What was kept back of pay, by worker and place.
    pub take_offs: Vec<SealedTakeOff>,
    /// What each payee was told, by id.
    pub statements: Vec<SealedStatement>,
    /// Its entry in the journal; absent where there was nothing to pay.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub journal_entry: Option<SealedEntry>,
}

/// What a settlement's draft said.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedDraft {
    /// Its lines.
    pub lines: Value,
    /// Each worker's pay beside the lines.
    pub pays: Value,
    /// What was scaled in the week.
    pub volumes: Value,
    /// SHA-256 of all three, as hexadecimal digits.
    pub fingerprint: String,
    /// When it was drafted.
    pub drafted_at: Timestamp,
    /// Who drafted it.
    pub drafted_by: String,
}

/// A posted line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedLine {
    /// Its number, from 1.
    pub line_number: i32,
    /// The week it is about.
    pub week_ends_on: Date,
    /// The contract.
    pub contract_id: ContractId,
    /// The terms.
    pub terms_id: TermsId,
    /// The rate's place in the terms, from 1.
    pub rate_number: i16,
    /// The crew it is paid to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crew_id: Option<CrewId>,
    /// What divides it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub share_set_id: Option<ShareSetId>,
    /// The one member it is paid to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// The mill that owes it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// How much, in the counted unit.
    pub quantity: Fixed,
    /// How many pieces.
    #[serde(serialize_with = "as_text")]
    pub pieces: i64,
    /// What it comes to.
    #[serde(serialize_with = "as_text")]
    pub amount_minor: i64,
    /// What it pays for the first time.
    pub entered: Vec<Uuid>,
    /// What it takes back.
    pub withdrawn: Vec<Uuid>,
}

/// A payee's part of a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedShare {
    /// The line's number.
    pub line_number: i32,
    /// Its place, from 1.
    pub position: i16,
    /// The worker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// The mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// His part.
    #[serde(serialize_with = "as_text")]
    pub amount_minor: i64,
}

/// What was added to a worker's week.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedSupplement {
    /// The worker.
    pub worker_id: WorkerId,
    /// The week.
    pub week_ends_on: Date,
    /// What it is.
    pub supplement: String,
    /// How much.
    #[serde(serialize_with = "as_text")]
    pub amount_minor: i64,
}

/// What was kept back of a worker's pay.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedTakeOff {
    /// The worker.
    pub worker_id: WorkerId,
    /// Its place, from 1.
    pub position: i16,
    /// The contract whose holdback it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contract_id: Option<ContractId>,
    /// The advance that is recovered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub advance_id: Option<AdvanceId>,
    /// The charge that is taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge_id: Option<ChargeId>,
    /// What was due.
    #[serde(serialize_with = "as_text")]
    pub due_minor: i64,
    /// What was taken.
    #[serde(serialize_with = "as_text")]
    pub taken_minor: i64,
}

/// What one payee was told.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedStatement {
    /// Its id.
    pub statement_id: StatementId,
    /// The worker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// The mill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// The balance before.
    #[serde(serialize_with = "as_text")]
    pub opening_minor: i64,
    /// What came and went.
    #[serde(serialize_with = "as_text")]
    pub moved_minor: i64,
    /// What was earned.
    #[serde(serialize_with = "as_text")]
    pub earned_minor: i64,
    /// What was added.
    #[serde(serialize_with = "as_text")]
    pub added_minor: i64,
    /// What was kept back.
    #[serde(serialize_with = "as_text")]
    pub kept_back_minor: i64,
    /// The balance after.
    #[serde(serialize_with = "as_text")]
    pub closing_minor: i64,
}

/// An entry in the journal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedEntry {
    /// Its id.
    pub journal_entry_id: JournalEntryId,
    /// The day it belongs to.
    pub dated: Date,
    /// What it is for.
    pub says: String,
    /// When it was made.
    pub made_at: Timestamp,
    /// Who made it.
    pub made_by: String,
    /// What it posts, by place.
    pub postings: Vec<SealedPosting>,
}

/// One posting of an entry.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SealedPosting {
    /// Its place, from 1.
    pub position: i16,
    /// The account.
    pub account: String,
    /// The task, for an account of work.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The worker, for his account.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worker_id: Option<WorkerId>,
    /// The mill, for its account.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mill_id: Option<MillId>,
    /// What divides an account further.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub detail: Option<String>,
    /// How much; a debit is above zero.
    #[serde(serialize_with = "as_text")]
    pub amount_minor: i64,
}
