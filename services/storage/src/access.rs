//! Grants of access: by signing in, as a token that was handed out, or as a key for a machine; and their revocation.

use diesel::dsl::sql;
use diesel::sql_types::{Nullable, Timestamptz};
use diesel::{
    BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, OptionalExtension,
    QueryDsl,
};
use diesel_async::RunQueryDsl;
use jiff::Timestamp;
use kernel::{AccountId, GrantId, Id, MillId, OutfitId};

use crate::reversal::{ReversedColumns, reversed};
use crate::schema::{access_grant, access_revocation, account_closure};
use crate::{Books, Page, Reversed, Stamp, StorageError};

/// Whose books a transaction opens, and by which grant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Access {
    /// The outfit.
    pub outfit: OutfitId,
    /// The grant that must stand; none for whoever holds the service's own key.
    pub grant: Option<GrantId>,
}

impl Access {
    /// Access of the service itself.
    pub(crate) const fn trusted(outfit: OutfitId) -> Self {
        Self { outfit, grant: None }
    }
}

/// What a grant is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GrantKind {
    /// Somebody signed in with this account.
    SignIn(AccountId),
    /// A manager handed out a token.
    Token,
    /// A key for a machine.
    MachineKey,
}

/// What a key has beside other grants.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MachineKey {
    /// What it may be used for within its role.
    pub scopes: Vec<String>,
    /// SHA-256 of the secret.
    pub secret_hash: [u8; 32],
    /// How the secret ends.
    pub last_four: String,
}

/// Access that was granted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grant {
    /// Its id.
    pub id: GrantId,
    /// What it is.
    pub kind: GrantKind,
    /// Who it was granted to; stands on every record made with it.
    pub subject: String,
    /// What they may do.
    pub role: String,
    /// The mill they speak for.
    pub mill: Option<MillId>,
    /// When it ends.
    pub expires: Timestamp,
    /// Who granted it, and when.
    pub made: Stamp,
}

/// A grant as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GrantState {
    /// The grant.
    pub grant: Grant,
    /// A key's scopes.
    pub scopes: Option<Vec<String>>,
    /// How a key's secret ends.
    pub last_four: Option<String>,
    /// When somebody who signed in was last kept so.
    pub refreshed: Option<Timestamp>,
    /// That it was revoked.
    pub revoked: Option<Reversed>,
    /// That its account was closed.
    pub account_closed: Option<Reversed>,
}

impl GrantState {
    /// Whether it lets anybody in at this time.
    #[must_use]
    pub fn stands_at(&self, now: Timestamp) -> bool {
        self.revoked.is_none() && self.account_closed.is_none() && self.grant.expires > now
    }
}

type Row = (
    (uuid::Uuid, String, Option<uuid::Uuid>, String, String, Option<uuid::Uuid>),
    (Option<Vec<String>>, Option<String>),
    (jiff_diesel::Timestamp, jiff_diesel::Timestamp, String),
    jiff_diesel::NullableTimestamp,
    ReversedColumns,
    ReversedColumns,
);

fn read(
    (facts, key, (expires, at, by), refreshed, revoked, closed): Row,
) -> Result<GrantState, StorageError> {
    let (id, kind, account, subject, role, mill) = facts;
    let kind = match (kind.as_str(), account) {
        ("sign_in", Some(account)) => GrantKind::SignIn(AccountId::from_uuid(account)),
        ("token", None) => GrantKind::Token,
        ("machine_key", None) => GrantKind::MachineKey,
        (other, _) => return Err(StorageError::inconsistent("access_grant", format!("kind {other}"))),
    };
    Ok(GrantState {
        grant: Grant {
            id: GrantId::from_uuid(id),
            kind,
            subject,
            role,
            mill: mill.map(MillId::from_uuid),
            expires: expires.to_jiff(),
            made: Stamp { at: at.to_jiff(), by },
        },
        scopes: key.0,
        last_four: key.1,
        refreshed: refreshed.to_jiff(),
        revoked: reversed(revoked),
        account_closed: reversed(closed),
    })
}

/// When somebody's refresh token was last exchanged for the next one.
const REFRESHED: &str = "(SELECT token.made_at FROM refresh_token AS token \
    WHERE token.outfit_id = access_grant.outfit_id AND token.grant_id = access_grant.grant_id \
    ORDER BY token.refresh_token_id DESC LIMIT 1)";

macro_rules! grants {
    ($books:ident) => {
        access_grant::table
            .left_join(
                access_revocation::table.on(access_revocation::outfit_id
                    .eq(access_grant::outfit_id)
                    .and(access_revocation::grant_id.eq(access_grant::grant_id))),
            )
            .left_join(
                account_closure::table.on(account_closure::outfit_id
                    .eq(access_grant::outfit_id)
                    .and(account_closure::account_id.nullable().eq(access_grant::account_id))),
            )
            .filter(access_grant::outfit_id.eq($books.outfit_uuid()))
            .select((
                (
                    access_grant::grant_id,
                    access_grant::kind,
                    access_grant::account_id,
                    access_grant::subject,
                    access_grant::role,
                    access_grant::mill_id,
                ),
                (access_grant::scopes, access_grant::last_four),
                (access_grant::expires_at, access_grant::made_at, access_grant::made_by),
                sql::<Nullable<Timestamptz>>(REFRESHED),
                (
                    access_revocation::reason.nullable(),
                    access_revocation::made_at.nullable(),
                    access_revocation::made_by.nullable(),
                ),
                (
                    account_closure::reason.nullable(),
                    account_closure::made_at.nullable(),
                    account_closure::made_by.nullable(),
                ),
            ))
    };
}

