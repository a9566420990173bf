//! What tickets stand on: everything that must be known before they can be taken in, read for all of them in one round
//! trip.

use std::collections::HashMap;
use std::sync::Arc;

use diesel::sql_types::{Array, BigInt, Bool, Date as SqlDate, Nullable, Text, Uuid as SqlUuid};
use diesel::{QueryResult, QueryableByName};
use diesel_async::{AsyncPgConnection, RunQueryDsl};
use jiff::civil::Date;
use kernel::{
    ContractId, Id, JobId, JournalEntryId, LandingId, OutfitId, ScalerCertificateId, SettlementId, TermsId,
};

use crate::prepared::Prepared;
use crate::{Books, ContractParty, Outfit, StorageError, Terms};

/// A ticket that is about to be taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AskedTicket<'a> {
    /// Its scale book.
    pub book: &'a str,
    /// Its number there.
    pub number: i64,
    /// The job.
    pub job: JobId,
    /// The landing.
    pub landing: LandingId,
    /// The day.
    pub scaled_on: Date,
    /// The scaler.
    pub scaler: &'a str,
}

/// Somebody whose work or wood is on a ticket of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct AskedParty {
    /// The job.
    pub job: JobId,
    /// The day.
    pub day: Date,
    /// Who.
    pub party: ContractParty,
}

/// What stands about a ticket before it is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TicketGround {
    /// Whether a ticket has its book and number already.
    pub number_is_taken: bool,
    /// Whether its number was voided.
    pub number_is_voided: bool,
    /// Whether the landing is one of the job's.
    pub landing_is_known: bool,
    /// The posted settlement that had closed its week.
    pub late_for: Option<SettlementId>,
    /// What its scaler has to show for the day.
    pub scaler_certificate: Option<ScalerCertificateId>,
}

/// Everything that tickets stand on.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// For each ticket, in the order in which they were asked about.
    pub tickets: Vec<TicketGround>,
    /// For each party, likewise.
    pub agreements: Vec<Agreement>,
    /// The latest posting's moment, as its ids tell it: what is recorded from now on must come after it.
    pub latest_posting: Option<JournalEntryId>,
    /// Whether this connection has added tickets before, and so has the statement for it prepared.
    pub(crate) adding_is_prepared: bool,
}

/// What was agreed with somebody for a day on a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Agreement {
    /// Whether the outfit has such a crew or mill at all.
    pub party_is_known: bool,
    /// The contract and its title.
    pub contract: Option<(ContractId, String)>,
    /// The terms in force.
    pub terms: Option<Arc<Terms>>,
}

#[derive(QueryableByName)]
pub(crate) struct TicketRow {
    #[diesel(sql_type = Bool)]
    taken: bool,
    #[diesel(sql_type = Bool)]
    voided: bool,
    #[diesel(sql_type = Bool)]
    landing: bool,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    late_for: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    certificate: Option<uuid::Uuid>,
    #[diesel(sql_type = Bool)]
    adding_is_prepared: bool,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    posted_at: Option<uuid::Uuid>,
}

/// The moment of the latest posting is told by the same id as in `Books::moment_of`.
const TICKETS: &str = "
WITH asked AS (
    SELECT sent.*, own.outfit_id
    FROM unnest($::text[], $::bigint[], $::uuid[], $::uuid[], $::date[], $::text[])
         WITH ORDINALITY AS sent (book, number, job_id, landing_id, scaled_on, scaler, position),
         (SELECT $::uuid AS outfit_id) AS own
)
SELECT EXISTS (SELECT FROM ticket
               WHERE ticket.outfit_id = asked.outfit_id AND ticket.book = asked.book AND ticket.number = asked.number) AS taken,
       EXISTS (SELECT FROM voided_numbers AS voided
               WHERE voided.outfit_id = asked.outfit_id AND voided.book = asked.book
                 AND asked.number BETWEEN voided.first_number AND voided.last_number) AS voided,
       EXISTS (SELECT FROM landing
               WHERE landing.outfit_id = asked.outfit_id AND landing.landing_id = asked.landing_id
                 AND landing.job_id = asked.job_id) AS landing,
       (SELECT posting.settlement_id FROM settlement_posting AS posting
        WHERE posting.outfit_id = asked.outfit_id AND posting.week_ends_on >= asked.scaled_on
        ORDER BY posting.week_ends_on LIMIT 1) AS late_for,
       (SELECT held.scaler_certificate_id FROM scaler_certificate AS held
        WHERE held.outfit_id = asked.outfit_id AND held.scaler = asked.scaler
          AND asked.scaled_on BETWEEN held.valid_from AND held.valid_to
        ORDER BY held.scaler_certificate_id DESC LIMIT 1) AS certificate,
       current_setting('skidway.adds_tickets', true) IS NOT DISTINCT FROM 'on' AS adding_is_prepared,
       CASE WHEN asked.position = 1 THEN
           (SELECT made.id FROM settlement_posting AS posting
            CROSS JOIN LATERAL (
                SELECT coalesce(posting.journal_entry_id,
                                (SELECT statement.statement_id FROM statement
                                 WHERE statement.outfit_id = posting.outfit_id
                                   AND statement.settlement_id = posting.settlement_id
                                 ORDER BY statement.statement_id LIMIT 1)) AS id) AS made
            WHERE posting.outfit_id = asked.outfit_id AND made.id IS NOT NULL
            ORDER BY posting.week_ends_on DESC LIMIT 1)
       END AS posted_at
