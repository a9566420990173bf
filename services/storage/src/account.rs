//! Accounts: people who sign in, their leave to set a password, the password, and that an account is closed.

use diesel::dsl::sql;
use diesel::sql_types::{Bool, Nullable, Timestamptz};
use diesel::{
    BoolExpressionMethods, ExpressionMethods, JoinOnDsl, NullableExpressionMethods, OptionalExtension,
    QueryDsl,
};
use diesel_async::RunQueryDsl;
use jiff::Timestamp;
use kernel::{AccountId, EnrolmentId, Id, MillId, PasswordId};

use crate::reversal::{ReversedColumns, reversed};
use crate::schema::{account, account_closure, account_enrolment, account_password};
use crate::{Books, Page, Reversed, Stamp, StorageError};

/// The name that an OpenID Connect issuer has for somebody.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExternalName {
    /// The issuer.
    pub issuer: String,
    /// Its name for the person.
    pub subject: String,
}

/// Somebody who signs in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Its id.
    pub id: AccountId,
    /// What its owner signs in with.
    pub name: String,
    /// Who it is, in words.
    pub says: Option<String>,
    /// What they may do.
    pub role: String,
    /// The mill they speak for.
    pub mill: Option<MillId>,
    /// By whom else they are known.
    pub external: Option<ExternalName>,
    /// Who registered it, and when.
    pub made: Stamp,
}

/// An account as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountState {
    /// The account.
    pub account: Account,
    /// Whether its owner has set a password.
    pub has_password: bool,
    /// Until when a password can be set with the newest enrolment code, if that was not used.
    pub enrolment_expires: Option<Timestamp>,
    /// That it is closed.
    pub closed: Option<Reversed>,
}

/// Leave to set a password once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Enrolment {
    /// Its id.
    pub id: EnrolmentId,
    /// Whose password.
    pub account: AccountId,
    /// SHA-256 of the code.
    pub code_hash: [u8; 32],
    /// Why it was given.
    pub reason: String,
    /// Until when it is good.
    pub expires: Timestamp,
    /// Who gave it, and when.
    pub made: Stamp,
}

type Row = (
    (uuid::Uuid, String, Option<String>, String, Option<uuid::Uuid>, Option<String>, Option<String>),
    (jiff_diesel::Timestamp, String),
    bool,
    jiff_diesel::NullableTimestamp,
    ReversedColumns,
);

fn read((facts, (at, by), has_password, enrolment_expires, closed): Row) -> AccountState {
    let (id, name, says, role, mill, issuer, subject) = facts;
    AccountState {
        account: Account {
            id: AccountId::from_uuid(id),
            name,
            says,
            role,
            mill: mill.map(MillId::from_uuid),
            external: issuer.zip(subject).map(|(issuer, subject)| ExternalName { issuer, subject }),
            made: Stamp { at: at.to_jiff(), by },
        },
        has_password,
        enrolment_expires: enrolment_expires.to_jiff(),
        closed: reversed(closed),
    }
}

const HAS_PASSWORD: &str = "EXISTS (SELECT FROM account_password AS password \
    WHERE password.outfit_id = account.outfit_id AND password.account_id = account.account_id)";

/// Only the newest code of an account is good.
const ENROLMENT_EXPIRES: &str = "(SELECT CASE WHEN used.password_id IS NULL THEN code.expires_at END \
    FROM account_enrolment AS code \
    LEFT JOIN account_password AS used ON used.outfit_id = code.outfit_id AND used.enrolment_id = code.enrolment_id \
    WHERE code.outfit_id = account.outfit_id AND code.account_id = account.account_id \
    ORDER BY code.enrolment_id DESC LIMIT 1)";

macro_rules! accounts {
    ($books:ident) => {
        account::table
            .left_join(
                account_closure::table.on(account_closure::outfit_id
                    .eq(account::outfit_id)
                    .and(account_closure::account_id.eq(account::account_id))),
            )
            .filter(account::outfit_id.eq($books.outfit_uuid()))
            .select((
                (
                    account::account_id,
                    account::name,
                    account::says,
                    account::role,
                    account::mill_id,
                    account::external_issuer,
                    account::external_subject,
                ),
                (account::made_at, account::made_by),
                sql::<Bool>(HAS_PASSWORD),
                sql::<Nullable<Timestamptz>>(ENROLMENT_EXPIRES),
                (
                    account_closure::reason.nullable(),
                    account_closure::made_at.nullable(),
                    account_closure::made_by.nullable(),
                ),
            ))
    };
}

