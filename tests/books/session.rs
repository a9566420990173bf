//! A connection of the test's own, past the service.

use kernel::OutfitId;
use localpg::ThrowawayDatabase;
use tokio::runtime::{Builder, Runtime};
use tokio_postgres::{Client, NoTls, SimpleQueryMessage};

/// A record was changed, or is about to be.
pub const RECORD_STANDS: &str = "23001";
/// A CHECK, or a trigger that speaks like one, was violated.
pub const CHECK: &str = "23514";
/// A unique rule is broken.
pub const TAKEN: &str = "23505";
/// A foreign key leads nowhere.
pub const NO_SUCH: &str = "23503";
/// A privilege is missing, or row-level security refuses a row.
pub const NOT_ALLOWED: &str = "42501";

/// A connection. Blocks; tests are plain functions.
pub struct Session {
    runtime: Runtime,
    client: Client,
}

/// What the database says when it refuses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// The SQLSTATE.
    pub code: String,
    /// The message.
    pub message: String,
}

/// The rows of the last statement that had any, as text.
pub type Rows = Vec<Vec<Option<String>>>;

impl Session {
    /// Connects as the role that owns the tables.
    pub fn owner(database: &ThrowawayDatabase) -> Self {
        let runtime = Builder::new_current_thread().enable_all().build().expect("a runtime can be made");
        let url = database.url();
        let client = runtime.block_on(async {
            let (client, connection) =
                tokio_postgres::connect(&url, NoTls).await.expect("the database answers");
            let _driven = tokio::spawn(connection);
            client
        });
        Self { runtime, client }
    }

    /// Connects as the service does: under the role that may read and add.
    pub fn service(database: &ThrowawayDatabase) -> Self {
        let session = Self::owner(database);
        session.run("SET ROLE skidway_service").expect("the owner may put the role on");
        session
    }

    /// Runs statements; after a refusal no transaction is left open.
    pub fn try_rows(&self, statements: &str) -> Result<Rows, Refused> {
        self.runtime.block_on(async {
            let answers = match self.client.simple_query(statements).await {
                Ok(answers) => answers,
                Err(error) => {
                    self.client.batch_execute("ROLLBACK").await.expect("the connection is still there");
                    let said = error.as_db_error().unwrap_or_else(|| panic!("{statements}: {error}"));
                    return Err(Refused {
                        code: said.code().code().to_owned(),
                        message: said.message().to_owned(),
                    });
                }
            };
            let row = |answer| match answer {
                SimpleQueryMessage::Row(row) => {
                    Some((0..row.len()).map(|column| row.get(column).map(str::to_owned)).collect())
                }
                _ => None,
            };
            Ok(answers.into_iter().filter_map(row).collect())
        })
    }

    /// Runs statements for what they do.
    pub fn run(&self, statements: &str) -> Result<(), Refused> {
        self.try_rows(statements).map(drop)
    }

    /// The rows of statements that must succeed.
    pub fn rows(&self, statements: &str) -> Rows {
        self.try_rows(statements).unwrap_or_else(|refused| panic!("{statements}: {refused:?}"))
    }

    /// The first column of the rows, without nulls.
    pub fn column(&self, statements: &str) -> Vec<String> {
        self.rows(statements).into_iter().filter_map(|row| row.into_iter().next().flatten()).collect()
    }

    /// The one value that statements answer with.
    pub fn value(&self, statements: &str) -> String {
        let mut column = self.column(statements);
        assert_eq!(column.len(), 1, "{statements}: {column:?}");
        column.remove(0)
    }

    /// A number that statements answer with.
    pub fn number(&self, statements: &str) -> i64 {
        self.value(statements).parse().unwrap_or_else(|error| panic!("{statements}: {error}"))
    }

    /// Runs statements in one transaction on the books of an outfit, and keeps what they did.
    pub fn keep(&self, outfit: OutfitId, statements: &str) -> Result<(), Refused> {
        self.run(&format!("{} {statements}; COMMIT", begin(outfit)))
    }

    /// Asks something of the books of an outfit, and takes back whatever that did.
    pub fn ask(&self, outfit: OutfitId, statements: &str) -> Result<Rows, Refused> {
        self.try_rows(&format!("{} {statements}; ROLLBACK", begin(outfit)))
    }

    /// A number out of the books of an outfit.
    pub fn number_of(&self, outfit: OutfitId, query: &str) -> i64 {
        self.number(&format!("{} {query}; ROLLBACK", begin(outfit)))
    }

    /// Every table of ours.
    pub fn tables(&self) -> Vec<String> {
        self.column(
            "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p')
             AND relname <> '__diesel_schema_migrations' ORDER BY relname",
        )
    }

    /// Every view of ours.
    pub fn views(&self) -> Vec<String> {
        self.column(
            "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind IN ('v', 'm')
             ORDER BY relname",
        )
    }
}

fn begin(outfit: OutfitId) -> String {
    format!("BEGIN; SET LOCAL skidway.outfit = '{outfit}';")
}
