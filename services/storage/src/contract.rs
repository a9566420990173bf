//! Contracts, and what they say from a date on.

use ::audit::CheckTolerance;
use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{ContractId, CrewId, Id, JobId, MillId, TermsId};
use scaling::Practice;
use settlement::{HoldbackTerms, Rates};

use crate::schema::{contract, terms};
use crate::{Books, Page, Stamp, StorageError};

/// The other party of a contract, and with it the direction of the money.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ContractParty {
    /// We pay this crew.
    Crew(CrewId),
    /// This mill pays us.
    Mill(MillId),
}

impl ContractParty {
    pub(crate) fn read(
        table: &'static str,
        crew: Option<uuid::Uuid>,
        mill: Option<uuid::Uuid>,
    ) -> Result<Self, StorageError> {
        match (crew, mill) {
            (Some(crew), None) => Ok(Self::Crew(CrewId::from_uuid(crew))),
            (None, Some(mill)) => Ok(Self::Mill(MillId::from_uuid(mill))),
            _ => Err(StorageError::inconsistent(table, "it names not exactly one of crew and mill")),
        }
    }

    pub(crate) fn crew_uuid(self) -> Option<uuid::Uuid> {
        match self {
            Self::Crew(crew) => Some(crew.uuid()),
            Self::Mill(_) => None,
        }
    }

    pub(crate) fn mill_uuid(self) -> Option<uuid::Uuid> {
        match self {
            Self::Crew(_) => None,
            Self::Mill(mill) => Some(mill.uuid()),
        }
    }
}

/// An agreement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contract {
    /// Its id.
    pub id: ContractId,
    /// What people call it.
    pub title: String,
    /// The job it is for.
    pub job: JobId,
    /// With whom.
    pub party: ContractParty,
    /// Who filed it, and when.
    pub made: Stamp,
}

/// What a contract says from a date on. Never edited: an amendment is new terms.
#[derive(Clone, Debug, PartialEq)]
pub struct Terms {
    /// Their id.
    pub id: TermsId,
    /// The contract.
    pub contract: ContractId,
    /// The first day they hold for.
    pub effective_from: Date,
    /// Counts up with each terms filed for the contract; of two from the same day the higher one holds.
    pub revision: i32,
    /// How timber is scaled under them.
    pub practice: Practice,
    /// What is paid.
    pub rates: Rates,
    /// What of a crew member's pay under them is held back until it is let go.
    pub holdback: Option<HoldbackTerms>,
    /// How far a check scale may lie from the scale it checks.
    pub check_tolerance: Option<CheckTolerance>,
    /// Who filed them, and when.
    pub filed: Stamp,
}

/// A contract with the terms that hold on the day asked about.
#[derive(Clone, Debug, PartialEq)]
pub struct TermsInForce {
    /// The contract.
    pub contract: Contract,
    /// Its terms; none when it has none yet for that day.
    pub terms: Option<Terms>,
}

type ContractRow =
    (uuid::Uuid, String, uuid::Uuid, Option<uuid::Uuid>, Option<uuid::Uuid>, jiff_diesel::Timestamp, String);
type TermsRow = (
    uuid::Uuid,
    uuid::Uuid,
    jiff_diesel::Date,
    i32,
    serde_json::Value,
    serde_json::Value,
    Option<serde_json::Value>,
    Option<serde_json::Value>,
    jiff_diesel::Timestamp,
    String,
);

fn read_contract(row: ContractRow) -> Result<Contract, StorageError> {
    let (id, title, job, crew, mill, at, by) = row;
    Ok(Contract {
        id: ContractId::from_uuid(id),
        title,
        job: JobId::from_uuid(job),
        party: ContractParty::read("contract", crew, mill)?,
        made: Stamp { at: at.to_jiff(), by },
    })
}

