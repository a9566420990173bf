//! Posted settlements as they are sealed: the rows as they lie, nothing read into them.

use ::seal::{
    RecordKind, SETTLEMENT_FORM, SealedDraft, SealedEntry, SealedLine, SealedPosting, SealedSettlement,
    SealedShare, SealedStatement, SealedSupplement, SealedTakeOff,
};
use diesel::{ExpressionMethods, NullableExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{
    AdvanceId, ChargeId, ContractId, CrewId, Fixed, Id, JournalEntryId, MillId, SettlementId, ShareSetId,
    StatementId, TermsId, WorkerId,
};
use serde_json::Value;
use uuid::Uuid;

use crate::schema::{
    journal_entry, journal_posting, outfit, seal_leaf, settlement, settlement_line, settlement_posting,
    settlement_share, settlement_supplement, settlement_take_off, statement,
};
use crate::{Books, StorageError};

impl Books {
    /// A posted settlement as it is sealed, if it is there.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn sealed_settlement(
        &mut self,
        id: SettlementId,
    ) -> Result<Option<SealedSettlement>, StorageError> {
        type Posted = (jiff_diesel::Date, Option<Uuid>, jiff_diesel::Timestamp, String);
        let posted: Option<Posted> = settlement_posting::table
            .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_posting::settlement_id.eq(id.uuid()))
            .select((
                settlement_posting::week_ends_on,
                settlement_posting::journal_entry_id,
                settlement_posting::posted_at,
                settlement_posting::posted_by,
            ))
            .first(&mut self.connection)
            .await
            .optional()?;
        let Some((week, entry, posted_at, posted_by)) = posted else { return Ok(None) };
        let Some(draft) = self.sealed_draft(id).await? else { return Ok(None) };
        let currency = outfit::table
            .filter(outfit::outfit_id.eq(self.outfit_uuid()))
            .select(outfit::currency)
            .first(&mut self.connection)
            .await?;
        Ok(Some(SealedSettlement {
            kind: RecordKind::Settlement,
            form: SETTLEMENT_FORM,
            outfit_id: self.outfit(),
            currency,
            settlement_id: id,
            week_ends_on: week.to_jiff(),
            draft,
            posted_at: posted_at.to_jiff(),
            posted_by,
            lines: self.sealed_lines(id).await?,
            shares: self.sealed_shares(id).await?,
            supplements: self.sealed_supplements(id).await?,
            take_offs: self.sealed_take_offs(id).await?,
            statements: self.sealed_statements(id).await?,
            journal_entry: match entry {
                Some(entry) => self.sealed_entry(entry).await?,
                None => None,
            },
        }))
    }

    /// Every posted settlement that is no leaf yet, in the order of the ids.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn unsealed_settlements(&mut self) -> Result<Vec<SettlementId>, StorageError> {
        let leaves = seal_leaf::table
            .filter(seal_leaf::outfit_id.eq(self.outfit_uuid()))
            .filter(seal_leaf::settlement_id.eq(settlement_posting::settlement_id.nullable()));
        let ids: Vec<Uuid> = settlement_posting::table
            .filter(settlement_posting::outfit_id.eq(self.outfit_uuid()))
            .filter(diesel::dsl::not(diesel::dsl::exists(leaves)))
            .order(settlement_posting::settlement_id)
            .select(settlement_posting::settlement_id)
            .load(&mut self.connection)
            .await?;
        Ok(ids.into_iter().map(SettlementId::from_uuid).collect())
    }

    async fn sealed_draft(&mut self, id: SettlementId) -> Result<Option<SealedDraft>, StorageError> {
        type Draft = (Value, Value, Value, Vec<u8>, jiff_diesel::Timestamp, String);
        let draft: Option<Draft> = settlement::table
            .filter(settlement::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement::settlement_id.eq(id.uuid()))
            .select((
                settlement::lines,
                settlement::pays,
                settlement::volumes,
                settlement::fingerprint,
                settlement::drafted_at,
                settlement::drafted_by,
            ))
            .first(&mut self.connection)
            .await
            .optional()?;
        let read = |(lines, pays, volumes, fingerprint, at, drafted_by): Draft| SealedDraft {
            lines,
            pays,
            volumes,
            fingerprint: kernel::hexadecimal(&fingerprint),
            drafted_at: at.to_jiff(),
            drafted_by,
        };
        Ok(draft.map(read))
    }

    async fn sealed_lines(&mut self, id: SettlementId) -> Result<Vec<SealedLine>, StorageError> {
        type Line = (
            (i32, jiff_diesel::Date, Uuid, Uuid, i16),
            (Option<Uuid>, Option<Uuid>, Option<Uuid>, Option<Uuid>),
            (i64, i64, i64, Vec<Uuid>, Vec<Uuid>),
        );
        let rows: Vec<Line> = settlement_line::table
            .filter(settlement_line::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_line::settlement_id.eq(id.uuid()))
            .order(settlement_line::line_number)
            .select((
                (
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
            .load(&mut self.connection)
            .await?;
        let read = |row: Line| {
            let ((line_number, week, contract, terms, rate_number), side, figures) = row;
            let (crew, share_set, worker, mill) = side;
            let (quantity, pieces, amount_minor, entered, withdrawn) = figures;
            SealedLine {
                line_number,
                week_ends_on: week.to_jiff(),
                contract_id: ContractId::from_uuid(contract),
                terms_id: TermsId::from_uuid(terms),
                rate_number,
                crew_id: crew.map(CrewId::from_uuid),
                share_set_id: share_set.map(ShareSetId::from_uuid),
                worker_id: worker.map(WorkerId::from_uuid),
                mill_id: mill.map(MillId::from_uuid),
                quantity: Fixed::from_millionths(quantity),
                pieces,
                amount_minor,
                entered,
                withdrawn,
            }
        };
        Ok(rows.into_iter().map(read).collect())
    }

    async fn sealed_shares(&mut self, id: SettlementId) -> Result<Vec<SealedShare>, StorageError> {
        type Share = (i32, i16, Option<Uuid>, Option<Uuid>, i64);
        let rows: Vec<Share> = settlement_share::table
            .filter(settlement_share::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_share::settlement_id.eq(id.uuid()))
            .order((settlement_share::line_number, settlement_share::position))
            .select((
                settlement_share::line_number,
                settlement_share::position,
                settlement_share::worker_id,
                settlement_share::mill_id,
                settlement_share::amount_minor,
            ))
            .load(&mut self.connection)
            .await?;
        let read = |(line_number, position, worker, mill, amount_minor): Share| SealedShare {
            line_number,
            position,
            worker_id: worker.map(WorkerId::from_uuid),
            mill_id: mill.map(MillId::from_uuid),
            amount_minor,
        };
        Ok(rows.into_iter().map(read).collect())
    }

    async fn sealed_supplements(&mut self, id: SettlementId) -> Result<Vec<SealedSupplement>, StorageError> {
        let rows: Vec<(Uuid, jiff_diesel::Date, String, i64)> = settlement_supplement::table
            .filter(settlement_supplement::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_supplement::settlement_id.eq(id.uuid()))
            .select((
                settlement_supplement::worker_id,
                settlement_supplement::week_ends_on,
                settlement_supplement::supplement,
                settlement_supplement::amount_minor,
            ))
            .load(&mut self.connection)
            .await?;
        let read = |(worker, week, supplement, amount_minor): (Uuid, jiff_diesel::Date, String, i64)| {
            let (worker_id, week_ends_on) = (WorkerId::from_uuid(worker), week.to_jiff());
            SealedSupplement { worker_id, week_ends_on, supplement, amount_minor }
        };
        let mut supplements: Vec<_> = rows.into_iter().map(read).collect();
        // Sorted here: how a database sorts texts depends on where it runs.
        supplements.sort_by(|one, other| {
            let key = |it: &SealedSupplement| (it.worker_id, it.week_ends_on, it.supplement.clone());
            key(one).cmp(&key(other))
        });
        Ok(supplements)
    }

    async fn sealed_take_offs(&mut self, id: SettlementId) -> Result<Vec<SealedTakeOff>, StorageError> {
        type TakeOff = (Uuid, i16, Option<Uuid>, Option<Uuid>, Option<Uuid>, i64, i64);
        let rows: Vec<TakeOff> = settlement_take_off::table
            .filter(settlement_take_off::outfit_id.eq(self.outfit_uuid()))
            .filter(settlement_take_off::settlement_id.eq(id.uuid()))
            .order((settlement_take_off::worker_id, settlement_take_off::position))
            .select((
                settlement_take_off::worker_id,
                settlement_take_off::position,
                settlement_take_off::contract_id,
                settlement_take_off::advance_id,
                settlement_take_off::charge_id,
                settlement_take_off::due_minor,
                settlement_take_off::taken_minor,
            ))
            .load(&mut self.connection)
            .await?;
        let read =
            |(worker, position, contract, advance, charge, due_minor, taken_minor): TakeOff| SealedTakeOff {
                worker_id: WorkerId::from_uuid(worker),
                position,
                contract_id: contract.map(ContractId::from_uuid),
                advance_id: advance.map(AdvanceId::from_uuid),
                charge_id: charge.map(ChargeId::from_uuid),
                due_minor,
                taken_minor,
            };
        Ok(rows.into_iter().map(read).collect())
    }

    async fn sealed_statements(&mut self, id: SettlementId) -> Result<Vec<SealedStatement>, StorageError> {
        type Told = (Uuid, Option<Uuid>, Option<Uuid>, (i64, i64, i64, i64, i64, i64));
        let rows: Vec<Told> = statement::table
            .filter(statement::outfit_id.eq(self.outfit_uuid()))
            .filter(statement::settlement_id.eq(id.uuid()))
            .order(statement::statement_id)
            .select((
                statement::statement_id,
                statement::worker_id,
                statement::mill_id,
                (
                    statement::opening_minor,
                    statement::moved_minor,
                    statement::earned_minor,
                    statement::added_minor,
                    statement::kept_back_minor,
                    statement::closing_minor,
                ),
            ))
            .load(&mut self.connection)
            .await?;
        let read = |(id, worker, mill, figures): Told| {
            let (opening_minor, moved_minor, earned_minor, added_minor, kept_back_minor, closing_minor) =
                figures;
            SealedStatement {
                statement_id: StatementId::from_uuid(id),
                worker_id: worker.map(WorkerId::from_uuid),
                mill_id: mill.map(MillId::from_uuid),
                opening_minor,
                moved_minor,
                earned_minor,
                added_minor,
                kept_back_minor,
                closing_minor,
            }
        };
        Ok(rows.into_iter().map(read).collect())
    }

    async fn sealed_entry(&mut self, id: Uuid) -> Result<Option<SealedEntry>, StorageError> {
        type Entry = (jiff_diesel::Date, String, jiff_diesel::Timestamp, String);
        let entry: Option<Entry> = journal_entry::table
            .filter(journal_entry::outfit_id.eq(self.outfit_uuid()))
            .filter(journal_entry::journal_entry_id.eq(id))
            .select((
                journal_entry::dated,
                journal_entry::says,
                journal_entry::made_at,
                journal_entry::made_by,
            ))
            .first(&mut self.connection)
            .await
            .optional()?;
        let Some((dated, says, made_at, made_by)) = entry else { return Ok(None) };
        Ok(Some(SealedEntry {
            journal_entry_id: JournalEntryId::from_uuid(id),
            dated: dated.to_jiff(),
            says,
            made_at: made_at.to_jiff(),
            made_by,
            postings: self.sealed_postings(id).await?,
        }))
    }

    async fn sealed_postings(&mut self, entry: Uuid) -> Result<Vec<SealedPosting>, StorageError> {
        type Posting = (i16, String, Option<String>, Option<Uuid>, Option<Uuid>, Option<String>, i64);
        let rows: Vec<Posting> = journal_posting::table
            .filter(journal_posting::outfit_id.eq(self.outfit_uuid()))
            .filter(journal_posting::journal_entry_id.eq(entry))
            .order(journal_posting::position)
            .select((
                journal_posting::position,
                journal_posting::account,
                journal_posting::task,
                journal_posting::worker_id,
                journal_posting::mill_id,
                journal_posting::detail,
                journal_posting::amount_minor,
            ))
            .load(&mut self.connection)
            .await?;
        let read = |(position, account, task, worker, mill, detail, amount_minor): Posting| SealedPosting {
            position,
            account,
            task,
            worker_id: worker.map(WorkerId::from_uuid),
            mill_id: mill.map(MillId::from_uuid),
            detail,
            amount_minor,
        };
        Ok(rows.into_iter().map(read).collect())
    }
}
