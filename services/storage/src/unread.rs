//! Rows that are taken from the database as they come, to be read later and elsewhere.
//!
//! Reading a row costs more than receiving it: its arrays and documents become values one by one. Where many rows are
//! read, whoever has a processor to spare does that, while the next rows are on their way.

use diesel::QueryResult;
use diesel::deserialize::{FromSql, FromSqlRow};
use diesel::pg::{Pg, PgValue};
use diesel::query_builder::{AsQuery, QueryFragment, QueryId};
use diesel::sql_types::{Json, Jsonb};
use diesel_async::{AsyncConnectionCore, AsyncPgConnection};
use futures_util::TryStreamExt;
use serde::de::DeserializeOwned;

use crate::StorageError;

/// Rows that have come and are not read yet.
pub(crate) struct Unread<R>(Box<dyn FnOnce() -> QueryResult<Vec<R>> + Send>);

impl<R> Unread<R> {
    /// Asks for rows. Several may be asked for on one connection at once: the questions go out together.
    pub(crate) async fn of<Q>(mut connection: &AsyncPgConnection, query: Q) -> Result<Self, StorageError>
    where
        Q: AsQuery,
        Q::Query: QueryFragment<Pg> + QueryId,
        R: FromSqlRow<Q::SqlType, Pg> + 'static,
    {
        let rows = connection.load(query).await?.try_collect::<Vec<_>>().await?;
        let read = move || rows.iter().map(|row| R::build_from_row(row).map_err(unreadable)).collect();
        Ok(Self(Box::new(read)))
    }

    /// Reads them; `table` is told of a row that cannot be read.
    pub(crate) fn read(self, table: &'static str) -> Result<Vec<R>, StorageError> {
        (self.0)().map_err(|why| StorageError::inconsistent(table, why))
    }
}

fn unreadable(why: Box<dyn std::error::Error + Send + Sync>) -> diesel::result::Error {
    diesel::result::Error::DeserializationError(why)
}

/// A JSON document that becomes the value it stands for at once, with no tree of names and values between.
#[derive(Debug, FromSqlRow)]
pub(crate) struct Document<T>(pub(crate) T);

impl<T: DeserializeOwned> FromSql<Jsonb, Pg> for Document<T> {
    fn from_sql(value: PgValue<'_>) -> diesel::deserialize::Result<Self> {
        // The form in which Postgres sends it: its number, of which there is only 1, and then the text.
        match value.as_bytes().split_first() {
            Some((1, text)) => Ok(Self(serde_json::from_slice(text)?)),
            _ => Err("the document is in a form that is not known".into()),
        }
    }
}

impl<T: DeserializeOwned> FromSql<Json, Pg> for Document<T> {
    fn from_sql(value: PgValue<'_>) -> diesel::deserialize::Result<Self> {
        Ok(Self(serde_json::from_slice(value.as_bytes())?))
    }
}
