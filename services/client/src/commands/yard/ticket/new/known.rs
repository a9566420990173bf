//! What a yard knows without signal: places, crews, mills, practices, and the last ticket.

use std::time::Duration;

use anyhow::Context;
use client::outbox::Owner;
use client::shelf::{self, Shelf};
use client::{Client, ClientError, PageQuery, Patience, all_pages};
use jiff::Timestamp;
use jiff::civil::Date;
use kernel::{Clock, CrewId, JobId, LandingId, MillId, SystemClock};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use wire::{CrewView, JobView, MillView, PracticeView, ScaleBookView, TicketCreate};

use super::asking::Terminal;
use crate::commands::service::ServiceOptions;

/// How long to wait for the service before going on without: somebody stands in the cold meanwhile.
const PATIENCE: Duration = Duration::from_secs(6);

/// What was fetched of the outfit, and when.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Fetched {
    owner: Owner,
    pub(crate) at: Timestamp,
    pub(crate) jobs: Vec<JobView>,
    pub(crate) crews: Vec<CrewView>,
    pub(crate) mills: Vec<MillView>,
    pub(crate) books: Vec<ScaleBookView>,
}

/// The practices of a job, as they were fetched.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Practices {
    owner: Owner,
    at: Timestamp,
    /// The day they were asked about; none when it was that day's today.
    on: Date,
    pub(crate) contracts: Vec<PracticeView>,
}

/// The ticket that was posted last, without its sticks.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Last {
    owner: Owner,
    ticket: TicketCreate,
}

/// What a yard knows.
pub(crate) struct Yard {
    shelf: Shelf,
    owner: Owner,
    pub(crate) fetched: Option<Fetched>,
    pub(crate) practices: Option<Practices>,
    pub(crate) last: Option<TicketCreate>,
}

impl Yard {
    pub(crate) fn of_user(owner: &Owner) -> anyhow::Result<Self> {
        let place =
            shelf::of_user().context("there is no directory to keep anything in: set SKID_HOME or HOME")?;
        let shelf = Shelf::at(&place.join("yard"))?;
        let last: Option<Last> = read(&shelf, "last");
        let fetched: Option<Fetched> = read(&shelf, "outfit");
        Ok(Self {
            fetched: fetched.filter(|fetched| fetched.owner == *owner),
            last: last.filter(|last| last.owner == *owner).map(|last| last.ticket),
            practices: None,
            owner: owner.clone(),
            shelf,
        })
    }

    /// Asks the service who and what there is; without signal, goes on with what is on the disk.
    pub(crate) async fn fetch(
        &mut self,
        service: &ServiceOptions,
        terminal: &mut Terminal,
    ) -> anyhow::Result<()> {
        match in_time(fetch(service, &self.owner)).await {
            Some(fetched) => {
                self.shelf.put("outfit", &serde_json::to_vec(&fetched)?)?;
                self.fetched = Some(fetched);
            }
            None => match &self.fetched {
                Some(fetched) => {
                    terminal.say(&format!("No signal; jobs and crews as of {}.", days_ago(fetched.at)))?;
                }
                None => anyhow::bail!(
                    "no signal, and nothing of the outfit is on this machine yet: begin once with signal, or write the \
                     ticket by hand"
                ),
            },
        }
        Ok(())
    }

    /// Asks for the practices of the ticket's job; without signal, takes those on the disk, and says how old they are.
    pub(crate) async fn fetch_practices(
        &mut self,
        service: &ServiceOptions,
        ticket: &TicketCreate,
        terminal: &mut Terminal,
    ) -> anyhow::Result<()> {
        let (job, day) = (ticket.job_id, ticket.scaled_on);
        let name = format!("practices-{job}");
        let asked = in_time(async {
            let client = service.client().await?.with_patience(Patience::NONE);
            Ok(client.list_practices(job, Some(day)).await?)
        });
        if let Some(contracts) = asked.await {
            let practices =
                Practices { owner: self.owner.clone(), at: SystemClock.now(), on: day, contracts };
            self.shelf.put(&name, &serde_json::to_vec(&practices)?)?;
            self.practices = Some(practices);
            return Ok(());
        }
        let kept: Option<Practices> = read(&self.shelf, &name);
        self.practices = kept.filter(|practices| practices.owner == self.owner);
        terminal.say(&match &self.practices {
            None => "No signal, and no scaling practices of this job are on this machine: sticks are taken \
                     without volumes."
                .to_owned(),
            Some(practices) if practices.on == day => {
                format!("No signal; practices as of {}.", days_ago(practices.at))
            }
            Some(practices) => format!(
                "No signal; practices as of {}, for {}: the volumes of {day} may differ.",
                days_ago(practices.at),
                practices.on
            ),
        })?;
        Ok(())
    }