FROM asked
ORDER BY asked.position";

#[derive(QueryableByName)]
pub(crate) struct AgreementRow {
    #[diesel(sql_type = Bool)]
    known: bool,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    contract_id: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<Text>)]
    title: Option<String>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    terms_id: Option<uuid::Uuid>,
}

/// The terms are those effective latest on or before the day and, among those, the latest filed.
const AGREEMENTS: &str = "
WITH asked AS (
    SELECT named.*, own.outfit_id
    FROM unnest($::uuid[], $::date[], $::uuid[], $::uuid[])
         WITH ORDINALITY AS named (job_id, day, crew_id, mill_id, position),
         (SELECT $::uuid AS outfit_id) AS own
)
SELECT CASE WHEN asked.crew_id IS NULL
            THEN EXISTS (SELECT FROM mill WHERE mill.outfit_id = asked.outfit_id AND mill.mill_id = asked.mill_id)
            ELSE EXISTS (SELECT FROM crew WHERE crew.outfit_id = asked.outfit_id AND crew.crew_id = asked.crew_id)
       END AS known,
       contract.contract_id, contract.title, in_force.terms_id
FROM asked
LEFT JOIN contract ON contract.outfit_id = asked.outfit_id
      AND contract.contract_id = CASE WHEN asked.crew_id IS NULL
          THEN (SELECT held.contract_id FROM contract AS held
                WHERE held.outfit_id = asked.outfit_id AND held.job_id = asked.job_id AND held.mill_id = asked.mill_id)
          ELSE (SELECT held.contract_id FROM contract AS held
                WHERE held.outfit_id = asked.outfit_id AND held.job_id = asked.job_id AND held.crew_id = asked.crew_id)
          END
LEFT JOIN LATERAL (SELECT terms.terms_id FROM terms
                   WHERE terms.outfit_id = asked.outfit_id AND terms.contract_id = contract.contract_id
                     AND terms.effective_from <= asked.day
                   ORDER BY terms.effective_from DESC, terms.revision DESC LIMIT 1) AS in_force ON true
ORDER BY asked.position";

/// The two questions about tickets and the parties on them.
pub(crate) struct Asked<'a> {
    tickets: Prepared<'a>,
    parties: Prepared<'a>,
}

