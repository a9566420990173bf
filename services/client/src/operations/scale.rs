//! Scaling without keeping anything.

use scaling::{DirectAnswer, DirectRequest, Scaled};
use wire::PieceScaleRequest;

use crate::exchange::Repeat;
use crate::{Client, ClientError};

impl Client {
    /// Scales a stick by a rule. Keeps nothing; [`scaling::direct`] gives the same answer without a service.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the rule does not reach the sizes.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let request = serde_json::from_str(r#"{"rule": "doyle", "diameter_in": "20", "length_ft": "16"}"#)?;
    /// assert_eq!(client.scale(&request).await?.gross.to_string(), "256");
    /// # Ok(()) }
    /// ```
    pub async fn scale(&self, request: &DirectRequest) -> Result<DirectAnswer, ClientError> {
        Ok(self.post("/v1/scale", request, Repeat::Harmless).await?.body)
    }

    /// Scales a piece as the terms of a contract say. Keeps nothing.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when there are no such terms or they cannot scale the piece.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let request = serde_json::from_str(
    ///     r#"{"terms_id": "0197a000-0000-7000-8000-000000000001", "piece": {"product": "log",
    ///         "species": "ash", "small_diameter_in": ["14.5"], "length_ft": "16"}}"#,
    /// )?;
    /// for step in client.scale_piece(&request).await?.working {
    ///     println!("{}", step.says);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn scale_piece(&self, request: &PieceScaleRequest) -> Result<Scaled, ClientError> {
        Ok(self.post("/v1/scale/piece", request, Repeat::Harmless).await?.body)
    }
}
