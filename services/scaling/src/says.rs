//! The line that a step says: put into words when somebody reads it, not while pieces are scaled.

use std::fmt;
use std::ops::Deref;
use std::sync::LazyLock;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// One plain line with the numbers in it.
///
/// It reads as a text. Most lines are never read, and writing one takes longer than the arithmetic that it tells of, so
/// the words are put together when they are first asked for. The numbers in them are those of the step, whenever that
/// is.
///
/// ```
/// use scaling::Says;
/// let says = Says::from("net: no defects, 240 board feet".to_owned());
/// assert!(says.starts_with("net:"));
/// assert_eq!(serde_json::to_string(&says)?, r#""net: no defects, 240 board feet""#);
/// assert_eq!(serde_json::from_str::<Says>(r#""gross: 7 board feet""#)?.as_str(), "gross: 7 board feet");
/// # Ok::<(), serde_json::Error>(())
/// ```
pub struct Says(LazyLock<String, Writer>);

/// Puts the words together, once.
type Writer = Box<dyn FnOnce() -> String + Send>;

/// A line from numbers that are at hand now and words that are put together later.
pub(crate) fn later(words: impl FnOnce() -> String + Send + 'static) -> Says {
    Says(LazyLock::new(Box::new(words)))
}

impl Says {
    /// The words.
    ///
    /// ```
    /// assert_eq!(scaling::Says::from("gross: 7 board feet".to_owned()).as_str().len(), 19);
    /// ```
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Deref for Says {
    type Target = str;

    fn deref(&self) -> &str {
        self.as_str()
    }
}

impl From<String> for Says {
    fn from(words: String) -> Self {
        later(|| words)
    }
}

impl From<Says> for String {
    fn from(says: Says) -> Self {
        says.as_str().to_owned()
    }
}

/// The lines of a working, for whoever wants nothing else of it.
///
/// ```
/// use scaling::{Practice, scale};
/// let practice: Practice = serde_json::from_str("{}")?;
/// let pole = serde_json::from_str(r#"{"product": "pole", "species": "cedar", "length_ft": "35"}"#)?;
/// let lines: Vec<String> = scale(&practice, &pole)?.working.into_iter().map(|step| step.says).collect();
/// assert_eq!(lines, ["a pole goes by its length, 35 feet; it has no volume"]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
impl FromIterator<Says> for Vec<String> {
    fn from_iter<Lines: IntoIterator<Item = Says>>(lines: Lines) -> Self {
        lines.into_iter().map(String::from).collect()
    }
}

impl Clone for Says {
    fn clone(&self) -> Self {
        Self::from(self.as_str().to_owned())
    }
}

impl PartialEq for Says {
    fn eq(&self, other: &Self) -> bool {
        self.as_str() == other.as_str()
    }
}

impl Eq for Says {}

impl fmt::Display for Says {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.pad(self)
    }
}

impl fmt::Debug for Says {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), formatter)
    }
}

impl Serialize for Says {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self)
    }
}

impl<'de> Deserialize<'de> for Says {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(Self::from)
    }
}
