//! Databases for tests, from inside and outside of an asynchronous runtime.

use crate::support::ask;
use localpg::{Error, throwaway, throwaway_database};

#[test]
fn databases_are_copied_from_a_template_and_dropped() {
    let cluster = throwaway().unwrap();
    let template = r#"an "odd" name / with % all?"#;
    cluster.create_database(template, None).unwrap();
    ask(&cluster.database_url(template), "CREATE TABLE rule (name text); INSERT INTO rule VALUES ('é')")
        .unwrap();

    let first = throwaway_database(Some(template)).unwrap();
    let second = throwaway_database(Some(template)).unwrap();
    assert_ne!(first.name(), second.name());
    ask(&first.url(), "DELETE FROM rule").unwrap();
    assert_eq!(ask(&second.url(), "SELECT name FROM rule").unwrap(), ["é"]);

    let url = first.url();
    drop(first);
    let gone = ask(&url, "SELECT 1").unwrap_err();
    assert_eq!(gone.code(), Some(&tokio_postgres::error::SqlState::INVALID_CATALOG_NAME));
    cluster.drop_database(template).unwrap();
    cluster.drop_database(template).unwrap();
}

#[test]
fn refusals_say_why() {
    let cluster = throwaway().unwrap();
    cluster.create_database("twice", None).unwrap();
    let error = cluster.create_database("twice", None).unwrap_err();
    assert_eq!(
        error.to_string(),
        "could not create the database \"twice\": database \"twice\" already exists; correct that and try again"
    );
    assert!(matches!(cluster.create_database("", None), Err(Error::Name { .. })));
    assert!(matches!(cluster.create_database("x", Some("no such template")), Err(Error::Database { .. })));
}

#[tokio::test]
async fn it_works_inside_a_runtime() {
    let database = throwaway_database(None).unwrap();
    let (client, connection) = tokio_postgres::connect(&database.url(), tokio_postgres::NoTls).await.unwrap();
    let driven = tokio::spawn(connection);
    let row = client.query_one("SELECT current_database()::text", &[]).await.unwrap();
    assert_eq!(row.get::<_, String>(0), database.name());
    // Dropping cuts the connection off rather than waiting for it.
    drop(database);
    assert!(client.simple_query("SELECT 1").await.is_err());
    drop(driven);
}
