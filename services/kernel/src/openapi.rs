//! How the kernel's own types look in the API document.

use std::borrow::Cow;

use utoipa::openapi::RefOr;
use utoipa::openapi::schema::{KnownFormat, Object, ObjectBuilder, Schema, SchemaFormat, Type};
use utoipa::{PartialSchema, ToSchema};

use crate::{Currency, Exact, Fixed, Money};

/// A UUID that is the id of one kind of thing.
pub(crate) fn id_schema(kind: &str) -> RefOr<Schema> {
    ObjectBuilder::new()
        .schema_type(Type::String)
        .format(Some(SchemaFormat::KnownFormat(KnownFormat::Uuid)))
        .description(Some(format!("Id of a {kind}: a UUID of version 7.")))
        .into()
}

fn text(description: &str, pattern: &str, example: &str) -> ObjectBuilder {
    ObjectBuilder::new()
        .schema_type(Type::String)
        .description(Some(description))
        .pattern(Some(pattern))
        .examples([example])
}

impl PartialSchema for Fixed {
    fn schema() -> RefOr<Schema> {
        text(
            "A decimal number as text: at most six places, no exponent, no grouping.",
            r"^-?(0|[1-9][0-9]*)(\.[0-9]{1,6})?$",
            "14.5",
        )
        .into()
    }
}

impl ToSchema for Fixed {
    fn name() -> Cow<'static, str> {
        "Decimal".into()
    }
}

impl PartialSchema for Exact {
    fn schema() -> RefOr<Schema> {
        text(
            "An exact number as text: a plain decimal where one exists, otherwise a fraction such as 119/3.",
            r"^-?(0|[1-9][0-9]*)((\.[0-9]+)|(/[1-9][0-9]*))?$",
            "240",
        )
        .into()
    }
}

impl ToSchema for Exact {
    fn name() -> Cow<'static, str> {
        "ExactNumber".into()
    }
}

impl PartialSchema for Currency {
    fn schema() -> RefOr<Schema> {
        text("A currency code of ISO 4217.", "^[A-Z]{3}$", "USD").into()
    }
}

impl ToSchema for Currency {}

impl PartialSchema for Money {
    fn schema() -> RefOr<Schema> {
        let amount: Object = text(
            "The amount with all the decimals of the currency's smallest unit.",
            r"^-?(0|[1-9][0-9]*)(\.[0-9]+)?$",
            "128.40",
        )
        .into();
        ObjectBuilder::new()
            .schema_type(Type::Object)
            .description(Some("An amount of money, exact to the currency's smallest unit."))
            .property("amount", amount)
            .property("currency", utoipa::openapi::Ref::from_schema_name("Currency"))
            .required("amount")
            .required("currency")
            .into()
    }
}

impl ToSchema for Money {
    fn schemas(schemas: &mut Vec<(String, RefOr<Schema>)>) {
        schemas.push((Currency::name().into_owned(), Currency::schema()));
    }
}
