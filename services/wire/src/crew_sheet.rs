//! A crew's part of a settlement: its lines, and how each was divided.

use jiff::civil::Date;
use kernel::{CrewId, Money, SettlementId};
use serde::{Deserialize, Serialize};

use crate::{ContractVolumes, LineView, PayeeView, SettlementState};

/// A member's part of one line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct MemberPart {
    /// The line's place in the settlement.
    pub line_number: i32,
    /// The part.
    pub amount: Money,
}

/// What falls to one member.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CrewMember {
    /// Who.
    pub payee: PayeeView,
    /// The parts, in the order of the lines; lines that a member has no part of are left out.
    pub parts: Vec<MemberPart>,
    /// All of them.
    pub total: Money,
}

/// A crew's sheet: what the crew earned by a settlement, and how it was divided. The members' parts of a line add up to
/// the line, and their totals to the total.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub struct CrewSheet {
    /// The settlement.
    pub settlement_id: SettlementId,
    /// The week's last day.
    #[cfg_attr(feature = "openapi", schema(value_type = String, format = Date))]
    pub week_ends_on: Date,
    /// Draft or posted.
    pub state: SettlementState,
    /// The crew.
    pub crew_id: CrewId,
    /// Its name.
    pub crew_name: String,
    /// The outfit that owes it.
    pub outfit_name: String,
    /// The crew's lines, as they were drafted; none where it did nothing that is settled here.
    pub lines: Vec<LineView>,
    /// What was scaled in the week under the contracts of the lines.
    pub volumes: Vec<ContractVolumes>,
    /// Everybody to whom a part falls, in the order in which the lines name them.
    pub members: Vec<CrewMember>,
    /// What the lines add up to.
    pub total: Money,
    /// What this paper is, and what it is not.
    pub caution: String,
}
