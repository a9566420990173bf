//! Jobs and their landings.

use jiff::civil::Date;
use kernel::JobId;
use wire::{JobCreate, JobView, LandingCreate, LandingView, Listing, PracticeView};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

impl Client {
    /// Files a job.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the outfit has one of that name.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let name = "Upper fork".to_owned().try_into()?;
    /// let job = client.file_job(&wire::JobCreate { name }).await?;
    /// println!("{}", job.job_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_job(&self, job: &JobCreate) -> Result<JobView, ClientError> {
        Ok(self.post("/v1/jobs", job, Repeat::Keyed).await?.body)
    }

    /// Lists the jobs with their landings, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_jobs(&client::PageQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_jobs(&self, page: &PageQuery) -> Result<Listing<JobView>, ClientError> {
        self.get_with("/v1/jobs", page).await
    }

    /// Files a landing of a job.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the job is not in the books or has a landing of that name.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let job = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let name = "Creek landing".to_owned().try_into()?;
    /// client.file_landing(job, &wire::LandingCreate { name }).await?;
    /// # Ok(()) }
    /// ```
    pub async fn file_landing(
        &self,
        job: JobId,
        landing: &LandingCreate,
    ) -> Result<LandingView, ClientError> {
        Ok(self.post(&format!("/v1/jobs/{job}/landings"), landing, Repeat::Keyed).await?.body)
    }

    /// Lists how the contracts of a job have timber scaled on a day; today, where the outfit is, when none is named.
    /// Nothing of pay is in it.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the job is not in the books.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let job = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let stick: scaling::Piece = serde_json::from_str(
    ///     r#"{"product": "log", "species": "white pine", "small_diameter_in": ["14"], "length_ft": "16"}"#,
    /// )?;
    /// for contract in client.list_practices(job, None).await? {
    ///     println!("{}: {:?}", contract.title, scaling::scale(&contract.practice, &stick));
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_practices(
        &self,
        job: JobId,
        on: Option<Date>,
    ) -> Result<Vec<PracticeView>, ClientError> {
        let query: &[(&str, Date)] = &on.map(|day| ("on", day)).into_iter().collect::<Vec<_>>();
        self.get_with(&format!("/v1/jobs/{job}/practices"), query).await
    }
}
