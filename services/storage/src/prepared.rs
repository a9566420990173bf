//! Statements whose text never changes: each connection prepares them once.
//!
//! What `diesel::sql_query` runs is prepared anew every time, with a round trip of its own, because its text may hold
//! anything. Here the text is a constant and only what is bound differs.

use diesel::pg::Pg;
use diesel::query_builder::{AstPass, Query, QueryFragment, QueryId};
use diesel::result::{Error, QueryResult};
use diesel::serialize::ToSql;
use diesel::sql_types::{HasSqlType, Untyped};

/// A statement of fixed text with what is bound to it, in the order of the text: a `$` stands wherever the next value
/// goes.
pub(crate) struct Prepared<'a> {
    text: &'static str,
    values: Vec<Box<dyn Value + 'a>>,
}

impl<'a> Prepared<'a> {
    /// A statement with nothing bound yet.
    pub(crate) const fn new(text: &'static str) -> Self {
        Self { text, values: Vec::new() }
    }

    /// Binds the next value as the SQL type `ST`.
    pub(crate) fn bind<ST, T>(mut self, value: T) -> Self
    where
        ST: Send + 'a,
        T: ToSql<ST, Pg> + Send + 'a,
        Pg: HasSqlType<ST>,
    {
        self.values.push(Box::new(Bound { value, kind: std::marker::PhantomData::<fn() -> ST> }));
        self
    }
}

/// Something bound, of whatever type.
trait Value: Send {
    fn push<'b>(&'b self, out: &mut AstPass<'_, 'b, Pg>) -> QueryResult<()>;
}

struct Bound<ST, T> {
    value: T,
    kind: std::marker::PhantomData<fn() -> ST>,
}

impl<ST, T> Value for Bound<ST, T>
where
    T: ToSql<ST, Pg> + Send,
    Pg: HasSqlType<ST>,
{
    fn push<'b>(&'b self, out: &mut AstPass<'_, 'b, Pg>) -> QueryResult<()> {
        out.push_bind_param::<ST, T>(&self.value)
    }
}

impl QueryFragment<Pg> for Prepared<'_> {
    fn walk_ast<'b>(&'b self, mut out: AstPass<'_, 'b, Pg>) -> QueryResult<()> {
        let mut values = self.values.iter();
        let mut parts = self.text.split('$');
        out.push_sql(parts.next().unwrap_or_default());
        for part in parts {
            let value = values.next();
            let value =
                value.ok_or_else(|| Error::QueryBuilderError("a place has no value bound to it".into()))?;
            value.push(&mut out)?;
            out.push_sql(part);
        }
        match values.next() {
            None => Ok(()),
            Some(_) => Err(Error::QueryBuilderError("a value has no place in the statement".into())),
        }
    }
}

/// Known by its text, like any statement whose type says too little.
impl QueryId for Prepared<'_> {
    type QueryId = ();
    const HAS_STATIC_QUERY_ID: bool = false;
}

/// What it answers is read by the names of its columns.
impl Query for Prepared<'_> {
    type SqlType = Untyped;
}

#[cfg(test)]
mod tests {
    use diesel::sql_types::{BigInt, Text};

    use super::*;

    #[test]
    fn values_go_where_the_text_says_and_the_statement_is_prepared_once() {
        let statement =
            Prepared::new("SELECT $ AS book, $ AS number").bind::<Text, _>("N").bind::<BigInt, _>(7);
        assert_eq!(
            diesel::debug_query::<Pg, _>(&statement).to_string(),
            "SELECT $1 AS book, $2 AS number -- binds: [\"N\", 7]"
        );
        assert!(statement.is_safe_to_cache_prepared(&Pg).expect("it can be built"));
    }
}
