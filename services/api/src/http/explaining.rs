//! Explanations as data and as text: the same operation answers either.

use actix_web::HttpResponse;
use serde::{Deserialize, Serialize};
use utoipa::IntoParams;
use wire::ExplanationFormat;

/// The media type of a text for people (RFC 2046, section 4.1.3).
pub const PLAIN_TEXT: &str = "text/plain; charset=utf-8";

/// In which form it is explained.
#[derive(Debug, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct FormatQuery {
    /// In which form: `json`, also when it is left out, or `text`.
    #[serde(default)]
    #[param(inline)]
    pub format: Option<ExplanationFormat>,
}

impl FormatQuery {
    /// The answer in the form that was asked for.
    pub fn answer<T: Serialize>(&self, value: &T, text: impl FnOnce(&T) -> String) -> HttpResponse {
        answer(self.format, value, text)
    }
}

/// A value as data or as text.
pub fn answer<T: Serialize>(
    format: Option<ExplanationFormat>,
    value: &T,
    text: impl FnOnce(&T) -> String,
) -> HttpResponse {
    match format.unwrap_or_default() {
        ExplanationFormat::Json => HttpResponse::Ok().json(value),
        ExplanationFormat::Text => HttpResponse::Ok().content_type(PLAIN_TEXT).body(text(value)),
    }
}
