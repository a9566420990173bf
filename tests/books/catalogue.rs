//! The whole catalogue of a database as lines of text, for comparing.

use crate::session::Session;

/// Everything that a migration can make, a line each, without what is different in every database.
///
/// Diesel's own record of the migrations is left out: it stays when all of them are reverted.
pub fn lines(session: &Session) -> Vec<String> {
    QUERIES.iter().flat_map(|query| session.column(&query.replace("OURS", OURS))).collect()
}

/// What one of two catalogues has and the other has not.
pub fn differences(left: &[String], right: &[String]) -> Vec<String> {
    let only = |sign: &str, these: &[String], those: &[String]| -> Vec<String> {
        these.iter().filter(|line| !those.contains(line)).map(|line| format!("{sign} {line}")).collect()
    };
    [only("-", left, right), only("+", right, left)].concat()
}

/// The relations of ours.
const OURS: &str = "relation.relnamespace = 'public'::regnamespace
                    AND relation.relname NOT LIKE '\\_\\_diesel\\_schema\\_migrations%'";

const QUERIES: [&str; 12] = [
    // Relations, with how rows are guarded and who owns them. Roles belong to the cluster, so names do.
    "SELECT format('relation %s kind %s row security %s forced %s owner %s options %s comment %s', relation.relname,
                   relation.relkind, relation.relrowsecurity, relation.relforcerowsecurity,
                   relation.relowner::regrole, relation.reloptions, obj_description(relation.oid, 'pg_class'))
     FROM pg_class AS relation WHERE OURS ORDER BY 1",
    "SELECT format('column %s.%s at %s: %s not null %s default %s identity %s generated %s collation %s',
                   relation.relname, attname, row_number() OVER (PARTITION BY attrelid ORDER BY attnum), format_type(atttypid, atttypmod), attnotnull,
                   pg_get_expr(adbin, adrelid), attidentity, attgenerated, attcollation::regcollation)
     FROM pg_attribute
     JOIN pg_class AS relation ON relation.oid = attrelid
     LEFT JOIN pg_attrdef ON adrelid = attrelid AND adnum = attnum
     WHERE OURS AND relation.relkind IN ('r', 'p', 'v', 'm') AND attnum > 0 AND NOT attisdropped ORDER BY 1",
    "SELECT format('constraint %s on %s: %s validated %s', conname, relation.relname, pg_get_constraintdef(pg_constraint.oid),
                   convalidated)
     FROM pg_constraint JOIN pg_class AS relation ON relation.oid = conrelid WHERE OURS ORDER BY 1",
    "SELECT format('index %s', pg_get_indexdef(indexrelid))
     FROM pg_index JOIN pg_class AS relation ON relation.oid = indrelid WHERE OURS ORDER BY 1",
    "SELECT format('trigger %s enabled %s', pg_get_triggerdef(pg_trigger.oid), tgenabled)
     FROM pg_trigger JOIN pg_class AS relation ON relation.oid = tgrelid WHERE OURS AND NOT tgisinternal ORDER BY 1",
    // Diesel's own functions lie in the same schema where its other programs have been used.
    "SELECT format('routine %s acl %s', pg_get_functiondef(oid), proacl)
     FROM pg_proc WHERE pronamespace = 'public'::regnamespace AND proname NOT LIKE 'diesel\\_%' ORDER BY 1",
    "SELECT format('policy %s on %s: command %s permissive %s roles %s using %s check %s', polname, relation.relname,
                   polcmd, polpermissive, polroles, pg_get_expr(polqual, polrelid),
                   pg_get_expr(polwithcheck, polrelid))
     FROM pg_policy JOIN pg_class AS relation ON relation.oid = polrelid WHERE OURS ORDER BY 1",
    "SELECT format('view %s: %s', relation.relname, pg_get_viewdef(relation.oid))
     FROM pg_class AS relation WHERE OURS AND relation.relkind IN ('v', 'm') ORDER BY 1",
    "SELECT format('grant on %s: %s to %s, grantable %s', relation.relname, privilege_type,
                   CASE grantee WHEN 0 THEN 'PUBLIC' ELSE grantee::regrole::text END, is_grantable)
     FROM pg_class AS relation, aclexplode(coalesce(relacl, acldefault('r', relowner))) WHERE OURS ORDER BY 1",
    "SELECT format('grant on schema %s: %s to %s', nspname, privilege_type,
                   CASE grantee WHEN 0 THEN 'PUBLIC' ELSE grantee::regrole::text END)
     FROM pg_namespace, aclexplode(coalesce(nspacl, acldefault('n', nspowner)))
     WHERE nspname !~ '^pg_' AND nspname <> 'information_schema' ORDER BY 1",
    // Enumerations, domains and ranges; the types of relations come and go with them.
    "SELECT format('type %s kind %s', typname, typtype)
     FROM pg_type WHERE typnamespace = 'public'::regnamespace AND typtype IN ('e', 'd', 'r', 'm') ORDER BY 1",
    "SELECT format('extension %s in %s', extname, extnamespace::regnamespace) FROM pg_extension ORDER BY 1",
];

#[test]
fn a_difference_is_seen() {
    let line = |text: &str| text.to_owned();
    let (left, right) = ([line("a"), line("b")], [line("b"), line("c")]);
    assert_eq!(differences(&left, &right), ["- a", "+ c"]);
    assert!(differences(&left, &left).is_empty());
}
