//! Names inside SQL and connection addresses.

use std::fmt::Write;
use std::os::unix::ffi::OsStrExt;
use std::path::Path;

use crate::Error;

/// PostgreSQL cuts longer names short without an error, so two of them could meet.
const LONGEST_NAME: usize = 63;

/// `name` as a quoted SQL identifier.
pub(crate) fn quoted(name: &str) -> Result<String, Error> {
    if name.is_empty() || name.len() > LONGEST_NAME || name.contains('\0') {
        return Err(Error::Name { name: name.to_owned() });
    }
    Ok(format!("\"{}\"", name.replace('"', "\"\"")))
}

/// The address of `database` behind the socket in `socket`.
pub(crate) fn url(role: &str, password: &str, socket: &Path, database: &str) -> String {
    let host = escaped(socket.as_os_str().as_bytes());
    format!("postgresql://{role}:{password}@{host}/{}", escaped(database.as_bytes()))
}

/// Percent-encodes all but letters and digits: more than needed, and right in every part of an address.
fn escaped(bytes: &[u8]) -> String {
    let mut text = String::new();
    for byte in bytes {
        if byte.is_ascii_alphanumeric() {
            text.push(char::from(*byte));
        } else {
            // Writing to a string cannot fail.
            let _infallible = write!(text, "%{byte:02X}");
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use tokio_postgres::Config;
    use tokio_postgres::config::Host;

    #[test]
    fn identifiers_are_quoted() {
        assert_eq!(quoted(r#"o"dd name"#).unwrap(), r#""o""dd name""#);
        for bad in ["", "a\0b", &"x".repeat(64)] {
            assert!(matches!(quoted(bad), Err(Error::Name { .. })), "{bad:?}");
        }
    }

    #[test]
    fn an_address_survives_the_parser() {
        let socket = Path::new("/var/lib/ski dway@/50%:#é");
        let config: Config = url("role", "secret", socket, "a/b?c").parse().unwrap();
        assert_eq!(config.get_hosts(), [Host::Unix(socket.to_owned())]);
        assert_eq!(config.get_dbname(), Some("a/b?c"));
        assert_eq!(config.get_user(), Some("role"));
        assert_eq!(config.get_password(), Some("secret".as_bytes()));
    }
}
