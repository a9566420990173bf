//! Seals, the keys they are signed with, and the leaves they cover.

use ::seal::{Frontier, Hash, PublicKey, Signature};
use diesel::{ExpressionMethods, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use kernel::{Id, SealId, SealKeyId, SettlementId, TicketId};

use crate::schema::{seal, seal_key, seal_leaf};
use crate::{Books, Page, Stamp, StorageError};

/// A key that seals are signed with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealKey {
    /// Its id.
    pub id: SealKeyId,
    /// Its public half.
    pub public: PublicKey,
    /// The seed of its private half, sealed under a key that the database does not know.
    pub sealed_seed: Vec<u8>,
    /// Who made it, and when.
    pub made: Stamp,
}

/// A seal as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptSeal {
    /// Its id.
    pub id: SealId,
    /// The root of the tree over the records.
    pub root: Hash,
    /// How many records it covers.
    pub size: u64,
    /// The roots of the full trees it is made of, the largest first. Not signed; the root says whether they are right.
    pub peaks: Vec<Hash>,
    /// The settlement with whose posting it was made.
    pub settlement: Option<SettlementId>,
    /// What it is signed with.
    pub key: SealKeyId,
    /// The signature over its statement.
    pub signature: Signature,
    /// Who made it, and when.
    pub made: Stamp,
}

impl KeptSeal {
    /// Where the next seal goes on from; none where the peaks do not make up the root.
    #[must_use]
    pub fn frontier(&self) -> Option<Frontier> {
        let frontier = Frontier::from_parts(self.size, self.peaks.clone()).ok()?;
        (frontier.root() == self.root).then_some(frontier)
    }
}

/// What a leaf is the hash of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SealedRecord {
    /// An accepted ticket.
    Ticket(TicketId),
    /// A posted settlement.
    Settlement(SettlementId),
}

/// A leaf of the tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SealLeaf {
    /// Its place, from 0.
    pub position: u64,
    /// The record.
    pub record: SealedRecord,
    /// The form that its document has.
    pub form: i16,
    /// The hash of the document.
    pub hash: Hash,
}

type SealRow = (
    (uuid::Uuid, i64, Vec<u8>, Vec<Vec<u8>>),
    (Option<uuid::Uuid>, uuid::Uuid, Vec<u8>, jiff_diesel::Timestamp, String),
);

fn unreadable(why: impl std::fmt::Display) -> StorageError {
    StorageError::inconsistent("seal", why)
}

fn hash(bytes: Vec<u8>) -> Result<Hash, StorageError> {
    bytes.try_into().map(Hash::from_bytes).map_err(|_| unreadable("a hash has not 32 bytes"))
}

fn read(row: SealRow) -> Result<KeptSeal, StorageError> {
    let ((id, size, root, peaks), (settlement, key, signature, at, by)) = row;
    let signature = signature.try_into().map_err(|_| unreadable("a signature has not 64 bytes"))?;
    Ok(KeptSeal {
        id: SealId::from_uuid(id),
        root: hash(root)?,
        size: size.try_into().map_err(unreadable)?,
        peaks: peaks.into_iter().map(hash).collect::<Result<_, _>>()?,
        settlement: settlement.map(SettlementId::from_uuid),
        key: SealKeyId::from_uuid(key),
        signature: Signature::from_bytes(signature),
        made: Stamp { at: at.to_jiff(), by },
    })
}

type LeafRow = (i64, Option<uuid::Uuid>, Option<uuid::Uuid>, i16, Vec<u8>);

fn read_leaf((position, ticket, settlement, form, bytes): LeafRow) -> Result<SealLeaf, StorageError> {
    let record = match (ticket, settlement) {
        (Some(ticket), None) => SealedRecord::Ticket(TicketId::from_uuid(ticket)),
        (None, Some(settlement)) => SealedRecord::Settlement(SettlementId::from_uuid(settlement)),
        _ => return Err(unreadable("a leaf is not exactly one of ticket and settlement")),
    };
    Ok(SealLeaf { position: position.try_into().map_err(unreadable)?, record, form, hash: hash(bytes)? })
}

macro_rules! seals {
    ($books:ident) => {
        seal::table.filter(seal::outfit_id.eq($books.outfit_uuid())).select((
            (seal::seal_id, seal::tree_size, seal::root_hash, seal::peaks),
            (seal::settlement_id, seal::seal_key_id, seal::signature, seal::made_at, seal::made_by),
        ))
    };
}

macro_rules! leaves {
    ($books:ident) => {
        seal_leaf::table.filter(seal_leaf::outfit_id.eq($books.outfit_uuid())).select((
            seal_leaf::position,
            seal_leaf::ticket_id,
            seal_leaf::settlement_id,
            seal_leaf::form,
            seal_leaf::leaf_hash,
        ))
    };
}

/// A count as the database has it.
fn count(size: u64) -> Result<i64, StorageError> {
    i64::try_from(size).map_err(unreadable)
}

