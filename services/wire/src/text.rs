//! Short texts that people write: names and remarks.

use serde::{Deserialize, Serialize};

/// Why a text was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TextError {
    /// Nothing but blanks.
    #[error("this text is empty: write at least one character")]
    Empty,
    /// Longer than a person would read.
    #[error("this text has more than {0} characters: shorten it")]
    TooLong(usize),
    /// A line break, a tab or another control character.
    #[error("this text holds a control character, such as a line break: take it out")]
    ControlCharacter,
}

macro_rules! texts {
    ($($(#[$doc:meta])* $name:ident, $longest:literal;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(String);

        impl $name {
            /// The text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                utoipa::openapi::schema::ObjectBuilder::new()
                    .schema_type(utoipa::openapi::schema::Type::String)
                    .description(Some(concat!("Text on one line, at most ", $longest, " characters.")))
                    .min_length(Some(1))
                    .max_length(Some($longest))
                    .into()
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::ToSchema for $name {}

        impl TryFrom<String> for $name {
            type Error = TextError;

            fn try_from(text: String) -> Result<Self, TextError> {
                let trimmed = text.trim();
                if trimmed.is_empty() {
                    return Err(TextError::Empty);
                }
                if trimmed.chars().count() > $longest {
                    return Err(TextError::TooLong($longest));
                }
                if trimmed.chars().any(char::is_control) {
                    return Err(TextError::ControlCharacter);
                }
                Ok(Self(trimmed.to_owned()))
            }
        }

        impl From<$name> for String {
            fn from(text: $name) -> Self {
                text.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                formatter.write_str(&self.0)
            }
        }
    )+};
}

texts! {
    /// A name: 1 to 80 characters on one line; blanks at the ends are dropped.
    ///
    /// ```
    /// use wire::Name;
    /// assert_eq!(Name::try_from("  North landing ".to_owned())?.as_str(), "North landing");
    /// assert!(Name::try_from("   ".to_owned()).is_err());
    /// # Ok::<(), wire::TextError>(())
    /// ```
    Name, 80;
    /// A remark or a reason: 1 to 400 characters on one line; blanks at the ends are dropped.
    ///
    /// ```
    /// use wire::Remark;
    /// assert!(Remark::try_from("read the wrong end".to_owned()).is_ok());
    /// assert!(Remark::try_from("two\nlines".to_owned()).is_err());
    /// ```
    Remark, 400;
}
