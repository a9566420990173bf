//! Who has access, and revoking it.

use kernel::GrantId;
use serde::Serialize;
use wire::{AccessGrantView, Listing, RevocationCreate};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

/// Which grants of access.
///
/// ```
/// let everything = client::AccessQuery::default();
/// assert_eq!(everything.standing, None);
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct AccessQuery {
    /// The `next` of the page before; none for the first page.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// How many at the most: 1 to 500. The service's own choice when none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<u16>,
    /// Only what lets somebody in now.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<bool>,
}

impl Client {
    /// Lists who has access, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let query = client::AccessQuery { standing: Some(true), ..client::AccessQuery::default() };
    /// println!("{} have access", client.list_access(&query).await?.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_access(&self, query: &AccessQuery) -> Result<Listing<AccessGrantView>, ClientError> {
        self.get_with("/v1/access-grants", query).await
    }

    /// Revokes access: from this moment on it lets nobody in.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let reason = "the tablet was lost".to_owned().try_into()?;
    /// client.revoke_access(id, &wire::RevocationCreate { reason }).await?;
    /// # Ok(()) }
    /// ```
    pub async fn revoke_access(
        &self,
        id: GrantId,
        revocation: &RevocationCreate,
    ) -> Result<AccessGrantView, ClientError> {
        Ok(self.post(&format!("/v1/access-grants/{id}/revocation"), revocation, Repeat::Keyed).await?.body)
    }
}
