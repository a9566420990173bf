//! Settlements: drafts, and what was posted for good.

use ::settlement::{LineKey, Payee, Side};
use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::civil::Date;
use kernel::{
    ContractId, CrewId, DerivationId, Fixed, Id, JournalEntryId, MillId, SettlementId, ShareSetId, TermsId,
};

use crate::derivation::{small, small_back};
use crate::schema::{settlement, settlement_line, settlement_posting, settlement_share};
use crate::{Books, Days, Page, Stamp, StorageError};

/// A draft of a week's settlement, as it was computed.
#[derive(Clone, Debug, PartialEq)]
pub struct SettlementDraft {
    /// Its id.
    pub id: SettlementId,
    /// The week's last day.
    pub week_ends_on: Date,
    /// The lines as data.
    pub lines: serde_json::Value,
    /// Each worker's pay beyond the lines, as data.
    pub pays: serde_json::Value,
    /// What was scaled in the week, as data.
    pub volumes: serde_json::Value,
    /// SHA-256 of the lines, the pays and the volumes.
    pub fingerprint: [u8; 32],
    /// Who drafted it, and when.
    pub drafted: Stamp,
    /// Its posting; none while it is a draft.
    pub posting: Option<Posting>,
}

/// That a draft was posted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Posting {
    /// The journal entry; none when there was nothing to pay.
    pub entry: Option<JournalEntryId>,
    /// Who posted it, and when.
    pub posted: Stamp,
}

/// A line of a posted settlement: the difference it made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostedLine {
    /// The settlement it was posted in.
    pub settlement: SettlementId,
    /// Its place there, from 1.
    pub number: i32,
    /// What it is about.
    pub key: LineKey,
    /// In the counted unit.
    pub quantity: Fixed,
    /// How many pieces.
    pub pieces: i64,
    /// In the currency's smallest unit.
    pub amount_minor: i64,
    /// To whom it went, in the order of the shares.
    pub by_payee: Vec<(Payee, i64)>,
    /// The derivations it paid for the first time; for time, the entries under their own ids.
    pub entered: Vec<DerivationId>,
    /// The derivations it took back.
    pub withdrawn: Vec<DerivationId>,
}

type DraftRow = (
    (
        uuid::Uuid,
        jiff_diesel::Date,
        serde_json::Value,
        serde_json::Value,
        serde_json::Value,
        Vec<u8>,
        jiff_diesel::Timestamp,
        String,
    ),
    Option<(Option<uuid::Uuid>, jiff_diesel::Timestamp, String)>,
);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("settlement", why)
}

fn read_draft((draft, posting): DraftRow) -> Result<SettlementDraft, StorageError> {
    let (id, week, lines, pays, volumes, fingerprint, at, by) = draft;
    Ok(SettlementDraft {
        id: SettlementId::from_uuid(id),
        week_ends_on: week.to_jiff(),
        lines,
        pays,
        volumes,
        fingerprint: fingerprint.try_into().map_err(|_| unreadable("the fingerprint is not 32 bytes"))?,
        drafted: Stamp { at: at.to_jiff(), by },
        posting: posting.map(|(entry, at, by)| Posting {
            entry: entry.map(JournalEntryId::from_uuid),
            posted: Stamp { at: at.to_jiff(), by },
        }),
    })
}

macro_rules! drafts {
    ($books:ident) => {
        settlement::table
            .left_join(
                settlement_posting::table.on(settlement_posting::outfit_id
                    .eq(settlement::outfit_id)
                    .and(settlement_posting::settlement_id.eq(settlement::settlement_id))),
            )
            .filter(settlement::outfit_id.eq($books.outfit_uuid()))
            .select((
                (
                    settlement::settlement_id,
                    settlement::week_ends_on,
                    settlement::lines,
                    settlement::pays,
                    settlement::volumes,
                    settlement::fingerprint,
                    settlement::drafted_at,
                    settlement::drafted_by,
                ),
                (
                    settlement_posting::journal_entry_id,
                    settlement_posting::posted_at,
                    settlement_posting::posted_by,
                )
                    .nullable(),
            ))
    };
}

