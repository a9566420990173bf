//! What a problem code means.

use serde::Deserialize;
use wire::Code;

use crate::{Client, ClientError};

/// What a problem code means, as the service describes it.
///
/// ```
/// let described: client::ProblemDescription = serde_json::from_str(
///     r#"{"code": "no-token", "status": 401, "title": "No access token was sent", "advice": "Send one."}"#,
/// )?;
/// assert_eq!(described.code, wire::Code::NoToken);
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct ProblemDescription {
    /// The code.
    pub code: Code,
    /// The HTTP status it is answered with.
    pub status: u16,
    /// Its title.
    pub title: String,
    /// What to do about it.
    pub advice: String,
}

impl Client {
    /// Shows what a problem code means. Needs no token.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// println!("{}", client.show_problem(wire::Code::TicketDiffers).await?.advice);
    /// # Ok(()) }
    /// ```
    pub async fn show_problem(&self, code: Code) -> Result<ProblemDescription, ClientError> {
        self.get(&format!("/problems/{}", code.text())).await
    }
}
