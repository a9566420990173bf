//! Hands a phone the table of a practice. Terms never change, so the browser asks once for each and build of the desk.

use actix_web::web::{Data, Path};
use actix_web::{HttpResponse, get};
use kernel::{JobId, TermsId};
use serde::Deserialize;

use super::choices::today;
use super::table::Table;
use crate::desk::Desk;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// Which practice: of which job's contracts, under which terms.
#[derive(Debug, Deserialize)]
pub struct Which {
    job: String,
    terms: String,
}

/// The table, computed by the engine.
///
/// # Errors
///
/// [`Trouble`]; there is none for terms that are not in force today.
#[get("/yard/jobs/{job}/tables/{terms}")]
pub async fn show(desk: Data<Desk>, person: Person, which: Path<Which>) -> Result<HttpResponse, Trouble> {
    let job: JobId = which.job.parse().map_err(|_| Trouble::NoSuchPage)?;
    let terms: TermsId = which.terms.parse().map_err(|_| Trouble::NoSuchPage)?;
    let on = today(&desk, &person).await?;
    let practices = person.service.list_practices(job, Some(on)).await?;
    let view = practices.into_iter().find(|view| view.terms_id == terms).ok_or(Trouble::NoSuchPage)?;
    // Some tens of thousands of logs are scaled; other requests go on meanwhile.
    let table = actix_web::web::block(move || Table::of(terms, &view.practice)).await;
    Ok(HttpResponse::Ok().json(table.map_err(Trouble::internal)?))
}
