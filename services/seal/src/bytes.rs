//! Bytes of a fixed number, written as hexadecimal digits: hashes, public keys, signatures.

/// A text that is no such bytes.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{text}\" is not {digits} hexadecimal digits in small letters")]
pub struct BytesTextError {
    text: String,
    digits: usize,
}

impl BytesTextError {
    pub(crate) fn new(text: &str, digits: usize) -> Self {
        Self { text: text.to_owned(), digits }
    }
}

/// Reads exactly as many bytes as are asked for: one spelling for each, so that equal bytes are equal texts.
pub(crate) fn read<const COUNT: usize>(text: &str) -> Option<[u8; COUNT]> {
    let digit = |letter: u8| match letter {
        b'0'..=b'9' => Some(letter.wrapping_sub(b'0')),
        b'a'..=b'f' => Some(letter.wrapping_sub(b'a').wrapping_add(10)),
        _ => None,
    };
    if text.len() != COUNT.saturating_mul(2) {
        return None;
    }
    let mut bytes = [0; COUNT];
    for (byte, pair) in bytes.iter_mut().zip(text.as_bytes().chunks_exact(2)) {
        let [high, low] = pair else { return None };
        *byte = digit(*high)? << 4 | digit(*low)?;
    }
    Some(bytes)
}

/// Declares a type of so many bytes.
macro_rules! bytes {
    ($(#[$doc:meta])* $name:ident, $count:literal, $says:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub struct $name([u8; $count]);

        impl $name {
            /// Takes bytes to be one.
            #[must_use]
            pub const fn from_bytes(bytes: [u8; $count]) -> Self {
                Self(bytes)
            }

            /// The bytes.
            #[must_use]
            pub const fn bytes(&self) -> &[u8; $count] {
                &self.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                formatter.write_str(&kernel::hexadecimal(&self.0))
            }
        }

        impl std::fmt::Debug for $name {
            fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(formatter, "{} {self}", stringify!($name))
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::BytesTextError;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                let bytes = $crate::bytes::read(text);
                bytes.map(Self).ok_or_else(|| $crate::BytesTextError::new(text, 2 * $count))
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let text = <String as serde::Deserialize>::deserialize(deserializer)?;
                text.parse().map_err(serde::de::Error::custom)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                utoipa::openapi::schema::ObjectBuilder::new()
                    .schema_type(utoipa::openapi::schema::Type::String)
                    .description(Some(concat!($says, ", as hexadecimal digits in small letters.")))
                    .pattern(Some(format!("^[0-9a-f]{{{}}}$", 2 * $count)))
                    .into()
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::ToSchema for $name {
            fn name() -> std::borrow::Cow<'static, str> {
                concat!("Seal", stringify!($name)).into()
            }
        }
    };
}

pub(crate) use bytes;
