//! What tickets stand on: everything that must be known before they can be taken in, read for all of them in one round
//! trip. Whom and what they name is remembered from the first time ([`crate::ticket_names`]).

use std::collections::HashMap;
use std::sync::Arc;

use diesel::QueryableByName;
use diesel::sql_types::{Array, BigInt, Bool, Date as SqlDate, Nullable, Text, Uuid as SqlUuid};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{Id, JobId, JournalEntryId, LandingId, OutfitId, ScalerCertificateId, SettlementId, TermsId};

use crate::prepared::Prepared;
use crate::ticket_names::{NamedParty, TicketNames};
use crate::{Books, ContractParty, NamedContract, Outfit, StorageError, Terms};

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
    /// The contract.
    pub contract: Option<Arc<NamedContract>>,
    /// The terms in force.
    pub terms: Option<Arc<Terms>>,
}

#[derive(QueryableByName)]
pub(crate) struct GroundRow {
    #[diesel(sql_type = Bool)]
    taken: bool,
    #[diesel(sql_type = Bool)]
    voided: bool,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    late_for: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    certificate: Option<uuid::Uuid>,
    #[diesel(sql_type = Bool)]
    adding_is_prepared: bool,
    #[diesel(sql_type = Nullable<SqlUuid>)]
    latest: Option<uuid::Uuid>,
    #[diesel(sql_type = Nullable<Array<Nullable<SqlUuid>>>)]
    in_force: Option<Vec<Option<uuid::Uuid>>>,
}

/// What is asked once and not for each ticket stands with the first of them: the latest posting, and for each party the terms
/// effective latest on or before the day and, among those, the latest filed.
const GROUND: &str = "
WITH asked AS (
    SELECT sent.*, own.outfit_id
    FROM unnest($::text[], $::bigint[], $::date[], $::text[])
         WITH ORDINALITY AS sent (book, number, scaled_on, scaler, position),
         (SELECT $::uuid AS outfit_id) AS own
)
SELECT EXISTS (SELECT FROM ticket
               WHERE ticket.outfit_id = asked.outfit_id AND ticket.book = asked.book AND ticket.number = asked.number) AS taken,
       EXISTS (SELECT FROM voided_numbers AS voided
               WHERE voided.outfit_id = asked.outfit_id AND voided.book = asked.book
                 AND asked.number BETWEEN voided.first_number AND voided.last_number) AS voided,
       (SELECT posting.settlement_id FROM settlement_posting AS posting
        WHERE posting.outfit_id = asked.outfit_id AND posting.week_ends_on >= asked.scaled_on
        ORDER BY posting.week_ends_on LIMIT 1) AS late_for,
       (SELECT held.scaler_certificate_id FROM scaler_certificate AS held
        WHERE held.outfit_id = asked.outfit_id AND held.scaler = asked.scaler
          AND asked.scaled_on BETWEEN held.valid_from AND held.valid_to
        ORDER BY held.scaler_certificate_id DESC LIMIT 1) AS certificate,
       current_setting('skidway.adds_tickets', true) IS NOT DISTINCT FROM 'on' AS adding_is_prepared,
       CASE WHEN asked.position = 1 THEN
           (SELECT posting.settlement_id FROM settlement_posting AS posting
            WHERE posting.outfit_id = asked.outfit_id ORDER BY posting.week_ends_on DESC LIMIT 1)
       END AS latest,
       CASE WHEN asked.position = 1 THEN
           ARRAY(SELECT (SELECT terms.terms_id FROM terms
                         WHERE terms.outfit_id = asked.outfit_id AND terms.contract_id = under.contract_id
                           AND terms.effective_from <= under.day
                         ORDER BY terms.effective_from DESC, terms.revision DESC LIMIT 1)
                 FROM unnest($::uuid[], $::date[]) WITH ORDINALITY AS under (contract_id, day, position)
                 ORDER BY under.position)
       END AS in_force
FROM asked
ORDER BY asked.position";

/// The question about tickets and the parties on them, whose names are known.
pub(crate) fn asked<'a>(
    outfit: OutfitId,
    names: &TicketNames,
    tickets: &[AskedTicket<'a>],
    parties: &[AskedParty],
) -> Prepared<'a> {
    let contract = |one: &AskedParty| names.party(one.job, one.party).contract.map(|held| held.id.uuid());
    Prepared::new(GROUND)
        .bind::<Array<Text>, _>(tickets.iter().map(|one| one.book).collect::<Vec<_>>())
        .bind::<Array<BigInt>, _>(tickets.iter().map(|one| one.number).collect::<Vec<_>>())
        .bind::<Array<SqlDate>, _>(days(tickets.iter().map(|one| one.scaled_on)))
        .bind::<Array<Text>, _>(tickets.iter().map(|one| one.scaler).collect::<Vec<_>>())
        .bind::<SqlUuid, _>(outfit.uuid())
        .bind::<Array<Nullable<SqlUuid>>, _>(parties.iter().map(contract).collect::<Vec<_>>())
        .bind::<Array<SqlDate>, _>(days(parties.iter().map(|one| one.day)))
}

