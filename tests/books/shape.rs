//! Facts that hold for every table, read from the catalogue, so that a new table cannot forget them.

use localpg::ThrowawayDatabase;
use tests::migrated_database;

use crate::session::Session;

/// A migrated database and the owner's connection to it.
fn migrated() -> (ThrowawayDatabase, Session) {
    let database = migrated_database();
    let session = Session::owner(&database);
    assert!(session.tables().len() >= 22, "the tables were not read");
    (database, session)
}

/// Fails when a query finds anything.
fn finds_nothing(session: &Session, query: &str, says: &str) {
    let found = session.column(&query.replace("OURS", OURS));
    assert!(found.is_empty(), "{says}: {found:#?}");
}

/// Restricts the relation `relation` to our tables.
const OURS: &str = "relation.relnamespace = 'public'::regnamespace AND relation.relkind IN ('r', 'p')
                    AND relation.relname <> '__diesel_schema_migrations'";

/// The columns of constraint `conkey` or index `indkey` as names in their order.
const NAMES: &str = "(SELECT array_agg(attname::text ORDER BY place)
                      FROM unnest(KEY) WITH ORDINALITY AS part (number, place)
                      JOIN pg_attribute ON attrelid = RELATION AND attnum = number)";

fn names(key: &str, relation: &str) -> String {
    NAMES.replace("KEY", key).replace("RELATION", relation)
}

#[test]
fn every_table_has_a_key_that_leads_with_the_outfit() {
    let (_database, session) = migrated();
    let query = format!(
        "SELECT relname FROM pg_class AS relation
         LEFT JOIN pg_constraint ON conrelid = relation.oid AND contype = 'p'
         WHERE OURS AND coalesce({}[1] <> 'outfit_id', true)",
        names("conkey", "conrelid")
    );
    finds_nothing(&session, &query, "tables whose primary key does not lead with outfit_id");
}

#[test]
fn every_unique_rule_leads_with_the_outfit() {
    let (_database, session) = migrated();
    let query = format!(
        "SELECT indexrelid::regclass::text FROM pg_index JOIN pg_class AS relation ON relation.oid = indrelid
         WHERE OURS AND indisunique AND coalesce({}[1] <> 'outfit_id', true)",
        names("indkey::int2[]", "indrelid")
    );
    finds_nothing(&session, &query, "unique rules that reach across outfits");
}

/// The outfit stands first on both sides, so that no row can name a row of another outfit.
#[test]
fn no_foreign_key_crosses_outfits() {
    let (_database, session) = migrated();
    let query = format!(
        "SELECT conname FROM pg_constraint JOIN pg_class AS relation ON relation.oid = conrelid
         WHERE OURS AND contype = 'f'
         AND coalesce({}[1] <> 'outfit_id' OR {}[1] <> 'outfit_id', true)",
        names("conkey", "conrelid"),
        names("confkey", "confrelid")
    );
    finds_nothing(&session, &query, "foreign keys that may cross outfits");
    let to_ours = "SELECT conname FROM pg_constraint JOIN pg_class AS relation ON relation.oid = conrelid
                   WHERE OURS AND contype = 'f'";
    assert!(session.column(&to_ours.replace("OURS", OURS)).len() > 40, "the foreign keys were not read");
    let loose = "SELECT conname FROM pg_constraint JOIN pg_class AS relation ON relation.oid = conrelid
                 WHERE OURS AND contype = 'f'
                 AND (confmatchtype <> 's' OR confdeltype <> 'a' OR confupdtype <> 'a' OR condeferrable)";
    finds_nothing(&session, loose, "foreign keys that cascade or wait");
}

/// Every table but the outfit's own hangs on something of its outfit. An audit entry goes into the books in the statement or
/// the transaction of the change it is about, and that change's own record hangs on the outfit.
#[test]
fn every_table_hangs_on_its_outfit() {
    let (_database, session) = migrated();
    let query =
        "SELECT relname FROM pg_class AS relation WHERE OURS AND relname NOT IN ('outfit', 'audit_entry')
                 AND NOT EXISTS (SELECT FROM pg_constraint WHERE conrelid = relation.oid AND contype = 'f')";
    finds_nothing(&session, query, "tables that hang on nothing");
}

