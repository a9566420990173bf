//! Scale tickets.

use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{
    ContractId, CrewId, Fixed, JobId, LandingId, MillId, ScalerCertificateId, SetAsideId, TermsId, TicketId,
    VolumeUnit,
};
use scaling::{Piece, Scaled};
use serde::{Deserialize, Serialize};
use settlement::{Task, UnpricedReason};

use crate::columns::columns;
use crate::{Name, Party, Remark, TicketReference};

/// Which crew did a task, and to which pieces.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct WorkEntry {
    /// What was done.
    pub task: Task,
    /// By whom.
    pub crew_id: CrewId,
    /// To which pieces, by their place on the ticket from 1. Left out: to every piece that no other entry for the
    /// same task names.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pieces: Option<Vec<u16>>,
    /// The crew's parts of the pieces that other crews did the same task to, above zero. When entries of more than one
    /// crew name a piece for a task, each of them needs its parts, and each crew's contract counts its parts out of all
    /// of theirs: of a piece, of a volume, of a turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<Fixed>,
}

/// The load that was scaled, and how far it was moved.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema), schema(as = Turn))]
pub struct TurnFacts {
    /// How it was moved: a team, a tractor, a sled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moved_by: Option<Name>,
    /// How far it was skidded, in feet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skid_distance_ft: Option<Fixed>,
    /// How far it was hauled, in miles.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub haul_distance_mi: Option<Fixed>,
}

/// A scale ticket as it comes from the yard: what was measured, piece by piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TicketCreate {
    /// The scale book. Book and number are the ticket's identity: sending the same again changes nothing.
    pub book: Name,
    /// The number in the book, from 1.
    #[cfg_attr(feature = "openapi", schema(value_type = i64, minimum = 1))]
    pub number: u32,
    /// The job.
    pub job_id: JobId,
    /// The landing it was scaled on.
    pub landing_id: LandingId,
    /// The day it was scaled; decides its week and the terms it falls under.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    #[serde(deserialize_with = "crate::deserialize_day")]
    pub scaled_on: Date,
    /// Who scaled it.
    pub scaler: Name,
    /// Who did what to which pieces.
    #[serde(default)]
    pub work: Vec<WorkEntry>,
    /// The load, if the ticket is the scale of one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub turn: Option<TurnFacts>,
    /// The mill it was delivered to, if it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delivered_to: Option<MillId>,
    /// The sticks, in the order they were scaled: 1 to 2,000. A correction may have none, which voids the ticket.
    pub pieces: Vec<Piece>,
    /// Anything else the scaler wrote down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remarks: Option<Remark>,
    /// When it was scaled, by the clock of the device it was written on. Kept, and nothing is computed from it.
    #[serde(
        default,
        deserialize_with = "crate::deserialize_instant_if_any",
        skip_serializing_if = "Option::is_none"
    )]
    pub measured_at: Option<Timestamp>,
    /// When it was sent, by the same clock: tells how far that clock is from the service's. It may be another one each
    /// time the ticket is sent; the one it was accepted with is kept.
    #[serde(
        default,
        deserialize_with = "crate::deserialize_instant_if_any",
        skip_serializing_if = "Option::is_none"
    )]
    pub sent_at: Option<Timestamp>,
}

/// A new ticket that takes the place of a wrong one. Both stay readable.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CorrectionCreate {
    /// What was wrong.
    pub reason: Remark,
    /// The whole ticket as it should have been, under a number of its own.
    pub ticket: TicketCreate,
}

/// Whether a ticket counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum TicketState {
    /// It counts.
    Standing,
    /// Another ticket took its place.
    Corrected,
    /// It took the place of another and holds nothing.
    Void,
}

impl TicketState {
    /// The state as it is written.
    ///
    /// ```
    /// assert_eq!(wire::TicketState::Void.name(), "void");
    /// ```
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Standing => "standing",
            Self::Corrected => "corrected",
            Self::Void => "void",
        }
    }
}

