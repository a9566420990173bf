//! Signing in and out.

use wire::{ExternalSignInCreate, RefreshTokenSent, SignInCreate, SignedIn, SignedOut};

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Signs in with a name and a password.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let sign_in = serde_json::from_str(
    ///     r#"{"outfit_id": "0197a000-0000-7000-8000-000000000002", "name": "ida",
    ///         "password": "a few words of your own"}"#,
    /// )?;
    /// println!("good until {}", client.sign_in(&sign_in).await?.expires_at);
    /// # Ok(()) }
    /// ```
    pub async fn sign_in(&self, sign_in: &SignInCreate) -> Result<SignedIn, ClientError> {
        Ok(self.post("/v1/sign-in", sign_in, Repeat::Never).await?.body)
    }

    /// Signs in with an identity token of the issuer that the service trusts.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let sign_in = serde_json::from_str(
    ///     r#"{"outfit_id": "0197a000-0000-7000-8000-000000000002", "id_token": "header.claims.signature"}"#,
    /// )?;
    /// println!("good until {}", client.sign_in_externally(&sign_in).await?.expires_at);
    /// # Ok(()) }
    /// ```
    pub async fn sign_in_externally(&self, sign_in: &ExternalSignInCreate) -> Result<SignedIn, ClientError> {
        Ok(self.post("/v1/sign-in/external", sign_in, Repeat::Never).await?.body)
    }

    /// Exchanges a refresh token for the next pair of tokens. When no answer comes it is sent again, which the service
    /// answers with the same pair.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let sent = wire::RefreshTokenSent { refresh_token: "skidway_refresh_…".to_owned().try_into()? };
    /// println!("good until {}", client.refresh_sign_in(&sent).await?.expires_at);
    /// # Ok(()) }
    /// ```
    pub async fn refresh_sign_in(&self, sent: &RefreshTokenSent) -> Result<SignedIn, ClientError> {
        Ok(self.post("/v1/sign-in/refresh", sent, Repeat::Harmless).await?.body)
    }

    /// Signs out.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let sent = wire::RefreshTokenSent { refresh_token: "skidway_refresh_…".to_owned().try_into()? };
    /// client.sign_out(&sent).await?;
    /// # Ok(()) }
    /// ```
    pub async fn sign_out(&self, sent: &RefreshTokenSent) -> Result<SignedOut, ClientError> {
        Ok(self.post("/v1/sign-out", sent, Repeat::Harmless).await?.body)
    }
}
