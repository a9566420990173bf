//! Which weeks, and which job, contract or crew: the form above the audit's pages, and what it says when nothing is chosen.

use client::{PageQuery, SettlementQuery, StatementQuery, all_pages};
use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, html};
use serde::Deserialize;
use wire::Role;

use crate::desk::Desk;
use crate::page::query;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// As many settled weeks as are shown when nothing is chosen.
const WEEKS: i64 = 4;

/// What is filled in; empty is not chosen.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Filled {
    /// The first day.
    pub from: String,
    /// The last day.
    pub to: String,
    /// The job's id.
    pub job_id: String,
    /// The contract's id.
    pub contract_id: String,
    /// The crew's id.
    pub crew_id: String,
}

/// A choice of a list: its id and its name.
pub type Choice = (String, String);

/// What can be chosen.
#[derive(Clone, Debug, Default)]
pub struct Choices {
    /// Jobs; none for a mill.
    pub jobs: Vec<Choice>,
    /// Contracts.
    pub contracts: Vec<Choice>,
    /// Crews; none for a mill.
    pub crews: Vec<Choice>,
}

impl Choices {
    /// Asks the service for what this person may choose from.
    ///
    /// # Errors
    ///
    /// [`Trouble`].
    pub async fn read(person: &Person) -> Result<Self, Trouble> {
        let service = &person.service;
        let page = |after| PageQuery { after, limit: Some(500) };
        let contracts = all_pages(async |after| service.list_contracts(&page(after)).await).await?;
        let contracts = contracts.into_iter().map(|one| (one.contract_id.to_string(), one.title)).collect();
        if person.role() == Role::Mill {
            return Ok(Self { contracts, ..Self::default() });
        }
        let jobs = all_pages(async |after| service.list_jobs(&page(after)).await).await?;
        let crews = all_pages(async |after| service.list_crews(&page(after)).await).await?;
        Ok(Self {
            jobs: jobs.into_iter().map(|one| (one.job_id.to_string(), one.name)).collect(),
            contracts,
            crews: crews.into_iter().map(|one| (one.crew_id.to_string(), one.name)).collect(),
        })
    }
}

impl Filled {
    /// Fills in the last four settled weeks where no days are chosen; the last four weeks where none is settled.
    ///
    /// # Errors
    ///
    /// [`Trouble`].
    pub async fn with_days(mut self, person: &Person, desk: &Desk) -> Result<Self, Trouble> {
        if self.from.trim().is_empty() || self.to.trim().is_empty() {
            let last = last_settled(person).await?;
            let last = last.unwrap_or_else(|| desk.now().to_zoned(jiff::tz::TimeZone::UTC).date());
            let first = last.checked_sub((WEEKS * 7).days()).and_then(|day| day.checked_add(1.day()));
            if self.to.trim().is_empty() {
                self.to = last.to_string();
            }
            if self.from.trim().is_empty() {
                self.from = first.unwrap_or(last).min(self.to.parse().unwrap_or(last)).to_string();
            }
        }
        Ok(self)
    }

    /// The two days.
    ///
    /// # Errors
    ///
    /// [`Trouble::Unreadable`] when one is none.
    pub fn days(&self) -> Result<(Date, Date), Trouble> {
        let day = |text: &str| {
            text.trim()
                .parse()
                .map_err(|_| Trouble::Unreadable(format!("{text:?} is not a day such as 2026-06-06")))
        };
        Ok((day(&self.from)?, day(&self.to)?))
    }

    /// What is chosen beside the days, by its name in the API.
    #[must_use]
    pub fn narrowing(&self) -> [(&'static str, &str); 2] {
        [("job_id", self.job_id.as_str()), ("crew_id", self.crew_id.as_str())]
    }

    /// All of it as the query of an address.
    #[must_use]
    pub fn as_query(&self) -> String {
        let all = [
            ("from", self.from.as_str()),
            ("to", self.to.as_str()),
            ("job_id", self.job_id.as_str()),
            ("contract_id", self.contract_id.as_str()),
            ("crew_id", self.crew_id.as_str()),
        ];
        query(&all.into_iter().filter(|(_, value)| !value.is_empty()).collect::<Vec<_>>())
    }

    /// The form.
    #[must_use]
    pub fn form(&self, action: &str, choices: &Choices) -> Markup {
        html! {
            form.asked method="get" action=(action) {
                div.row {
                    div { label for="from" { "From" } input type="date" id="from" name="from" value=(self.from); }
                    div { label for="to" { "To" } input type="date" id="to" name="to" value=(self.to); }
                    (chosen("job_id", "Job", "all jobs", &self.job_id, &choices.jobs))
                    (chosen("contract_id", "Contract", "all contracts", &self.contract_id, &choices.contracts))
                    (chosen("crew_id", "Crew", "all crews", &self.crew_id, &choices.crews))
                    div { button id="look" type="submit" { "Show" } }
                }
                p.help { "Weeks count whole: a week is in as soon as one of its days is." }
            }
        }
    }
}

fn chosen(name: &str, label: &str, all: &str, now: &str, choices: &[Choice]) -> Markup {
    html! {
        @if !choices.is_empty() {
            div {
                label for=(name) { (label) }
                select id=(name) name=(name) {
                    option value="" { (all) }
                    @for (id, says) in choices { option value=(id) selected[id == now] { (says) } }
                }
            }
        }
    }
}

/// An id that may be chosen.
///
/// # Errors
///
/// [`Trouble::Unreadable`] when it is none.
pub fn id<T: std::str::FromStr>(text: &str) -> Result<Option<T>, Trouble> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| Trouble::Unreadable(format!("{text:?} is not an id")))
}

/// The last day of the latest week that was settled. A mill is told of settlements by its statements.
async fn last_settled(person: &Person) -> Result<Option<Date>, Trouble> {
    let service = &person.service;
    if person.role() == Role::Mill {
        let all = all_pages(async |after| {
            service
                .list_statements(&StatementQuery { after, limit: Some(500), ..StatementQuery::default() })
                .await
        });
        return Ok(all.await?.iter().map(|one| one.week_ends_on).max());
    }
    let all = all_pages(async |after| {
        let query =
            SettlementQuery { posted: Some(true), after, limit: Some(500), ..SettlementQuery::default() };
        service.list_settlements(&query).await
    });
    Ok(all.await?.iter().map(|one| one.week_ends_on).max())
}
