//! Who had a hand in a ticket, with whom a contract would be: crews by their work, the mill by what it took.

use std::collections::{BTreeMap, BTreeSet};

use kernel::{Exact, NumberError};
use settlement::{Task, Work};
use storage::{ContractParty, ScaleTicket};

/// A party's work on a ticket.
#[derive(Debug)]
pub struct PartyWork {
    /// With whom the contract would be.
    pub party: ContractParty,
    /// What was done, each task once.
    pub work: Vec<Work>,
}

impl PartyWork {
    /// Whether any of the work was done on this piece of the ticket.
    #[must_use]
    pub fn concerns(&self, number: u16) -> bool {
        self.work.iter().any(|work| work.pieces.contains(&number))
    }
}

/// Who did what on a ticket; delivering it is work that the mill pays for. Where more than one crew did a task, each
/// has its part of the pieces it shares, and of the turn.
///
/// # Errors
///
/// [`NumberError`] when parts are too large to divide exactly.
pub fn parties(ticket: &ScaleTicket) -> Result<Vec<PartyWork>, NumberError> {
    let tasks = tasks(ticket)?;
    let mut parties: Vec<PartyWork> = Vec::new();
    for entry in &ticket.work {
        let party = ContractParty::Crew(entry.crew);
        let known = match parties.iter_mut().position(|known| known.party == party) {
            Some(known) => known,
            None => {
                parties.push(PartyWork { party, work: Vec::new() });
                parties.len().saturating_sub(1)
            }
        };
        let Some(known) = parties.get_mut(known) else { continue };
        match known.work.iter_mut().find(|work| work.task == entry.task) {
            Some(work) => work.pieces.extend(&entry.pieces),
            None => known.work.push(Work::alone(entry.task, entry.pieces.clone())),
        }
    }
    for known in &mut parties {
        let ContractParty::Crew(crew) = known.party else { continue };
        for work in &mut known.work {
            if let Some(task) = tasks.get(&work.task) {
                task.give_parts(crew, work)?;
            }
        }
    }
    // A void ticket keeps its destination and delivers nothing.
    if let Some(mill) = ticket.delivered_to.filter(|_| !ticket.pieces.is_empty()) {
        let count = u16::try_from(ticket.pieces.len()).unwrap_or(u16::MAX);
        let work = Work::alone(Task::Delivery, (1..=count).collect());
        parties.push(PartyWork { party: ContractParty::Mill(mill), work: vec![work] });
    }
    Ok(parties)
}

/// What all crews together did of a task that more than one of them had a hand in.
#[derive(Default)]
struct WholeTask {
    crews: BTreeSet<kernel::CrewId>,
    /// Each crew's parts of each piece.
    pieces: BTreeMap<u16, BTreeMap<kernel::CrewId, Exact>>,
}

fn tasks(ticket: &ScaleTicket) -> Result<BTreeMap<Task, WholeTask>, NumberError> {
    let mut tasks: BTreeMap<Task, WholeTask> = BTreeMap::new();
    for entry in &ticket.work {
        tasks.entry(entry.task).or_default().crews.insert(entry.crew);
    }
    // Where one crew did all there was, nothing is to be divided.
    tasks.retain(|_, task| task.crews.len() > 1);
    for entry in &ticket.work {
        let Some(task) = tasks.get_mut(&entry.task) else { continue };
        // Whoever is alone at a piece has all of it, whatever he calls his part.
        let parts = entry.parts.map_or(Exact::ONE, kernel::Fixed::exact);
        for piece in &entry.pieces {
            task.pieces.entry(*piece).or_default().insert(entry.crew, parts);
        }
    }
    Ok(tasks)
}

impl WholeTask {
    /// Gives one crew's work its parts of what it shares with others.
    fn give_parts(&self, crew: kernel::CrewId, work: &mut Work) -> Result<(), NumberError> {
        let mut of_all = Exact::ZERO;
        for piece in &work.pieces {
            let Some(holders) = self.pieces.get(piece) else { continue };
            let mut together = Exact::ZERO;
            for parts in holders.values() {
                together = together.plus(*parts)?;
            }
            let own = holders.get(&crew).copied().unwrap_or(Exact::ZERO).over(together)?;
            if holders.len() > 1 {
                work.parts.insert(*piece, own);
            }
            of_all = of_all.plus(own)?;
        }
        let count = i128::try_from(self.pieces.len()).map_err(|_| NumberError::TooLarge)?;
        work.turn_part = of_all.over(Exact::of(count))?;
        Ok(())
    }
}
