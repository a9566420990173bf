//! Check scales, and the adjustments of volume after them.

use jiff::civil::Date;
use kernel::{CheckScaleId, ContractId, Fixed, JobId, VolumeAdjustmentId};
use serde::Serialize;
use wire::{
    CheckScaleComparison, CheckScaleCreate, CheckScaleView, Listing, VolumeAdjustmentCreate,
    VolumeAdjustmentReversalCreate, VolumeAdjustmentView,
};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which check scales to list, and which page of them.
///
/// ```
/// use client::CheckScaleQuery;
/// assert_eq!(serde_json::to_string(&CheckScaleQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct CheckScaleQuery {
    /// Of contracts of this job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job_id: Option<JobId>,
    /// Of this contract's scale.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contract_id: Option<ContractId>,
    /// Of this scaler's scale, as the name stands on tickets.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scaler: Option<String>,
    /// Made on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<Date>,
    /// Made on this day or earlier.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<Date>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

/// How a check scale is to be shown.
///
/// ```
/// use client::ComparisonQuery;
/// assert_eq!(serde_json::to_string(&ComparisonQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct ComparisonQuery {
    /// The confidence of every interval, in percent: `90`, `95` or `99`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub confidence: Option<String>,
    /// The error that the advice on the size of the sample allows, in percent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowed_error: Option<Fixed>,
    /// Whether every step is shown, on both sides.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<bool>,
}

impl Client {
    /// Files a check scale: a sample scaled again by somebody who is not its scaler.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it contradicts itself or the books, or the checker is the scaler.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let check_scale = serde_json::from_str(&std::fs::read_to_string("check_scale.json")?)?;
    /// println!("{}", client.file_check_scale(&check_scale).await?.check_scale_id);
    /// # Ok(()) }
    /// ```
    pub async fn file_check_scale(
        &self,
        check_scale: &CheckScaleCreate,
    ) -> Result<CheckScaleView, ClientError> {
        Ok(self.post("/v1/check-scales", check_scale, Repeat::Keyed).await?.body)
    }

    /// Lists check scales, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for one in client.list_check_scales(&client::CheckScaleQuery::default()).await?.items {
    ///     println!("{}: {} pieces by {}", one.checked_on, one.sampled, one.checker);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_check_scales(
        &self,
        query: &CheckScaleQuery,
    ) -> Result<Listing<CheckScaleView>, ClientError> {
        self.get_with("/v1/check-scales", query).await
    }

    /// Shows a check scale with everything that comes of it.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let shown = client.show_check_scale(id, &client::ComparisonQuery::default()).await?;
    /// print!("{}", client::text::check_scale(&shown));
    /// # Ok(()) }
    /// ```
    pub async fn show_check_scale(
        &self,
        id: CheckScaleId,
        query: &ComparisonQuery,
    ) -> Result<CheckScaleComparison, ClientError> {
        self.get_with(&format!("/v1/check-scales/{id}"), query).await
    }

    /// Adjusts a contract's scale by what a check scale found.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the tolerance does not ask for it and no `although` is given, when it was done before,
    /// or when nothing would change.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let adjustment = serde_json::from_str(r#"{"reason": "the check lies six percent over"}"#)?;
    /// client.file_volume_adjustment(id, &adjustment).await?;
    /// # Ok(()) }
    /// ```
    pub async fn file_volume_adjustment(
        &self,
        id: CheckScaleId,
        adjustment: &VolumeAdjustmentCreate,
    ) -> Result<VolumeAdjustmentView, ClientError> {
        let path = format!("/v1/check-scales/{id}/adjustments");
        Ok(self.post(&path, adjustment, Repeat::Keyed).await?.body)
    }

    /// Takes an adjustment of volume back.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it was taken back before.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// client.reverse_volume_adjustment(id, &serde_json::from_str(r#"{"reason": "the wrong lot"}"#)?).await?;
    /// # Ok(()) }
    /// ```
    pub async fn reverse_volume_adjustment(
        &self,
        id: VolumeAdjustmentId,
        reversal: &VolumeAdjustmentReversalCreate,
    ) -> Result<VolumeAdjustmentView, ClientError> {
        let path = format!("/v1/volume-adjustments/{id}/reversal");
        Ok(self.post(&path, reversal, Repeat::Keyed).await?.body)
    }
}
