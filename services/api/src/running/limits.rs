//! How much this instance takes on at once, and from whom.

use std::net::IpAddr;
use std::str::FromStr;
use std::time::Duration;

/// How much this instance takes on at once, and from whom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Requests that are worked on at the same time; the next one is told to come back.
    pub requests: usize,
    /// Bytes of the bodies of all of them together.
    pub body_bytes: usize,
    /// How long the body of one document may take to come, and a body of many tickets from one portion to the next.
    pub body_wait: Duration,
    /// Requests in a minute from one caller with a good token.
    pub rate_per_minute: u32,
    /// Requests in a minute from one address without one.
    pub open_rate_per_minute: u32,
    /// Whose word is taken for where a request came from.
    pub trusted_proxies: Vec<AddressRange>,
}

impl Limits {
    /// Requests at once for each connection to the database: some compute while others wait for the books, and none
    /// waits long.
    pub const REQUESTS_A_CONNECTION: usize = 4;
    /// The usual room for bodies.
    pub const BODY_BYTES: usize = 64 * 1024 * 1024;
    /// How long a body is usually waited for: the largest document comes in this time at some 17 kilobytes a second.
    pub const BODY_WAIT: Duration = Duration::from_secs(60);
    /// The usual rate of one caller.
    pub const RATE_PER_MINUTE: u32 = 1_200;
    /// The usual rate of one address.
    pub const OPEN_RATE_PER_MINUTE: u32 = 120;

    /// The usual limits of an instance with so many connections.
    #[must_use]
    pub fn usual(connections: usize) -> Self {
        Self {
            requests: connections.saturating_mul(Self::REQUESTS_A_CONNECTION),
            body_bytes: Self::BODY_BYTES,
            body_wait: Self::BODY_WAIT,
            rate_per_minute: Self::RATE_PER_MINUTE,
            open_rate_per_minute: Self::OPEN_RATE_PER_MINUTE,
            trusted_proxies: Vec::new(),
        }
    }

    /// Limits that nobody reaches, for tests of other things.
    #[must_use]
    pub fn wide() -> Self {
        Self {
            requests: 10_000,
            rate_per_minute: 1_000_000,
            open_rate_per_minute: 1_000_000,
            ..Self::usual(1)
        }
    }
}

/// One address, or a range of them in the notation of RFC 4632: `10.0.0.0/8`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AddressRange {
    first: u128,
    mask: u128,
}

/// Addresses of both kinds as numbers of one: version 4 lies within version 6 (RFC 4291, section 2.5.5.2).
fn number(address: IpAddr) -> u128 {
    match address {
        IpAddr::V4(address) => address.to_ipv6_mapped().to_bits(),
        IpAddr::V6(address) => address.to_bits(),
    }
}

impl AddressRange {
    /// Whether an address is in it.
    #[must_use]
    pub fn holds(&self, address: IpAddr) -> bool {
        number(address) & self.mask == self.first
    }
}

impl FromStr for AddressRange {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let (address, length) = match text.split_once('/') {
            None => (text, None),
            Some((address, length)) => (address, Some(length.parse::<u32>().map_err(|_| ())?)),
        };
        let address: IpAddr = address.parse().map_err(|_| ())?;
        let bits: u32 = if address.is_ipv4() { 32 } else { 128 };
        let free = bits.checked_sub(length.unwrap_or(bits)).ok_or(())?;
        let mask = u128::MAX.checked_shl(free).unwrap_or(0);
        Ok(Self { first: number(address) & mask, mask })
    }
}

/// Where a request came from: the peer itself, or, when that is a trusted proxy, whoever it and the proxies before it
/// say it came from. The list in `X-Forwarded-For` is read from its end, which the nearest proxy wrote; the first
/// address that is no trusted proxy is the caller's. Anything before it the caller may have made up.
#[must_use]
pub fn caller_address(peer: IpAddr, forwarded_for: &[&str], trusted: &[AddressRange]) -> IpAddr {
    let is_trusted = |address: IpAddr| trusted.iter().any(|range| range.holds(address));
    let mut nearest = peer;
    let named = forwarded_for.iter().flat_map(|header| header.split(','));
    let named: Vec<&str> = named.map(str::trim).collect();
    for name in named.into_iter().rev() {
        if !is_trusted(nearest) {
            break;
        }
        // What is no address is nobody's: the proxy that passed it on answers for it.
        let Ok(address) = name.parse() else { break };
        nearest = address;
    }
    nearest
}

#[cfg(test)]
mod tests {
    use super::*;

    fn address(text: &str) -> IpAddr {
        text.parse().unwrap()
    }

    #[test]
    fn ranges_hold_what_they_should() {
        let cases = [
            ("10.0.0.0/8", "10.255.0.1", true),
            ("10.0.0.0/8", "11.0.0.1", false),
            ("10.1.2.3", "10.1.2.3", true),
            ("10.1.2.3", "10.1.2.4", false),
            ("0.0.0.0/0", "203.0.113.9", true),
            ("0.0.0.0/0", "2001:db8::1", false),
            ("2001:db8::/32", "2001:db8:ffff::1", true),
            ("2001:db8::/32", "2001:db9::1", false),
            ("::/0", "2001:db8::1", true),
            ("127.0.0.1", "::ffff:127.0.0.1", true),
        ];
        for (range, one, held) in cases {
            assert_eq!(range.parse::<AddressRange>().unwrap().holds(address(one)), held, "{range} {one}");
        }
        for wrong in ["", "10.0.0.0/33", "::/129", "10.0.0.0/", "10.0.0/8", "host", "10.0.0.0/-1"] {
            assert!(wrong.parse::<AddressRange>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn only_trusted_proxies_are_believed() {
        let trusted: Vec<AddressRange> =
            ["10.0.0.0/8", "192.0.2.1"].iter().map(|one| one.parse().unwrap()).collect();
        let cases = [
            // Nobody is trusted who only says so.
            ("203.0.113.9", vec!["198.51.100.7"], "203.0.113.9"),
            ("10.0.0.1", vec!["198.51.100.7"], "198.51.100.7"),
            // The caller's own claim stands first, and is not believed.
            ("10.0.0.1", vec!["1.1.1.1, 198.51.100.7"], "198.51.100.7"),
            ("10.0.0.1", vec!["1.1.1.1, 198.51.100.7, 192.0.2.1"], "198.51.100.7"),
            ("10.0.0.1", vec!["1.1.1.1", "198.51.100.7"], "198.51.100.7"),
            ("10.0.0.1", vec!["198.51.100.7, unknown"], "10.0.0.1"),
            ("10.0.0.1", vec![], "10.0.0.1"),
            ("10.0.0.1", vec!["10.0.0.9"], "10.0.0.9"),
        ];
        for (peer, forwarded, caller) in cases {
            assert_eq!(
                caller_address(address(peer), &forwarded, &trusted),
                address(caller),
                "{peer} {forwarded:?}"
            );
        }
    }
}