impl Books {
    /// Keeps a draft.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_draft(&mut self, new: &SettlementDraft) -> Result<(), StorageError> {
        diesel::insert_into(settlement::table)
            .values((
                settlement::outfit_id.eq(self.outfit_uuid()),
                settlement::settlement_id.eq(new.id.uuid()),
                settlement::week_ends_on.eq(jiff_diesel::Date::from(new.week_ends_on)),
                settlement::lines.eq(&new.lines),
                settlement::pays.eq(&new.pays),
                settlement::volumes.eq(&new.volumes),
                settlement::fingerprint.eq(new.fingerprint.as_slice()),
                settlement::drafted_at.eq(jiff_diesel::Timestamp::from(new.drafted.at)),
                settlement::drafted_by.eq(&new.drafted.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The settlement with this id, drafted or posted, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn settlement(&mut self, id: SettlementId) -> Result<Option<SettlementDraft>, StorageError> {
        drafts!(self)
            .filter(settlement::settlement_id.eq(id.uuid()))
            .first::<DraftRow>(&mut self.connection)
            .await
            .optional()?
            .map(read_draft)
            .transpose()
    }

    /// A page of settlements, oldest draft first; only posted ones when asked.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn settlements(
        &mut self,
        week: Option<Date>,
        posted_only: bool,
        page: Page<SettlementId>,
    ) -> Result<Vec<SettlementDraft>, StorageError> {
        let mut query = drafts!(self)
            .filter(settlement::settlement_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(settlement::settlement_id)
            .limit(page.limit.into())
            .into_boxed();
        if let Some(week) = week {
            query = query.filter(settlement::week_ends_on.eq(jiff_diesel::Date::from(week)));
        }
        if posted_only {
            query = query.filter(settlement_posting::posted_at.is_not_null());
        }
        let rows = query.load::<DraftRow>(&mut self.connection).await?;
        rows.into_iter().map(read_draft).collect()
    }

    /// The last day of the latest week that was posted.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn latest_posted_week(&mut self) -> Result<Option<Date>, StorageError> {
        let latest: Option<jiff_diesel::Date> = settlement_posting::table
            .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
            .select(diesel::dsl::max(settlement_posting::week_ends_on))
            .first(&mut self.connection)
            .await?;
        Ok(latest.map(jiff_diesel::Date::to_jiff))
    }

    /// Posts a draft for good, with its lines and their shares.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `WeekPosted` when the week was posted already.
    pub async fn post_settlement(
        &mut self,
        draft: &SettlementDraft,
        posting: &Posting,
        lines: &[PostedLine],
    ) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        diesel::insert_into(settlement_posting::table)
            .values((
                settlement_posting::outfit_id.eq(outfit),
                settlement_posting::settlement_id.eq(draft.id.uuid()),
                settlement_posting::week_ends_on.eq(jiff_diesel::Date::from(draft.week_ends_on)),
                settlement_posting::journal_entry_id.eq(posting.entry.map(Id::uuid)),
                settlement_posting::posted_at.eq(jiff_diesel::Timestamp::from(posting.posted.at)),
                settlement_posting::posted_by.eq(&posting.posted.by),
            ))
            .execute(&mut self.connection)
            .await?;
        for line in lines {
            self.add_line(line).await?;
        }
        Ok(())
    }

    async fn add_line(&mut self, line: &PostedLine) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        let (crew, share_set, worker, mill) = match line.key.side {
            Side::Crew { crew, share_set } => (Some(crew.uuid()), Some(share_set.uuid()), None, None),
            Side::Member { crew, worker } => (Some(crew.uuid()), None, Some(worker.uuid()), None),
            Side::Mill { mill } => (None, None, None, Some(mill.uuid())),
        };
        diesel::insert_into(settlement_line::table)
            .values((
                (
                    settlement_line::outfit_id.eq(outfit),
                    settlement_line::settlement_id.eq(line.settlement.uuid()),
                    settlement_line::line_number.eq(line.number),
                    settlement_line::week_ends_on.eq(jiff_diesel::Date::from(line.key.week)),
                    settlement_line::contract_id.eq(line.key.contract.uuid()),
                    settlement_line::terms_id.eq(line.key.terms.uuid()),
                    // Positions count from 0 in the settlement, numbers from 1 in the books.
                    settlement_line::rate_number.eq(small(line.key.rate.saturating_add(1))?),
                    settlement_line::crew_id.eq(crew),
                    settlement_line::share_set_id.eq(share_set),
                    settlement_line::worker_id.eq(worker),
                    settlement_line::mill_id.eq(mill),
                ),
                (
                    settlement_line::quantity.eq(line.quantity.millionths()),
                    settlement_line::pieces.eq(line.pieces),
                    settlement_line::amount_minor.eq(line.amount_minor),
                    settlement_line::entered.eq(uuids(&line.entered)),
                    settlement_line::withdrawn.eq(uuids(&line.withdrawn)),
                ),
            ))
            .execute(&mut self.connection)
            .await?;
        let shares: Vec<_> = (1_i16..)
            .zip(&line.by_payee)
            .map(|(position, (payee, amount))| {
                let (worker, mill) = payee_uuids(*payee);
                (
                    settlement_share::outfit_id.eq(outfit),
                    settlement_share::settlement_id.eq(line.settlement.uuid()),
                    settlement_share::line_number.eq(line.number),
                    settlement_share::position.eq(position),
                    settlement_share::worker_id.eq(worker),
                    settlement_share::mill_id.eq(mill),
                    settlement_share::amount_minor.eq(*amount),
                )
            })
            .collect();
        diesel::insert_into(settlement_share::table).values(shares).execute(&mut self.connection).await?;
        Ok(())
    }

