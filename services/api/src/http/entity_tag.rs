//! Entity tags: the mark of one representation of something (RFC 9110, section 8.8.3).

use sha2::{Digest, Sha256};

/// How two tags are compared (RFC 9110, section 8.8.3.2).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// Alike to the byte: neither tag may be weak.
    Strong,
    /// As good as alike: it does not matter whether a tag is weak. For `If-None-Match`.
    Weak,
}

/// An entity tag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntityTag {
    weak: bool,
    opaque: String,
}

impl EntityTag {
    /// The tag of these bytes. A strong one: it is another as soon as one byte is.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        let [first @ .., _, _, _, _, _, _, _, _, _, _, _, _, _, _, _, _]: [u8; 32] =
            Sha256::digest(bytes).into();
        let opaque = kernel::hexadecimal(&first);
        Self { weak: false, opaque }
    }

    /// Whether this tag and another stand for the same.
    ///
    /// ```
    /// use api::http::entity_tag::{Comparison, EntityTag};
    /// let tags = EntityTag::listed("W/\"1\", \"1\"").unwrap_or_default();
    /// assert!(tags[0].matches(&tags[1], Comparison::Weak));
    /// assert!(!tags[0].matches(&tags[1], Comparison::Strong));
    /// ```
    #[must_use]
    pub fn matches(&self, other: &Self, comparison: Comparison) -> bool {
        let weak = self.weak || other.weak;
        self.opaque == other.opaque && (comparison == Comparison::Weak || !weak)
    }

    /// The tags of a list as a header holds them; none when it is no such list. A tag may hold commas.
    #[must_use]
    pub fn listed(text: &str) -> Option<Vec<Self>> {
        let mut tags = Vec::new();
        let mut rest = text.trim();
        while !rest.is_empty() {
            let (weak, quoted) = match rest.strip_prefix("W/") {
                Some(quoted) => (true, quoted),
                None => (false, rest),
            };
            let (opaque, after) = quoted.strip_prefix('"')?.split_once('"')?;
            tags.push(Self { weak, opaque: opaque.to_owned() });
            let after = after.trim_start();
            rest = if after.is_empty() { after } else { after.strip_prefix(',')?.trim_start() };
        }
        Some(tags)
    }
}

impl std::fmt::Display for EntityTag {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}\"{}\"", if self.weak { "W/" } else { "" }, self.opaque)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table of RFC 9110, section 8.8.3.2.
    #[test]
    fn tags_compare_as_the_table_says() {
        for (one, other, strong, weak) in [
            ("W/\"1\"", "W/\"1\"", false, true),
            ("W/\"1\"", "W/\"2\"", false, false),
            ("W/\"1\"", "\"1\"", false, true),
            ("\"1\"", "\"1\"", true, true),
        ] {
            let tag = |text: &str| EntityTag::listed(text).unwrap().remove(0);
            for (one, other) in [(tag(one), tag(other)), (tag(other), tag(one))] {
                assert_eq!(one.matches(&other, Comparison::Strong), strong, "{one} {other}");
                assert_eq!(one.matches(&other, Comparison::Weak), weak, "{one} {other}");
            }
        }
    }

    #[test]
    fn lists_of_tags_are_read() {
        let read =
            |text: &str| EntityTag::listed(text).map(|tags| tags.iter().map(ToString::to_string).collect());
        let three = vec!["\"a\"".to_owned(), "W/\"b,c\"".to_owned(), "\"\"".to_owned()];
        assert_eq!(read(" \"a\", W/\"b,c\" ,\"\" "), Some(three));
        for text in ["a", "\"a", "\"a\" \"b\"", "w/\"a\"", "*", "\"a\",,"] {
            assert_eq!(read(text), None::<Vec<String>>, "{text}");
        }
    }

    #[test]
    fn other_bytes_have_another_tag() {
        assert_eq!(EntityTag::of(b"a"), EntityTag::of(b"a"));
        assert_ne!(EntityTag::of(b"a"), EntityTag::of(b"b"));
        assert_eq!(EntityTag::listed(&EntityTag::of(b"a").to_string()), Some(vec![EntityTag::of(b"a")]));
    }
}
