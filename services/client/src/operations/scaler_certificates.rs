//! Scalers' certificates.

use jiff::civil::Date;
use serde::Serialize;
use wire::{Listing, ScalerCertificateCreate, ScalerCertificateView};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which certificates to list, and which page of them.
///
/// ```
/// use client::CertificateQuery;
/// assert_eq!(serde_json::to_string(&CertificateQuery::default())?, "{}");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct CertificateQuery {
    /// Of this scaler, as the name stands on tickets.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scaler: Option<String>,
    /// Good for this day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<Date>,
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
}

impl Client {
    /// Files a scaler's certificate. Who may scale for pay is for local law to say.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when it ends before it begins.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let certificate = serde_json::from_str(
    ///     r#"{"scaler": "Ida Holmquill", "certificate": "log scaler, 1417", "issued_by": "the board of scalers",
    ///         "valid_from": "2031-01-01", "valid_to": "2033-12-31"}"#,
    /// )?;
    /// client.file_scaler_certificate(&certificate).await?;
    /// # Ok(()) }
    /// ```
    pub async fn file_scaler_certificate(
        &self,
        certificate: &ScalerCertificateCreate,
    ) -> Result<ScalerCertificateView, ClientError> {
        Ok(self.post("/v1/scaler-certificates", certificate, Repeat::Keyed).await?.body)
    }

    /// Lists scalers' certificates, oldest filed first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for one in client.list_scaler_certificates(&client::CertificateQuery::default()).await?.items {
    ///     println!("{}: {} until {}", one.scaler, one.certificate, one.valid_to);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_scaler_certificates(
        &self,
        query: &CertificateQuery,
    ) -> Result<Listing<ScalerCertificateView>, ClientError> {
        self.get_with("/v1/scaler-certificates", query).await
    }
}
