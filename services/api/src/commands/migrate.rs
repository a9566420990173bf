//! `skidway migrate`: brings the database to the shape this version needs.

use crate::config::Config;
use crate::running::Database;

pub(super) fn run(config: &Config) -> anyhow::Result<()> {
    let database = Database::open(config, &|line| println!("{line}"))?;
    let applied = storage::migrate(database.url())?;
    if applied.is_empty() {
        println!("The database has the shape this version needs.");
    }
    for name in applied {
        println!("Applied {name}.");
    }
    database.close()
}
