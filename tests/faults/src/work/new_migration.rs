//! A migration as a next version would bring it, written by the project's own rules: it only adds, so that the version
//! before goes on working beside it. It is not the product's, and is in no database but those of this program.

use anyhow::Context;

/// Later than all of the product's.
const VERSION: &str = "20991231000001";

const UP: &str = "
LOCK TABLE ticket IN ACCESS EXCLUSIVE MODE;
CREATE TABLE yard_note (
    outfit_id uuid NOT NULL REFERENCES outfit (outfit_id),
    yard_note_id uuid NOT NULL,
    ticket_id uuid NOT NULL,
    says text NOT NULL,
    PRIMARY KEY (outfit_id, yard_note_id),
    FOREIGN KEY (outfit_id, ticket_id) REFERENCES ticket (outfit_id, ticket_id)
);
CREATE INDEX yard_note_ticket ON yard_note (outfit_id, ticket_id);
CALL guard_records('yard_note');
ALTER TABLE ticket ADD COLUMN yard_remark text;
CREATE INDEX ticket_yard_remark ON ticket (outfit_id, yard_remark) WHERE yard_remark IS NOT NULL;
";

/// Applies it unless the database has it, holding the lock that the product's own migrations hold.
pub fn apply(url: &str) -> anyhow::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    runtime.block_on(async {
        let (mut client, connection) = tokio_postgres::connect(url, tokio_postgres::NoTls).await?;
        let driving = tokio::spawn(connection);
        client.execute("SELECT pg_advisory_lock(hashtextextended('skidway migrations', 0))", &[]).await?;
        let transaction = client.transaction().await?;
        let noted = "INSERT INTO __diesel_schema_migrations (version) VALUES ($1) ON CONFLICT DO NOTHING";
        if transaction.execute(noted, &[&VERSION]).await? == 1 {
            transaction.batch_execute(UP).await.context("the new migration fails")?;
        }
        transaction.commit().await?;
        drop(client);
        driving.await??;
        Ok(())
    })
}

/// Whether a database has it.
pub async fn is_applied(url: &str) -> anyhow::Result<bool> {
    let (client, connection) = tokio_postgres::connect(url, tokio_postgres::NoTls).await?;
    let _driving = tokio::spawn(connection);
    let found =
        client.query("SELECT 1 FROM __diesel_schema_migrations WHERE version = $1", &[&VERSION]).await?;
    let columns = client.query("SELECT yard_remark FROM ticket LIMIT 0", &[]).await;
    Ok(found.len() == 1 && columns.is_ok())
}