#[derive(QueryableByName)]
struct PostedRow {
    #[diesel(sql_type = SqlUuid)]
    posted_at: uuid::Uuid,
}

/// The moment of the latest posting is told by the same id as in `Books::moment_of`. Few have none: nothing was owed in them.
const POSTED_AT: &str = "
SELECT made.id AS posted_at
FROM settlement_posting AS posting
CROSS JOIN LATERAL (
    SELECT coalesce(posting.journal_entry_id,
                    (SELECT statement.statement_id FROM statement
                     WHERE statement.outfit_id = posting.outfit_id AND statement.settlement_id = posting.settlement_id
                     ORDER BY statement.statement_id LIMIT 1)) AS id) AS made
WHERE posting.outfit_id = $::uuid AND made.id IS NOT NULL
ORDER BY posting.week_ends_on DESC LIMIT 1";

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
        let names = TicketNames::remembered(&self.known, self.outfit(), tickets, parties);
        self.ground_under(names, tickets, parties).await
    }

    /// The same where it is known what is remembered of the names on them.
    pub(crate) async fn ground_under(
        &mut self,
        mut names: TicketNames,
        tickets: &[AskedTicket<'_>],
        parties: &[AskedParty],
    ) -> Result<Ground, StorageError> {
        self.look_up(&mut names).await?;
        let rows = asked(self.outfit(), &names, tickets, parties).load(&mut self.connection).await?;
        self.ground_read(&names, tickets, parties, rows).await
    }

    /// What was answered, with the terms that it names.
    pub(crate) async fn ground_read(
        &mut self,
        names: &TicketNames,
        tickets: &[AskedTicket<'_>],
        parties: &[AskedParty],
        mut rows: Vec<GroundRow>,
    ) -> Result<Ground, StorageError> {
        let first = rows.first_mut();
        let adding_is_prepared = first.as_ref().is_some_and(|row| row.adding_is_prepared);
        let latest = first.as_ref().and_then(|row| row.latest).map(SettlementId::from_uuid);
        let in_force = first.and_then(|row| row.in_force.take()).unwrap_or_default();
        let in_force: Vec<_> = in_force.into_iter().map(|id| id.map(TermsId::from_uuid)).collect();
        let terms = self.terms_known(in_force.iter().flatten().copied()).await?;
        let agreement = |(one, id): (&AskedParty, Option<TermsId>)| {
            let NamedParty { is_known, contract } = names.party(one.job, one.party);
            let terms = id.and_then(|id| terms.get(&id).cloned());
            Agreement { party_is_known: is_known, contract, terms }
        };
        Ok(Ground {
            tickets: tickets.iter().zip(rows).map(|(asked, row)| ticket_ground(names, asked, &row)).collect(),
            agreements: parties.iter().zip(in_force).map(agreement).collect(),
            latest_posting: self.posted_at(latest).await?,
            adding_is_prepared,
        })
    }

    /// The moment of the latest posting, which is this settlement's; none where nothing was posted yet.
    async fn posted_at(
        &mut self,
        latest: Option<SettlementId>,
    ) -> Result<Option<JournalEntryId>, StorageError> {
        let Some(latest) = latest else { return Ok(None) };
        let outfit = self.outfit();
        if let Some(known) = self.known.posting(outfit, latest) {
            return Ok(known);
        }
        let rows: Vec<PostedRow> =
            Prepared::new(POSTED_AT).bind::<SqlUuid, _>(outfit.uuid()).load(&mut self.connection).await?;
        let moment = rows.as_slice().first().map(|row| JournalEntryId::from_uuid(row.posted_at));
        self.known.remember_posting(outfit, latest, moment);
        Ok(moment)
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

    /// Terms by their ids, those that are not remembered read.
    async fn terms_known(
        &mut self,
        ids: impl Iterator<Item = TermsId>,
    ) -> Result<HashMap<TermsId, Arc<Terms>>, StorageError> {
        let outfit = self.outfit();
        let (mut terms, mut unknown) = (HashMap::new(), Vec::new());
        for id in ids {
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
        match unknown.iter().all(|id| terms.contains_key(id)) {
            true => Ok(terms),
            false => Err(StorageError::inconsistent("terms", "terms in force are not there")),
        }
    }
}

fn ticket_ground(names: &TicketNames, asked: &AskedTicket<'_>, row: &GroundRow) -> TicketGround {
    TicketGround {
        number_is_taken: row.taken,
        number_is_voided: row.voided,
        landing_is_known: names.has_landing(asked.job, asked.landing),
        late_for: row.late_for.map(SettlementId::from_uuid),
        scaler_certificate: row.certificate.map(ScalerCertificateId::from_uuid),
    }
}

fn days(days: impl Iterator<Item = Date>) -> Vec<jiff_diesel::Date> {
    days.map(jiff_diesel::Date::from).collect()
}