impl Books {
    /// Registers an account.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NameTaken` when the outfit has one of that name, or one that the same issuer
    /// knows by the same name; with `NoSuch` when the mill is not the outfit's.
    pub async fn add_account(&mut self, new: &Account) -> Result<(), StorageError> {
        let external = new.external.as_ref();
        diesel::insert_into(account::table)
            .values((
                account::outfit_id.eq(self.outfit_uuid()),
                account::account_id.eq(new.id.uuid()),
                account::name.eq(&new.name),
                account::says.eq(&new.says),
                account::role.eq(&new.role),
                account::mill_id.eq(new.mill.map(Id::uuid)),
                account::external_issuer.eq(external.map(|name| &name.issuer)),
                account::external_subject.eq(external.map(|name| &name.subject)),
                account::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                account::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// A page of accounts, oldest first.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn accounts(&mut self, page: Page<AccountId>) -> Result<Vec<AccountState>, StorageError> {
        let rows: Vec<Row> = accounts!(self)
            .filter(account::account_id.gt(page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order(account::account_id)
            .limit(page.limit.into())
            .load(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(read).collect())
    }

    /// The account with this id, if the outfit has it.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn account(&mut self, id: AccountId) -> Result<Option<AccountState>, StorageError> {
        let query = accounts!(self).filter(account::account_id.eq(id.uuid()));
        let row = query.first::<Row>(&mut self.connection).await.optional()?;
        Ok(row.map(read))
    }

    /// The account whose owner signs in with this name.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn account_named(&mut self, name: &str) -> Result<Option<AccountState>, StorageError> {
        let query = accounts!(self).filter(account::name.eq(name));
        let row = query.first::<Row>(&mut self.connection).await.optional()?;
        Ok(row.map(read))
    }

    /// The account whose owner an issuer knows by this name.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn account_known_as(
        &mut self,
        name: &ExternalName,
    ) -> Result<Option<AccountState>, StorageError> {
        let query = accounts!(self)
            .filter(account::external_issuer.eq(&name.issuer))
            .filter(account::external_subject.eq(&name.subject));
        let row = query.first::<Row>(&mut self.connection).await.optional()?;
        Ok(row.map(read))
    }

    /// Gives leave to set a password. Codes given before are worth nothing any more.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoSuch` when the account is not the outfit's.
    pub async fn add_enrolment(&mut self, new: &Enrolment) -> Result<(), StorageError> {
        diesel::insert_into(account_enrolment::table)
            .values((
                account_enrolment::outfit_id.eq(self.outfit_uuid()),
                account_enrolment::enrolment_id.eq(new.id.uuid()),
                account_enrolment::account_id.eq(new.account.uuid()),
                account_enrolment::code_hash.eq(new.code_hash.as_slice()),
                account_enrolment::reason.eq(&new.reason),
                account_enrolment::expires_at.eq(jiff_diesel::Timestamp::from(new.expires)),
                account_enrolment::made_at.eq(jiff_diesel::Timestamp::from(new.made.at)),
                account_enrolment::made_by.eq(&new.made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The leave to set this account's password that a code gives now: it is the newest code, it has not expired, it
    /// was not used, and the account is open.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn enrolment(
        &mut self,
        account: AccountId,
        code_hash: &[u8; 32],
        now: Timestamp,
    ) -> Result<Option<EnrolmentId>, StorageError> {
        let state = self.account(account).await?;
        let good = |state: &AccountState| {
            state.closed.is_none() && state.enrolment_expires.is_some_and(|expires| expires > now)
        };
        if !state.is_some_and(|state| good(&state)) {
            return Ok(None);
        }
        let newest = account_enrolment::table
            .filter(account_enrolment::outfit_id.eq(self.outfit_uuid()))
            .filter(account_enrolment::account_id.eq(account.uuid()))
            .order(account_enrolment::enrolment_id.desc())
            .select((account_enrolment::enrolment_id, account_enrolment::code_hash))
            .first::<(uuid::Uuid, Vec<u8>)>(&mut self.connection)
            .await
            .optional()?;
        Ok(newest.filter(|(_, hash)| hash == code_hash).map(|(id, _)| EnrolmentId::from_uuid(id)))
    }

    /// Sets an account's password: `phc` is what Argon2id makes of it, with its parameters and salt.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `EnrolmentUsed` when the code set one before.
    pub async fn add_password(
        &mut self,
        id: PasswordId,
        account: AccountId,
        enrolment: EnrolmentId,
        phc: &str,
        at: Timestamp,
    ) -> Result<(), StorageError> {
        diesel::insert_into(account_password::table)
            .values((
                account_password::outfit_id.eq(self.outfit_uuid()),
                account_password::password_id.eq(id.uuid()),
                account_password::account_id.eq(account.uuid()),
                account_password::enrolment_id.eq(enrolment.uuid()),
                account_password::phc.eq(phc),
                account_password::made_at.eq(jiff_diesel::Timestamp::from(at)),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// What Argon2id made of an account's password; none when it has none.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn password(&mut self, account: AccountId) -> Result<Option<String>, StorageError> {
        let newest = account_password::table
            .filter(account_password::outfit_id.eq(self.outfit_uuid()))
            .filter(account_password::account_id.eq(account.uuid()))
            .order(account_password::password_id.desc())
            .select(account_password::phc)
            .first(&mut self.connection)
            .await;
        Ok(newest.optional()?)
    }

    /// Waits for whoever changes how an account's owner signs in, and makes others wait until the transaction ends.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or the wait is too long.
    pub async fn hold_account(&mut self, account: AccountId) -> Result<(), StorageError> {
        self.hold(&account.to_string()).await
    }

    /// Closes an account: nobody signs in with it any more, and whoever has is signed out.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `RevokedAlready` when it was closed before, with `NoSuch` when it is not the
    /// outfit's.
    pub async fn close_account(
        &mut self,
        account: AccountId,
        reason: &str,
        made: &Stamp,
    ) -> Result<(), StorageError> {
        diesel::insert_into(account_closure::table)
            .values((
                account_closure::outfit_id.eq(self.outfit_uuid()),
                account_closure::account_id.eq(account.uuid()),
                account_closure::reason.eq(reason),
                account_closure::made_at.eq(jiff_diesel::Timestamp::from(made.at)),
                account_closure::made_by.eq(&made.by),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }
}
