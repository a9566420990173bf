//! Signing in: who tried, who succeeded, and the tokens that keep somebody signed in.

use diesel::{BoolExpressionMethods, ExpressionMethods, JoinOnDsl, OptionalExtension, QueryDsl};
use diesel_async::RunQueryDsl;
use jiff::Timestamp;
use kernel::{GrantId, Id, RefreshTokenId, SignInAttemptId};

use crate::schema::{refresh_token, sign_in_attempt, sign_in_success};
use crate::{Books, StorageError};

/// A name that was tried, as the books keep it: its SHA-256.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SignInName(pub [u8; 32]);

/// One try to sign in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SignInAttempt {
    /// When.
    pub at: Timestamp,
    /// Whether it succeeded. One whose password is being looked at has not.
    pub succeeded: bool,
}

/// What keeps somebody signed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RefreshToken {
    /// Its id.
    pub id: RefreshTokenId,
    /// Whose access it refreshes.
    pub grant: GrantId,
    /// SHA-256 of the token.
    pub token_hash: [u8; 32],
    /// The one it was exchanged for; none for the first.
    pub follows: Option<RefreshTokenId>,
    /// Until when it is good.
    pub expires: Timestamp,
    /// When it was made.
    pub at: Timestamp,
}

/// A refresh token that the outfit gave out, and what became of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnownRefreshToken {
    /// The token.
    pub token: RefreshToken,
    /// The one that was given out for it, if it was used.
    pub next: Option<RefreshToken>,
    /// Whether that one was used in its turn.
    pub next_used: bool,
}

type Row =
    (uuid::Uuid, uuid::Uuid, Vec<u8>, Option<uuid::Uuid>, jiff_diesel::Timestamp, jiff_diesel::Timestamp);

fn read((id, grant, hash, follows, expires, at): Row) -> Result<RefreshToken, StorageError> {
    let unreadable = |_| StorageError::inconsistent("refresh_token", "the hash has another length");
    Ok(RefreshToken {
        id: RefreshTokenId::from_uuid(id),
        grant: GrantId::from_uuid(grant),
        token_hash: hash.try_into().map_err(unreadable)?,
        follows: follows.map(RefreshTokenId::from_uuid),
        expires: expires.to_jiff(),
        at: at.to_jiff(),
    })
}

macro_rules! refresh_tokens {
    ($books:ident) => {
        refresh_token::table.filter(refresh_token::outfit_id.eq($books.outfit_uuid())).select((
            refresh_token::refresh_token_id,
            refresh_token::grant_id,
            refresh_token::token_hash,
            refresh_token::follows,
            refresh_token::expires_at,
            refresh_token::made_at,
        ))
    };
}

impl Books {
    /// The newest tries with a name, newest first. Waits for whoever tries with it at this moment, and makes others
    /// wait until the transaction ends.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails.
    pub async fn attempts(
        &mut self,
        name: SignInName,
        most: u16,
    ) -> Result<Vec<SignInAttempt>, StorageError> {
        self.hold(&kernel::hexadecimal(&name.0)).await?;
        let rows = sign_in_attempt::table
            .left_join(
                sign_in_success::table.on(sign_in_success::outfit_id
                    .eq(sign_in_attempt::outfit_id)
                    .and(sign_in_success::attempt_id.eq(sign_in_attempt::attempt_id))),
            )
            .filter(sign_in_attempt::outfit_id.eq(self.outfit_uuid()))
            .filter(sign_in_attempt::name_hash.eq(name.0.as_slice()))
            .order(sign_in_attempt::attempt_id.desc())
            .limit(most.into())
            .select((
                sign_in_attempt::made_at,
                diesel::NullableExpressionMethods::nullable(sign_in_success::attempt_id).is_not_null(),
            ))
            .load::<(jiff_diesel::Timestamp, bool)>(&mut self.connection)
            .await?;
        Ok(rows.into_iter().map(|(at, succeeded)| SignInAttempt { at: at.to_jiff(), succeeded }).collect())
    }

    /// Writes down that somebody tries to sign in.
    ///
    /// # Errors
    ///
    /// [`StorageError::Refused`] with `NoOutfit` when there is no such outfit.
    pub async fn add_attempt(
        &mut self,
        id: SignInAttemptId,
        name: SignInName,
        at: Timestamp,
    ) -> Result<(), StorageError> {
        diesel::insert_into(sign_in_attempt::table)
            .values((
                sign_in_attempt::outfit_id.eq(self.outfit_uuid()),
                sign_in_attempt::attempt_id.eq(id.uuid()),
                sign_in_attempt::name_hash.eq(name.0.as_slice()),
                sign_in_attempt::made_at.eq(jiff_diesel::Timestamp::from(at)),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Writes down that a try succeeded, and what access it gave.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_success(
        &mut self,
        attempt: SignInAttemptId,
        grant: GrantId,
    ) -> Result<(), StorageError> {
        diesel::insert_into(sign_in_success::table)
            .values((
                sign_in_success::outfit_id.eq(self.outfit_uuid()),
                sign_in_success::attempt_id.eq(attempt.uuid()),
                sign_in_success::grant_id.eq(grant.uuid()),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// Gives out a refresh token.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database refuses or fails.
    pub async fn add_refresh_token(&mut self, new: &RefreshToken) -> Result<(), StorageError> {
        diesel::insert_into(refresh_token::table)
            .values((
                refresh_token::outfit_id.eq(self.outfit_uuid()),
                refresh_token::refresh_token_id.eq(new.id.uuid()),
                refresh_token::grant_id.eq(new.grant.uuid()),
                refresh_token::token_hash.eq(new.token_hash.as_slice()),
                refresh_token::follows.eq(new.follows.map(Id::uuid)),
                refresh_token::expires_at.eq(jiff_diesel::Timestamp::from(new.expires)),
                refresh_token::made_at.eq(jiff_diesel::Timestamp::from(new.at)),
            ))
            .execute(&mut self.connection)
            .await?;
        Ok(())
    }

    /// The refresh token with this SHA-256, and what became of it. Waits for whoever refreshes the same access at this
    /// moment, and makes others wait until the transaction ends.
    ///
    /// # Errors
    ///
    /// [`StorageError`] when the database fails or a row cannot be read.
    pub async fn refresh_token(
        &mut self,
        token_hash: &[u8; 32],
    ) -> Result<Option<KnownRefreshToken>, StorageError> {
        let query = refresh_tokens!(self).filter(refresh_token::token_hash.eq(token_hash.as_slice()));
        let Some(row) = query.first::<Row>(&mut self.connection).await.optional()? else { return Ok(None) };
        let token = read(row)?;
        self.hold(&token.grant.to_string()).await?;
        let next = self.next_refresh_token(token.id).await?;
        let next_used = match &next {
            Some(next) => self.next_refresh_token(next.id).await?.is_some(),
            None => false,
        };
        Ok(Some(KnownRefreshToken { token, next, next_used }))
    }

    async fn next_refresh_token(&mut self, of: RefreshTokenId) -> Result<Option<RefreshToken>, StorageError> {
        let query = refresh_tokens!(self).filter(refresh_token::follows.eq(of.uuid()));
        query.first::<Row>(&mut self.connection).await.optional()?.map(read).transpose()
    }
}
