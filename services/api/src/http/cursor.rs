//! Where a page of a list begins: a text that only this service reads, good for the list it was given for.

use sha2::{Digest, Sha256};

/// How many bytes of the list's mark a cursor carries.
const MARK: usize = 8;

/// A list as it was asked for: the path and the filters. A page of it begins where another page of it ended, so a cursor
/// carries the list's mark and is refused by every other list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListMark([u8; MARK]);

impl ListMark {
    /// The mark of a list with these filters, in whatever order they were written.
    #[must_use]
    pub fn new(path: &str, filters: &[(String, String)]) -> Self {
        let mut filters: Vec<_> = filters.iter().collect();
        filters.sort();
        let mut digest = Sha256::new();
        digest.update(path);
        for (name, value) in filters {
            // No text of an address holds these two bytes, so no two lists are told apart wrongly.
            digest.update([0xFF]);
            digest.update(name);
            digest.update([0xFE]);
            digest.update(value);
        }
        let mut mark = [0; MARK];
        mark.iter_mut().zip(digest.finalize()).for_each(|(to, from)| *to = from);
        Self(mark)
    }

    /// The cursor for the page after the place that `key` names.
    #[must_use]
    pub fn cursor(&self, key: &[u8]) -> String {
        kernel::hexadecimal(&self.0) + &kernel::hexadecimal(key)
    }

    /// The key in a cursor; none when it is no cursor, or another list's.
    #[must_use]
    pub fn key(&self, cursor: &str) -> Option<Vec<u8>> {
        let bytes = bytes(cursor)?;
        let key = bytes.strip_prefix(&self.0)?;
        (!key.is_empty()).then(|| key.to_vec())
    }
}

fn bytes(cursor: &str) -> Option<Vec<u8>> {
    let (pairs, rest) = cursor.as_bytes().as_chunks::<2>();
    if !rest.is_empty() {
        return None;
    }
    let digit = |byte: u8| match byte {
        b'0'..=b'9' => Some(byte - b'0'),
        b'a'..=b'f' => Some(byte - b'a' + 10),
        _ => None,
    };
    pairs.iter().map(|[high, low]| Some((digit(*high)? << 4) | digit(*low)?)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filters(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
        pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect()
    }

    #[test]
    fn a_cursor_comes_back_as_it_went() {
        let list = ListMark::new("/v1/tickets", &filters(&[("book", "A"), ("to", "2026-06-06")]));
        let same = ListMark::new("/v1/tickets", &filters(&[("to", "2026-06-06"), ("book", "A")]));
        assert_eq!(same.key(&list.cursor(b"a place")).unwrap(), b"a place");
    }

    #[test]
    fn another_list_refuses_it() {
        let cursor = ListMark::new("/v1/tickets", &filters(&[("book", "A")])).cursor(b"a place");
        for (path, pairs) in [
            ("/v1/tickets", filters(&[])),
            ("/v1/tickets", filters(&[("book", "B")])),
            ("/v1/tickets", filters(&[("bookA", "")])),
            ("/v1/charges", filters(&[("book", "A")])),
        ] {
            assert_eq!(ListMark::new(path, &pairs).key(&cursor), None);
        }
    }

    #[test]
    fn what_is_no_cursor_is_refused() {
        let list = ListMark::new("/v1/tickets", &[]);
        let bare = list.cursor(b"");
        for text in ["", "7", "zz", "é", "0g", "ffffffff-ffff-ffff-ffff-ffffffffffff", &bare] {
            assert_eq!(list.key(text), None, "{text}");
        }
        assert_eq!(list.key(&list.cursor(b"j").to_uppercase()), None, "j is 6a");
    }
}