/// An index serves a foreign key when it begins with the key's columns, in any order; or when it is unique on some of
/// them, since it then leads to one row at the most. An index on part of the rows serves when the rows left out are
/// those that name nothing.
#[test]
fn every_foreign_key_has_an_index() {
    let (_database, session) = migrated();
    let query = format!(
        "WITH foreign_keys AS (
             SELECT conname, conrelid, {} AS columns
             FROM pg_constraint JOIN pg_class AS relation ON relation.oid = conrelid WHERE OURS AND contype = 'f'
         ), indexes AS (
             SELECT indrelid, indisunique, {} AS columns, coalesce(pg_get_expr(indpred, indrelid), '') AS only_where
             FROM pg_index WHERE indisvalid
         )
         SELECT conname FROM foreign_keys WHERE NOT EXISTS (
             SELECT FROM indexes
             WHERE indrelid = conrelid
             AND (indexes.columns[1:cardinality(foreign_keys.columns)] @> foreign_keys.columns
                  OR indisunique AND only_where = '' AND indexes.columns <@ foreign_keys.columns)
             AND (only_where = '' OR only_where IN (
                      SELECT format('(%I IS NOT NULL)', name) FROM unnest(foreign_keys.columns) AS name)))",
        names("conkey", "conrelid"),
        names("indkey::int2[]", "indrelid")
    );
    finds_nothing(&session, &query, "foreign keys without an index");
    session
        .run("CREATE TABLE seen (outfit_id uuid REFERENCES outfit, name text)")
        .expect("a table can be made");
    let query = query.replace("OURS", OURS);
    assert_eq!(session.column(&query), ["seen_outfit_id_fkey"], "a key without an index is not seen");
}

#[test]
fn every_table_is_guarded() {
    let (_database, session) = migrated();
    let rows = "SELECT relname FROM pg_class AS relation WHERE OURS AND NOT (relrowsecurity AND relforcerowsecurity)";
    finds_nothing(&session, rows, "tables without forced row-level security");
    let policy = "SELECT relname FROM pg_class AS relation
                  WHERE OURS AND (SELECT array_agg(format('%s %s %s %s', polcmd, polpermissive,
                                                          pg_get_expr(polqual, polrelid),
                                                          pg_get_expr(polwithcheck, polrelid)))
                                  FROM pg_policy
                                  WHERE polrelid = relation.oid AND NOT polroles @> ARRAY['skidway_courier'::regrole::oid])
                      IS DISTINCT FROM ARRAY['* t (outfit_id = current_outfit()) (outfit_id = current_outfit())']";
    finds_nothing(&session, policy, "tables without exactly the one policy");
    // 27 and 34 are the bits of tgtype: 1 row, 2 before, 8 delete, 16 update; 2 before, 32 truncate.
    for (kind, what) in [(27, "update and delete"), (34, "truncate")] {
        let query = format!(
            "SELECT relname FROM pg_class AS relation WHERE OURS AND NOT EXISTS (
                 SELECT FROM pg_trigger WHERE tgrelid = relation.oid AND tgtype = {kind} AND tgenabled IN ('O', 'A')
                 AND tgqual IS NULL AND cardinality(tgattr::int2[]) = 0 AND tgfoid = 'refuse_change'::regproc)"
        );
        finds_nothing(&session, &query, &format!("tables that do not refuse {what}"));
    }
}

/// A view that is asked as its owner would show what its owner sees; asked as the caller, what the caller sees.
#[test]
fn every_view_is_asked_as_its_caller() {
    let (_database, session) = migrated();
    let query = "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'v'
                 AND NOT coalesce('security_invoker=true' = ANY (reloptions), false)";
    assert_eq!(session.column(query), Vec::<String>::new());
    // A stored view has the rows of whoever filled it.
    let stored = "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'm'";
    assert_eq!(session.column(stored), Vec::<String>::new());
}

