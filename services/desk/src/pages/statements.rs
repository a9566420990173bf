//! Statements: what everybody has coming.

pub mod balances;
pub mod list;
pub mod show;

use actix_web::web::ServiceConfig;

/// Attaches the pages of statements.
pub fn attach(config: &mut ServiceConfig) {
    config.service(list::show).service(show::show);
}
