//! What lets the database be spread by outfit: every row says whose it is, nothing is counted across outfits, and nothing
//! but two kinds of columns means something in one cluster only. Read from the catalogue, so that a new table cannot
//! forget it. Keys, unique rules and foreign keys are held to the same in `shape`.

use localpg::ThrowawayDatabase;
use tests::migrated_database;

use crate::session::Session;

/// Restricts the relation `relation` to our tables.
const OURS: &str = "relation.relnamespace = 'public'::regnamespace AND relation.relkind IN ('r', 'p')
                    AND relation.relname <> '__diesel_schema_migrations'";

/// Something that must not be there: what it is, how it is found, and a statement that makes one.
const NEVER: [(&str, &str, &str); 9] = [
    (
        "tables whose first column is not outfit_id, a uuid that is always there",
        "SELECT relation.relname FROM pg_class AS relation
         WHERE OURS AND NOT EXISTS (SELECT FROM pg_attribute WHERE attrelid = relation.oid AND attnum = 1
                                    AND attname = 'outfit_id' AND atttypid = 'uuid'::regtype AND attnotnull)",
        "CREATE TABLE bad (name text PRIMARY KEY)",
    ),
    (
        "sequences: a counter that all outfits would share",
        "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'S'",
        "CREATE SEQUENCE bad",
    ),
    (
        "columns that the database counts up or works out",
        "SELECT format('%s.%s', relation.relname, attname) FROM pg_attribute
         JOIN pg_class AS relation ON relation.oid = attrelid
         WHERE OURS AND attnum > 0 AND (attidentity <> '' OR attgenerated <> '')",
        "CREATE TABLE bad (outfit_id uuid, number bigint GENERATED ALWAYS AS IDENTITY)",
    ),
    (
        "defaults that are no constants",
        "SELECT format('%s.%s: %s', relation.relname, adnum, pg_get_expr(adbin, adrelid)) FROM pg_attrdef
         JOIN pg_class AS relation ON relation.oid = adrelid
         WHERE OURS AND pg_get_expr(adbin, adrelid) !~ '^(-?[0-9.]+|true|false|''[^'']*''(::[a-z0-9\\[\\] ]+)?|NULL::.*)$'",
        "CREATE TABLE bad (outfit_id uuid, made_at timestamptz DEFAULT now())",
    ),
    (
        "indexes that reach across outfits",
        "SELECT indexrelid::regclass::text FROM pg_index JOIN pg_class AS relation ON relation.oid = indrelid
         WHERE OURS AND indkey[0] IS DISTINCT FROM
             (SELECT attnum FROM pg_attribute WHERE attrelid = indrelid AND attname = 'outfit_id')",
        "CREATE INDEX bad ON worker (name)",
    ),
    (
        "rules of exclusion, rules of rewriting, and tables that inherit",
        "SELECT conname::text FROM pg_constraint WHERE contype = 'x'
         UNION ALL SELECT format('%s on %s', rulename, ev_class::regclass) FROM pg_rewrite
                   WHERE rulename <> '_RETURN' AND ev_class >= 16384
         UNION ALL SELECT inhrelid::regclass::text FROM pg_inherits JOIN pg_class AS relation ON relation.oid = inhrelid
                   WHERE OURS",
        "CREATE RULE bad AS ON INSERT TO worker DO ALSO SELECT 1",
    ),
    (
        "views without the outfit, which nobody could ask of one shard alone",
        "SELECT relname FROM pg_class AS viewed
         WHERE relnamespace = 'public'::regnamespace AND relkind IN ('v', 'm')
         AND NOT EXISTS (SELECT FROM pg_attribute WHERE attrelid = viewed.oid AND attname = 'outfit_id')",
        "CREATE VIEW bad AS SELECT count(*) FROM worker",
    ),
    (
        "columns of a kind that means something in one cluster only",
        "SELECT format('%s.%s', relation.relname, attname) FROM pg_attribute
         JOIN pg_class AS relation ON relation.oid = attrelid
         WHERE OURS AND attnum > 0 AND format_type(atttypid, NULL) ~ '^(oid|xid|xid8|cid|tid|pg_lsn|pg_snapshot|reg.*)$'",
        "CREATE TABLE bad (outfit_id uuid, seen_in xid8)",
    ),
    (
        "foreign keys whose outfit is not that of the row they name",
        "SELECT conname FROM pg_constraint JOIN pg_class AS relation ON relation.oid = conrelid
         WHERE OURS AND contype = 'f' AND NOT EXISTS (
             SELECT FROM unnest(conkey, confkey) AS pair (here, there)
             JOIN pg_attribute AS own ON own.attrelid = conrelid AND own.attnum = here
             JOIN pg_attribute AS named ON named.attrelid = confrelid AND named.attnum = there
             WHERE own.attname = 'outfit_id' AND named.attname = 'outfit_id')",
        "CREATE TABLE bad (outfit_id uuid, other uuid REFERENCES outfit (outfit_id))",
    ),
];

