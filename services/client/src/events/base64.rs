//! Base64 as secrets and signatures are written: RFC 4648, section 4, with its padding and nothing else.

const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Writes bytes down.
pub(super) fn encode(bytes: &[u8]) -> String {
    let letter = |sextet: u32| {
        let place = usize::try_from(sextet & 63).unwrap_or_default();
        ALPHABET.get(place).copied().map_or('=', char::from)
    };
    let mut text = String::new();
    for chunk in bytes.chunks(3) {
        let octet = |place: usize| chunk.get(place).copied().map_or(0, u32::from);
        let word = octet(0) << 16 | octet(1) << 8 | octet(2);
        text.push(letter(word >> 18));
        text.push(letter(word >> 12));
        text.push(if chunk.len() > 1 { letter(word >> 6) } else { '=' });
        text.push(if chunk.len() > 2 { letter(word) } else { '=' });
    }
    text
}

/// Reads what [`encode`] writes; none for anything else, such as bits that belong to no byte.
pub(super) fn decode(text: &str) -> Option<Vec<u8>> {
    let digits = text.trim_end_matches('=');
    let mut bytes = Vec::new();
    let (mut word, mut bits) = (0_u32, 0_u32);
    for letter in digits.bytes() {
        let sextet = ALPHABET.iter().position(|known| *known == letter)?;
        word = word << 6 | u32::try_from(sextet).ok()?;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push(u8::try_from(word >> bits & 0xff).ok()?);
        }
        word &= (1 << bits) - 1;
    }
    // Every text of bytes has one form only.
    (encode(&bytes) == text).then_some(bytes)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{any, prop_assert_eq, proptest};

    use super::{decode, encode};

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn the_published_cases() {
        for (bytes, text) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(encode(bytes.as_bytes()), text);
            assert_eq!(decode(text).as_deref(), Some(bytes.as_bytes()));
        }
    }

    #[test]
    fn what_nobody_wrote_is_not_read() {
        for wrong in ["Z", "Zg", "Zg=", "Zg===", "Zh==", "Zm9", "Zm 9v", "Zm9v\n", "Zm9_", "=", "Zg==Zg=="] {
            assert_eq!(decode(wrong), None, "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_again(bytes in any::<Vec<u8>>()) {
            prop_assert_eq!(decode(&encode(&bytes)), Some(bytes));
        }
    }
}
