//! The week: what blocks it, its preview, what changed, posting it.

pub mod differences;
pub mod held_up;
pub mod lines;
pub mod list;
pub mod pay;
pub mod post;
pub mod preview;
pub mod set_aside;
pub mod show;
pub mod volumes;

use actix_web::web::ServiceConfig;

/// Attaches the pages of the week.
pub fn attach(config: &mut ServiceConfig) {
    config.service(list::show).service(list::find);
    config.service(show::show).service(preview::draft).service(set_aside::file);
    config.service(post::confirm).service(post::post).service(post::computed_again);
}
