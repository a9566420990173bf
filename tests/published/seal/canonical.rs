//! Published documents in canonical form.

use seal::canonical;
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::{cell, count, folder, rows};

#[test]
fn every_published_document() {
    for row in rows("canonical.csv") {
        let name = cell(&row, 0);
        let read = |part: &str| {
            let file = folder().join("rfc8785").join(format!("{name}.{part}.json"));
            std::fs::read(file).expect("the file is there")
        };
        let document: Value = serde_json::from_slice(&read("input")).expect("JSON");
        let written = canonical(&document).expect("it has a canonical form");
        assert_eq!(written.len(), count(&row, 1), "{name}");
        assert_eq!(kernel::hexadecimal(&Sha256::digest(&written)), cell(&row, 2), "{name}");
        assert_eq!(written, read("output"), "{name}");
        // What is in canonical form stays as it is.
        let again: Value = serde_json::from_slice(&written).expect("JSON");
        assert_eq!(canonical(&again).expect("it has one"), written, "{name}");
    }
}

#[test]
fn every_published_number() {
    for row in rows("numbers.csv") {
        let bits = u64::from_str_radix(cell(&row, 0), 16).expect("bits");
        let written = canonical(&f64::from_bits(bits)).expect("a number");
        assert_eq!(String::from_utf8(written).expect("text"), cell(&row, 1));
    }
}
