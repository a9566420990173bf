//! Jobs and their landings.

use kernel::JobId;
use wire::{JobCreate, JobView, LandingCreate, LandingView, Listing};

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
}
