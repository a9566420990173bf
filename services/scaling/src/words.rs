//! Short texts a scaler writes beside the numbers: species, grade, marks, notes and reasons.

use std::fmt;
use std::hash::{Hash, Hasher};

use serde::{Deserialize, Serialize};

/// Why a text cannot stand where it was written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WordsError {
    /// Nothing but blanks.
    #[error("{what} is blank: write it, or leave it out where it is optional")]
    Blank {
        /// What the text was meant to be.
        what: &'static str,
    },
    /// Longer than the paper has room for.
    #[error("{what} is {length} characters long: write at most {longest}")]
    TooLong {
        /// What the text was meant to be.
        what: &'static str,
        /// How long it is.
        length: usize,
        /// How long it may be.
        longest: usize,
    },
    /// A character that does not belong.
    #[error("{what} holds {character:?}: {allowed}")]
    Character {
        /// What the text was meant to be.
        what: &'static str,
        /// The first such character.
        character: char,
        /// What may be written.
        allowed: &'static str,
    },
}

impl WordsError {
    /// The stable name of the problem.
    ///
    /// ```
    /// let refused = scaling::Species::try_from("  ".to_owned()).map_err(|problem| problem.code());
    /// assert_eq!(refused, Err("blank-text"));
    /// ```
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Blank { .. } => "blank-text",
            Self::TooLong { .. } => "text-too-long",
            Self::Character { .. } => "character-not-allowed",
        }
    }
}

const NAME_CHARACTERS: &str = "write letters, digits, spaces, hyphens and apostrophes only";
const LINE_CHARACTERS: &str = "write one line of plain text without control characters";

fn in_name(character: char) -> bool {
    character.is_alphanumeric() || matches!(character, ' ' | '-' | '\'' | '’')
}

fn in_line(character: char) -> bool {
    !character.is_control()
}

fn checked(
    text: &str,
    what: &'static str,
    longest: usize,
    allowed: &'static str,
    fits: fn(char) -> bool,
) -> Result<String, WordsError> {
    let text = text.trim();
    let length = text.chars().count();
    if text.is_empty() {
        return Err(WordsError::Blank { what });
    }
    if length > longest {
        return Err(WordsError::TooLong { what, length, longest });
    }
    match text.chars().find(|character| !fits(*character)) {
        Some(character) => Err(WordsError::Character { what, character, allowed }),
        None => Ok(text.to_owned()),
    }
}

/// Declares the kinds of text: each makes a type of its own.
macro_rules! words {
    ($($(#[$doc:meta])* $name:ident = $what:literal, $longest:literal, $allowed:ident, $fits:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(String);

        impl $name {
            /// The text as it was written, without the blanks around it.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl TryFrom<String> for $name {
            type Error = WordsError;

            fn try_from(text: String) -> Result<Self, WordsError> {
                checked(&text, $what, $longest, $allowed, $fits).map(Self)
            }
        }

        impl From<$name> for String {
            fn from(words: $name) -> Self {
                words.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Debug::fmt(&self.0, formatter)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
                crate::openapi::words(concat!("Text: ", $what, "."), $longest)
            }
        }

        #[cfg(feature = "openapi")]
        impl utoipa::ToSchema for $name {}
    )+};
}

words! {
    /// A kind of tree, as the scaler names it. Kept as written; capitals make no difference when compared.
    ///
    /// ```
    /// use scaling::Species;
    /// let written = Species::try_from(" White Oak ".to_owned())?;
    /// assert_eq!(written.as_str(), "White Oak");
    /// assert_eq!(written, Species::try_from("white oak".to_owned())?);
    /// assert!(Species::try_from("oak; pine".to_owned()).is_err());
    /// # Ok::<(), scaling::WordsError>(())
    /// ```
    Species = "a species", 40, NAME_CHARACTERS, in_name;
    /// A grade or class, as the scaler or a contract names it. Capitals make no difference when compared.
    ///
    /// ```
    /// use scaling::Grade;
    /// assert_eq!(Grade::try_from("No 1".to_owned())?, Grade::try_from("NO 1".to_owned())?);
    /// # Ok::<(), scaling::WordsError>(())
    /// ```
    Grade = "a grade", 20, NAME_CHARACTERS, in_name;
    /// What is stamped, chalked or tagged on a piece.
    ///
    /// ```
    /// assert!(scaling::Marks::try_from("end stamp HX 7, tag 0412".to_owned()).is_ok());
    /// ```
    Marks = "a mark", 80, LINE_CHARACTERS, in_line;
    /// The number that is chalked on a stick when it is first scaled, and by which it is known wherever it is scaled again
    /// on the same job. Capitals make no difference when compared.
    ///
    /// ```
    /// use scaling::StickNumber;
    /// let chalked = StickNumber::try_from(" 14a ".to_owned())?;
    /// assert_eq!(chalked, StickNumber::try_from("14A".to_owned())?);
    /// # Ok::<(), scaling::WordsError>(())
    /// ```
    StickNumber = "a stick number", 20, LINE_CHARACTERS, in_line;
    /// A remark beside a defect.
    ///
    /// ```
    /// assert!(scaling::Note::try_from("seen at the butt only".to_owned()).is_ok());
    /// ```
    Note = "a note", 200, LINE_CHARACTERS, in_line;
    /// Why an inspector refused a piece.
    ///
    /// ```
    /// assert!(scaling::Refusal::try_from("knothole in the rail seat".to_owned()).is_ok());
    /// ```
    Refusal = "a reason", 200, LINE_CHARACTERS, in_line;
    /// A name of the asker's own for one request, given back with the answer.
    ///
    /// ```
    /// assert!(scaling::Label::try_from("row 12".to_owned()).is_ok());
    /// ```
    Label = "a label", 200, LINE_CHARACTERS, in_line;
    /// What an outfit calls its own log rule.
    ///
    /// ```
    /// assert!(scaling::TableTitle::try_from("Camp scale, 1908 stick".to_owned()).is_ok());
    /// ```
    TableTitle = "a title", 80, LINE_CHARACTERS, in_line;
    /// What an outfit states of its own log rule: where it comes from, where it holds, how its figures are rounded.
    ///
    /// ```
    /// assert!(scaling::TableNote::try_from("as agreed with the mill in 1908".to_owned()).is_ok());
    /// ```
    TableNote = "a statement", 400, LINE_CHARACTERS, in_line;
}

impl Grade {
    /// A class written in this crate's own defaults.
    pub(crate) fn known(name: &str) -> Self {
        Self(name.to_owned())
    }
}

/// Compared by what was written.
macro_rules! compared_as_written {
    ($($name:ident),+) => {$(
        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.0 == other.0
            }
        }

        impl Eq for $name {}
    )+};
}

/// Compared without regard to capitals.
macro_rules! compared_in_lower_case {
    ($($name:ident),+) => {$(
        impl $name {
            /// The form in which two of them are compared and looked up: all in lower case.
            #[must_use]
            pub fn lower_case(&self) -> String {
                self.0.to_lowercase()
            }
        }

        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.lower_case() == other.lower_case()
            }
        }

        impl Eq for $name {}

        impl Hash for $name {
            fn hash<H: Hasher>(&self, state: &mut H) {
                self.lower_case().hash(state);
            }
        }
    )+};
}

compared_as_written!(Marks, Note, Refusal, Label, TableTitle, TableNote);
compared_in_lower_case!(Species, Grade, StickNumber);