    /// Remembers a ticket, for the next one's head.
    pub(crate) fn remember(&self, ticket: &TicketCreate) -> anyhow::Result<()> {
        let ticket = TicketCreate { pieces: Vec::new(), remarks: None, ..ticket.clone() };
        let last = Last { owner: self.owner.clone(), ticket };
        Ok(self.shelf.put("last", &serde_json::to_vec(&last)?)?)
    }

    pub(crate) fn jobs(&self) -> &[JobView] {
        self.fetched.as_ref().map_or(&[], |fetched| &fetched.jobs)
    }

    pub(crate) fn crews(&self) -> &[CrewView] {
        self.fetched.as_ref().map_or(&[], |fetched| &fetched.crews)
    }

    pub(crate) fn mills(&self) -> &[MillView] {
        self.fetched.as_ref().map_or(&[], |fetched| &fetched.mills)
    }

    pub(crate) fn contracts(&self) -> &[PracticeView] {
        self.practices.as_ref().map_or(&[], |practices| &practices.contracts)
    }

    /// The last number of a book that is known of.
    pub(crate) fn last_number(&self, book: &str) -> u32 {
        let books = self.fetched.iter().flat_map(|fetched| &fetched.books);
        let theirs = books
            .filter(|known| known.book == book)
            .filter_map(|known| u32::try_from(known.last_number).ok());
        let ours = self.last.iter().filter(|last| last.book.as_str() == book).map(|last| last.number);
        theirs.chain(ours).max().unwrap_or(0)
    }

    pub(crate) fn job_name(&self, job: JobId) -> String {
        named(self.jobs().iter().find(|known| known.job_id == job).map(|known| &known.name), job)
    }

    pub(crate) fn landing_name(&self, landing: LandingId) -> String {
        let mut landings = self.jobs().iter().flat_map(|job| &job.landings);
        named(landings.find(|known| known.landing_id == landing).map(|known| &known.name), landing)
    }

    pub(crate) fn crew_name(&self, crew: CrewId) -> String {
        named(self.crews().iter().find(|known| known.crew_id == crew).map(|known| &known.name), crew)
    }

    pub(crate) fn mill_name(&self, mill: MillId) -> String {
        named(self.mills().iter().find(|known| known.mill_id == mill).map(|known| &known.name), mill)
    }
}

fn named(name: Option<&String>, id: impl std::fmt::Display) -> String {
    name.cloned().unwrap_or_else(|| id.to_string())
}

/// A file that cannot be read is fetched anew.
fn read<T: DeserializeOwned>(shelf: &Shelf, name: &str) -> Option<T> {
    serde_json::from_slice(&shelf.read(name).ok()??).ok()
}

/// What was answered in time. What the service refuses is as good as no answer here: posting will tell.
async fn in_time<T>(asked: impl Future<Output = anyhow::Result<T>>) -> Option<T> {
    tokio::time::timeout(PATIENCE, asked).await.ok()?.ok()
}

async fn fetch(service: &ServiceOptions, owner: &Owner) -> anyhow::Result<Fetched> {
    let client = service.client().await?.with_patience(Patience::NONE);
    Ok(everything(&client, owner).await?)
}

async fn everything(client: &Client, owner: &Owner) -> Result<Fetched, ClientError> {
    let page = |after: Option<String>| PageQuery { after, limit: Some(500) };
    Ok(Fetched {
        owner: owner.clone(),
        at: SystemClock.now(),
        jobs: all_pages(async |after| client.list_jobs(&page(after)).await).await?,
        crews: all_pages(async |after| client.list_crews(&page(after)).await).await?,
        mills: all_pages(async |after| client.list_mills(&page(after)).await).await?,
        books: all_pages(async |after| client.list_scale_books(&page(after)).await).await?,
    })
}

/// How long ago something was fetched.
fn days_ago(at: Timestamp) -> String {
    let hours = SystemClock.now().duration_since(at).as_hours();
    match hours / 24 {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        days => format!("{days} days ago, which is old"),
    }
}
