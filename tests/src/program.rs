//! The program `skid` as people run it, built from this tree.

use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

/// Where the program is. The first who asks has it built, together with what the tests are built from, so that nothing
/// is built twice.
///
/// # Panics
///
/// When it cannot be built.
#[must_use]
pub fn skid() -> &'static PathBuf {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let build = ["build", "--quiet", "--locked", "-p", "client", "-p", "tests", "--bin", "skid"];
        let built = Command::new(cargo).current_dir(env!("CARGO_MANIFEST_DIR")).args(build).status();
        assert!(built.expect("cargo can be started").success(), "skid cannot be built");
        let test = std::env::current_exe().expect("a test is a program");
        let beside =
            test.parent().and_then(|deps| deps.parent()).expect("tests lie below the target directory");
        beside.join("skid")
    })
}
