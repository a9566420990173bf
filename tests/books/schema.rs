//! The tables as diesel sees them, against the migrated database, column by column.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use tests::migrated_database;

use crate::session::Session;

/// A table or view: its key and its columns with their types, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Table {
    key: Vec<String>,
    columns: Vec<(String, String)>,
}

type Tables = BTreeMap<String, Table>;

/// Reads the `table!` blocks of the file.
fn declared(source: &str) -> Tables {
    let mut tables = Tables::new();
    for block in source.split("diesel::table! {").skip(1) {
        let mut lines = block.lines().map(str::trim).filter(|line| !line.is_empty());
        let heading = lines.next().expect("a block has a heading");
        let (name, key) = heading.split_once(" (").expect("a heading is `name (key) {`");
        let key = key.strip_suffix(") {").expect("a heading is `name (key) {`");
        let column = |line: &str| {
            let (name, kind) = line.split_once(" -> ").expect("a column is `name -> Type,`");
            (name.to_owned(), kind.trim_end_matches(',').to_owned())
        };
        let columns = lines.take_while(|line| *line != "}").map(column).collect();
        let table = Table { key: key.split(", ").map(str::to_owned).collect(), columns };
        assert!(tables.insert(name.to_owned(), table).is_none(), "{name} is declared twice");
    }
    tables
}

fn file() -> Tables {
    let directory = Path::new(env!("CARGO_MANIFEST_DIR")).join("../services/storage/src/schema");
    let files = fs::read_dir(directory).expect("the directory can be read");
    let texts = files.map(|file| fs::read_to_string(file.expect("an entry").path()).expect("a text"));
    declared(&texts.collect::<String>())
}

/// How diesel names a type of Postgres. What an array may hold besides is not in the catalogue: see [`plain`].
fn diesel_type(postgres: &str, not_null: bool) -> String {
    let known = [
        ("uuid", "Uuid"),
        ("text", "Text"),
        ("smallint", "Int2"),
        ("integer", "Int4"),
        ("bigint", "Int8"),
        ("boolean", "Bool"),
        ("date", "Date"),
        ("timestamp with time zone", "Timestamptz"),
        ("jsonb", "Jsonb"),
        ("json", "Json"),
        ("bytea", "Bytea"),
    ];
    let element = postgres.trim_end_matches("[]");
    let element = known.iter().find(|(name, _)| *name == element).map(|(_, diesel)| *diesel);
    let element = element.unwrap_or_else(|| panic!("no column of ours has the type {postgres}"));
    let whole = if postgres.ends_with("[]") { format!("Array<{element}>") } else { element.to_owned() };
    if not_null { whole } else { format!("Nullable<{whole}>") }
}

/// A type without what the catalogue does not know: whether the elements of an array may be null.
fn plain(kind: &str) -> String {
    match kind.split_once("Array<Nullable<") {
        Some((before, after)) => format!("{before}Array<{}", after.replacen('>', "", 1)),
        None => kind.to_owned(),
    }
}

fn columns(session: &Session, relation: &str) -> Vec<(String, String)> {
    let query = format!(
        "SELECT attname, format_type(atttypid, atttypmod), attnotnull FROM pg_attribute
         WHERE attrelid = 'public.{relation}'::regclass AND attnum > 0 AND NOT attisdropped ORDER BY attnum"
    );
    let column = |row: Vec<Option<String>>| match row.as_slice() {
        [Some(name), Some(kind), Some(not_null)] => (name.clone(), diesel_type(kind, not_null == "t")),
        other => panic!("{other:?}"),
    };
    session.rows(&query).into_iter().map(column).collect()
}

fn key(session: &Session, relation: &str) -> Vec<String> {
    session.column(&format!(
        "SELECT attname FROM pg_constraint
         CROSS JOIN LATERAL unnest(conkey) WITH ORDINALITY AS part (attnum, place)
         JOIN pg_attribute ON attrelid = conrelid AND pg_attribute.attnum = part.attnum
         WHERE conrelid = 'public.{relation}'::regclass AND contype = 'p' ORDER BY place"
    ))
}

#[test]
fn tables_are_declared_as_they_are() {
    let database = migrated_database();
    let session = Session::owner(&database);
    let declared = file();
    let views = session.views();
    let names: Vec<_> = declared.keys().filter(|name| !views.contains(name)).cloned().collect();
    assert_eq!(names, session.tables());
    for name in &names {
        let table = declared.get(name).expect("it is declared");
        assert_eq!(table.key, key(&session, name), "the key of {name}");
        let written: Vec<_> =
            table.columns.iter().map(|(column, kind)| (column.clone(), plain(kind))).collect();
        assert_eq!(written, columns(&session, name), "the columns of {name}");
    }
}

/// A view may be declared with fewer columns than it has, in its own order. The catalogue calls every column of a
/// view nullable; so a column is taken to be what it is in the tables that the view reads it from.
#[test]
fn views_are_declared_as_they_are() {
    let database = migrated_database();
    let session = Session::owner(&database);
    let declared = file();
    let views: Vec<_> = session.views().into_iter().filter(|view| declared.contains_key(view)).collect();
    assert!(!views.is_empty(), "no view is declared");
    for view in views {
        let table = declared.get(&view).expect("it is declared");
        let real = columns(&session, &view);
        let mut rest = real.iter();
        for (column, kind) in &table.columns {
            let found = rest.find(|(name, _)| name == column);
            let (_, found) = found.unwrap_or_else(|| panic!("{view} has no {column}, or not at this place"));
            let base = base_type(&session, &view, column).unwrap_or_else(|| found.clone());
            assert_eq!(plain(kind), base, "{view}.{column}");
        }
        for column in &table.key {
            assert!(table.columns.iter().any(|(name, _)| name == column), "{view} is keyed by {column}");
        }
    }
}

/// The type of the column of that name in the table that a view takes its rows from: the first one it names.
fn base_type(session: &Session, view: &str, column: &str) -> Option<String> {
    let definition = session.value(&format!("SELECT pg_get_viewdef('public.{view}'::regclass)"));
    let qualified = definition.split([' ', ',', '\n', '(']).find_map(|word| {
        let (table, named) = word.trim_end_matches(';').split_once('.')?;
        (named == column).then(|| table.to_owned())
    })?;
    columns(session, &qualified).into_iter().find(|(name, _)| name == column).map(|(_, kind)| kind)
}

#[test]
fn blocks_are_read_as_they_are_written() {
    let read = declared(
        "diesel::table! {\n    a (b, c) {\n        b -> Uuid,\n        c -> Nullable<Int8>,\n    }\n}\n",
    );
    let columns = vec![("b".to_owned(), "Uuid".to_owned()), ("c".to_owned(), "Nullable<Int8>".to_owned())];
    let expected = Table { key: vec!["b".to_owned(), "c".to_owned()], columns };
    assert_eq!(read.get("a"), Some(&expected));
    assert_eq!(plain("Array<Nullable<Text>>"), "Array<Text>");
    assert_eq!(plain("Nullable<Array<Nullable<Int8>>>"), "Nullable<Array<Int8>>");
    assert_eq!(diesel_type("bigint[]", false), "Nullable<Array<Int8>>");
}
