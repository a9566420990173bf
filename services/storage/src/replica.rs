//! How far a replica has come behind the database that it follows.

use diesel::QueryableByName;
use diesel::sql_types::{BigInt, Bool, Timestamptz};
use diesel_async::{AsyncPgConnection, RunQueryDsl};
use jiff::Timestamp;

use crate::{StorageError, Store};

/// How a database that is only read stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ReplicaState {
    /// Whether it follows another one. One that does not is the books themselves, and never behind.
    pub follows: bool,
    /// Every change that was committed before this is in it. Of a replica that is the commit of the last change that has
    /// arrived, or the last checkpoint; so it stands still while nothing is changed.
    pub as_of: Timestamp,
    /// Whether a connection to the database that it follows stands, and everything that came by it has been taken over.
    /// A connection that was lost without a sign stands until the replica's `wal_receiver_timeout` is over.
    pub caught_up: bool,
    /// Bytes that have come and are still to be taken over.
    pub behind_bytes: u64,
}

#[derive(QueryableByName)]
struct Row {
    #[diesel(sql_type = Bool)]
    follows: bool,
    #[diesel(sql_type = Timestamptz)]
    as_of: jiff_diesel::Timestamp,
    #[diesel(sql_type = Bool)]
    connected: bool,
    #[diesel(sql_type = BigInt)]
    behind: i64,
}

/// The process that receives is shown to everybody by its number alone; its times are for those who watch over the
/// database.
const QUERY: &str = "SELECT pg_is_in_recovery() AS follows,
    CASE WHEN pg_is_in_recovery()
         THEN greatest(pg_last_xact_replay_timestamp(), (SELECT checkpoint_time FROM pg_control_checkpoint()))
         ELSE clock_timestamp() END AS as_of,
    EXISTS (SELECT FROM pg_stat_wal_receiver WHERE pid IS NOT NULL) AS connected,
    coalesce(greatest(pg_wal_lsn_diff(pg_last_wal_receive_lsn(), pg_last_wal_replay_lsn()), 0), 0)::bigint AS behind";

impl Store {
    /// How the database stands behind the one that it follows, if it follows one.
    ///
    /// # Errors
    ///
    /// [`StorageError::Unavailable`] when it does not answer.
    pub async fn replica_state(&self) -> Result<ReplicaState, StorageError> {
        let question = async |connection: &mut AsyncPgConnection| {
            Ok(diesel::sql_query(QUERY).get_result::<Row>(connection).await?)
        };
        let row = self.connections.ask(question).await?;
        Ok(ReplicaState {
            follows: row.follows,
            as_of: row.as_of.to_jiff(),
            caught_up: !row.follows || row.connected && row.behind == 0,
            behind_bytes: u64::try_from(row.behind).unwrap_or_default(),
        })
    }
}
