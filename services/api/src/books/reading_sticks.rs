//! By which numbers the sticks of a ticket are known: each number once.

use std::collections::HashMap;

use scaling::StickNumber;
use wire::TicketCreate;

use super::reading_ticket::Contradictions;

/// Looks over the stick numbers. One ticket is one act of scaling, so a number that stands on it twice is a slip of the
/// pen, or one stick that would be paid twice. A timber may go on under the number of the log it was hewn from, so it is
/// told apart from that log, though not from another timber.
pub(super) fn sticks(sent: &TicketCreate, problems: &mut Contradictions<'_>) {
    let mut known: HashMap<(&StickNumber, bool), usize> = HashMap::new();
    for (at, piece) in sent.pieces.iter().enumerate() {
        let Some(number) = piece.stick_number() else { continue };
        let keeps_its_logs = piece.hewn_from() == Some(number);
        if let Some(before) = known.insert((number, keeps_its_logs), at) {
            problems.add(
                &format!("/pieces/{at}/stick_number"),
                format!("stick {number} is piece {} of this ticket already", before.saturating_add(1)),
            );
        }
    }
}
