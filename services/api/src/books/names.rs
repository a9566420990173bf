//! The names that papers show beside ids.

use std::collections::HashMap;

use kernel::{ContractId, CrewId, Id, MillId, WorkerId};
use settlement::{Payee, Side};
use storage::{Books, Contract, ContractParty, Page};
use wire::{Party, PayeeView};

use crate::http::refusal::Refusal;

/// Every name of an outfit.
#[derive(Debug)]
pub struct Names {
    workers: HashMap<WorkerId, String>,
    crews: HashMap<CrewId, String>,
    mills: HashMap<MillId, String>,
    contracts: HashMap<ContractId, Contract>,
}

/// A list read whole.
fn whole<I: Id>() -> Page<I> {
    Page { after: None, limit: u16::MAX }
}

impl Names {
    /// Reads them.
    ///
    /// # Errors
    ///
    /// Whatever the books answer.
    pub async fn read(books: &mut Books) -> Result<Self, Refusal> {
        Ok(Self {
            workers: books.workers(whole()).await?.into_iter().map(|one| (one.id, one.name)).collect(),
            crews: books.crews(whole()).await?.into_iter().map(|one| (one.id, one.name)).collect(),
            mills: books.mills(whole()).await?.into_iter().map(|one| (one.id, one.name)).collect(),
            contracts: books.contracts(None, whole()).await?.into_iter().map(|one| (one.id, one)).collect(),
        })
    }

    /// What people call a contract.
    #[must_use]
    pub fn contract(&self, id: ContractId) -> String {
        self.contracts.get(&id).map(|contract| contract.title.clone()).unwrap_or_default()
    }

    /// Every contract, in the order of filing.
    #[must_use]
    pub fn contracts(&self) -> Vec<&Contract> {
        let mut contracts: Vec<_> = self.contracts.values().collect();
        contracts.sort_by_key(|contract| contract.id);
        contracts
    }

    /// The name of a crew.
    #[must_use]
    pub fn crew(&self, id: CrewId) -> String {
        self.crews.get(&id).cloned().unwrap_or_default()
    }

    /// The name of a contract's other party.
    #[must_use]
    pub fn party(&self, party: ContractParty) -> String {
        match party {
            ContractParty::Crew(crew) => self.crew(crew),
            ContractParty::Mill(mill) => self.mills.get(&mill).cloned().unwrap_or_default(),
        }
    }

    /// The name of the crew or mill of a line.
    #[must_use]
    pub fn side(&self, side: Side) -> String {
        match side {
            Side::Crew { crew, .. } | Side::Member { crew, .. } => self.party(ContractParty::Crew(crew)),
            Side::Mill { mill } => self.party(ContractParty::Mill(mill)),
        }
    }

    /// A payee with the name.
    #[must_use]
    pub fn payee(&self, payee: Payee) -> PayeeView {
        match payee {
            Payee::Worker(worker) => PayeeView {
                worker_id: Some(worker),
                mill_id: None,
                name: self.workers.get(&worker).cloned().unwrap_or_default(),
            },
            Payee::Mill(mill) => PayeeView {
                worker_id: None,
                mill_id: Some(mill),
                name: self.party(ContractParty::Mill(mill)),
            },
        }
    }
}

/// A contract's other party as it is shown.
#[must_use]
pub fn party_view(party: ContractParty) -> Party {
    match party {
        ContractParty::Crew(crew) => Party::CrewId(crew),
        ContractParty::Mill(mill) => Party::MillId(mill),
    }
}
