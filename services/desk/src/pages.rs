//! The pages, a folder for each place; one page, or one thing that a form does, to a file.

pub mod audit;
pub mod contracts;
mod door;
pub mod enrol;
pub mod home;
pub mod papers;
pub mod sign_in;
pub mod sign_out;
pub mod statements;
pub mod week;
pub mod yard;

use actix_web::web::ServiceConfig;

use crate::assets;

/// Attaches every page.
pub fn attach(config: &mut ServiceConfig) {
    config.service(assets::serve);
    audit::attach(config);
    contracts::attach(config);
    config.service(home::show);
    config.service(enrol::show).service(enrol::set);
    config.service(sign_in::show).service(sign_in::begin);
    config.service(sign_out::end);
    yard::attach(config);
    papers::attach(config);
    week::attach(config);
    statements::attach(config);
}
