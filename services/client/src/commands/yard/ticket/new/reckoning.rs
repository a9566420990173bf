//! Volumes of the sticks so far, by the practices of the contracts that scale them: the same arithmetic as the service's,
//! since it is the same crate.

use kernel::{Exact, VolumeUnit};
use scaling::{Alternation, ScaleProblem, Scaled, scale_in_turn};
use wire::{Party, PracticeView, TicketCreate};

/// What one stick comes to.
pub(crate) type Outcome = Result<Scaled, ScaleProblem>;

/// What contracts that scale alike make of the sticks.
pub(crate) struct Reckoned {
    /// Their titles.
    pub(crate) titles: Vec<String>,
    /// Each stick in order; none where they do not scale it.
    pub(crate) sticks: Vec<Option<Outcome>>,
}

/// A sum of volumes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Total {
    pub(crate) unit: VolumeUnit,
    pub(crate) gross: Exact,
    pub(crate) net: Exact,
}

/// What every contract with a hand in the ticket makes of its sticks. Contracts that scale alike are told together; those
/// that count no volume are left out where others do.
pub(crate) fn reckon(ticket: &TicketCreate, contracts: &[PracticeView]) -> Vec<Reckoned> {
    let concerned: Vec<_> = contracts.iter().filter(|view| concerns_any(ticket, view)).collect();
    let counts_volume =
        |view: &PracticeView| view.counts.iter().any(|counted| counted.unit.volume_unit().is_some());
    let some_count = concerned.iter().any(|view| counts_volume(view));
    let mut reckoned: Vec<Reckoned> = Vec::new();
    for view in concerned.into_iter().filter(|view| !some_count || counts_volume(view)) {
        let mut turn = Alternation::default();
        let sticks: Vec<_> = (1_u16..)
            .zip(&ticket.pieces)
            .map(|(number, piece)| {
                concerns(ticket, view, number).then(|| scale_in_turn(&view.practice, piece, &mut turn))
            })
            .collect();
        match reckoned.iter_mut().find(|known| known.sticks == sticks) {
            Some(known) => known.titles.push(view.title.clone()),
            None => reckoned.push(Reckoned { titles: vec![view.title.clone()], sticks }),
        }
    }
    reckoned
}

fn concerns_any(ticket: &TicketCreate, view: &PracticeView) -> bool {
    match view.party {
        Party::CrewId(crew) => ticket.work.iter().any(|entry| entry.crew_id == crew),
        Party::MillId(mill) => ticket.delivered_to == Some(mill),
    }
}

/// Whether a contract's party had a hand in a stick: a crew by what it worked on, a mill by what was delivered to it.
fn concerns(ticket: &TicketCreate, view: &PracticeView, number: u16) -> bool {
    let Party::CrewId(crew) = view.party else { return true };
    ticket.work.iter().filter(|entry| entry.crew_id == crew).any(|entry| match &entry.pieces {
        Some(pieces) => pieces.contains(&number),
        None => {
            let others = ticket.work.iter().filter(|other| other.task == entry.task);
            !others.filter_map(|other| other.pieces.as_ref()).any(|pieces| pieces.contains(&number))
        }
    })
}

impl Reckoned {
    /// The sums, one for each unit. What cannot be scaled is not in them.
    pub(crate) fn totals(&self) -> Vec<Total> {
        let mut totals: Vec<Total> = Vec::new();
        for scaled in self.sticks.iter().flatten().flatten() {
            let Some(volume) = &scaled.volume else { continue };
            let total = match totals.iter_mut().position(|total| total.unit == volume.unit) {
                Some(at) => totals.get_mut(at),
                None => {
                    totals.push(Total { unit: volume.unit, gross: Exact::ZERO, net: Exact::ZERO });
                    totals.last_mut()
                }
            };
            let Some(total) = total else { continue };
            // Volumes are far from what the numbers can hold; one that is not would be told by the service.
            if let (Ok(gross), Ok(net)) = (total.gross.plus(volume.gross), total.net.plus(volume.net)) {
                (total.gross, total.net) = (gross, net);
            }
        }
        totals
    }
}
