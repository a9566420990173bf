//! Contracts: what they say through time, filing one, and amending one after seeing what it would have paid.

pub mod amend;
pub mod asked;
pub mod form;
pub mod list;
pub mod new;
pub mod preview;
pub mod show;
pub mod terms;

use actix_web::web::ServiceConfig;

/// Attaches the pages of the contracts.
pub fn attach(config: &mut ServiceConfig) {
    config.service(list::show).service(new::show).service(new::send);
    config.service(amend::show).service(amend::send).service(show::show);
}
