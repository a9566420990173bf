//! A sample, each of its pieces scaled twice: as the ticket has it, and as the checker measured it.

use std::collections::BTreeMap;

use audit::{OneScale, TwiceScaled};
use kernel::{Exact, Product, TicketId};
use scaling::{Alternation, Piece, Practice, Scaled};
use storage::{Books, CheckScale, CheckedPiece, ScaleTicket, Ticket};

use super::Standard;
use crate::books::adjusting::in_force;
use crate::books::parties::{PartyWork, parties};
use crate::books::scaling_ticket;
use crate::http::refusal::Refusal;

/// A sample, and the tickets that it is of.
#[derive(Debug)]
pub struct Sample {
    /// The tickets.
    pub tickets: BTreeMap<TicketId, Ticket>,
    /// The pieces, in the order they were scaled again.
    pub pieces: Vec<Sampled>,
}

/// A sampled piece.
#[derive(Debug)]
pub struct Sampled {
    /// Its ticket.
    pub ticket: TicketId,
    /// Its number there; none for one too many.
    pub piece: Option<u16>,
    /// What it is.
    pub product: Product,
    /// The scaler's; none for one too many.
    pub original: Option<Side>,
    /// The checker's; none for one that is missing.
    pub check: Option<Side>,
}

/// What was measured, and what the contract makes of it.
#[derive(Debug)]
pub struct Side {
    /// What was measured.
    pub facts: Piece,
    /// The scale, or why there is none.
    pub scaled: Result<Scaled, String>,
}

/// Whether the steps are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Working {
    /// They are.
    Kept,
    /// They are not.
    Dropped,
}

/// Scales a sample twice.
///
/// In turn with the rest of its ticket where exact halves go up and down in turn: the checker's piece takes the place of
/// the scaler's there. One too many has no turn.
///
/// # Errors
///
/// Whatever the books answer.
pub async fn sample(
    books: &mut Books,
    standard: &Standard,
    record: &CheckScale,
    working: Working,
) -> Result<Sample, Refusal> {
    let ids: Vec<TicketId> = record.pieces.iter().map(|one| one.ticket).collect();
    let tickets: BTreeMap<TicketId, Ticket> =
        books.tickets_by_id(&ids).await?.into_iter().map(|ticket| (ticket.record.id, ticket)).collect();
    let mut scaled = BTreeMap::new();
    for (id, ticket) in &tickets {
        let checked: Vec<&CheckedPiece> = record.pieces.iter().filter(|one| one.ticket == *id).collect();
        scaled.insert(*id, TicketTwice::scale(standard, &ticket.record, &checked, working)?);
    }
    let missing = || Refusal::internal("a check scale names a ticket that is not there");
    let mut pieces = Vec::with_capacity(record.pieces.len());
    for checked in &record.pieces {
        let ticket = tickets.get(&checked.ticket).ok_or_else(missing)?;
        let twice = scaled.get(&checked.ticket).ok_or_else(missing)?;
        pieces.extend(twice.one(&ticket.record, checked));
    }
    Ok(Sample { tickets, pieces })
}

/// A ticket's pieces as both have them; nothing where the contract has no terms for its day.
struct TicketTwice {
    practice: Option<Practice>,
    working: Working,
    originals: Vec<Result<Scaled, String>>,
    checks: Vec<Result<Scaled, String>>,
}

impl TicketTwice {
    fn scale(
        standard: &Standard,
        ticket: &ScaleTicket,
        checked: &[&CheckedPiece],
        working: Working,
    ) -> Result<Self, Refusal> {
        let terms = in_force(&standard.terms, ticket.scaled_on);
        let work = parties(ticket)?.into_iter().find(|one| one.party == standard.contract.party);
        let (Some(terms), Some(work)) = (terms, work) else {
            return Ok(Self { practice: None, working, originals: Vec::new(), checks: Vec::new() });
        };
        let mut again = ticket.clone();
        for one in checked {
            let place = one.piece.and_then(|number| usize::from(number).checked_sub(1));
            let stands = place.and_then(|place| again.pieces.get_mut(place));
            if let (Some(stands), Some(facts)) = (stands, &one.facts) {
                stands.clone_from(facts);
            }
        }
        Ok(Self {
            practice: Some(terms.practice.clone()),
            working,
            originals: all(ticket, &work, &terms.practice, working),
            checks: all(&again, &work, &terms.practice, working),
        })
    }

    /// One sampled piece; none where the ticket has no such piece.
    fn one(&self, ticket: &ScaleTicket, checked: &CheckedPiece) -> Option<Sampled> {
        let place = checked.piece.and_then(|number| usize::from(number).checked_sub(1));
        let scaled = |all: &[Result<Scaled, String>]| {
            let found = place.and_then(|place| all.get(place)).cloned();
            found.unwrap_or_else(|| Err("the contract has no terms in force for the ticket's day".to_owned()))
        };
        let original = match place {
            None => None,
            Some(place) => {
                Some(Side { facts: ticket.pieces.get(place)?.clone(), scaled: scaled(&self.originals) })
            }
        };
        let check = checked.facts.clone().map(|facts| {
            let scaled = if place.is_some() { scaled(&self.checks) } else { self.alone(&facts) };
            Side { facts, scaled }
        });
        let product = original.as_ref().or(check.as_ref())?.facts.product();
        Some(Sampled { ticket: checked.ticket, piece: checked.piece, product, original, check })
    }

    fn alone(&self, facts: &Piece) -> Result<Scaled, String> {
        let practice = self.practice.as_ref();
        let practice = practice.ok_or("the contract has no terms in force for the ticket's day")?;
        let mut turn = Alternation::default();
        let scaled = match self.working {
            Working::Kept => scaling::scale_in_turn(practice, facts, &mut turn),
            Working::Dropped => scaling::scale_without_working_in_turn(practice, facts, &mut turn),
        };
        scaled.map_err(|problem| problem.to_string())
    }
}

fn all(
    ticket: &ScaleTicket,
    work: &PartyWork,
    practice: &Practice,
    working: Working,
) -> Vec<Result<Scaled, String>> {
    let scaled = match working {
        Working::Kept => scaling_ticket::with_working(ticket, work, practice),
        Working::Dropped => scaling_ticket::without_working(ticket, work, practice),
    };
    let nobody = || Err("the contract's party did no work on it".to_owned());
    scaled
        .into_iter()
        .map(|outcome| outcome.map_or_else(nobody, |one| one.map_err(|problem| problem.to_string())))
        .collect()
}

impl Sampled {
    /// Both sides as they are compared; none where one of them cannot be scaled.
    #[must_use]
    pub fn compared(&self) -> Option<TwiceScaled> {
        let side = |side: &Option<Side>| match side {
            None => Some(None),
            Some(side) => one_scale(side).map(Some),
        };
        Some(TwiceScaled { original: side(&self.original)?, check: side(&self.check)? })
    }
}

/// A side as it is compared.
fn one_scale(side: &Side) -> Option<OneScale> {
    let scaled = side.scaled.as_ref().ok()?;
    let fixed = |value: Exact| value.fixed().ok();
    let volume = match &scaled.volume {
        None => None,
        Some(volume) => Some((volume.unit, fixed(volume.gross)?, fixed(volume.net)?)),
    };
    Some(OneScale {
        product: side.facts.product(),
        species: side.facts.species().as_str().to_lowercase(),
        grade: scaled.grade.clone(),
        length: scaled.scaling_length_ft.or(scaled.scaling_length_m).and_then(fixed),
        volume,
    })
}
