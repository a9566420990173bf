//! The manager sets up: people, crews, places, contracts.

use std::collections::HashMap;

use anyhow::Context;
use client::Client;
use kernel::{ContractId, CrewId, JobId, LandingId, MillId, WorkerId};
use settlement::ShareMethod;
use wire::{
    ContractCreate, CrewCreate, JobCreate, LandingCreate, MillCreate, Name, Party, ShareSetCreate, ShareView,
    TermsCreate, WorkerCreate,
};

use super::scenario::Scenario;

/// What was filed, by name.
#[derive(Debug)]
pub(super) struct Directory {
    pub(super) job: JobId,
    pub(super) mill: MillId,
    landings: HashMap<Name, LandingId>,
    crews: HashMap<Name, CrewId>,
    contracts: HashMap<Name, ContractId>,
}

impl Directory {
    pub(super) fn landing(&self, name: &Name) -> anyhow::Result<LandingId> {
        self.landings.get(name).copied().with_context(|| format!("the scenario has no {name}"))
    }

    pub(super) fn crew(&self, name: &Name) -> anyhow::Result<CrewId> {
        self.crews.get(name).copied().with_context(|| format!("the scenario has no {name}"))
    }

    /// The contract with a party.
    pub(super) fn contract(&self, party: &Name) -> anyhow::Result<ContractId> {
        self.contracts
            .get(party)
            .copied()
            .with_context(|| format!("the scenario has no contract with {party}"))
    }
}

/// Files everything the scenario has before its first ticket.
pub(super) async fn set_up(manager: &Client, scenario: &Scenario) -> anyhow::Result<Directory> {
    let job = manager.file_job(&JobCreate { name: scenario.job.clone() }).await?.job_id;
    let mut landings = HashMap::new();
    for name in &scenario.landings {
        let landing = manager.file_landing(job, &LandingCreate { name: name.clone() }).await?;
        landings.insert(name.clone(), landing.landing_id);
    }
    let mill = manager.file_mill(&MillCreate { name: scenario.mill.clone() }).await?.mill_id;
    let crews = people(manager, scenario).await?;
    let mut directory = Directory { job, mill, landings, crews, contracts: HashMap::new() };
    contracts(manager, scenario, &mut directory).await?;
    println!(
        "  {} workers in {} crews, {} landings, one mill, {} contracts.\n",
        scenario.workers.len(),
        scenario.crews.len(),
        scenario.landings.len(),
        scenario.contracts.len()
    );
    Ok(directory)
}

async fn people(manager: &Client, scenario: &Scenario) -> anyhow::Result<HashMap<Name, CrewId>> {
    let mut workers: HashMap<&Name, WorkerId> = HashMap::new();
    for name in &scenario.workers {
        let worker = manager.file_worker(&WorkerCreate { name: name.clone() }).await?;
        workers.insert(name, worker.worker_id);
    }
    let mut crews = HashMap::new();
    for crew in &scenario.crews {
        let filed = manager.file_crew(&CrewCreate { name: crew.name.clone() }).await?;
        let shares = crew.shares.iter().map(|(worker, parts)| {
            let worker_id = workers.get(worker).copied();
            let worker_id = worker_id.with_context(|| format!("the scenario has no worker {worker}"))?;
            Ok(ShareView { worker_id, parts: Some(*parts) })
        });
        let shares = shares.collect::<anyhow::Result<_>>()?;
        let set =
            ShareSetCreate { effective_from: scenario.effective_from, method: ShareMethod::Parts, shares };
        manager.file_share_set(filed.crew_id, &set).await?;
        crews.insert(crew.name.clone(), filed.crew_id);
    }
    Ok(crews)
}

async fn contracts(manager: &Client, scenario: &Scenario, directory: &mut Directory) -> anyhow::Result<()> {
    for contract in &scenario.contracts {
        let party = match directory.crew(&contract.party) {
            Ok(crew) => Party::CrewId(crew),
            Err(_) => Party::MillId(directory.mill),
        };
        let filed = manager
            .file_contract(&ContractCreate {
                title: contract.title.clone(),
                job_id: directory.job,
                party,
                terms: TermsCreate {
                    effective_from: scenario.effective_from,
                    practice: contract.practice.clone().into(),
                    rates: contract.rates.as_slice().to_vec(),
                    holdback: None,
                    check_tolerance: None,
                },
            })
            .await?;
        directory.contracts.insert(contract.party.clone(), filed.contract_id);
    }
    Ok(())
}
