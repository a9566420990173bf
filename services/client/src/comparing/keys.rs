//! What makes two things the same thing in two drafts.

use jiff::civil::Date;
use kernel::{ContractId, CrewId, MillId, ShareSetId, TermsId, TicketId, WorkerId};
use settlement::Task;
use wire::{ContractVolumes, LineView, PayView, UnpricedView};

/// A line: a week, a rate and whoever is paid or pays.
pub(super) type LineKey = (Date, ContractId, TermsId, u16, Paid);

/// Who a line is for: crew and how it shares, a member paid by time, or a mill.
type Paid = (Option<CrewId>, Option<ShareSetId>, Option<WorkerId>, Option<MillId>);

pub(super) fn line(line: &LineView) -> LineKey {
    let paid = (line.crew_id, line.share_set_id, line.worker_id, line.mill_id);
    (line.week_ends_on, line.contract_id, line.terms_id, line.rate_number, paid)
}

/// Whether two lines say the same; their places among the others do not matter.
pub(super) fn same_line(before: &LineView, after: &LineView) -> bool {
    *before == LineView { number: before.number, ..after.clone() }
}

pub(super) fn pay(pay: &PayView) -> (Option<WorkerId>, Option<MillId>) {
    (pay.payee.worker_id, pay.payee.mill_id)
}

pub(super) fn unpriced(open: &UnpricedView) -> (Date, TicketId, Task, Option<u16>, bool) {
    (open.scaled_on, open.ticket_id, open.task, open.piece, matches!(open.party, wire::Party::MillId(_)))
}

pub(super) fn volumes(volumes: &ContractVolumes) -> (ContractId, String) {
    (volumes.contract_id, volumes.party_name.clone())
}
