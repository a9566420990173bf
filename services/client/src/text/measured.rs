//! What was measured on a stick, in one line: the same words as on papers.

use scaling::Piece;

pub(crate) use wire::words::summary;

/// A stick in one line, as it was measured.
///
/// ```
/// let pole = serde_json::from_str(r#"{"product": "pole", "species": "cedar", "length_ft": "35"}"#)?;
/// assert_eq!(client::text::stick(&pole), "cedar pole, 35 ft");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn stick(piece: &Piece) -> String {
    summary(piece)
}
