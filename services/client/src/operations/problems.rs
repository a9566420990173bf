//! What a problem code means.

use wire::{Code, ProblemDescription};

use crate::{Client, ClientError};

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
