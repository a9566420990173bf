//! The operating-system account the server runs as.

use std::fs;
use std::os::unix::fs::{MetadataExt, chown};
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::Error;

const ROOT: u32 = 0;

/// Who runs `initdb` and `postgres`.
#[derive(Debug, Clone)]
pub(crate) struct Account {
    name: String,
    /// User and group to change to; `None` when the service's own account serves.
    ids: Option<(u32, u32)>,
}

impl Account {
    /// The account for the cluster in `cluster`, which need not exist yet.
    ///
    /// Existing data stays with its owner: a machine that gains a `postgres` account later must not lose the
    /// data that `nobody` holds.
    pub(crate) fn choose(cluster: &Path) -> Result<Self, Error> {
        let service = effective_user()?;
        let owner = fs::metadata(cluster).ok().map(|found| (found.uid(), found.gid()));
        let passwd = fs::read_to_string("/etc/passwd").unwrap_or_default();
        let refuse = |owner: u32| Error::Owner {
            directory: cluster.to_owned(),
            owner: name_of(&passwd, owner),
            service: name_of(&passwd, service),
        };
        match owner {
            Some((user, _)) if service != ROOT && user != service => Err(refuse(user)),
            _ if service != ROOT => Ok(Self { name: name_of(&passwd, service), ids: None }),
            Some((ROOT, _)) => Err(refuse(ROOT)),
            Some((user, group)) => Ok(Self { name: name_of(&passwd, user), ids: Some((user, group)) }),
            None => ["postgres", "nobody"]
                .into_iter()
                .find_map(|name| Some(Self { name: name.to_owned(), ids: Some(ids_of(&passwd, name)?) }))
                .ok_or(Error::NoAccount),
        }
    }

    /// The account's name, for messages.
    pub(crate) fn name(&self) -> &str {
        &self.name
    }

    /// Whether the server runs as somebody else than the service.
    pub(crate) fn is_another(&self) -> bool {
        self.ids.is_some()
    }

    /// Makes `command` run as this account.
    pub(crate) fn run_as(&self, command: &mut Command) {
        if let Some((user, group)) = self.ids {
            // The standard library also drops root's supplementary groups when it changes the user.
            command.uid(user).gid(group);
        }
    }

    /// Hands `path` itself (nothing below it) to this account.
    pub(crate) fn give(&self, path: &Path) -> Result<(), Error> {
        match self.ids {
            Some((user, group)) => {
                chown(path, Some(user), Some(group)).map_err(Error::io("change the owner of", path))
            }
            None => Ok(()),
        }
    }

    /// Whether this account can enter `directory`, found by trying, since permissions on every directory
    /// above it count.
    pub(crate) fn can_enter(&self, directory: &Path) -> bool {
        let mut attempt = Command::new("/bin/sh");
        attempt.args(["-c", r#"cd -- "$1""#, "sh"]).arg(directory).current_dir("/");
        attempt.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        self.run_as(&mut attempt);
        attempt.status().is_ok_and(|status| status.success())
    }
}

/// Whether this process is root.
pub(crate) fn is_root() -> Result<bool, Error> {
    Ok(effective_user()? == ROOT)
}

/// The effective user id. Asked of `id`, because the standard library has no safe call for it.
fn effective_user() -> Result<u32, Error> {
    let program = Path::new("id");
    let output = Command::new(program).arg("-u").output().map_err(Error::io("run", program))?;
    String::from_utf8_lossy(&output.stdout).trim().parse().map_err(|_| {
        Error::io("read a user id from", program)(std::io::Error::other("the answer is not a number"))
    })
}

/// The user and group of `name` in the text of `/etc/passwd`.
fn ids_of(passwd: &str, name: &str) -> Option<(u32, u32)> {
    passwd.lines().find_map(|line| {
        let mut fields = line.split(':');
        if fields.next()? != name {
            return None;
        }
        let user = fields.nth(1)?.parse().ok()?;
        let group = fields.next()?.parse().ok()?;
        Some((user, group))
    })
}

/// The name of `user` in the text of `/etc/passwd`, or its number.
fn name_of(passwd: &str, user: u32) -> String {
    let number = user.to_string();
    let named = passwd.lines().find_map(|line| {
        let mut fields = line.split(':');
        let name = fields.next()?;
        (fields.nth(1)? == number).then(|| name.to_owned())
    });
    named.unwrap_or(number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

    const PASSWD: &str = "root:x:0:0:root:/:/bin/sh\nbroken\nnobody:x:65534:65533::/:/usr/sbin/nologin\n";

    #[test]
    fn accounts_are_read_from_passwd() {
        assert_eq!(ids_of(PASSWD, "nobody"), Some((65534, 65533)));
        assert_eq!(ids_of(PASSWD, "postgres"), None);
        assert_eq!(name_of(PASSWD, 65534), "nobody");
        assert_eq!(name_of(PASSWD, 1234), "1234");
    }

    #[test]
    fn data_owned_by_root_is_not_served_by_root() {
        if !is_root().unwrap() {
            return;
        }
        let directory = tempfile::tempdir().unwrap();
        fs::set_permissions(directory.path(), fs::Permissions::from_mode(0o700)).unwrap();
        let error = Account::choose(directory.path()).unwrap_err();
        assert!(matches!(&error, Error::Owner { owner, .. } if owner == "root"), "{error}");
        let absent = Account::choose(&directory.path().join("absent")).unwrap();
        assert!(absent.is_another() && !absent.can_enter(directory.path()));
        absent.give(directory.path()).unwrap();
        assert!(absent.can_enter(directory.path()));
        assert_eq!(Account::choose(directory.path()).unwrap().name(), absent.name());
    }
}
