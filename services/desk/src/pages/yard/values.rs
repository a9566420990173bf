//! What is filled in on a form, by the names of its fields.

use std::collections::BTreeMap;

/// The fields of a form. A field that is not there is empty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Values(BTreeMap<String, String>);

impl Values {
    /// The fields as they were sent, without blanks around; of several with one name the last counts.
    #[must_use]
    pub fn new(sent: Vec<(String, String)>) -> Self {
        Self(sent.into_iter().map(|(name, value)| (name, value.trim().to_owned())).collect())
    }

    /// What a field says.
    #[must_use]
    pub fn get(&self, name: &str) -> &str {
        self.0.get(name).map_or("", String::as_str)
    }

    /// What a field says, unless it is empty.
    #[must_use]
    pub fn filled(&self, name: &str) -> Option<&str> {
        Some(self.get(name)).filter(|text| !text.is_empty())
    }

    /// Fills a field in; with nothing, it is as if it were not there.
    pub fn set(&mut self, name: &str, value: &str) {
        if value.is_empty() {
            drop(self.0.remove(name));
        } else {
            drop(self.0.insert(name.to_owned(), value.to_owned()));
        }
    }

    /// Empties all fields whose names begin like this.
    pub fn remove_beginning(&mut self, with: &str) {
        self.0.retain(|name, _| !name.starts_with(with));
    }

    /// All fields that are filled in.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value.as_str()))
    }
}
