//! Short texts that people write their own way: names of rates, species, grades.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// Why a text cannot be a [`Label`].
///
/// ```
/// use settlement::{Label, LabelError};
/// assert_eq!("  ".parse::<Label>(), Err(LabelError::Empty));
/// assert_eq!(LabelError::Empty.code(), "label_empty");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LabelError {
    /// Nothing but blanks.
    #[error("a name, species or grade is empty: write at least one letter")]
    Empty,
    /// Too many characters.
    #[error("a name, species or grade has {0} characters: write at most {max}", max = Label::LONGEST)]
    TooLong(usize),
    /// A line break, tab or other character that does not print.
    #[error("a name, species or grade holds a character that does not print: write it on one line")]
    Unprintable,
}

impl LabelError {
    /// The stable code of the problem.
    ///
    /// ```
    /// assert_eq!(settlement::LabelError::TooLong(61).code(), "label_too_long");
    /// ```
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Empty => "label_empty",
            Self::TooLong(_) => "label_too_long",
            Self::Unprintable => "label_unprintable",
        }
    }
}

/// A text of 1 to 60 characters, shown as it was written and compared trimmed and in lower case.
///
/// ```
/// use settlement::Label;
/// let species: Label = " Red Oak ".parse()?;
/// assert_eq!(species.as_str(), "Red Oak");
/// assert_eq!(species, "red oak".parse()?);
/// assert!(species.matches("RED OAK"));
/// # Ok::<(), settlement::LabelError>(())
/// ```
#[derive(Clone, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Label {
    written: String,
    compared: String,
}

impl Label {
    /// How many characters a label may have.
    pub const LONGEST: usize = 60;

    /// The text as it was written, without outer blanks.
    ///
    /// ```
    /// assert_eq!("No. 1 ".parse::<settlement::Label>()?.as_str(), "No. 1");
    /// # Ok::<(), settlement::LabelError>(())
    /// ```
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.written
    }

    /// Whether a text is the same but for outer blanks and case.
    ///
    /// ```
    /// assert!("Pine".parse::<settlement::Label>()?.matches(" pine"));
    /// # Ok::<(), settlement::LabelError>(())
    /// ```
    #[must_use]
    pub fn matches(&self, text: &str) -> bool {
        self.compared == folded(text)
    }
}

/// The form in which labels are compared.
fn folded(text: &str) -> String {
    text.trim().to_lowercase()
}

impl FromStr for Label {
    type Err = LabelError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let written = text.trim();
        let characters = written.chars().count();
        if characters == 0 {
            Err(LabelError::Empty)
        } else if characters > Self::LONGEST {
            Err(LabelError::TooLong(characters))
        } else if written.chars().any(char::is_control) {
            Err(LabelError::Unprintable)
        } else {
            Ok(Self { written: written.to_owned(), compared: folded(written) })
        }
    }
}

impl TryFrom<String> for Label {
    type Error = LabelError;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        text.parse()
    }
}

impl From<Label> for String {
    fn from(label: Label) -> Self {
        label.written
    }
}

impl PartialEq for Label {
    fn eq(&self, other: &Self) -> bool {
        self.compared == other.compared
    }
}

impl Eq for Label {}

impl PartialOrd for Label {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Label {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.compared.cmp(&other.compared)
    }
}

impl fmt::Display for Label {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.written)
    }
}

impl fmt::Debug for Label {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&self.written, formatter)
    }
}

#[cfg(feature = "openapi")]
impl utoipa::PartialSchema for Label {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        utoipa::openapi::schema::ObjectBuilder::new()
            .schema_type(utoipa::openapi::schema::Type::String)
            .description(Some("A short text on one line, compared without outer blanks and in lower case."))
            .min_length(Some(1))
            .max_length(Some(Self::LONGEST))
            .examples(["red oak"])
            .into()
    }
}

#[cfg(feature = "openapi")]
impl utoipa::ToSchema for Label {
    fn name() -> std::borrow::Cow<'static, str> {
        // Scaling has a label of its own, for something else.
        "RateLabel".into()
    }
}