impl<'a> Asked<'a> {
    pub(crate) fn about(outfit: OutfitId, tickets: &[AskedTicket<'a>], parties: &[AskedParty]) -> Self {
        let outfit = outfit.uuid();
        let about_tickets = Prepared::new(TICKETS)
            .bind::<Array<Text>, _>(tickets.iter().map(|one| one.book).collect::<Vec<_>>())
            .bind::<Array<BigInt>, _>(tickets.iter().map(|one| one.number).collect::<Vec<_>>())
            .bind::<Array<SqlUuid>, _>(tickets.iter().map(|one| one.job.uuid()).collect::<Vec<_>>())
            .bind::<Array<SqlUuid>, _>(tickets.iter().map(|one| one.landing.uuid()).collect::<Vec<_>>())
            .bind::<Array<SqlDate>, _>(days(tickets.iter().map(|one| one.scaled_on)))
            .bind::<Array<Text>, _>(tickets.iter().map(|one| one.scaler).collect::<Vec<_>>())
            .bind::<SqlUuid, _>(outfit);
        let about_parties = Prepared::new(AGREEMENTS)
            .bind::<Array<SqlUuid>, _>(parties.iter().map(|one| one.job.uuid()).collect::<Vec<_>>())
            .bind::<Array<SqlDate>, _>(days(parties.iter().map(|one| one.day)))
            .bind::<Array<Nullable<SqlUuid>>, _>(
                parties.iter().map(|one| one.party.crew_uuid()).collect::<Vec<_>>(),
            )
            .bind::<Array<Nullable<SqlUuid>>, _>(
                parties.iter().map(|one| one.party.mill_uuid()).collect::<Vec<_>>(),
            )
            .bind::<SqlUuid, _>(outfit);
        Self { tickets: about_tickets, parties: about_parties }
    }

    /// Asks both before either is answered.
    pub(crate) async fn of(
        self,
        connection: &AsyncPgConnection,
    ) -> (QueryResult<Vec<TicketRow>>, QueryResult<Vec<AgreementRow>>) {
        let (mut first, mut second) = (connection, connection);
        tokio::join!(biased; self.tickets.load(&mut first), self.parties.load(&mut second))
    }
}

impl Books {
    /// What the tickets and the parties on them stand on, each in the order it was asked about.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn ground(
        &mut self,
        tickets: &[AskedTicket<'_>],
        parties: &[AskedParty],
    ) -> Result<Ground, StorageError> {
        let asked = Asked::about(self.outfit(), tickets, parties);
        let connection: &AsyncPgConnection = &self.connection;
        let (tickets, parties) = asked.of(connection).await;
        self.ground_read(tickets?, parties?).await
    }

    /// What was answered, with the terms that it names.
    pub(crate) async fn ground_read(
        &mut self,
        tickets: Vec<TicketRow>,
        parties: Vec<AgreementRow>,
    ) -> Result<Ground, StorageError> {
        let first = tickets.as_slice().first();
        Ok(Ground {
            adding_is_prepared: first.is_some_and(|row| row.adding_is_prepared),
            latest_posting: first.and_then(|row| row.posted_at).map(JournalEntryId::from_uuid),
            tickets: tickets.into_iter().map(ticket_ground).collect(),
            agreements: self.agreements(parties).await?,
        })
    }

    /// Whose books these are, remembered from the first time.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn known_outfit(&mut self) -> Result<Option<Arc<Outfit>>, StorageError> {
        if let Some(known) = self.known.outfit(self.outfit()) {
            return Ok(Some(known));
        }
        Ok(self.own_outfit().await?.map(|outfit| self.known.remember_outfit(outfit)))
    }

    async fn agreements(&mut self, rows: Vec<AgreementRow>) -> Result<Vec<Agreement>, StorageError> {
        let outfit = self.outfit();
        let (mut terms, mut unknown) = (HashMap::new(), Vec::new());
        for id in rows.iter().filter_map(|row| row.terms_id).map(TermsId::from_uuid) {
            match self.known.terms(outfit, id) {
                Some(known) => drop(terms.insert(id, known)),
                None => unknown.push(id),
            }
        }
        if !unknown.is_empty() {
            for read in self.terms_by_id(&unknown).await? {
                terms.insert(read.id, self.known.remember_terms(outfit, read));
            }
        }
        let find = |id: TermsId| {
            let found = terms.get(&id).cloned();
            found.ok_or_else(|| StorageError::inconsistent("terms", "terms in force are not there"))
        };
        rows.into_iter()
            .map(|row| {
                Ok(Agreement {
                    party_is_known: row.known,
                    contract: row.contract_id.map(ContractId::from_uuid).zip(row.title),
                    terms: row.terms_id.map(TermsId::from_uuid).map(find).transpose()?,
                })
            })
            .collect()
    }
}

fn ticket_ground(row: TicketRow) -> TicketGround {
    TicketGround {
        number_is_taken: row.taken,
        number_is_voided: row.voided,
        landing_is_known: row.landing,
        late_for: row.late_for.map(SettlementId::from_uuid),
        scaler_certificate: row.certificate.map(ScalerCertificateId::from_uuid),
    }
}

fn days(days: impl Iterator<Item = Date>) -> Vec<jiff_diesel::Date> {
    days.map(jiff_diesel::Date::from).collect()
}
