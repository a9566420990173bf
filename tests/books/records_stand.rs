//! No record is ever changed or taken away, whoever asks.

use crate::history::History;
use crate::session::{NOT_ALLOWED, RECORD_STANDS, Session};

/// Every way to change or remove rows of a table; each column is tried.
fn attempts(session: &Session, table: &str) -> Vec<String> {
    let columns = session.column(&format!(
        "SELECT attname FROM pg_attribute WHERE attrelid = 'public.{table}'::regclass AND attnum > 0 ORDER BY attnum"
    ));
    let updates = columns.iter().map(|column| format!("UPDATE {table} SET {column} = {column}"));
    let others = [
        format!("DELETE FROM {table}"),
        format!("TRUNCATE {table} CASCADE"),
        format!(
            "INSERT INTO {table} SELECT * FROM {table} LIMIT 1 ON CONFLICT (outfit_id) DO UPDATE SET outfit_id = excluded.outfit_id"
        ),
    ];
    // Only the outfit's own table has a key of one column to be in conflict with.
    updates.chain(others).filter(|attempt| table == "outfit" || !attempt.contains("ON CONFLICT")).collect()
}

#[test]
fn nobody_changes_or_removes_a_record() {
    let history = History::new();
    let (owner, service) = (history.owner(), history.service());
    let outfit = history.own.outfit;
    for table in owner.tables() {
        let count = format!("SELECT count(*) FROM {table}");
        let before = owner.number_of(outfit, &count);
        assert!(before > 0, "the history leaves no row in {table}");
        for attempt in attempts(&owner, &table) {
            let refused = owner.keep(outfit, &attempt).expect_err(&attempt);
            assert_eq!(refused.code, RECORD_STANDS, "{attempt}: {}", refused.message);
            // A table that hangs on the truncated one may be the first to speak.
            if !attempt.starts_with("TRUNCATE") {
                assert!(refused.message.contains(&format!("records of {table} ")), "{}", refused.message);
            }
            let refused = service.keep(outfit, &attempt).expect_err(&attempt);
            assert_eq!(refused.code, NOT_ALLOWED, "{attempt}: {}", refused.message);
        }
        assert_eq!(owner.number_of(outfit, &count), before, "{table}");
    }
}

/// Nor can the service take the guards off, or put on a role that could.
#[test]
fn the_service_cannot_lift_the_guards() {
    let history = History::new();
    let service = history.service();
    for table in service.tables() {
        for attempt in [
            format!("ALTER TABLE {table} DISABLE TRIGGER ALL"),
            format!("ALTER TABLE {table} NO FORCE ROW LEVEL SECURITY"),
            format!("ALTER TABLE {table} DISABLE ROW LEVEL SECURITY"),
            format!("DROP POLICY own_outfit ON {table}"),
            format!("DROP TRIGGER records_stand ON {table}"),
            format!("DROP TABLE {table} CASCADE"),
            format!("GRANT UPDATE ON {table} TO PUBLIC"),
            format!("CREATE RULE lost AS ON INSERT TO {table} DO INSTEAD NOTHING"),
        ] {
            // Granting what one has not got is no error to Postgres, only a warning: so look at what came of it.
            match service.run(&attempt) {
                Err(refused) => assert_eq!(refused.code, NOT_ALLOWED, "{attempt}: {}", refused.message),
                Ok(()) => {
                    let may = format!("SELECT has_table_privilege('skidway_service', '{table}', 'UPDATE')");
                    assert!(attempt.starts_with("GRANT") && service.value(&may) == "f", "{attempt} was done");
                }
            }
        }
    }
    for attempt in [
        "SET session_replication_role = 'replica'",
        "CREATE TABLE mine (a int)",
        "CREATE OR REPLACE FUNCTION current_outfit() RETURNS uuid LANGUAGE sql STABLE AS 'SELECT NULL::uuid'",
        "SELECT * FROM __diesel_schema_migrations",
        "CALL guard_records('outfit')",
    ] {
        let refused = service.run(attempt).expect_err(attempt);
        assert_eq!(refused.code, NOT_ALLOWED, "{attempt}: {}", refused.message);
    }
}
