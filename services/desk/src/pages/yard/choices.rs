//! What can be chosen on a ticket: jobs with their landings, crews, mills, books, and how the contracts scale.

use client::{PageQuery, all_pages};
use jiff::civil::Date;
use kernel::JobId;
use wire::{CrewView, JobView, MillView, PracticeView, ScaleBookView};

use crate::desk::Desk;
use crate::session::person::Person;
use crate::trouble::Trouble;

/// How many jobs the practices are asked for of; whoever has more open at once is told by the page that it scales with
/// signal only.
const JOBS: usize = 20;

/// All that can be chosen.
#[derive(Clone, Debug)]
pub struct Choices {
    /// What day it is where the outfit is.
    pub today: Date,
    /// Jobs with their landings.
    pub jobs: Vec<JobView>,
    /// Crews.
    pub crews: Vec<CrewView>,
    /// Mills.
    pub mills: Vec<MillView>,
    /// Scale books and how far they have come.
    pub books: Vec<ScaleBookView>,
    /// How the contracts of the jobs scale today.
    pub practices: Vec<PracticeView>,
}

/// What day it is where the outfit is.
///
/// # Errors
///
/// [`Trouble`] of the service.
pub async fn today(desk: &Desk, person: &Person) -> Result<Date, Trouble> {
    let zone = person.service.show_outfit().await?.time_zone;
    let zone = jiff::tz::TimeZone::get(&zone).map_err(Trouble::internal)?;
    Ok(desk.now().to_zoned(zone).date())
}

impl Choices {
    /// Asks the service for all of it.
    ///
    /// # Errors
    ///
    /// [`Trouble`] of the service.
    pub async fn ask(desk: &Desk, person: &Person) -> Result<Self, Trouble> {
        let service = &person.service;
        let page = |after| PageQuery { after, limit: Some(500) };
        let jobs = all_pages(async |after| service.list_jobs(&page(after)).await).await?;
        let crews = all_pages(async |after| service.list_crews(&page(after)).await).await?;
        let mills = all_pages(async |after| service.list_mills(&page(after)).await).await?;
        let books = all_pages(async |after| service.list_scale_books(&page(after)).await).await?;
        let today = today(desk, person).await?;
        let mut practices = Vec::new();
        for job in jobs.iter().rev().take(JOBS) {
            practices.extend(service.list_practices(job.job_id, Some(today)).await?);
        }
        Ok(Self { today, jobs, crews, mills, books, practices })
    }

    /// The job of a landing.
    #[must_use]
    pub fn job_of(&self, landing: &str) -> Option<JobId> {
        let has = |job: &&JobView| job.landings.iter().any(|one| one.landing_id.to_string() == landing);
        self.jobs.iter().find(has).map(|job| job.job_id)
    }

    /// The number after the last one of a book; 1 for a new book.
    #[must_use]
    pub fn next_number(&self, book: &str) -> i64 {
        self.books
            .iter()
            .find(|known| known.book == book)
            .map_or(1, |known| known.last_number.saturating_add(1))
    }
}
