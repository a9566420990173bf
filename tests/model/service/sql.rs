//! The journal as it lies in the database, seen as the service sees it: its own role, its own outfit.

use std::collections::BTreeMap;

use tokio::runtime::Runtime;
use tokio_postgres::{Client, NoTls};

use crate::reckoning::earning::Payee;
use crate::service::outfit::Outfit;

/// A connection to an outfit's books.
pub struct Journal {
    runtime: Runtime,
    client: Client,
}

const UNBALANCED: &str = "
SELECT count(*) FROM
    (SELECT journal_entry_id FROM journal_posting GROUP BY 1 HAVING sum(amount_minor) <> 0) AS unbalanced";

/// What is owed to workers is a credit, what mills owe is a debit.
const BALANCES: &str = "
SELECT worker_id::text, mill_id::text,
       sum(CASE WHEN worker_id IS NULL THEN amount_minor ELSE -amount_minor END)::bigint
FROM journal_posting
WHERE account IN ('payable_to_worker', 'receivable_from_mill')
GROUP BY 1, 2";

impl Journal {
    pub fn open(outfit: &Outfit) -> Self {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
        let runtime = runtime.expect("a runtime can be made");
        let client = runtime.block_on(async {
            let url = outfit.app.database.url();
            let (client, connection) = tokio_postgres::connect(&url, NoTls).await.expect("it can be reached");
            let _detached = tokio::spawn(connection);
            let seen_as = format!("SET ROLE skidway_service; SET skidway.outfit = '{}'", outfit.id);
            client.batch_execute(&seen_as).await.expect("the service's role can be put on");
            client
        });
        Self { runtime, client }
    }

    /// How many entries do not sum to zero.
    pub fn unbalanced(&self) -> i64 {
        let row = self.runtime.block_on(self.client.query_one(UNBALANCED, &[])).expect("it can be asked");
        row.get(0)
    }

    /// What every payee has coming by the journal, in cents, without those who have nothing.
    pub fn balances(&self, outfit: &Outfit) -> BTreeMap<Payee, i64> {
        let rows = self.runtime.block_on(self.client.query(BALANCES, &[])).expect("it can be asked");
        rows.iter()
            .map(|row| {
                let (worker, mill): (Option<&str>, Option<&str>) = (row.get(0), row.get(1));
                let among =
                    |ids: &[String], id: &str| ids.iter().position(|known| known == id).expect("known");
                let payee = match (worker, mill) {
                    (Some(worker), None) => Payee::Worker(among(&outfit.workers, worker)),
                    (None, Some(mill)) => Payee::Mill(among(&outfit.mills, mill)),
                    both => panic!("a posting names {both:?}"),
                };
                (payee, row.get(2))
            })
            .filter(|(_, cents)| *cents != 0)
            .collect()
    }
}
