//! A contract: its terms through time in words, and what each amendment changed.

use crate::table::{Cell, Table};
use actix_web::web::{Path, Query};
use actix_web::{HttpResponse, get};
use client::{PageQuery, all_pages};
use kernel::{ContractId, JobId};
use maud::{Markup, html};
use serde::Deserialize;
use serde_json::Value;
use wire::{ContractView, Party, Role, TermsView};

use super::terms::words::{changes, said, said_of_rate};
use crate::page::{Page, Place};
use crate::pages::audit::facts;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// What a contract's ids are called.
#[derive(Clone, Debug, Default)]
pub struct Named {
    jobs: Vec<(JobId, String)>,
    parties: Vec<(Party, String)>,
}

impl Named {
    /// Asks for the names that somebody may see. A mill sees its own contracts alone, and is told no others' names.
    ///
    /// # Errors
    ///
    /// [`Trouble`].
    pub async fn read(person: &Person) -> Result<Self, Trouble> {
        if person.role() == Role::Mill {
            return Ok(Self::default());
        }
        let service = &person.service;
        let page = |after| PageQuery { after, limit: Some(500) };
        let jobs = all_pages(async |after| service.list_jobs(&page(after)).await).await?;
        let crews = all_pages(async |after| service.list_crews(&page(after)).await).await?;
        let mills = all_pages(async |after| service.list_mills(&page(after)).await).await?;
        let crews = crews.into_iter().map(|one| (Party::CrewId(one.crew_id), one.name));
        let mills = mills.into_iter().map(|one| (Party::MillId(one.mill_id), one.name));
        Ok(Self {
            jobs: jobs.into_iter().map(|one| (one.job_id, one.name)).collect(),
            parties: crews.chain(mills).collect(),
        })
    }

    /// A job's name.
    #[must_use]
    pub fn job(&self, job: JobId) -> String {
        let found = self.jobs.iter().find(|(id, _)| *id == job);
        found.map_or_else(|| "the job you deliver from".to_owned(), |(_, name)| name.clone())
    }

    /// A party's name.
    #[must_use]
    pub fn party(&self, party: Party) -> String {
        let found = self.parties.iter().find(|(id, _)| *id == party);
        found.map_or_else(|| "you".to_owned(), |(_, name)| name.clone())
    }

    /// Jobs to choose from.
    #[must_use]
    pub fn jobs(&self) -> &[(JobId, String)] {
        &self.jobs
    }

    /// Crews and mills to choose from.
    #[must_use]
    pub fn parties(&self) -> &[(Party, String)] {
        &self.parties
    }
}

/// What was just done.
#[derive(Debug, Default, Deserialize)]
pub struct Done {
    #[serde(default)]
    filed: String,
    #[serde(default)]
    again: String,
}

/// Shows it.
///
/// # Errors
///
/// [`Trouble`].
#[get("/contracts/{contract}")]
pub async fn show(person: Person, id: Path<ContractId>, done: Query<Done>) -> Result<HttpResponse, Trouble> {
    let contract = person.service.show_contract(*id).await?;
    let named = Named::read(&person).await?;
    let content = content(&person, &contract, &named, &done);
    let page = Page {
        title: &contract.title,
        person: Some(&person),
        here: Some(Place::Contracts),
        scripts: &[],
        content,
    };
    Ok(page.found())
}

/// Terms as the JSON that a caller files.
#[must_use]
pub fn as_filed(terms: &TermsView) -> Value {
    let mut filed = serde_json::to_value(terms).unwrap_or_default();
    if let Some(members) = filed.as_object_mut() {
        for member in ["terms_id", "revision", "filed_by", "filed_at"] {
            members.remove(member);
        }
    }
    filed
}

fn content(person: &Person, contract: &ContractView, named: &Named, done: &Done) -> Markup {
    let side = match contract.party {
        Party::CrewId(_) => "a crew, whom we pay",
        Party::MillId(_) => "a mill, which pays us",
    };
    let known = [
        ("With", format!("{} ({side})", named.party(contract.party))),
        ("Job", named.job(contract.job_id)),
        ("Filed", contract.made_at.to_string()),
    ];
    html! {
        @if !done.filed.is_empty() {
            p.done role="status" {
                "The terms from " (done.filed) " are filed. "
                @if !done.again.is_empty() { (done.again) " tickets already accepted were worked out again under them." }
            }
        }
        (facts(&known))
        @if person.keeps_books() {
            p { a.button #amend href={ "/desk/contracts/" (contract.contract_id) "/amendment" } { "Amend it" } }
        }
        p.help { "Of terms for the same day the later filed hold. Old terms stay readable: what was scaled under them can be worked out \
    again." }
        @for (place, terms) in contract.terms.iter().enumerate().rev() {
            @let before = place.checked_sub(1).and_then(|place| contract.terms.get(place));
            (one(terms, before, place.saturating_add(1) == contract.terms.len()))
        }
    }
}

fn one(terms: &TermsView, before: Option<&TermsView>, latest: bool) -> Markup {
    let filed = as_filed(terms);
    let id = format!("terms-{}", terms.revision);
    html! {
        section.terms id=(id) {
            h2 { "From " (terms.effective_from) @if terms.revision > 1 { ", amendment " (terms.revision.saturating_sub(1)) } }
            p.help { "Filed by " (terms.filed_by) " at " (terms.filed_at) "." }
            @if let Some(before) = before { (changed(&as_filed(before), &filed, &id)) }
            (rates(&filed, &id).shown())
            details open[latest] {
                summary { "How timber is scaled, and what else it says" }
                dl.facts { @for one in said(&filed) { div { dt { (one.about) } dd { (one.says) } } } }
            }
        }
    }
}

/// What two terms do not say alike, side by side.
#[must_use]
pub fn changed(before: &Value, after: &Value, id: &str) -> Markup {
    let heads = ["What", "Before", "Now"];
    let mut table = Table::new(format!("changed-{id}"), "What the amendment changes", &heads);
    for one in changes(before, after) {
        table.rows.push(vec![
            Cell::Head(one.about),
            Cell::Words(one.before.unwrap_or_else(|| "nothing".to_owned())),
            Cell::Words(one.after.unwrap_or_else(|| "nothing".to_owned())),
        ]);
    }
    html! { @if table.rows.is_empty() { p { "It changes nothing." } } @else { (table.shown()) } }
}

/// The rates as a table.
fn rates(terms: &Value, id: &str) -> Table {
    let heads = ["Rate", "Task", "Product", "Paid by the", "On", "Price", "And"];
    let mut table = Table::new(format!("rates-{id}"), "Rates", &heads);
    for rate in terms.get("rates").and_then(Value::as_array).into_iter().flatten() {
        let said = said_of_rate(rate);
        let says = |about: &str| said.iter().find(|one| one.about == about).map(|one| one.says.clone());
        let columns = ["Task", "Product", "Paid by the", "On", "Price"];
        let rest = said.iter().filter(|one| !columns.contains(&one.about.as_str()));
        let rest: Vec<_> = rest.map(|one| format!("{}: {}", one.about, one.says)).collect();
        let name = rate.get("name").and_then(Value::as_str).unwrap_or_default();
        table.rows.push(vec![
            Cell::Head(name.to_owned()),
            Cell::Words(says("Task").unwrap_or_default()),
            Cell::Words(says("Product").unwrap_or_else(|| "any".to_owned())),
            Cell::Words(says("Paid by the").unwrap_or_default()),
            Cell::Words(says("On").unwrap_or_default()),
            Cell::maybe(says("Price")),
            Cell::Words(rest.join("; ")),
        ]);
    }
    table
}
