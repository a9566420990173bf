//! Fetching the packages as an ordinary user, who may download and unpack them but not install them.

use std::fs;
use std::path::{Path, PathBuf};

use super::apt::{Apt, failed};
use super::{is_present, line_for};
use crate::Error;
use crate::programs::unpacked_directory;

/// Fetches the server and the libraries missing here into a directory of ours, where the search looks too.
pub(super) fn fetch(progress: &dyn Fn(&str)) -> Result<(), Error> {
    let target = unpacked_directory()?;
    let beside = target.parent().unwrap_or(Path::new("/")).to_owned();
    fs::create_dir_all(&beside).map_err(Error::io("create the directory", &beside))?;
    progress("This machine has no PostgreSQL, and only root may install it: fetching its packages into");
    progress(&format!("  {}", target.display()));
    let workshop = tempfile::Builder::new()
        .prefix("fetching-")
        .tempdir_in(&beside)
        .map_err(Error::io("create a directory in", &beside))?;
    let tree = fetch_into(workshop.path(), progress)?;
    // All or nothing: an interrupted download must not look like programs. Another process may have been
    // faster, and its tree is as good.
    match fs::rename(&tree, &target) {
        Err(_) if target.join("usr").is_dir() => Ok(()),
        outcome => outcome.map_err(Error::io("create the directory", &target)),
    }
}

fn fetch_into(workshop: &Path, progress: &dyn Fn(&str)) -> Result<PathBuf, Error> {
    let packages = workshop.join("packages");
    let tree = workshop.join("tree");
    for directory in [&packages, &tree] {
        fs::create_dir_all(directory).map_err(Error::io("create the directory", directory))?;
    }
    let (apt, wanted) = packages_wanted(workshop, progress)?;
    progress(&format!("  apt-get download {}", wanted.join(" ")));
    let mut arguments = vec!["download"];
    arguments.extend(wanted.iter().map(String::as_str));
    apt.run(&packages, "apt-get", &arguments)?;
    for entry in fs::read_dir(&packages).map_err(Error::io("read", &packages))?.flatten() {
        let package = entry.path();
        if package.extension().is_some_and(|extension| extension == "deb") {
            let name = package.display().to_string();
            apt.run(workshop, "dpkg-deb", &["-x", &name, &tree.display().to_string()])?;
        }
    }
    Ok(tree)
}

/// What to download, and the tool to do it with: one that reads package lists of our own when the machine has
/// none, as in a fresh container image.
fn packages_wanted(workshop: &Path, progress: &dyn Fn(&str)) -> Result<(Apt, Vec<String>), Error> {
    let plain = Apt::default();
    if let Ok(wanted) = missing_packages(&plain, workshop) {
        return Ok((plain, wanted));
    }
    let mut options = Vec::new();
    for (setting, name) in [("Dir::State::lists", "lists"), ("Dir::Cache", "cache")] {
        let directory = workshop.join(name);
        let partial = directory.join(if name == "lists" { "partial" } else { "archives/partial" });
        fs::create_dir_all(&partial).map_err(Error::io("create the directory", &partial))?;
        options.extend(["-o".to_owned(), format!("{setting}={}", directory.display())]);
    }
    let own = Apt { options };
    progress("  apt-get update, with package lists of our own");
    // Failing here leaves the machine as it was, so the one line to run says it best.
    own.run(workshop, "apt-get", &["update"])
        .and_then(|_| missing_packages(&own, workshop))
        .map(|wanted| (own, wanted))
        .map_err(|error| {
            progress(&format!("  {error}"));
            Error::NotInstalled { line: line_for(&is_present) }
        })
}

/// The server's package and the libraries it needs that are not installed.
fn missing_packages(apt: &Apt, workshop: &Path) -> Result<Vec<String>, Error> {
    let depends = apt.run(workshop, "apt-cache", &["depends", "postgresql"])?;
    let server = server_package(&depends)
        .ok_or_else(|| failed("looking for the package of the server".to_owned(), &depends))?;
    // A rehearsal, which needs no rights, lists all that an installation would add.
    let rehearsal =
        apt.run(workshop, "apt-get", &["install", "--simulate", "--no-install-recommends", &server])?;
    let libraries = missing_libraries(&rehearsal);
    Ok([vec![server], libraries].concat())
}

/// The package of the newest server the distribution has, from what the package `postgresql` depends on.
fn server_package(depends: &str) -> Option<String> {
    depends.lines().find_map(|line| {
        let package = line.trim().trim_start_matches('|').strip_prefix("Depends: ")?;
        let version = package.strip_prefix("postgresql-")?;
        version.chars().all(|digit| digit.is_ascii_digit()).then(|| package.to_owned())
    })
}

/// The libraries among the packages a rehearsal would add. Left out is what only the packaging itself uses
/// (Perl) and the compiler for just-in-time compilation, which is large and switched off in our server.
fn missing_libraries(rehearsal: &str) -> Vec<String> {
    let added = rehearsal.lines().filter_map(|line| line.strip_prefix("Inst ")?.split(' ').next());
    added
        .filter(|package| package.starts_with("lib"))
        .filter(|package| !package.starts_with("libllvm") && !package.contains("perl"))
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tools_answers_are_understood() {
        let depends = "postgresql\n  Depends: postgresql-common\n |Depends: postgresql-15\n  Suggests: x\n";
        assert_eq!(server_package(depends).as_deref(), Some("postgresql-15"));
        assert_eq!(server_package("N: Unable to locate package postgresql\n"), None);
        let rehearsal = "NOTE: This is only a simulation!\n\
            Inst libjson-perl (4.10000-1 Debian:12.11/stable [all])\n\
            Inst libllvm14 (1:14.0.6-12 Debian:12.11/stable [amd64])\n\
            Inst libpq5 (15.18-0+deb12u1 Debian-Security:12/stable-security [amd64])\n\
            Inst postgresql-15 (15.18-0+deb12u1 Debian-Security:12/stable-security [amd64])\n\
            Conf libpq5 (15.18-0+deb12u1 Debian-Security:12/stable-security [amd64])\n";
        assert_eq!(missing_libraries(rehearsal), ["libpq5"]);
    }
}