fn read_terms(row: TermsRow) -> Result<Terms, StorageError> {
    let (id, contract, from, revision, practice, rates, holdback, check_tolerance, at, by) = row;
    let unreadable = |error: serde_json::Error| StorageError::inconsistent("terms", error);
    Ok(Terms {
        id: TermsId::from_uuid(id),
        contract: ContractId::from_uuid(contract),
        effective_from: from.to_jiff(),
        revision,
        practice: serde_json::from_value(practice).map_err(unreadable)?,
        rates: serde_json::from_value(rates).map_err(unreadable)?,
        holdback: holdback.map(serde_json::from_value).transpose().map_err(unreadable)?,
        check_tolerance: check_tolerance.map(serde_json::from_value).transpose().map_err(unreadable)?,
        filed: Stamp { at: at.to_jiff(), by },
    })
}

const CONTRACT_COLUMNS: (
    contract::contract_id,
    contract::title,
    contract::job_id,
    contract::crew_id,
    contract::mill_id,
    contract::made_at,
    contract::made_by,
) = (
    contract::contract_id,
    contract::title,
    contract::job_id,
    contract::crew_id,
    contract::mill_id,
    contract::made_at,
    contract::made_by,
);

const TERMS_COLUMNS: (
    terms::terms_id,
    terms::contract_id,
    terms::effective_from,
    terms::revision,
    terms::practice,
    terms::rates,
    terms::holdback,
    terms::check_tolerance,
    terms::filed_at,
    terms::filed_by,
) = (
    terms::terms_id,
    terms::contract_id,
    terms::effective_from,
    terms::revision,
    terms::practice,
    terms::rates,
    terms::holdback,
    terms::check_tolerance,
    terms::filed_at,
    terms::filed_by,
);