    /// Every line posted for weeks up to and including `week`, or those of one settlement, in the order of drafting.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn posted_lines(
        &mut self,
        of: Option<SettlementId>,
        up_to: Option<Date>,
    ) -> Result<Vec<PostedLine>, StorageError> {
        self.lines(of, up_to.map(|week| (None, week)), None).await
    }

    /// Every line posted for the work of weeks that end within these days, in the order of drafting.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn lines_of_weeks(&mut self, ending: Days) -> Result<Vec<PostedLine>, StorageError> {
        self.lines(None, Some(ending), None).await
    }

    /// Every line posted for the work of one week under these terms, in the order of drafting.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn lines_of_week(
        &mut self,
        week: Date,
        terms: &[TermsId],
    ) -> Result<Vec<PostedLine>, StorageError> {
        self.lines(None, None, Some((week, terms))).await
    }

    async fn lines(
        &mut self,
        of: Option<SettlementId>,
        ending: Option<Days>,
        of_week: Option<(Date, &[TermsId])>,
    ) -> Result<Vec<PostedLine>, StorageError> {
        let mut query = settlement_line::table
            .filter(settlement_line::outfit_id.eq(self.outfit_uuid()))
            .order((settlement_line::settlement_id, settlement_line::line_number))
            .select((
                (
                    settlement_line::settlement_id,
                    settlement_line::line_number,
                    settlement_line::week_ends_on,
                    settlement_line::contract_id,
                    settlement_line::terms_id,
                    settlement_line::rate_number,
                ),
                (
                    settlement_line::crew_id,
                    settlement_line::share_set_id,
                    settlement_line::worker_id,
                    settlement_line::mill_id,
                ),
                (
                    settlement_line::quantity,
                    settlement_line::pieces,
                    settlement_line::amount_minor,
                    settlement_line::entered,
                    settlement_line::withdrawn,
                ),
            ))
            .into_boxed();
        if let Some(settlement) = of {
            query = query.filter(settlement_line::settlement_id.eq(settlement.uuid()));
        }
        if let Some((from, to)) = ending {
            query = query.filter(settlement_line::week_ends_on.le(jiff_diesel::Date::from(to)));
            if let Some(from) = from {
                query = query.filter(settlement_line::week_ends_on.ge(jiff_diesel::Date::from(from)));
            }
        }
        if let Some((week, terms)) = of_week {
            let terms: Vec<_> = terms.iter().map(|id| id.uuid()).collect();
            query = query
                .filter(settlement_line::week_ends_on.eq(jiff_diesel::Date::from(week)))
                .filter(settlement_line::terms_id.eq_any(terms));
        }
        let rows: Vec<LineRow> = query.load(&mut self.connection).await?;
        let few = of.is_some() || of_week.is_some() || ending.is_some_and(|(from, _)| from.is_some());
        let mut shares = self.posted_shares(few.then(|| rows.iter().map(|row| row.0.0).collect())).await?;
        rows.into_iter()
            .map(|row| {
                let (settlement, number) = (row.0.0, row.0.1);
                read_line(row, shares.remove(&(settlement, number)).unwrap_or_default())
            })
            .collect()
    }

    /// How posted lines fell to their payees, by line.
    async fn posted_shares(&mut self, of: Option<Vec<uuid::Uuid>>) -> Result<SharesByLine, StorageError> {
        type ShareRow = (uuid::Uuid, i32, Option<uuid::Uuid>, Option<uuid::Uuid>, i64);
        let mut query = settlement_share::table
            .filter(settlement_share::outfit_id.eq(self.outfit_uuid()))
            .order((
                settlement_share::settlement_id,
                settlement_share::line_number,
                settlement_share::position,
            ))
            .select((
                settlement_share::settlement_id,
                settlement_share::line_number,
                settlement_share::worker_id,
                settlement_share::mill_id,
                settlement_share::amount_minor,
            ))
            .into_boxed();
        if let Some(settlements) = of {
            query = query.filter(settlement_share::settlement_id.eq_any(settlements));
        }
        let rows: Vec<ShareRow> = query.load(&mut self.connection).await?;
        let mut by_line = SharesByLine::new();
        for (settlement, line, worker, mill, amount) in rows {
            by_line.entry((settlement, line)).or_default().push((payee(worker, mill)?, amount));
        }
        Ok(by_line)
    }
}

