//! What the operator lets events be sent to beside the public internet: SKIDWAY_EVENT_TARGETS.

use std::net::IpAddr;

use super::address::{is_public, lies_in};

/// Hosts and networks that events may be sent to although they are private, and without encryption.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AllowedTargets {
    hosts: Vec<String>,
    networks: Vec<(IpAddr, u32)>,
}

impl AllowedTargets {
    /// Reads a list of hosts, addresses and networks with commas between them.
    ///
    /// # Errors
    ///
    /// The first part that is none of these.
    ///
    /// ```
    /// use api::events::allowed::AllowedTargets;
    /// assert!(AllowedTargets::read("tablet.yard.internal, 192.168.7.0/24, ::1").is_ok());
    /// assert_eq!(AllowedTargets::read("192.168.7.0/99"), Err("192.168.7.0/99".to_owned()));
    /// ```
    pub fn read(text: &str) -> Result<Self, String> {
        let mut allowed = Self::default();
        for part in text.split(',').map(str::trim).filter(|part| !part.is_empty()) {
            if let Some(network) = network(part) {
                allowed.networks.push(network);
            } else if is_host(part) {
                allowed.hosts.push(part.trim_end_matches('.').to_lowercase());
            } else {
                return Err(part.to_owned());
            }
        }
        Ok(allowed)
    }

    /// Whether this name is listed.
    ///
    /// ```
    /// use api::events::allowed::AllowedTargets;
    /// let allowed = AllowedTargets::read("tablet.yard.internal").unwrap();
    /// assert!(allowed.names("Tablet.Yard.Internal"));
    /// assert!(!allowed.names("yard.internal"));
    /// ```
    #[must_use]
    pub fn names(&self, host: &str) -> bool {
        let host = host.trim_end_matches('.').to_lowercase();
        self.hosts.contains(&host)
    }

    /// Whether this address lies in a listed network.
    #[must_use]
    pub fn holds(&self, address: IpAddr) -> bool {
        self.networks.iter().any(|network| lies_in(address, *network))
    }

    /// Whether events may go to this address: a public one, or one that is listed.
    ///
    /// ```
    /// use api::events::allowed::AllowedTargets;
    /// let allowed = AllowedTargets::read("10.1.0.0/16").unwrap();
    /// assert!(allowed.lets_through("10.1.2.3".parse().unwrap()));
    /// assert!(!allowed.lets_through("10.2.2.3".parse().unwrap()));
    /// ```
    #[must_use]
    pub fn lets_through(&self, address: IpAddr) -> bool {
        is_public(address) || self.holds(address)
    }
}

fn network(part: &str) -> Option<(IpAddr, u32)> {
    let (address, bits) = match part.split_once('/') {
        Some((address, bits)) => (address, Some(bits.parse::<u32>().ok()?)),
        None => (part, None),
    };
    let address: IpAddr = address.parse().ok()?;
    let most = if address.is_ipv4() { 32 } else { 128 };
    let bits = bits.unwrap_or(most);
    (bits <= most).then_some((address, bits))
}

/// A name of letters, digits and hyphens between full stops, that is no address written in an odd way.
fn is_host(part: &str) -> bool {
    let label = |label: &str| {
        !label.is_empty() && label.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '-')
    };
    let labels: Vec<_> = part.trim_end_matches('.').split('.').collect();
    let names =
        labels.last().is_some_and(|last| last.starts_with(|letter: char| letter.is_ascii_alphabetic()));
    names && labels.iter().copied().all(label)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_host_is_refused() {
        for wrong in
            ["127.1", "0x7f.0.0.1/8", "10.0.0.0/33", "::1/129", "a b", "http://a", "a:80", "*.a", "10.0.0.0/"]
        {
            assert_eq!(AllowedTargets::read(wrong), Err(wrong.to_owned()));
        }
        assert_eq!(AllowedTargets::read(" , "), Ok(AllowedTargets::default()));
    }
}
