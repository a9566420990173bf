//! What signing in leaves on this machine: a file in the user's own configuration, for nobody else to read.

use std::collections::BTreeMap;
use std::fs;
use std::io::{ErrorKind, Write};
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use wire::{Secret, SignedIn};

/// The tokens of one sign-in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Kept {
    pub(crate) subject: String,
    pub(crate) access_token: Secret,
    pub(crate) expires_at: Timestamp,
    pub(crate) refresh_token: Secret,
}

impl From<&SignedIn> for Kept {
    fn from(signed_in: &SignedIn) -> Self {
        Self {
            subject: signed_in.subject.clone(),
            access_token: signed_in.access_token.clone(),
            expires_at: signed_in.expires_at,
            refresh_token: signed_in.refresh_token.clone(),
        }
    }
}

/// The file, with a sign-in for each service.
#[derive(Debug)]
pub(crate) struct KeptFile(PathBuf);

type Everything = BTreeMap<String, Kept>;

impl KeptFile {
    /// The user's own.
    pub(crate) fn of_user() -> anyhow::Result<Self> {
        let absolute =
            |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
        absolute("XDG_CONFIG_HOME")
            .or_else(|| Some(absolute("HOME")?.join(".config")))
            .map(|base| Self(base.join("skidway").join("sign-in.json")))
            .ok_or_else(|| {
                anyhow!("there is no directory to keep the sign-in in: set HOME or XDG_CONFIG_HOME")
            })
    }

    fn read(&self) -> anyhow::Result<Everything> {
        match fs::read(&self.0) {
            Ok(bytes) => serde_json::from_slice(&bytes)
                .map_err(|_| anyhow!("{} is not what this program wrote: take it away", self.0.display())),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(Everything::new()),
            Err(error) => Err(error).with_context(|| format!("{} cannot be read", self.0.display())),
        }
    }

    /// Writes the whole file in the place of the one before, so that there is never half of one.
    fn write(&self, everything: &Everything) -> anyhow::Result<()> {
        let cannot = || format!("{} cannot be written", self.0.display());
        let directory = self.0.parent().unwrap_or(Path::new("."));
        fs::DirBuilder::new().recursive(true).mode(0o700).create(directory).with_context(cannot)?;
        let beside = self.0.with_extension(format!("new-{}", std::process::id()));
        let text = serde_json::to_vec_pretty(everything)?;
        let options = fs::OpenOptions::new().write(true).create_new(true).mode(0o600).open(&beside);
        let written = options
            .and_then(|mut file| file.write_all(&text).and_then(|()| file.sync_all()))
            .and_then(|()| fs::rename(&beside, &self.0));
        if written.is_err() {
            // What is left of it would be in the way of the next.
            let _gone = fs::remove_file(&beside);
        }
        written.with_context(cannot)
    }

    /// The sign-in for a service.
    pub(crate) fn find(&self, service: &str) -> anyhow::Result<Option<Kept>> {
        Ok(self.read()?.remove(service))
    }

    /// Keeps the sign-in for a service.
    pub(crate) fn keep(&self, service: &str, kept: Kept) -> anyhow::Result<()> {
        let mut everything = self.read()?;
        everything.insert(service.to_owned(), kept);
        self.write(&everything)
    }

    /// Forgets the sign-in for a service.
    pub(crate) fn forget(&self, service: &str) -> anyhow::Result<()> {
        let mut everything = self.read()?;
        if everything.remove(service).is_some() { self.write(&everything) } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt;

    use super::*;

    fn kept(token: &str) -> Kept {
        let secret = || Secret::try_from(token.to_owned()).unwrap();
        Kept {
            subject: "ida".to_owned(),
            access_token: secret(),
            expires_at: "2031-06-07T12:00:00Z".parse().unwrap(),
            refresh_token: secret(),
        }
    }

    #[test]
    fn a_sign_in_is_kept_for_its_service_and_its_user() {
        let directory = std::env::temp_dir().join(format!("skid-kept-{}", std::process::id()));
        let file = KeptFile(directory.join("deeper").join("sign-in.json"));
        assert_eq!(file.find("http://one").unwrap(), None);
        file.keep("http://one", kept("first")).unwrap();
        file.keep("http://two", kept("second")).unwrap();
        file.keep("http://one", kept("third")).unwrap();
        assert_eq!(file.find("http://one").unwrap(), Some(kept("third")));
        let mode = fs::metadata(&file.0).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "others could read it");
        file.forget("http://one").unwrap();
        assert_eq!(file.find("http://one").unwrap(), None);
        assert_eq!(file.find("http://two").unwrap(), Some(kept("second")));
        fs::write(&file.0, "nonsense secret").unwrap();
        assert!(!format!("{:#}", file.find("http://two").unwrap_err()).contains("secret"));
        fs::remove_dir_all(directory).unwrap();
    }
}
