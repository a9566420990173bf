//! Outputs held against files. With `SKID_GOLDEN=write` in the environment the files are written instead.

use std::path::PathBuf;

/// Where a file of `tests/golden` lies.
pub fn path(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "golden", name].iter().collect()
}

/// The text of a file of `tests/golden`.
pub fn read(name: &str) -> String {
    std::fs::read_to_string(path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Holds an output against its file.
pub fn check(name: &str, output: &str) {
    if std::env::var("SKID_GOLDEN").as_deref() == Ok("write") {
        std::fs::write(path(name), output).unwrap();
    }
    assert_eq!(output, read(name), "{name} differs; SKID_GOLDEN=write writes it anew");
}