fn migrated() -> (ThrowawayDatabase, Session) {
    let database = migrated_database();
    let session = Session::owner(&database);
    assert!(session.tables().len() >= 22, "the tables were not read");
    (database, session)
}

#[test]
fn nothing_reaches_across_outfits() {
    let (_database, session) = migrated();
    for (what, query, _) in NEVER {
        let found = session.column(&query.replace("OURS", OURS));
        assert!(found.is_empty(), "{what}: {found:#?}");
    }
}

/// A query that finds nothing may be one that finds nothing ever.
#[test]
fn whatever_reaches_across_outfits_is_seen() {
    let (_database, session) = migrated();
    for (what, query, bad) in NEVER {
        let query = query.replace("OURS", OURS);
        let found = session.rows(&format!("BEGIN; {bad}; {query}; ROLLBACK"));
        assert!(!found.is_empty(), "{what}: {bad} is not seen");
    }
}

/// Numbers of transactions mean something in the cluster that gave them. Whoever moves an outfit puts others in their place
/// (`tests/spread/move_outfit.sh`), so all of them must be known there.
#[test]
fn what_means_something_in_one_cluster_only_is_known() {
    let (_database, session) = migrated();
    let query = "SELECT format('%s.%s', relation.relname, attname) FROM pg_attribute
                 JOIN pg_class AS relation ON relation.oid = attrelid
                 WHERE OURS AND attnum > 0 AND attname ~ 'transaction|made_in|snapshot|xid' ORDER BY 1";
    let known = [
        "audit_entry.transaction_id",
        "delivery.transaction_id",
        "delivery_attempt.transaction_id",
        "delivery_replay.transaction_id",
        "event_subscription.made_in",
    ];
    assert_eq!(session.column(&query.replace("OURS", OURS)), known);
    // They are filled by these functions alone, which no other column has for a default.
    let script = include_str!("../spread/move_outfit.sh");
    assert!(script.contains("WHEN 'transaction_id'") && script.contains("WHEN 'made_in'"));
}

/// Triggers run beside the rows they look at. Those that look at other rows ask for them by the outfit.
#[test]
fn triggers_look_at_rows_of_the_same_outfit_only() {
    let (_database, session) = migrated();
    let query = "SELECT DISTINCT proname::text || CASE WHEN prosrc ~ 'FROM' THEN
                        CASE WHEN prosrc ~ 'outfit_id = NEW.outfit_id' THEN ' of its outfit' ELSE ' of anybody' END ELSE '' END
                 FROM pg_trigger JOIN pg_proc ON pg_proc.oid = tgfoid JOIN pg_class AS relation ON relation.oid = tgrelid
                 WHERE OURS AND NOT tgisinternal ORDER BY 1";
    let functions = session.column(&query.replace("OURS", OURS));
    assert!(functions.len() >= 3, "{functions:?}");
    assert!(!functions.iter().any(|function| function.ends_with("of anybody")), "{functions:#?}");
}
