//! Which records of money a list is to hold: charges, advances, payments, holdback that was let go.

use ::settlement::Payee;
use jiff::civil::Date;
use kernel::WorkerId;

/// Which records of money a list is to hold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MoneyFilter {
    /// Of this worker or, for payments, this mill.
    pub of: Option<Payee>,
    /// Of this day or later.
    pub from: Option<Date>,
    /// Of this day or earlier.
    pub to: Option<Date>,
}

impl MoneyFilter {
    /// Of one worker, or of everybody.
    #[must_use]
    pub fn of_worker(worker: Option<WorkerId>) -> Self {
        Self { of: worker.map(Payee::Worker), ..Self::default() }
    }
}

/// A record beside what took it back, if anything did.
macro_rules! with_reversal {
    ($table:ident . $id:ident) => {
        $table::table.left_join(
            $crate::schema::reversal::table.on($crate::schema::reversal::outfit_id
                .eq($table::outfit_id)
                .and($crate::schema::reversal::$id.eq($table::$id.nullable()))),
        )
    };
}

/// The columns of what took a record back.
macro_rules! reversed_columns {
    () => {
        (
            $crate::schema::reversal::reason.nullable(),
            $crate::schema::reversal::made_at.nullable(),
            $crate::schema::reversal::made_by.nullable(),
        )
    };
}

/// A page of records of workers' money, in the order of their ids: narrowed by day, page and worker.
macro_rules! page_of_money {
    ($query:expr, $table:ident . $id:ident, $filter:expr, $page:expr) => {{
        let mut query = $query
            .filter($table::$id.gt($page.after.map_or(uuid::Uuid::nil(), Id::uuid)))
            .order($table::$id)
            .limit($page.limit.into())
            .into_boxed();
        if let Some(::settlement::Payee::Worker(worker)) = $filter.of {
            query = query.filter($table::worker_id.eq(worker.uuid()));
        }
        if let Some(from) = $filter.from {
            query = query.filter($table::dated.ge(jiff_diesel::Date::from(from)));
        }
        if let Some(to) = $filter.to {
            query = query.filter($table::dated.le(jiff_diesel::Date::from(to)));
        }
        query
    }};
}

/// What posted settlements took of a record, as SQL.
macro_rules! taken_of {
    ($table:literal) => {
        concat!(
            "(SELECT coalesce(sum(taken_minor), 0)::bigint FROM settlement_take_off AS taken WHERE taken.outfit_id = ",
            $table,
            ".outfit_id AND taken.",
            $table,
            "_id = ",
            $table,
            ".",
            $table,
            "_id)"
        )
    };
}

/// That something of a record that counts is still to be taken, or to be given back, as SQL.
macro_rules! outstanding_of {
    ($table:literal) => {
        concat!(
            "(CASE WHEN reversal.reversal_id IS NULL THEN ",
            $table,
            ".amount_minor ELSE 0 END) <> ",
            $crate::money_filter::taken_of!($table)
        )
    };
}

pub(crate) use {outstanding_of, page_of_money, reversed_columns, taken_of, with_reversal};