impl Books {
    /// Grants access; `key` for a key, and only for one.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the mill or the account is not the outfit's, with `NoOutfit` when
    /// there is no such outfit.
    pub async fn add_grant(&mut self, new: &Grant, key: Option<&MachineKey>) -> Result<(), StorageError> {
        let (kind, account) = match new.kind {
            GrantKind::SignIn(account) => ("sign_in", Some(account.uuid())),
            GrantKind::Token => ("token", None),
            GrantKind::MachineKey => ("machine_key", None),
        };
        diesel::insert_into(access_grant::table)
            .values((
                access_grant::outfit_id.eq(self.outfit_uuid()),
                access_grant::grant_id.eq(new.id.uuid()),
                access_grant::kind.eq(kind),
                access_grant::account_id.eq(account),
                access_grant::subject.eq(&new.subject),
                access_grant::role.eq(&new.role),
                access_grant::mill_id.eq(new.mill.map(Id::uuid)),
                access_grant::scopes.eq(key.map(|key| &key.scopes)),
                access_grant::secret_hash.eq(key.map(|key| key.secret_hash.as_slice())),
                access_grant::last_four.eq(key.map(|key| &key.last_four)),
                access_grant::expires_at.eq(jiff_diesel::Timestamp::from(new.expires)),
                access_grant::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                access_grant::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of grants, oldest first; only those that let somebody in at a time when one is named.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn grants(
        &mut self,
        standing_at: Option<Timestamp>,
        page: Page<GrantId>,
    ) -> Result<Vec<GrantState>, StorageError> {
        let mut query = grants!(self)
            .filter(access_grant::grant_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(access_grant::grant_id)
            .limit(page.limit.into())
            .into_boxed();
        if let Some(now) = standing_at {
            query = query
                .filter(access_grant::expires_at.gt(jiff_diesel::Timestamp::from(now)))
                .filter(access_revocation::grant_id.nullable().is_null())
                .filter(account_closure::account_id.nullable().is_null());
        }
        let rows: Vec<Row> = query.load(&mut self.connection).await?;
        rows.into_iter().map(read).collect()
    }

    /// The grant with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn grant(&mut self, id: GrantId) -> Result<Option<GrantState>, StorageError> {
        let query = grants!(self).filter(access_grant::grant_id.eq(id.uuid()));
        let row = query.first::<Row>(&mut self.connection).await.optional()?;
        row.map(read).transpose()
    }

    /// The key whose secret has this SHA-256.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the row cannot be read.
    pub async fn machine_key(&mut self, secret_hash: &[u8; 32]) -> Result<Option<GrantState>, StorageError> {
        let query = grants!(self).filter(access_grant::secret_hash.eq(secret_hash.as_slice()));
        let row = query.first::<Row>(&mut self.connection).await.optional()?;
        row.map(read).transpose()
    }

    /// Revokes a grant.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `RevokedAlready` when it was revoked before, with `NoSuch` when it is not the
    /// outfit's.
    pub async fn revoke(&mut self, id: GrantId, reason: &str, made: &Stamp) -> Result<(), StorageError> {
        diesel::insert_into(access_revocation::table)
            .values((
                access_revocation::outfit_id.eq(self.outfit_uuid()),
                access_revocation::grant_id.eq(id.uuid()),
                access_revocation::reason.eq(reason),
                access_revocation::made_at.eq(jiff_diesel::Timestamp::from(made.at)),
                access_revocation::made_by.eq(&made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Revokes every grant by which somebody is signed in with an account.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn sign_out_everywhere(
        &mut self,
        account: AccountId,
        reason: &str,
        made: &Stamp,
    ) -> Result<(), StorageError> {
        diesel::sql_query(
            "INSERT INTO access_revocation (outfit_id, grant_id, reason, made_at, made_by)
             SELECT outfit_id, grant_id, $3, $4, $5 FROM access_grant
             WHERE outfit_id = $1 AND account_id = $2 AND expires_at > $4
             ON CONFLICT DO NOTHING",
        )
        .bind::<diesel::sql_types::Uuid, _>(self.outfit_uuid())
        .bind::<diesel::sql_types::Uuid, _>(account.uuid())
        .bind::<diesel::sql_types::Text, _>(reason)
        .bind::<Timestamptz, _>(jiff_diesel::Timestamp::from(made.at))
        .bind::<diesel::sql_types::Text, _>(&made.by)
        .execute(&mut self.connection)
        .await?;
        Ok(())
    }
}
