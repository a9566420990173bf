//! Accounts: people who sign in.

use kernel::AccountId;
use wire::{
    AccountCreate, AccountRegistered, AccountView, ClosureCreate, EnrolmentCreate, EnrolmentView, Listing,
    PasswordCreate, PasswordSet,
};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

impl Client {
    /// Registers somebody who will sign in. The code to set the password with is shown this once.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let account = serde_json::from_str(r#"{"name": "ida", "role": "scaler"}"#)?;
    /// let registered = client.register_account(&account).await?;
    /// println!("hand over: {}", registered.enrolment.enrolment_code.reveal());
    /// # Ok(()) }
    /// ```
    pub async fn register_account(&self, account: &AccountCreate) -> Result<AccountRegistered, ClientError> {
        Ok(self.post("/v1/accounts", account, Repeat::Keyed).await?.body)
    }

    /// Lists the accounts, oldest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let page = client.list_accounts(&client::PageQuery::default()).await?;
    /// println!("{} on this page", page.items.len());
    /// # Ok(()) }
    /// ```
    pub async fn list_accounts(&self, page: &PageQuery) -> Result<Listing<AccountView>, ClientError> {
        self.get_with("/v1/accounts", page).await
    }

    /// Gives a new code to set an account's password with.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let reason = "forgot the password".to_owned().try_into()?;
    /// let code = client.issue_enrolment(id, &wire::EnrolmentCreate { reason }).await?;
    /// println!("good until {}", code.expires_at);
    /// # Ok(()) }
    /// ```
    pub async fn issue_enrolment(
        &self,
        id: AccountId,
        enrolment: &EnrolmentCreate,
    ) -> Result<EnrolmentView, ClientError> {
        Ok(self.post(&format!("/v1/accounts/{id}/enrolments"), enrolment, Repeat::Keyed).await?.body)
    }

    /// Sets a password with an enrolment code.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let set = serde_json::from_str(
    ///     r#"{"outfit_id": "0197a000-0000-7000-8000-000000000002", "enrolment_code": "7KQ2M-…",
    ///         "password": "a few words of your own"}"#,
    /// )?;
    /// println!("sign in as {}", client.set_password(id, &set).await?.name);
    /// # Ok(()) }
    /// ```
    pub async fn set_password(
        &self,
        id: AccountId,
        password: &PasswordCreate,
    ) -> Result<PasswordSet, ClientError> {
        Ok(self.post(&format!("/v1/accounts/{id}/password"), password, Repeat::Never).await?.body)
    }

    /// Closes an account for good.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let id = "0197a000-0000-7000-8000-000000000001".parse()?;
    /// let reason = "left the outfit".to_owned().try_into()?;
    /// client.close_account(id, &wire::ClosureCreate { reason }).await?;
    /// # Ok(()) }
    /// ```
    pub async fn close_account(
        &self,
        id: AccountId,
        closure: &ClosureCreate,
    ) -> Result<AccountView, ClientError> {
        Ok(self.post(&format!("/v1/accounts/{id}/closure"), closure, Repeat::Keyed).await?.body)
    }
}
