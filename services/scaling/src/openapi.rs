//! How this crate's own number and text types look in the API document.

use utoipa::openapi::RefOr;
use utoipa::openapi::schema::{ObjectBuilder, Schema, Type};

/// A measured size: a decimal as text.
pub(crate) fn size(description: &str) -> RefOr<Schema> {
    ObjectBuilder::new()
        .schema_type(Type::String)
        .description(Some(description))
        .pattern(Some(r"^(0|[1-9][0-9]*)(\.[0-9]{1,4})?$"))
        .examples(["11.5"])
        .into()
}

/// A short text with a greatest length.
pub(crate) fn words(description: &str, longest: usize) -> RefOr<Schema> {
    ObjectBuilder::new()
        .schema_type(Type::String)
        .description(Some(description))
        .min_length(Some(1))
        .max_length(Some(longest))
        .into()
}