/// Three functions look across outfits. They run as a role that may read a few columns and nothing else, are the
/// service's only, and answer with ids and numbers.
#[test]
fn only_the_courier_looks_across_outfits() {
    let (_database, session) = migrated();
    let lifted =
        "SELECT format('%s %s %s %s', proname, proowner::regrole, pg_get_function_result(oid), proconfig)
                  FROM pg_proc WHERE pronamespace = 'public'::regnamespace AND prosecdef ORDER BY 1";
    let path = "{\"search_path=pg_catalog, public, pg_temp\"}";
    assert_eq!(
        session.column(lifted),
        [
            format!("delivery_lag skidway_courier record {path}"),
            format!("newest_change skidway_courier uuid {path}"),
            format!("outfits_to_tell skidway_courier SETOF uuid {path}"),
        ]
    );
    let callers = "SELECT DISTINCT format('%s %s', grantee::regrole, privilege_type)
                   FROM pg_proc, aclexplode(proacl) WHERE prosecdef AND grantee <> proowner";
    assert_eq!(session.column(callers), ["skidway_service EXECUTE"], "who may call them");
    let role = "SELECT concat_ws(' ', rolsuper, rolcreaterole, rolcreatedb, rolcanlogin, rolreplication, rolbypassrls)
                FROM pg_roles WHERE rolname = 'skidway_courier'";
    assert_eq!(session.value(role), "f f f f f f");
    let policies = "SELECT DISTINCT format('%s %s', polcmd, polroles::regrole[]) FROM pg_policy WHERE polname <> 'own_outfit'";
    assert_eq!(session.column(policies), ["r {skidway_courier}"]);
    let whole = "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r'
                 AND has_table_privilege('skidway_courier', oid, 'SELECT, INSERT, UPDATE, DELETE, TRUNCATE')";
    assert_eq!(session.column(whole), Vec::<String>::new(), "tables that the courier may use as a whole");
    let columns = "SELECT DISTINCT attrelid::regclass || '.' || attname FROM pg_attribute, aclexplode(attacl)
                   WHERE attname ~ '(_by|url|says|sealed|about|reason)$'";
    assert_eq!(session.column(columns), Vec::<String>::new(), "what the courier has no need to know");
    let make = "SELECT has_schema_privilege('skidway_courier', 'public', 'CREATE')";
    assert_eq!(session.value(make), "f", "the courier can make tables");
}

#[test]
fn the_service_may_read_and_add_and_nothing_else() {
    let (_database, session) = migrated();
    let role = "SELECT concat_ws(' ', rolsuper, rolcreaterole, rolcreatedb, rolcanlogin, rolreplication, rolbypassrls)
                FROM pg_roles WHERE rolname = 'skidway_service'";
    assert_eq!(session.value(role), "f f f f f f");
    let groups =
        "SELECT roleid::regrole::text FROM pg_auth_members WHERE member = 'skidway_service'::regrole";
    assert_eq!(session.column(groups), Vec::<String>::new(), "roles that the service's role may put on");
    let owns = "SELECT relname FROM pg_class WHERE relowner = 'skidway_service'::regrole
                UNION ALL SELECT proname FROM pg_proc WHERE proowner = 'skidway_service'::regrole
                UNION ALL SELECT nspname FROM pg_namespace WHERE nspowner = 'skidway_service'::regrole";
    assert_eq!(session.column(owns), Vec::<String>::new(), "what the service's role owns");
    // What it may do, by itself or as anybody may.
    let granted = "SELECT concat_ws(' ', relname, string_agg(privilege, ' ' ORDER BY privilege))
                   FROM pg_class AS relation
                   CROSS JOIN unnest(ARRAY['SELECT', 'INSERT', 'UPDATE', 'DELETE', 'TRUNCATE', 'REFERENCES', 'TRIGGER'])
                       AS privilege
                   WHERE relation.relnamespace = 'public'::regnamespace AND relkind IN ('r', 'p', 'v', 'm', 'f')
                   AND has_table_privilege('skidway_service', relation.oid, privilege)
                   GROUP BY relname ORDER BY relname";
    let tables = session.tables().into_iter().map(|table| format!("{table} INSERT SELECT"));
    let views = session.views().into_iter().map(|view| format!("{view} SELECT"));
    let mut expected: Vec<_> = tables.chain(views).collect();
    expected.sort_unstable();
    assert_eq!(session.column(granted), expected);
    let columns = "SELECT DISTINCT attrelid::regclass::text FROM pg_attribute, aclexplode(attacl)
                   WHERE (grantee <> 'skidway_courier'::regrole OR privilege_type <> 'SELECT') AND attrelid IN (
                       SELECT oid FROM pg_class WHERE relnamespace = 'public'::regnamespace)";
    assert_eq!(session.column(columns), Vec::<String>::new(), "privileges on single columns");
    let make = "SELECT has_schema_privilege('skidway_service', 'public', 'CREATE')";
    assert_eq!(session.value(make), "f", "the service's role can make tables");
}