/// How much of a ticket's pieces is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PiecesShown {
    /// How many there are, and nothing else of them: neither the pieces nor their numbers in the work.
    None,
    /// What was measured.
    #[default]
    Measured,
    /// What was measured, and what contracts make of it.
    Scaled,
}

/// One piece under one contract.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PieceScaleView {
    /// The piece's place on the ticket, from 1.
    pub piece: u16,
    /// The unit of the volumes; absent for a piece without a volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<VolumeUnit>,
    /// Gross scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gross: Option<Fixed>,
    /// Net scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<Fixed>,
    /// Why it is a cull, if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cull: Option<String>,
}

/// What a ticket adds up to under one rate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct AccrualView {
    /// The rate's place in the terms, from 1.
    pub rate_number: u16,
    /// The rate's name.
    pub rate_name: String,
    /// The task it pays.
    pub task: Task,
    /// How much, in the unit that is counted: board feet, pieces, feet, turns.
    pub quantity: Fixed,
    /// The pieces it is for.
    pub pieces: Vec<u16>,
}

/// What one contract makes of a ticket.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ContractScale {
    /// The contract.
    pub contract_id: ContractId,
    /// What people call it.
    pub contract_title: String,
    /// The terms that hold for the day.
    pub terms_id: TermsId,
    /// The volume of each piece.
    pub pieces: Vec<PieceScaleView>,
    /// What they add up to, by rate.
    pub accruals: Vec<AccrualView>,
    /// What their volumes add up to, by unit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub totals: Vec<ScaleTotalView>,
}

/// The volumes of a ticket's pieces in one unit, added up.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct ScaleTotalView {
    /// The unit.
    pub unit: VolumeUnit,
    /// How many pieces have a volume in it.
    pub pieces: usize,
    /// How many of them are culls.
    pub culls: usize,
    /// Gross scale.
    pub gross: Fixed,
    /// Net scale.
    pub net: Fixed,
}

/// A crew by its name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CrewName {
    /// The crew.
    pub crew_id: CrewId,
    /// What it is called.
    pub name: String,
}

/// The names of what a ticket knows by id, for whoever reads it on paper.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TicketNames {
    /// The outfit.
    pub outfit_name: String,
    /// The job.
    pub job_name: String,
    /// The landing.
    pub landing_name: String,
    /// The mill it was delivered to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mill_name: Option<String>,
    /// The crews that worked on it; none for a mill, whose business they are not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub crews: Vec<CrewName>,
    /// What its scaler had to show for the day, who gave it and until when it is good.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub certificate: Option<String>,
    /// The ticket it takes the place of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<TicketReference>,
    /// The ticket that took its place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrected_by: Option<TicketReference>,
}

/// A task on a ticket that nothing pays for. It holds up the week until a rate covers it or it is set aside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct UnpricedView {
    /// The ticket.
    pub ticket_id: TicketId,
    /// Its book.
    pub book: String,
    /// Its number.
    pub number: i64,
    /// The day it was scaled.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub scaled_on: Date,
    /// The task.
    pub task: Task,
    /// The piece; absent where it is the whole turn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<u16>,
    /// For whom.
    pub party: Party,
    /// Why, as data.
    pub reason: UnpricedReason,
    /// Why, in words.
    pub says: String,
}

