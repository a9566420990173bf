//! The password of the service's role: made here, kept in a file, never said.

use std::fmt::{self, Write as _};
use std::fs::{self, File, OpenOptions};
use std::io::{ErrorKind, Read, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::path::Path;

use crate::Error;

/// A password. Deliberately without a way to print it by accident.
pub(crate) struct Password(String);

impl fmt::Debug for Password {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("Password(…)")
    }
}

impl Password {
    /// 32 bytes of the system's random source as hexadecimal digits, which need no quoting anywhere.
    pub(crate) fn random() -> Result<Self, Error> {
        let source = Path::new("/dev/urandom");
        let mut bytes = [0_u8; 32];
        File::open(source)
            .and_then(|mut file| file.read_exact(&mut bytes))
            .map_err(Error::io("read", source))?;
        let mut text = String::new();
        for byte in bytes {
            // Writing to a string cannot fail.
            let _infallible = write!(text, "{byte:02x}");
        }
        Ok(Self(text))
    }

    /// The password kept in `path`, or `None` if there is none.
    pub(crate) fn read(path: &Path) -> Result<Option<Self>, Error> {
        match fs::read_to_string(path) {
            Ok(text) if !text.trim().is_empty() => Ok(Some(Self(text.trim().to_owned()))),
            Ok(_) => Ok(None),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(Error::io("read", path)(error)),
        }
    }

    /// Keeps it in `path`, for the service's account alone.
    pub(crate) fn write(&self, path: &Path) -> Result<(), Error> {
        let written = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(true)
            .mode(0o600)
            .open(path)
            .and_then(|mut file| file.write_all(self.0.as_bytes()).and_then(|()| file.sync_all()));
        written.map_err(Error::io("write", path))
    }

    /// The text, for the server and for connection addresses only.
    pub(crate) fn reveal(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

    #[test]
    fn it_is_kept_privately_and_not_shown() {
        let directory = tempfile::tempdir().unwrap();
        let path = directory.path().join("password");
        assert!(Password::read(&path).unwrap().is_none());
        let password = Password::random().unwrap();
        password.write(&path).unwrap();
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        assert_eq!(Password::read(&path).unwrap().unwrap().reveal(), password.reveal());
        assert_eq!(password.reveal().len(), 64);
        assert!(!format!("{password:?}").contains(password.reveal()));
        assert_ne!(Password::random().unwrap().reveal(), password.reveal());
    }
}