#[test]
fn numbers_are_whole_and_texts_and_times_are_of_one_kind() {
    let (_database, session) = migrated();
    let kinds = "SELECT format('%s.%s %s', relname, attname, format_type(atttypid, atttypmod))
                 FROM pg_attribute JOIN pg_class AS relation ON relation.oid = attrelid
                 WHERE OURS AND attnum > 0 AND NOT attisdropped
                 AND regexp_replace(format_type(atttypid, atttypmod), '\\[\\]$', '') NOT IN (
                     'uuid', 'text', 'smallint', 'integer', 'bigint', 'date', 'timestamp with time zone', 'jsonb',
                     'json', 'bytea', 'boolean')";
    finds_nothing(&session, kinds, "columns of a type that is not ours");
    let money = "SELECT format('%s.%s %s', relname, attname, format_type(atttypid, atttypmod))
                 FROM pg_attribute JOIN pg_class AS relation ON relation.oid = attrelid
                 WHERE OURS AND attnum > 0 AND attname ~ '(^|_)(amount|minor|opening|earned|closing|paid|price|pay)(_|$)'
                 AND NOT (atttypid = 'bigint'::regtype AND attnotnull AND attname LIKE '%\\_minor')";
    finds_nothing(&session, money, "money that is not whole smallest units, and says so in its name");
    let measured = "SELECT format('%s.%s', relname, attname)
                    FROM pg_attribute JOIN pg_class AS relation ON relation.oid = attrelid
                    WHERE OURS AND attname ~ '(^quantity|millionths)$' AND atttypid <> 'bigint'::regtype";
    finds_nothing(&session, measured, "quantities that are not whole millionths");
    // What a view computes is exact too.
    let views =
        "SELECT format('%s.%s', relname, attname) FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid
                 WHERE relnamespace = 'public'::regnamespace AND relkind = 'v' AND attnum > 0
                 AND atttypid IN ('real'::regtype, 'double precision'::regtype, 'money'::regtype)";
    assert_eq!(session.column(views), Vec::<String>::new());
    let moments = "SELECT format('%s.%s', relname, attname)
                   FROM pg_attribute JOIN pg_class AS relation ON relation.oid = attrelid
                   WHERE OURS AND attname LIKE '%\\_at' AND NOT (atttypid = 'timestamptz'::regtype AND attnotnull)";
    finds_nothing(&session, moments, "moments without a time zone");
    // The service says when a record was made and what its id is: the database has no clock and no dice of its own.
    let defaults = "SELECT format('%s.%s', relname, attname)
                    FROM pg_attribute JOIN pg_class AS relation ON relation.oid = attrelid
                    WHERE OURS AND attnum > 0 AND (atthasdef OR attidentity <> '')";
    finds_nothing(&session, defaults, "columns that fill themselves");
}

/// Storage tells rules apart by the names of their constraints.
#[test]
fn constraints_have_the_names_that_storage_knows() {
    let (_database, session) = migrated();
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../services/storage/src/error.rs");
    let source = std::fs::read_to_string(path).expect("the file can be read");
    let literals = source.split('"').skip(1).step_by(2);
    let named: Vec<_> = literals.filter(|text| text.ends_with("_key") && !text.starts_with('_')).collect();
    assert!(named.len() >= 4, "{named:?}");
    let real = session.column("SELECT conname FROM pg_constraint WHERE contype IN ('u', 'p')");
    for name in named {
        assert!(real.iter().any(|known| known == name), "there is no constraint {name}");
    }
}
