//! Amending a contract: new terms from a day, beginning from the latest ones; what they would have paid; filing them.

use actix_web::http::StatusCode;
use actix_web::http::header::LOCATION;
use actix_web::web::{Data, Path};
use actix_web::{HttpResponse, get, post};
use client::ClientError;
use kernel::ContractId;
use maud::{Markup, html};
use wire::{ContractView, RuleView, TermsCreate, TermsPreviewRequest};

use super::asked::{once, terms, text, typed, wanted};
use super::form::{Drawn, Faults, change_rows, of_problem};
use super::preview;
use super::show::{as_filed, changed};
use super::terms::split::{Filled, take_apart};
use crate::desk::Desk;
use crate::form::{Sent, key_field};
use crate::page::{Page, Place, query};
use crate::pages::audit::asked::Filled as Days;
use crate::session::person::Person;
use crate::trouble::{Trouble, refused};

/// What stands above the form: a refusal or a preview.
#[derive(Default)]
struct Above {
    faults: Faults,
    says: Option<Markup>,
    status: StatusCode,
}

/// The form, filled in with the latest terms.
///
/// # Errors
///
/// [`Trouble`].
#[get("/contracts/{contract}/amendment")]
pub async fn show(person: Person, desk: Data<Desk>, id: Path<ContractId>) -> Result<HttpResponse, Trouble> {
    must_keep_books(&person)?;
    let contract = person.service.show_contract(*id).await?;
    let rules = person.service.list_rules().await?.items;
    let mut filled = contract.terms.last().map(|terms| take_apart(&as_filed(terms))).unwrap_or_default();
    let days = Days::default().with_days(&person, &desk).await?;
    filled.insert("once".to_owned(), desk.random());
    filled.insert("from".to_owned(), days.from);
    filled.insert("to".to_owned(), days.to);
    Ok(page(&person, &contract, &filled, &rules, Above::default()))
}

/// Whoever may not file is told before they fill anything in.
///
/// # Errors
///
/// [`Trouble::MayNotFile`].
pub fn must_keep_books(person: &Person) -> Result<(), Trouble> {
    if person.keeps_books() { Ok(()) } else { Err(Trouble::MayNotFile) }
}

/// Adds or takes away a row, shows what the terms would have paid, or files them.
///
/// # Errors
///
/// [`Trouble`]; what the service refuses is said above the form and at its fields.
#[post("/contracts/{contract}/amendment")]
pub async fn send(id: Path<ContractId>, sent: Sent<Filled>) -> Result<HttpResponse, Trouble> {
    let Sent { person, form: mut filled } = sent;
    must_keep_books(&person)?;
    let contract = person.service.show_contract(*id).await?;
    let asked = wanted(&filled).to_owned();
    let above = if change_rows(&mut filled, &asked) {
        Above::default()
    } else {
        match act(&person, &contract, &filled, &asked).await? {
            Ok(response) => return Ok(response),
            Err(above) => above,
        }
    };
    let rules = person.service.list_rules().await?.items;
    Ok(page(&person, &contract, &filled, &rules, above))
}

/// Does what is asked: an answer, or what is to be said above the form.
async fn act(
    person: &Person,
    contract: &ContractView,
    filled: &Filled,
    asked: &str,
) -> Result<Result<HttpResponse, Above>, Trouble> {
    let faulty = |faults| Above { faults, says: None, status: StatusCode::UNPROCESSABLE_ENTITY };
    let (document, rows) = match terms(filled) {
        Ok(read) => read,
        Err(faults) => return Ok(Err(faulty(faults))),
    };
    let proposed: TermsCreate = match typed(document.clone(), &rows) {
        Ok(proposed) => proposed,
        Err(faults) => return Ok(Err(faulty(faults))),
    };
    let refusal = |error: ClientError| match error {
        ClientError::Refused(problem) if problem.status != 401 => Ok(Above {
            faults: of_problem(&problem, &rows),
            says: Some(refused(&problem)),
            status: StatusCode::from_u16(problem.status).unwrap_or(StatusCode::UNPROCESSABLE_ENTITY),
        }),
        error => Err(Trouble::from(error)),
    };
    if asked == "file" {
        let filed = person.filing(once(filled)).file_terms(contract.contract_id, &proposed).await;
        return match filed {
            Err(error) => Ok(Err(refusal(error)?)),
            Ok(filed) => {
                let done = query(&[
                    ("filed", &filed.terms.effective_from.to_string()),
                    ("again", &filed.tickets_worked_out_again.to_string()),
                ]);
                let to = format!("/desk/contracts/{}?{done}", contract.contract_id);
                Ok(Ok(HttpResponse::SeeOther().insert_header((LOCATION, to)).finish()))
            }
        };
    }
    let days =
        Days { from: text(filled, "from").to_owned(), to: text(filled, "to").to_owned(), ..Days::default() };
    let (from, to) = days.days()?;
    let request = TermsPreviewRequest { terms: proposed, from, to };
    let before = contract.terms.last().map(as_filed).unwrap_or_default();
    Ok(Err(match person.service.preview_terms(contract.contract_id, &request).await {
        Err(error) => refusal(error)?,
        Ok(shown) => {
            let says = html! {
                section #preview tabindex="-1" {
                    h2 { "What they would have paid" }
                    (preview::shown(&shown))
                    h3 { "What would change" }
                    (changed(&before, &document, "proposed"))
                    p.help { "Nothing is filed yet." }
                }
            };
            Above { faults: Faults::new(), says: Some(says), status: StatusCode::OK }
        }
    }))
}

fn page(
    person: &Person,
    contract: &ContractView,
    filled: &Filled,
    rules: &[RuleView],
    above: Above,
) -> HttpResponse {
    let drawn = Drawn { filled, faults: &above.faults, rules };
    let address = format!("/desk/contracts/{}/amendment", contract.contract_id);
    let day = |name: &str, label: &str| {
        html! { div { label for=(name) { (label) } input type="date" id=(name) name=(name) value=(text(filled, name)); (drawn.said(name)) } }
    };
    let content = html! {
        p { a href={ "/desk/contracts/" (contract.contract_id) } { "The contract as it stands" } }
        (drawn.summary())
        @if let Some(says) = &above.says { (says) }
        p { "The form begins from the latest terms. Choose the first day of the new ones, change what is to change, look at what they \
    would have paid, and file them. Tickets from that day on are worked out again; what that changes in weeks already posted comes with \
    the open week." }
        form method="post" action=(address) {
            (key_field(person))
            input type="hidden" name="once" value=(once(filled));
            (drawn.fields())
            fieldset {
                legend { "See first what they would have paid" }
                div.row { (day("from", "From")) (day("to", "To")) }
                button.second #preview-terms type="submit" name="do" value="preview" { "Show what they would have paid" }
            }
            button #file-terms type="submit" name="do" value="file" { "File the new terms" }
        }
    };
    let title = format!("Amend {}", contract.title);
    let page =
        Page { title: &title, person: Some(person), here: Some(Place::Contracts), scripts: &[], content };
    page.answer(above.status)
}
