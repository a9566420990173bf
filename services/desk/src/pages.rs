//! The pages, a folder for each place; one page, or one thing that a form does, to a file.

mod door;
pub mod enrol;
pub mod home;
pub mod papers;
pub mod sign_in;
pub mod sign_out;
pub mod statements;
pub mod week;

use actix_web::web::ServiceConfig;

use crate::assets;

/// Attaches every page.
pub fn attach(config: &mut ServiceConfig) {
    config.service(assets::serve);
    config.service(home::show);
    config.service(enrol::show).service(enrol::set);
    config.service(sign_in::show).service(sign_in::begin);
    config.service(sign_out::end);
    config.service(papers::ticket).service(papers::statement).service(papers::crew);
    week::attach(config);
    statements::attach(config);
}