type SharesByLine = std::collections::HashMap<(uuid::Uuid, i32), Vec<(Payee, i64)>>;

type LineRow = (
    (uuid::Uuid, i32, jiff_diesel::Date, uuid::Uuid, uuid::Uuid, i16),
    (Option<uuid::Uuid>, Option<uuid::Uuid>, Option<uuid::Uuid>, Option<uuid::Uuid>),
    (i64, i64, i64, Vec<uuid::Uuid>, Vec<uuid::Uuid>),
);

fn read_line(row: LineRow, by_payee: Vec<(Payee, i64)>) -> Result<PostedLine, StorageError> {
    let ((settlement, number, week, contract, terms, rate), (crew, set, worker, mill), figures) = row;
    let side = match (crew, set, worker, mill) {
        (Some(crew), None, Some(worker), None) => {
            Side::Member { crew: CrewId::from_uuid(crew), worker: kernel::WorkerId::from_uuid(worker) }
        }
        (Some(crew), Some(set), None, None) => {
            Side::Crew { crew: CrewId::from_uuid(crew), share_set: ShareSetId::from_uuid(set) }
        }
        (None, None, None, Some(mill)) => Side::Mill { mill: MillId::from_uuid(mill) },
        _ => return Err(unreadable("a line names not exactly one of crew, member and mill")),
    };
    let (quantity, pieces, amount_minor, entered, withdrawn) = figures;
    Ok(PostedLine {
        settlement: SettlementId::from_uuid(settlement),
        number,
        key: LineKey {
            week: week.to_jiff(),
            contract: ContractId::from_uuid(contract),
            terms: TermsId::from_uuid(terms),
            rate: small_back(rate)?.saturating_sub(1),
            side,
        },
        quantity: Fixed::from_millionths(quantity),
        pieces,
        amount_minor,
        by_payee,
        entered: entered.into_iter().map(DerivationId::from_uuid).collect(),
        withdrawn: withdrawn.into_iter().map(DerivationId::from_uuid).collect(),
    })
}

fn uuids(ids: &[DerivationId]) -> Vec<uuid::Uuid> {
    ids.iter().map(|id| id.uuid()).collect()
}

/// The two columns that name a payee.
pub(crate) fn payee_uuids(payee: Payee) -> (Option<uuid::Uuid>, Option<uuid::Uuid>) {
    match payee {
        Payee::Worker(worker) => (Some(worker.uuid()), None),
        Payee::Mill(mill) => (None, Some(mill.uuid())),
    }
}

/// The payee that two columns name.
pub(crate) fn payee(worker: Option<uuid::Uuid>, mill: Option<uuid::Uuid>) -> Result<Payee, StorageError> {
    match (worker, mill) {
        (Some(worker), None) => Ok(Payee::Worker(kernel::WorkerId::from_uuid(worker))),
        (None, Some(mill)) => Ok(Payee::Mill(MillId::from_uuid(mill))),
        _ => Err(unreadable("a payee is not exactly one of worker and mill")),
    }
}

use diesel::{BoolExpressionMethods as _, JoinOnDsl as _, NullableExpressionMethods as _};
