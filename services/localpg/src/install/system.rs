//! Installing the package, as root.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use super::apt::Apt;
use crate::Error;

/// What Debian's packaging reads before it makes a cluster of its own.
const CREATE_CLUSTER: &str = "/etc/postgresql-common/createcluster.conf";

/// Installs the distribution's server package without the cluster it would make and start by itself.
pub(super) fn install(progress: &dyn Fn(&str)) -> Result<(), Error> {
    let apt = Apt {
        // Another installation may be running, such as the nightly upgrade or a second test program.
        options: vec!["-o".to_owned(), "DPkg::Lock::Timeout=300".to_owned()],
    };
    let anywhere = Path::new("/");
    progress("This machine has no PostgreSQL: installing the package `postgresql` with apt-get.");
    progress("  apt-get update");
    if let Err(error) = apt.run(anywhere, "apt-get", &["update"]) {
        // One unreachable source of many is no reason to give up: the installation decides.
        progress(&format!("  going on with the package lists at hand: {error}"));
    }
    install_package(&apt, "postgresql-common", progress)?;
    without_own_cluster(Path::new(CREATE_CLUSTER), || install_package(&apt, "postgresql", progress))
}

fn install_package(apt: &Apt, package: &str, progress: &dyn Fn(&str)) -> Result<(), Error> {
    progress(&format!("  apt-get install --no-install-recommends {package}"));
    let arguments = ["install", "-y", "--no-install-recommends", package];
    apt.run(Path::new("/"), "apt-get", &arguments).map(drop)
}

/// Does `work` while the packaging is told to make no cluster, and puts its settings back afterwards: on a
/// later installation by hand the administrator expects the usual.
fn without_own_cluster(settings: &Path, work: impl FnOnce() -> Result<(), Error>) -> Result<(), Error> {
    let before = match fs::read_to_string(settings) {
        // Removed by an administrator, and the packaging leaves it so.
        Err(error) if error.kind() == ErrorKind::NotFound => None,
        read => Some(read.map_err(Error::io("read", settings))?),
    };
    let meanwhile = format!("{}\ncreate_main_cluster = false\n", before.as_deref().unwrap_or_default());
    fs::write(settings, meanwhile).map_err(Error::io("write", settings))?;
    let outcome = work();
    let restored = match before {
        Some(before) => fs::write(settings, before),
        None => fs::remove_file(settings),
    };
    outcome.and(restored.map_err(Error::io("restore", settings)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_settings_of_the_packaging_are_put_back() {
        let directory = tempfile::tempdir().unwrap();
        let settings = directory.path().join("createcluster.conf");
        let check = |before: &str| {
            without_own_cluster(&settings, || {
                let meanwhile = fs::read_to_string(&settings).unwrap();
                assert_eq!(meanwhile, format!("{before}\ncreate_main_cluster = false\n"));
                Ok(())
            })
            .unwrap();
        };
        check("");
        assert!(!settings.exists());
        fs::write(&settings, "#create_main_cluster = true\n").unwrap();
        check("#create_main_cluster = true\n");
        assert_eq!(fs::read_to_string(&settings).unwrap(), "#create_main_cluster = true\n");
    }
}
