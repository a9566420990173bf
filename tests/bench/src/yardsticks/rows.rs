//! The plainest way to keep a ticket: a header, and a row for each piece in one INSERT of many rows. No outfits, no rates,
//! no audit trail, nobody who may not.

use anyhow::Result;
use serde_json::Value;

use super::pgbench::Script;
use crate::frame::database::Database;

const TABLES: &str = "
CREATE SCHEMA plain;
CREATE TABLE plain.ticket (
    ticket_id uuid PRIMARY KEY, book text NOT NULL, number bigint NOT NULL, job_id uuid NOT NULL, landing_id uuid NOT NULL,
    scaled_on date NOT NULL, scaler text NOT NULL, felled_by uuid, skidded_by uuid, delivered_to uuid,
    accepted_at timestamptz NOT NULL, accepted_by text NOT NULL, UNIQUE (book, number));
CREATE TABLE plain.piece (
    ticket_id uuid NOT NULL REFERENCES plain.ticket, piece smallint NOT NULL, product text NOT NULL, species text NOT NULL,
    diameter_in numeric NOT NULL, length_ft numeric NOT NULL, length_in numeric NOT NULL, gross numeric NOT NULL,
    net numeric NOT NULL, defects jsonb, PRIMARY KEY (ticket_id, piece));
GRANT USAGE ON SCHEMA plain TO skidway_service;
GRANT INSERT, SELECT ON plain.ticket, plain.piece TO skidway_service";

/// Makes the tables, and the script that fills them with tickets of the same logs.
pub async fn script(database: &Database, ticket: &Value) -> Result<Script> {
    database.connect().await?.batch_execute(TABLES).await?;
    let id = "('00000000-0000-7000-8000-'||(:n)::text)::uuid";
    let pieces = ticket.get("pieces").and_then(Value::as_array).into_iter().flatten().enumerate();
    let rows = pieces.map(|(place, piece)| {
        let member = |name: &str| piece.get(name).and_then(Value::as_str).unwrap_or_default();
        let diameter = piece.pointer("/small_diameter_in/0").and_then(Value::as_str).unwrap_or_default();
        let defects = piece.get("defects").map_or("NULL".to_owned(), |defects| format!("'{defects}'"));
        format!(
            "({id},{},'log','{}',{diameter},{},{},120,110,{defects})",
            place + 1,
            member("species"),
            member("length_ft"),
            member("length_in")
        )
    });
    let rows = rows.collect::<Vec<_>>().join(",");
    let header = "gen_random_uuid(),gen_random_uuid(),'2025-01-06','Scaler at the landing',NULL,NULL,NULL,now(),'somebody'";
    Script::new(&format!(
        "BEGIN;\nINSERT INTO plain.ticket VALUES ({id},'B',:n,{header});\nINSERT INTO plain.piece VALUES {rows};\nCOMMIT;\n"
    ))
}
