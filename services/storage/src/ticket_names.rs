//! Whom and what tickets name: landings of jobs, and crews and mills with their contracts.
//!
//! None of it changes once it is there, so what was found is remembered ([`crate::known`]). What was not there is looked
//! up again every time: it may have been filed since.

use std::collections::HashMap;
use std::sync::Arc;

use diesel::QueryableByName;
use diesel::sql_types::{Array, Bool, Nullable, Text, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use kernel::{ContractId, Id, JobId, LandingId, OutfitId};

use crate::known::Known;
use crate::prepared::Prepared;
use crate::{AskedParty, AskedTicket, Books, ContractParty, StorageError};

/// A contract as it is known from whom it is with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedContract {
    /// Its id.
    pub id: ContractId,
    /// Its title.
    pub title: String,
}

/// A crew or a mill on a job.
#[derive(Clone, Debug, Default)]
pub(crate) struct NamedParty {
    /// Whether the outfit has such a crew or mill at all.
    pub(crate) is_known: bool,
    /// The contract with it on the job.
    pub(crate) contract: Option<Arc<NamedContract>>,
}

/// What is known of the names on tickets, and which of them are still to be looked up.
#[derive(Debug, Default)]
pub(crate) struct TicketNames {
    landings: HashMap<LandingId, JobId>,
    parties: HashMap<(JobId, ContractParty), NamedParty>,
    unknown_landings: Vec<uuid::Uuid>,
    unknown_parties: Vec<(JobId, ContractParty)>,
}

impl TicketNames {
    /// What is remembered of them.
    pub(crate) fn remembered(
        known: &Known,
        outfit: OutfitId,
        tickets: &[AskedTicket<'_>],
        parties: &[AskedParty],
    ) -> Self {
        let mut names = Self::default();
        for AskedTicket { landing, .. } in tickets {
            match known.landing(outfit, *landing) {
                Some(job) => drop(names.landings.insert(*landing, job)),
                None => names.unknown_landings.push(landing.uuid()),
            }
        }
        for AskedParty { job, party, .. } in parties {
            match known.contract(outfit, *job, *party) {
                Some(contract) => {
                    let named = NamedParty { is_known: true, contract: Some(contract) };
                    names.parties.insert((*job, *party), named);
                }
                None => names.unknown_parties.push((*job, *party)),
            }
        }
        names
    }

    /// Whether nothing is left to be looked up.
    pub(crate) fn is_whole(&self) -> bool {
        self.unknown_landings.is_empty() && self.unknown_parties.is_empty()
    }

    /// Whether the landing is one of the job's.
    pub(crate) fn has_landing(&self, job: JobId, landing: LandingId) -> bool {
        self.landings.get(&landing) == Some(&job)
    }

    /// What is known of a party on a job.
    pub(crate) fn party(&self, job: JobId, party: ContractParty) -> NamedParty {
        self.parties.get(&(job, party)).cloned().unwrap_or_default()
    }
}

#[derive(QueryableByName)]
struct LandingRow {
    #[diesel(sql_type = SqlUuid)]
    landing_id: uuid::Uuid,
    #[diesel(sql_type = SqlUuid)]
    job_id: uuid::Uuid,
}

const LANDINGS: &str = "
SELECT landing_id, job_id FROM landing WHERE outfit_id = $::uuid AND landing_id = ANY ($::uuid[])";

#[derive(QueryableByName)]
struct PartyRow {
    #[diesel(sql_type = Bool)]
    known: bool,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    contract_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<Text>)]
    title: Option<String>,
}

const PARTIES: &str = "
WITH asked AS (
    SELECT named.*, own.outfit_id
    FROM unnest($::uuid[], $::uuid[], $::uuid[]) WITH ORDINALITY AS named (job_id, crew_id, mill_id, position),
         (SELECT $::uuid AS outfit_id) AS own
)
SELECT CASE WHEN asked.crew_id IS NULL
            THEN EXISTS (SELECT FROM mill WHERE mill.outfit_id = asked.outfit_id AND mill.mill_id = asked.mill_id)
            ELSE EXISTS (SELECT FROM crew WHERE crew.outfit_id = asked.outfit_id AND crew.crew_id = asked.crew_id)
       END AS known,
       contract.contract_id, contract.title
FROM asked
LEFT JOIN contract ON contract.outfit_id = asked.outfit_id
      AND contract.contract_id = CASE WHEN asked.crew_id IS NULL
          THEN (SELECT held.contract_id FROM contract AS held
                WHERE held.outfit_id = asked.outfit_id AND held.job_id = asked.job_id AND held.mill_id = asked.mill_id)
          ELSE (SELECT held.contract_id FROM contract AS held
                WHERE held.outfit_id = asked.outfit_id AND held.job_id = asked.job_id AND held.crew_id = asked.crew_id)
          END
ORDER BY asked.position";

impl Books {
    /// Looks up what is not known yet.
    pub(crate) async fn look_up(&mut self, names: &mut TicketNames) -> Result<(), StorageError> {
        let landings = std::mem::take(&mut names.unknown_landings);
        if !landings.is_empty() {
            self.look_up_landings(names, landings).await?;
        }
        let parties = std::mem::take(&mut names.unknown_parties);
        if !parties.is_empty() {
            self.look_up_parties(names, parties).await?;
        }
        Ok(())
    }

    async fn look_up_landings(
        &mut self,
        names: &mut TicketNames,
        landings: Vec<uuid::Uuid>,
    ) -> Result<(), StorageError> {
        let outfit = self.outfit();
        let rows: Vec<LandingRow> = Prepared::new(LANDINGS)
            .bind::<SqlUuid, _>(outfit.uuid())
            .bind::<Array<SqlUuid>, _>(landings)
            .load(&mut self.connection)
            .await?;
        for row in rows {
            let (landing, job) = (LandingId::from_uuid(row.landing_id), JobId::from_uuid(row.job_id));
            self.known.remember_landing(outfit, landing, job);
            names.landings.insert(landing, job);
        }
        Ok(())
    }

    async fn look_up_parties(
        &mut self,
        names: &mut TicketNames,
        parties: Vec<(JobId, ContractParty)>,
    ) -> Result<(), StorageError> {
        let outfit = self.outfit();
        let rows: Vec<PartyRow> = Prepared::new(PARTIES)
            .bind::<Array<SqlUuid>, _>(parties.iter().map(|(job, _)| job.uuid()).collect::<Vec<_>>())
            .bind::<Array<Nullable<SqlUuid>>, _>(
                parties.iter().map(|(_, party)| party.crew_uuid()).collect::<Vec<_>>(),
            )
            .bind::<Array<Nullable<SqlUuid>>, _>(
                parties.iter().map(|(_, party)| party.mill_uuid()).collect::<Vec<_>>(),
            )
            .bind::<SqlUuid, _>(outfit.uuid())
            .load(&mut self.connection)
            .await?;
        for (named, row) in parties.into_iter().zip(rows) {
            let held = row.contract_id.map(ContractId::from_uuid).zip(row.title);
            let contract = held
                .map(|(id, title)| self.known.remember_contract(outfit, named, NamedContract { id, title }));
            names.parties.insert(named, NamedParty { is_known: row.known, contract });
        }
        Ok(())
    }
}
