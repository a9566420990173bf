//! In which form something is handed over on paper, and on which paper.

use serde::{Deserialize, Serialize};

/// The form in which something that is handed over on paper is answered.
///
/// ```
/// assert_eq!(wire::PaperFormat::Pdf.media_type(), "application/pdf");
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PaperFormat {
    /// JSON.
    #[default]
    Json,
    /// One page to read and to print; needs no network and runs no script.
    Html,
    /// A PDF document, tagged for screen readers (ISO 14289-1), with its fonts in it.
    Pdf,
}

impl PaperFormat {
    /// The media type it is answered in.
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Json => "application/json",
            Self::Html => "text/html",
            Self::Pdf => "application/pdf",
        }
    }
}

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "openapi", derive(utoipa::ToSchema))]
pub enum PaperSize {
    /// US Letter, 8.5 by 11 inches: what the yards and offices that scale in board feet have in the printer.
    #[default]
    Letter,
    /// 210 by 297 millimetres (ISO 216).
    A4,
}
