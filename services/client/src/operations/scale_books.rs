//! Scale books: which numbers are missing, and which will never come.

use wire::{GapView, Listing, Name, ScaleBookView, VoidedNumbersCreate, VoidedNumbersView};

use crate::exchange::Repeat;
use crate::{Client, ClientError, PageQuery};

/// A text as a part of a path: everything but letters, digits and four marks as percent signs and digits (RFC 3986,
/// section 2.3).
pub(crate) fn in_path(text: &str) -> String {
    let mut encoded = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            encoded.push(char::from(byte));
        } else {
            encoded.push_str(&format!("%{byte:02X}"));
        }
    }
    encoded
}

impl Client {
    /// Lists the scale books by name, each with how many numbers are missing.
    ///
    /// # Errors
    ///
    /// [`ClientError`].
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// for book in client.list_scale_books(&client::PageQuery::default()).await?.items {
    ///     println!("{}: {} missing", book.book, book.missing);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_scale_books(&self, page: &PageQuery) -> Result<Listing<ScaleBookView>, ClientError> {
        self.get_with("/v1/scale-books", page).await
    }

    /// Lists the numbers missing from a scale book, lowest first.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the outfit has no such book.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let book = "A".to_owned().try_into()?;
    /// for gap in client.list_gaps(&book, &client::PageQuery::default()).await?.items {
    ///     println!("{} to {}", gap.from, gap.to);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_gaps(&self, book: &Name, page: &PageQuery) -> Result<Listing<GapView>, ClientError> {
        self.get_with(&format!("/v1/scale-books/{}/gaps", in_path(book.as_str())), page).await
    }

    /// Says of numbers of a scale book that no ticket will ever have them.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when a ticket has one of them or they were voided before.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let book = "A".to_owned().try_into()?;
    /// let spoiled = serde_json::from_str(r#"{"from": 17, "reason": "the sheet got wet"}"#)?;
    /// client.void_numbers(&book, &spoiled).await?;
    /// # Ok(()) }
    /// ```
    pub async fn void_numbers(
        &self,
        book: &Name,
        numbers: &VoidedNumbersCreate,
    ) -> Result<VoidedNumbersView, ClientError> {
        let path = format!("/v1/scale-books/{}/voided-numbers", in_path(book.as_str()));
        Ok(self.post(&path, numbers, Repeat::Keyed).await?.body)
    }

    /// Lists the voided numbers of a scale book, oldest said first.
    ///
    /// # Errors
    ///
    /// [`ClientError`]; refused when the outfit has no such book.
    ///
    /// ```no_run
    /// # async fn example(client: client::Client) -> Result<(), Box<dyn std::error::Error>> {
    /// let book = "A".to_owned().try_into()?;
    /// for voided in client.list_voided_numbers(&book, &client::PageQuery::default()).await?.items {
    ///     println!("{} to {}: {}", voided.from, voided.to, voided.reason);
    /// }
    /// # Ok(()) }
    /// ```
    pub async fn list_voided_numbers(
        &self,
        book: &Name,
        page: &PageQuery,
    ) -> Result<Listing<VoidedNumbersView>, ClientError> {
        self.get_with(&format!("/v1/scale-books/{}/voided-numbers", in_path(book.as_str())), page).await
    }
}
