//! Scaling the pieces of a ticket as one contract has them scaled: in the ticket's order, for exact halves may go up
//! and down in turn along it.

use scaling::{Alternation, Practice, ScaleProblem, Scaled};
use storage::ScaleTicket;

use super::parties::PartyWork;

/// What a practice makes of a piece.
pub type Outcome = Result<Scaled, ScaleProblem>;

/// Scales a piece in its turn: with or without the working.
type Scale = fn(&Practice, &scaling::Piece, &mut Alternation) -> Outcome;

/// One entry for each piece of the ticket, in order; none where the party did no work on it.
#[must_use]
pub fn without_working(ticket: &ScaleTicket, party: &PartyWork, practice: &Practice) -> Vec<Option<Outcome>> {
    in_order(ticket, party, practice, scaling::scale_without_working_in_turn)
}

/// The same with the working.
#[must_use]
pub fn with_working(ticket: &ScaleTicket, party: &PartyWork, practice: &Practice) -> Vec<Option<Outcome>> {
    in_order(ticket, party, practice, scaling::scale_in_turn)
}

fn in_order(
    ticket: &ScaleTicket,
    party: &PartyWork,
    practice: &Practice,
    scale: Scale,
) -> Vec<Option<Outcome>> {
    let mut turn = Alternation::default();
    (1_u16..)
        .zip(&ticket.pieces)
        .map(|(number, piece)| party.concerns(number).then(|| scale(practice, piece, &mut turn)))
        .collect()
}
