//! Secrets: texts that are sent and shown, and never printed.

use std::fmt;

use serde::de::{Deserializer, Error, Visitor};
use serde::{Deserialize, Serialize};

/// Why a secret was refused. Says nothing of what was sent.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SecretError {
    /// It is no text.
    #[error("this takes text in quotation marks")]
    NotText,
    /// It has no characters.
    #[error("this is empty")]
    Empty,
    /// It is longer than anything the service gives out.
    #[error("this is longer than {0} characters")]
    TooLong(usize),
    /// A new password that is easy to guess because it is short.
    #[error(
        "a password has at least {0} characters; a few words that nobody else would put together are good"
    )]
    TooShort(usize),
}

/// Reads a text without ever repeating it in an error.
struct Quietly;

impl Visitor<'_> for Quietly {
    type Value = String;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("text")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<String, E> {
        Ok(text.to_owned())
    }

    fn visit_bool<E: Error>(self, _: bool) -> Result<String, E> {
        Err(E::custom(SecretError::NotText))
    }

    fn visit_i64<E: Error>(self, _: i64) -> Result<String, E> {
        Err(E::custom(SecretError::NotText))
    }

    fn visit_u64<E: Error>(self, _: u64) -> Result<String, E> {
        Err(E::custom(SecretError::NotText))
    }

    fn visit_f64<E: Error>(self, _: f64) -> Result<String, E> {
        Err(E::custom(SecretError::NotText))
    }
}

macro_rules! secrets {
    ($($(#[$doc:meta])* $name:ident, $shortest:literal, $longest:literal, $says:literal;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, Serialize)]
        #[serde(transparent)]
        pub struct $name(String);

        impl $name {
            /// The secret itself. Do not print it, and do not write it into a log.
            #[must_use]
            pub fn reveal(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("(hidden)")
            }
        }

        impl TryFrom<String> for $name {
            type Error = SecretError;

            fn try_from(text: String) -> Result<Self, SecretError> {
                match text.chars().count() {
                    0 => Err(SecretError::Empty),
                    length if length < $shortest => Err(SecretError::TooShort($shortest)),
                    length if length > $longest => Err(SecretError::TooLong($longest)),
                    _ => Ok(Self(text)),
                }
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_str(Quietly)?.try_into().map_err(D::Error::custom)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                utoipa::openapi::schema::ObjectBuilder::new()
                    .schema_type(utoipa::openapi::schema::Type::String)
                    .description(Some($says))
                    .min_length(Some($shortest))
                    .max_length(Some($longest))
                    .into()
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::ToSchema for $name {}
    )+};
}

secrets! {
    /// A secret: a token, a code, or a password as it was typed.
    ///
    /// ```
    /// use wire::Secret;
    /// let secret = Secret::try_from("very secret".to_owned())?;
    /// assert_eq!(format!("{secret:?}"), "(hidden)");
    /// assert_eq!(secret.reveal(), "very secret");
    /// # Ok::<(), wire::SecretError>(())
    /// ```
    Secret, 1, 16384, "A secret. Keep it out of addresses, logs and screens.";
    /// A password to be set: 12 to 200 characters, of any kind, compared exactly as they were typed.
    ///
    /// ```
    /// use wire::NewPassword;
    /// assert!(NewPassword::try_from("axe file".to_owned()).is_err());
    /// assert!(NewPassword::try_from("axe file under snow".to_owned()).is_ok());
    /// ```
    NewPassword, 12, 200, "A password to be set: 12 to 200 characters of any kind.";
}