/// A ticket, and what became of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TicketView {
    /// Its id.
    pub ticket_id: TicketId,
    /// Whether it counts.
    pub state: TicketState,
    /// The measured facts as they were accepted, with every piece of work spelled out; without the pieces and their
    /// numbers where `pieces_shown` is `none`.
    pub ticket: TicketCreate,
    /// How many pieces it has.
    #[serde(default)]
    pub piece_count: usize,
    /// How much of them is shown here.
    #[serde(default)]
    pub pieces_shown: PiecesShown,
    /// The ticket it takes the place of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<TicketId>,
    /// What was wrong with that one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correction_reason: Option<String>,
    /// The ticket that took its place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrected_by: Option<TicketId>,
    /// Who posted it.
    pub accepted_by: String,
    /// When it was accepted.
    pub accepted_at: Timestamp,
    /// How many seconds the clock of the sender's device was ahead of the service's when it was accepted, cut to whole
    /// seconds; below zero where it was behind, absent where the ticket does not say when it was sent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device_clock_ahead_seconds: Option<i64>,
    /// Whether its week was posted already when it was accepted: what it changes comes as an adjustment.
    #[serde(default)]
    pub late: bool,
    /// What its scaler had to show for the day; absent where nothing is filed. Who may scale is for local law to say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaler_certificate_id: Option<ScalerCertificateId>,
    /// What each contract makes of it; empty unless `pieces_shown` is `scaled`, and for a corrected ticket.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub scaled: Vec<ContractScale>,
    /// The names of what it knows by id; absent in lists, in the answer to posting it, and unless `pieces_shown` is `scaled`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub named: Option<TicketNames>,
    /// What nothing pays for; empty unless `pieces_shown` is `scaled`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unpriced: Vec<UnpricedView>,
    /// What was set aside; empty unless `pieces_shown` is `scaled`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set_aside: Vec<SetAsideView>,
}

/// The working of one piece under one contract.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct PieceWorking {
    /// The piece's place on the ticket, from 1.
    pub piece: u16,
    /// The contract.
    pub contract_id: ContractId,
    /// Its terms.
    pub terms_id: TermsId,
    /// The scale with every step; absent when the piece cannot be scaled under these terms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scaled: Option<Scaled>,
    /// Why it cannot be scaled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cannot: Option<String>,
}

/// The working of a whole ticket, computed again from the measured facts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct TicketWorking {
    /// The ticket.
    pub ticket_id: TicketId,
    /// Each piece under each contract.
    pub pieces: Vec<PieceWorking>,
}

/// Sets a task aside: somebody decides, with a reason, that it is not paid by piece rate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SetAsideCreate {
    /// The task.
    pub task: Task,
    /// The piece; left out, every piece of the ticket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<u16>,
    /// Why.
    pub reason: Remark,
}

/// A decision to set a task aside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct SetAsideView {
    /// Its id.
    pub set_aside_id: SetAsideId,
    /// The ticket.
    pub ticket_id: TicketId,
    /// The task.
    pub task: Task,
    /// The piece; absent when it is every piece.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece: Option<u16>,
    /// Why.
    pub reason: String,
    /// Who decided.
    pub made_by: String,
    /// When.
    pub made_at: Timestamp,
}

columns!(UnpricedView: open {
    "ticket_id" => open.ticket_id,
    "book" => open.book,
    "number" => open.number,
    "scaled_on" => open.scaled_on,
    "task" => open.task.name(),
    "piece" => open.piece,
    "crew_id" => open.party.crew(),
    "mill_id" => open.party.mill(),
    "says" => open.says,
});

columns!(TicketView: one {
    "ticket_id" => one.ticket_id,
    "book" => one.ticket.book.as_str(),
    "number" => one.ticket.number,
    "state" => one.state.name(),
    "job_id" => one.ticket.job_id,
    "landing_id" => one.ticket.landing_id,
    "scaled_on" => one.ticket.scaled_on,
    "scaler" => one.ticket.scaler.as_str(),
    "scaler_certificate_id" => one.scaler_certificate_id,
    "delivered_to" => one.ticket.delivered_to,
    "moved_by" => one.ticket.turn.as_ref().and_then(|turn| turn.moved_by.as_ref()).map(Name::as_str),
    "skid_distance_ft" => one.ticket.turn.as_ref().and_then(|turn| turn.skid_distance_ft),
    "haul_distance_mi" => one.ticket.turn.as_ref().and_then(|turn| turn.haul_distance_mi),
    "pieces" => one.piece_count,
    "remarks" => one.ticket.remarks.as_ref().map(Remark::as_str),
    "corrects" => one.corrects,
    "correction_reason" => one.correction_reason,
    "corrected_by" => one.corrected_by,
    "late" => one.late,
    "measured_at" => one.ticket.measured_at,
    "device_clock_ahead_seconds" => one.device_clock_ahead_seconds,
    "accepted_by" => one.accepted_by,
    "accepted_at" => one.accepted_at,
});
