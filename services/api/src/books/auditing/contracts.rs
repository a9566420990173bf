//! Each contract's volume and pay.

use std::collections::{BTreeMap, BTreeSet};

use kernel::{ContractId, Money, TermsId};
use settlement::{Entitlement, LineKey};
use storage::{Contract, ContractParty, ContractVolume, Outfit, PostedLine};
use wire::{AuditPayRow, AuditVolumeRow, ContractAudit, MadeOf};

use super::Scope;
use super::addresses::{self, TicketsOf};
use crate::books::drafting::volume_row;
use crate::books::entitling::{TermsById, rate_summary};
use crate::books::names::{Names, party_view};
use crate::http::refusal::Refusal;

/// What the contracts in question come to, as it was read.
#[derive(Debug)]
pub struct Found {
    /// What the weeks of the span entitle to.
    pub entitled: Vec<Entitlement>,
    /// What was posted for those weeks.
    pub posted: Vec<PostedLine>,
    /// The volumes that the contracts pay for.
    pub volumes: Vec<ContractVolume>,
    /// The terms that any of it refers to.
    pub terms: TermsById,
}

/// Where figures of a contract are followed to.
struct Following<'a> {
    contract: &'a Contract,
    scope: Scope,
}

impl Following<'_> {
    fn tickets(&self) -> TicketsOf<'static> {
        let (crew, mill) = match self.contract.party {
            ContractParty::Crew(crew) => (Some(crew), None),
            ContractParty::Mill(mill) => (None, Some(mill)),
        };
        let job = Some(self.contract.job);
        TicketsOf { job, crew, mill, ..TicketsOf::days(self.scope.from, self.scope.to) }
    }
}

impl Found {
    /// Every contract that any of it touches, in the order of filing.
    ///
    /// # Errors
    ///
    /// [`wire::Code::TooLarge`]; [`wire::Code::Internal`] when a line refers to terms that are not there.
    pub fn audits(
        &self,
        contracts: &BTreeMap<ContractId, &Contract>,
        names: &Names,
        outfit: &Outfit,
        scope: Scope,
    ) -> Result<Vec<ContractAudit>, Refusal> {
        let entitled = self.entitled.iter().map(|one| one.key.contract);
        let posted = self.posted.iter().map(|line| line.key.contract);
        let volumes = self.volumes.iter().map(|volume| volume.contract);
        let touched: BTreeSet<ContractId> = entitled.chain(posted).chain(volumes).collect();
        touched
            .iter()
            .filter_map(|id| contracts.get(id).copied())
            .map(|contract| self.one(&Following { contract, scope }, names, outfit))
            .collect()
    }

    fn one(
        &self,
        following: &Following<'_>,
        names: &Names,
        outfit: &Outfit,
    ) -> Result<ContractAudit, Refusal> {
        let contract = following.contract;
        let mut rows: BTreeMap<(TermsId, u16), AuditPayRow> = BTreeMap::new();
        for one in self.entitled.iter().filter(|one| one.key.contract == contract.id) {
            let row = self.pay_row(&mut rows, &one.key, following, outfit)?;
            let earned = settlement::amount(one.quantity, one.rate.price, one.rate.unit, outfit.currency)?;
            row.quantity = row.quantity.plus(one.quantity)?;
            row.pieces = row.pieces.saturating_add(one.pieces);
            row.earned = row.earned.plus(earned)?;
        }
        for line in self.posted.iter().filter(|line| line.key.contract == contract.id) {
            let row = self.pay_row(&mut rows, &line.key, following, outfit)?;
            row.posted = row.posted.plus(Money::from_minor(line.amount_minor, outfit.currency))?;
            let posted = posted_in(line, contract.party);
            if !row.made_of.contains(&posted) {
                row.made_of.push(posted);
            }
        }
        for row in rows.values_mut() {
            row.open = row.earned.minus(row.posted)?;
        }
        let pay: Vec<_> = rows.into_values().collect();
        let volumes = self.volumes.iter().filter(|volume| volume.contract == contract.id);
        Ok(ContractAudit {
            contract_id: contract.id,
            contract_title: contract.title.clone(),
            party: party_view(contract.party),
            party_name: names.party(contract.party),
            volumes: volumes.map(|volume| followed(volume, following)).collect::<Result<_, _>>()?,
            earned: sum(pay.iter().map(|row| row.earned), outfit)?,
            posted: sum(pay.iter().map(|row| row.posted), outfit)?,
            open: sum(pay.iter().map(|row| row.open), outfit)?,
            pay,
        })
    }

    fn pay_row<'a>(
        &self,
        rows: &'a mut BTreeMap<(TermsId, u16), AuditPayRow>,
        key: &LineKey,
        following: &Following<'_>,
        outfit: &Outfit,
    ) -> Result<&'a mut AuditPayRow, Refusal> {
        let entitled = self.entitled.iter().find(|one| one.key == *key);
        let rate = match entitled {
            Some(one) => one.rate.clone(),
            None => rate_summary(&self.terms, key)?,
        };
        let nothing = Money::zero(outfit.currency);
        Ok(rows.entry((key.terms, key.rate)).or_insert_with(|| AuditPayRow {
            terms_id: Some(key.terms),
            rate_number: key.rate.saturating_add(1),
            rate_name: rate.name.as_str().to_owned(),
            task: rate.task,
            unit: rate.unit,
            basis: rate.basis,
            price: rate.price,
            quantity: kernel::Fixed::ZERO,
            pieces: 0,
            earned: nothing,
            posted: nothing,
            open: nothing,
            made_of: vec![earned_on(rate.task, rate.unit, following)],
        }))
    }
}

/// What a rate was earned on: tickets, or hours.
fn earned_on(task: settlement::Task, unit: settlement::RateUnit, following: &Following<'_>) -> MadeOf {
    use settlement::RateUnit;
    match (unit, following.contract.party) {
        (RateUnit::Hour | RateUnit::Day, _) => addresses::hours((following.scope.from, following.scope.to)),
        // What a mill pays for is no task of a crew.
        (_, ContractParty::Mill(_)) => following.tickets().made_of(),
        (_, ContractParty::Crew(_)) => TicketsOf { task: Some(task), ..following.tickets() }.made_of(),
    }
}

/// Where a posted line is read by whoever may see the contract: mills see their statements, not settlements.
fn posted_in(line: &PostedLine, party: ContractParty) -> MadeOf {
    match party {
        ContractParty::Crew(_) => addresses::settlement_line(line.settlement, line.number),
        ContractParty::Mill(_) => addresses::statements("settlement_id", line.settlement.to_string()),
    }
}

fn followed(volume: &ContractVolume, following: &Following<'_>) -> Result<AuditVolumeRow, Refusal> {
    let timber = Some((volume.product, volume.species.as_str()));
    let tickets = TicketsOf { timber, ..following.tickets() };
    Ok(AuditVolumeRow { made_of: vec![tickets.made_of()], ..volume_row(volume)? })
}

/// Amounts added up.
///
/// # Errors
///
/// [`wire::Code::TooLarge`].
pub fn sum(amounts: impl Iterator<Item = Money>, outfit: &Outfit) -> Result<Money, Refusal> {
    let mut sum = Money::zero(outfit.currency);
    for amount in amounts {
        sum = sum.plus(amount)?;
    }
    Ok(sum)
}