impl Books {
    /// Files a contract, still without terms.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] when the party has a contract on the job already, or job or party is not the outfit's.
    pub async fn add_contract(&mut self, new: &Contract) -> Result<(), StorageError> {
        diesel::insert_into(contract::table)
            .values((
                contract::outfit_id.eq(self.outfit_uuid()),
                contract::contract_id.eq(new.id.uuid()),
                contract::title.eq(&new.title),
                contract::job_id.eq(new.job.uuid()),
                contract::crew_id.eq(new.party.crew_uuid()),
                contract::mill_id.eq(new.party.mill_uuid()),
                contract::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                contract::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Files terms; the revision is counted here and answered.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the contract is not the outfit's or the database fails.
    pub async fn add_terms(&mut self, new: &Terms) -> Result<i32, StorageError> {
        let latest: Option<i32> = terms::table
            .filter(terms::outfit_id.eq(self.outfit_uuid()))
            .filter(terms::contract_id.eq(new.contract.uuid()))
            .select(diesel::dsl::max(terms::revision))
            .first(&mut self.connection)
            .await?;
        let revision = latest.unwrap_or(0).saturating_add(1);
        let unwritable = |error: serde_json::Error| StorageError::inconsistent("terms", error);
        diesel::insert_into(terms::table)
            .values((
                terms::outfit_id.eq(self.outfit_uuid()),
                terms::terms_id.eq(new.id.uuid()),
                terms::contract_id.eq(new.contract.uuid()),
                terms::effective_from.eq(jiff_diesel::Date::from(new.effective_from)),
                terms::revision.eq(revision),
                terms::practice.eq(serde_json::to_value(&new.practice).map_err(unwritable)?),
                terms::rates.eq(serde_json::to_value(&new.rates).map_err(unwritable)?),
                terms::holdback.eq(new.holdback.map(serde_json::to_value).transpose().map_err(unwritable)?),
                terms::check_tolerance.eq(new
                    .check_tolerance
                    .map(serde_json::to_value)
                    .transpose()
                    .map_err(unwritable)?),
                terms::filed_at.eq(jiff_diesel::Timestamp::from(new.filed.at)),
                terms::filed_by.eq(&new.filed.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(revision)
    }

    /// The contract with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn contract(&mut self, id: ContractId) -> Result<Option<Contract>, StorageError> {
        contract::table
            .filter(contract::outfit_id.eq(self.outfit_uuid()))
            .filter(contract::contract_id.eq(id.uuid()))
            .select(CONTRACT_COLUMNS)
            .first::<ContractRow>(&mut self.connection)
            .await
            .optional()?
            .map(read_contract)
            .transpose()
    }

    /// A page of the outfit's contracts, oldest first; only those with `mill` when one is named.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn contracts(
        &mut self,
        mill: Option<MillId>,
        page: Page<ContractId>,
    ) -> Result<Vec<Contract>, StorageError> {
        let mut query = contract::table
            .filter(contract::outfit_id.eq(self.outfit_uuid()))
            .filter(contract::contract_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(contract::contract_id)
            .limit(page.limit.into())
            .select(CONTRACT_COLUMNS)
            .into_boxed();
        if let Some(mill) = mill {
            query = query.filter(contract::mill_id.eq(mill.uuid()));
        }
        let rows = query.load::<ContractRow>(&mut self.connection).await?;
        rows.into_iter().map(read_contract).collect()
    }

    /// Every terms filed for these contracts, by contract and revision.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn terms_of(&mut self, contracts: &[ContractId]) -> Result<Vec<Terms>, StorageError> {
        let ids: Vec<_> = contracts.iter().map(|id| id.uuid()).collect();
        let rows = terms::table
            .filter(terms::outfit_id.eq(self.outfit_uuid()))
            .filter(terms::contract_id.eq_any(ids))
            .order((terms::contract_id, terms::revision))
            .select(TERMS_COLUMNS)
            .load::<TermsRow>(&mut self.connection)
            .await?;
        rows.into_iter().map(read_terms).collect()
    }

    /// The terms with these ids.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn terms_by_id(&mut self, ids: &[TermsId]) -> Result<Vec<Terms>, StorageError> {
        let ids: Vec<_> = ids.iter().map(|id| id.uuid()).collect();
        let rows = terms::table
            .filter(terms::outfit_id.eq(self.outfit_uuid()))
            .filter(terms::terms_id.eq_any(ids))
            .select(TERMS_COLUMNS)
            .load::<TermsRow>(&mut self.connection)
            .await?;
        rows.into_iter().map(read_terms).collect()
    }

    /// The contracts of a job, each with the terms that hold on `day`: those effective latest on or before it and,
    /// among those, the latest filed.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn terms_in_force(&mut self, job: JobId, day: Date) -> Result<Vec<TermsInForce>, StorageError> {
        let contracts = contract::table
            .filter(contract::outfit_id.eq(self.outfit_uuid()))
            .filter(contract::job_id.eq(job.uuid()))
            .order(contract::contract_id)
            .select(CONTRACT_COLUMNS)
            .load::<ContractRow>(&mut self.connection)
            .await?;
        let ids: Vec<_> = contracts.iter().map(|(id, ..)| *id).collect();
        let rows = terms::table
            .filter(terms::outfit_id.eq(self.outfit_uuid()))
            .filter(terms::contract_id.eq_any(ids))
            .filter(terms::effective_from.le(jiff_diesel::Date::from(day)))
            .distinct_on(terms::contract_id)
            .order((terms::contract_id, terms::effective_from.desc(), terms::revision.desc()))
            .select(TERMS_COLUMNS)
            .load::<TermsRow>(&mut self.connection)
            .await?;
        let mut in_force = rows.into_iter().map(read_terms).collect::<Result<Vec<_>, _>>()?;
        contracts
            .into_iter()
            .map(|row| {
                let contract = read_contract(row)?;
                let position = in_force.iter().position(|terms| terms.contract == contract.id);
                Ok(TermsInForce { terms: position.map(|at| in_force.swap_remove(at)), contract })
            })
            .collect()
    }
}