impl Books {
    /// Keeps a key.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_seal_key(&mut self, new: &SealKey) -> Result<(), StorageError> {
        diesel::insert_into(seal_key::table)
            .values((
                seal_key::outfit_id.eq(self.outfit_uuid()),
                seal_key::seal_key_id.eq(new.id.uuid()),
                seal_key::public_key.eq(new.public.bytes().as_slice()),
                seal_key::sealed_seed.eq(&new.sealed_seed),
                seal_key::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                seal_key::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Every key the outfit has signed seals with, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn seal_keys(&mut self) -> Result<Vec<SealKey>, StorageError> {
        type KeyRow = (uuid::Uuid, Vec<u8>, Vec<u8>, jiff_diesel::Timestamp, String);
        let rows: Vec<KeyRow> = seal_key::table
            .filter(seal_key::outfit_id.eq(self.outfit_uuid()))
            .order(seal_key::seal_key_id)
            .select((
                seal_key::seal_key_id,
                seal_key::public_key,
                seal_key::sealed_seed,
                seal_key::made_at,
                seal_key::made_by,
            ))
            .load(&mut self.connection)
            .await?;
        let read = |(id, public, sealed_seed, at, by): KeyRow| {
            let public: Result<[u8; 32], _> = public.try_into();
            let public = public.map_err(|_| unreadable("a public key has not 32 bytes"))?;
            Ok(SealKey {
                id: SealKeyId::from_uuid(id),
                public: PublicKey::from_bytes(public),
                sealed_seed,
                made: Stamp { at: at.to_jiff(), by },
            })
        };
        rows.into_iter().map(read).collect()
    }

    /// Keeps a seal.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_seal(&mut self, new: &KeptSeal) -> Result<(), StorageError> {
        let peaks: Vec<_> = new.peaks.iter().map(|peak| peak.bytes().to_vec()).collect();
        diesel::insert_into(seal::table)
            .values((
                seal::outfit_id.eq(self.outfit_uuid()),
                seal::seal_id.eq(new.id.uuid()),
                seal::tree_size.eq(count(new.size)?),
                seal::root_hash.eq(new.root.bytes().as_slice()),
                seal::peaks.eq(peaks),
                seal::settlement_id.eq(new.settlement.map(Id::uuid)),
                seal::seal_key_id.eq(new.key.uuid()),
                seal::signature.eq(new.signature.bytes().as_slice()),
                seal::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                seal::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The seal with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn seal(&mut self, id: SealId) -> Result<Option<KeptSeal>, StorageError> {
        let row = seals!(self).filter(seal::seal_id.eq(id.uuid())).first::<SealRow>(&mut self.connection);
        row.await.optional()?.map(read).transpose()
    }

    /// A page of seals, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn seals(&mut self, page: Page<SealId>) -> Result<Vec<KeptSeal>, StorageError> {
        let rows: Vec<SealRow> = seals!(self)
            .filter(seal::seal_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(seal::seal_id)
            .limit(page.limit.into())
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(read).collect()
    }

    /// The seal that covers most.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn latest_seal(&mut self) -> Result<Option<KeptSeal>, StorageError> {
        let row = seals!(self).order(seal::tree_size.desc()).first::<SealRow>(&mut self.connection);
        row.await.optional()?.map(read).transpose()
    }

    /// Every seal that covers no more than `size` records, the smallest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn seals_up_to(&mut self, size: u64) -> Result<Vec<KeptSeal>, StorageError> {
        let rows: Vec<SealRow> = seals!(self)
            .filter(seal::tree_size.le(count(size)?))
            .order(seal::tree_size)
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(read).collect()
    }

    /// Adds leaves.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_seal_leaves(&mut self, new: &[SealLeaf]) -> Result<(), StorageError> {
        let outfit = self.outfit_uuid();
        let row = |leaf: &SealLeaf| {
            let (ticket, settlement) = match leaf.record {
                SealedRecord::Ticket(id) => (Some(id.uuid()), None),
                SealedRecord::Settlement(id) => (None, Some(id.uuid())),
            };
            Ok((
                seal_leaf::outfit_id.eq(outfit),
                seal_leaf::position.eq(count(leaf.position)?),
                seal_leaf::ticket_id.eq(ticket),
                seal_leaf::settlement_id.eq(settlement),
                seal_leaf::form.eq(leaf.form),
                seal_leaf::leaf_hash.eq(leaf.hash.bytes().to_vec()),
            ))
        };
        let rows = new.iter().map(row).collect::<Result<Vec<_>, StorageError>>()?;
        diesel::insert_into(seal_leaf::table).values(rows).execute(&mut self.connection).await?;
        Ok(())
    }

    /// Leaves in their order: from `from` on, below `below`, at most `limit`.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn seal_leaves(
        &mut self,
        from: u64,
        below: u64,
        limit: u16,
    ) -> Result<Vec<SealLeaf>, StorageError> {
        let rows: Vec<LeafRow> = leaves!(self)
            .filter(seal_leaf::position.ge(count(from)?))
            .filter(seal_leaf::position.lt(count(below)?))
            .order(seal_leaf::position)
            .limit(limit.into())
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(read_leaf).collect()
    }

    /// The hashes of all leaves below `below`, in their order.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn seal_leaf_hashes(&mut self, below: u64) -> Result<Vec<Hash>, StorageError> {
        let rows: Vec<Vec<u8>> = seal_leaf::table
            .filter(seal_leaf::outfit_id.eq(self.outfit_uuid()))
            .filter(seal_leaf::position.lt(count(below)?))
            .order(seal_leaf::position)
            .select(seal_leaf::leaf_hash)
            .load(&mut self.connection)
            .await?;
        rows.into_iter().map(hash).collect()
    }

    /// The leaf of a record, if it was sealed.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn seal_leaf_of(&mut self, record: SealedRecord) -> Result<Option<SealLeaf>, StorageError> {
        let query = leaves!(self).into_boxed();
        let query = match record {
            SealedRecord::Ticket(id) => query.filter(seal_leaf::ticket_id.eq(id.uuid())),
            SealedRecord::Settlement(id) => query.filter(seal_leaf::settlement_id.eq(id.uuid())),
        };
        let row = query.first::<LeafRow>(&mut self.connection).await.optional()?;
        row.map(read_leaf).transpose()
    }
}
