//! Filing a contract with its first terms.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::Data;
use actix_web::{HttpResponse, get, post};
use client::ClientError;
use maud::{Markup, html};
use serde_json::json;
use wire::{ContractCreate, Party, RuleView};

use super::amend::must_keep_books;
use super::asked::{once, terms, text, typed, wanted};
use super::form::{Drawn, Faults, change_rows, of_problem};
use super::show::Named;
use super::terms::split::Filled;
use crate::desk::Desk;
use crate::form::{Sent, key_field};
use crate::page::{Page, Place, query};
use crate::session::person::Person;
use crate::trouble::{Trouble, refused};

/// What stands above the form.
#[derive(Default)]
struct Above {
    faults: Faults,
    says: Option<Markup>,
    status: StatusCode,
}

/// The empty form, with one row for a rate.
///
/// # Errors
///
/// [`Trouble`].
#[get("/contracts/new")]
pub async fn show(person: Person, desk: Data<Desk>) -> Result<HttpResponse, Trouble> {
    must_keep_books(&person)?;
    let mut filled = Filled::new();
    filled.insert("once".to_owned(), desk.random());
    let _added = change_rows(&mut filled, "add");
    page(&person, &filled, Above::default()).await
}

/// Adds or takes away a row, or files the contract.
///
/// # Errors
///
/// [`Trouble`]; what the service refuses is said above the form and at its fields.
#[post("/contracts/new")]
pub async fn send(sent: Sent<Filled>) -> Result<HttpResponse, Trouble> {
    let Sent { person, form: mut filled } = sent;
    must_keep_books(&person)?;
    let asked = wanted(&filled).to_owned();
    if change_rows(&mut filled, &asked) {
        return page(&person, &filled, Above::default()).await;
    }
    let (contract, rows) = match read(&filled) {
        Ok(read) => read,
        Err(faults) => {
            let above = Above { faults, says: None, status: StatusCode::UNPROCESSABLE_ENTITY };
            return page(&person, &filled, above).await;
        }
    };
    match person.filing(once(&filled)).file_contract(&contract).await {
        Ok(filed) => {
            let done = query(&[("filed", &contract.terms.effective_from.to_string())]);
            let to = format!("/desk/contracts/{}?{done}", filed.contract_id);
            Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish())
        }
        Err(ClientError::Refused(problem)) if problem.status != 401 => {
            let above = Above {
                faults: of_problem(&problem, &rows),
                says: Some(refused(&problem)),
                status: StatusCode::from_u16(problem.status).unwrap_or(StatusCode::UNPROCESSABLE_ENTITY),
            };
            page(&person, &filled, above).await
        }
        Err(error) => Err(error.into()),
    }
}

/// The contract that is filled in, and the rows of its rates.
fn read(filled: &Filled) -> Result<(ContractCreate, Vec<usize>), Faults> {
    let (terms, rows) = terms(filled)?;
    let party = text(filled, "party");
    let (kind, id) = party.split_once(':').unwrap_or((party, ""));
    let document = json!({
        "title": text(filled, "title"), "job_id": text(filled, "job_id"), "party": {kind: id}, "terms": terms,
    });
    Ok((typed(document, &rows)?, rows))
}

/// A party as the form's choice writes it.
fn chosen(party: Party) -> String {
    match party {
        Party::CrewId(id) => format!("crew_id:{id}"),
        Party::MillId(id) => format!("mill_id:{id}"),
    }
}

async fn page(person: &Person, filled: &Filled, above: Above) -> Result<HttpResponse, Trouble> {
    let rules: Vec<RuleView> = person.service.list_rules().await?.items;
    let named = Named::read(person).await?;
    let drawn = Drawn { filled, faults: &above.faults, rules: &rules };
    let content = html! {
        (drawn.summary())
        @if let Some(says) = &above.says { (says) }
        form method="post" action="/desk/contracts/new" {
            (key_field(person))
            input type="hidden" name="once" value=(once(filled));
            fieldset {
                legend { "Between whom, and for what" }
                label for="title" { "Title" }
                input id="title" name="title" value=(text(filled, "title")) required autocomplete="off";
                (drawn.said("title"))
                label for="job_id" { "Job" }
                select id="job_id" name="job_id" {
                    @for (id, name) in named.jobs() {
                        option value=(id) selected[id.to_string() == text(filled, "job_id")] { (name) }
                    }
                }
                (drawn.said("job_id"))
                label for="party" { "With" }
                select id="party" name="party" aria-describedby="party-help" {
                    @for (party, name) in named.parties() {
                        option value=(chosen(*party)) selected[chosen(*party) == text(filled, "party")] {
                            (name) @match party { Party::CrewId(_) => " (crew, whom we pay)", Party::MillId(_) => " (mill, which pays us)" }
                        }
                    }
                }
                p.help id="party-help" { "A crew or a mill has one contract on a job; what changes is amended." }
                (drawn.said("party"))
            }
            (drawn.fields())
            button #file-contract type="submit" name="do" value="file" { "File the contract" }
        }
    };
    let page = Page {
        title: "File a contract",
        person: Some(person),
        here: Some(Place::Contracts),
        scripts: &[],
        content,
    };
    Ok(page.answer(above.status))
}
