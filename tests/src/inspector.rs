//! The database from behind the service: what is in the tables, who waits for whom.

use std::collections::BTreeMap;

use tokio_postgres::{Client, NoTls, SimpleQueryMessage};

/// How many rows each table holds for each outfit.
pub type RowCounts = BTreeMap<(String, String), u64>;

/// A connection to the database as its owner, past the service.
pub struct Inspector {
    runtime: tokio::runtime::Runtime,
    client: Client,
}

impl std::fmt::Debug for Inspector {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("Inspector")
    }
}

impl Inspector {
    /// Connects to the database at this address.
    ///
    /// # Panics
    ///
    /// When it cannot be reached.
    #[must_use]
    pub fn connect(url: &str) -> Self {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        let (client, connection) =
            runtime.block_on(tokio_postgres::connect(url, NoTls)).expect("the database can be reached");
        drop(runtime.spawn(connection));
        Self { runtime, client }
    }

    /// Runs statements and answers with every row of all of them, as text.
    ///
    /// # Panics
    ///
    /// When the database refuses.
    pub fn ask(&self, statements: &str) -> Vec<Vec<Option<String>>> {
        let answers = self.runtime.block_on(self.client.simple_query(statements));
        let answers = answers.unwrap_or_else(|error| panic!("{statements}: {error:?}"));
        answers
            .iter()
            .filter_map(|answer| match answer {
                SimpleQueryMessage::Row(row) => {
                    Some((0..row.len()).map(|column| row.get(column).map(str::to_owned)).collect())
                }
                _ => None,
            })
            .collect()
    }

    /// The whole number in the first column of the first row.
    ///
    /// # Panics
    ///
    /// When there is none.
    pub fn number(&self, statements: &str) -> i64 {
        let rows = self.ask(statements);
        let first = rows.first().and_then(|row| row.first()).and_then(Option::as_deref);
        first.and_then(|text| text.parse().ok()).unwrap_or_else(|| panic!("{statements}: {rows:?}"))
    }

    /// From now on this connection sees the rows of one outfit.
    pub fn open_books_of(&self, outfit: kernel::OutfitId) {
        let _none = self.ask(&format!("SET skidway.outfit = '{outfit}'"));
    }

    /// The rows of every table, counted for every outfit at once.
    ///
    /// Row-level security hides them even from the tables' owner, so it is lifted in a transaction that is rolled
    /// back.
    ///
    /// # Panics
    ///
    /// When somebody holds a table for more than ten seconds.
    #[must_use]
    pub fn counts(&self) -> RowCounts {
        let tables = self.ask(
            "SELECT relname FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace \
             AND relrowsecurity ORDER BY relname",
        );
        let tables: Vec<String> = tables.into_iter().flatten().flatten().collect();
        assert!(tables.len() > 15, "not the whole database: {tables:?}");
        let lifted: String =
            tables.iter().map(|table| format!("ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY;")).collect();
        let counted: Vec<_> = tables
            .iter()
            .map(|table| {
                format!("SELECT '{table}', outfit_id::text, count(*) FROM {table} GROUP BY outfit_id")
            })
            .collect();
        let counted = counted.join(" UNION ALL ");
        let rows = self.ask(&format!("BEGIN; SET LOCAL lock_timeout = '10s'; {lifted} {counted}; ROLLBACK"));
        rows.into_iter()
            .map(|row| match row.as_slice() {
                [Some(table), Some(outfit), Some(count)] => {
                    ((table.clone(), outfit.clone()), count.parse().expect("a count"))
                }
                other => panic!("not a count: {other:?}"),
            })
            .collect()
    }

    /// Holds the books of an outfit shut against every writer until [`Inspector::let_go`], as a long posting would.
    pub fn hold_shut(&self, outfit: kernel::OutfitId) {
        let _none = self.ask(&format!("SELECT pg_advisory_lock(hashtextextended('{outfit}', 0))"));
    }

    /// Ends [`Inspector::hold_shut`].
    pub fn let_go(&self) {
        let _none = self.ask("SELECT pg_advisory_unlock_all()");
    }

    /// Waits until so many of the service's transactions wait for shut books.
    ///
    /// # Panics
    ///
    /// When they do not come.
    pub fn await_waiting(&self, count: i64) {
        let waiting = "SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted \
                       AND database = (SELECT oid FROM pg_database WHERE datname = current_database())";
        self.until("the requests do not reach the books", || self.number(waiting) >= count);
    }

    /// Waits for something that happens by itself, asking the database in between.
    ///
    /// # Panics
    ///
    /// When it has not happened after very many questions.
    pub fn until(&self, otherwise: &str, mut done: impl FnMut() -> bool) {
        for _ in 0..100_000 {
            if done() {
                return;
            }
        }
        panic!("{otherwise}");
    }
}
