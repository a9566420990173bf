//! Which addresses lie on the public internet.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

/// Networks of IPv4 that are nobody's on the public internet, with the bits that name them: the special-purpose address
/// registry of IANA (RFC 6890 and its successors).
const SPECIAL_V4: [(Ipv4Addr, u32); 17] = [
    // This host and this network.
    (Ipv4Addr::new(0, 0, 0, 0), 8),
    // Private networks (RFC 1918).
    (Ipv4Addr::new(10, 0, 0, 0), 8),
    (Ipv4Addr::new(172, 16, 0, 0), 12),
    (Ipv4Addr::new(192, 168, 0, 0), 16),
    // Shared behind a carrier's translation (RFC 6598).
    (Ipv4Addr::new(100, 64, 0, 0), 10),
    // This machine.
    (Ipv4Addr::new(127, 0, 0, 0), 8),
    // Link-local; at 169.254.169.254 machines in data centres are told about themselves.
    (Ipv4Addr::new(169, 254, 0, 0), 16),
    // The same under a public number, as one data centre has it; from memory.
    (Ipv4Addr::new(168, 63, 129, 16), 32),
    // Protocol assignments; documentation; relays that are no more; benchmarks.
    (Ipv4Addr::new(192, 0, 0, 0), 24),
    (Ipv4Addr::new(192, 0, 2, 0), 24),
    (Ipv4Addr::new(198, 51, 100, 0), 24),
    (Ipv4Addr::new(203, 0, 113, 0), 24),
    (Ipv4Addr::new(192, 31, 196, 0), 24),
    (Ipv4Addr::new(192, 88, 99, 0), 24),
    (Ipv4Addr::new(198, 18, 0, 0), 15),
    // Multicast; reserved, with the broadcast address.
    (Ipv4Addr::new(224, 0, 0, 0), 4),
    (Ipv4Addr::new(240, 0, 0, 0), 4),
];

/// What is given out of IPv6 for use on the internet. Everything else is loopback, link-local, unique-local, multicast,
/// a translated IPv4 address, or not given out.
const GLOBAL_V6: (Ipv6Addr, u32) = (Ipv6Addr::new(0x2000, 0, 0, 0, 0, 0, 0, 0), 3);
/// Parts of it that are not: protocol assignments with tunnels, documentation, and a tunnel that holds an IPv4 address.
const SPECIAL_V6: [(Ipv6Addr, u32); 4] = [
    (Ipv6Addr::new(0x2001, 0, 0, 0, 0, 0, 0, 0), 23),
    (Ipv6Addr::new(0x2001, 0xdb8, 0, 0, 0, 0, 0, 0), 32),
    (Ipv6Addr::new(0x2002, 0, 0, 0, 0, 0, 0, 0), 16),
    (Ipv6Addr::new(0x3fff, 0, 0, 0, 0, 0, 0, 0), 20),
];

fn in_v4(address: Ipv4Addr, (network, bits): (Ipv4Addr, u32)) -> bool {
    let differ = address.to_bits() ^ network.to_bits();
    differ.checked_shr(32_u32.saturating_sub(bits)).unwrap_or(0) == 0
}

fn in_v6(address: Ipv6Addr, (network, bits): (Ipv6Addr, u32)) -> bool {
    let differ = address.to_bits() ^ network.to_bits();
    differ.checked_shr(128_u32.saturating_sub(bits)).unwrap_or(0) == 0
}

/// Whether an address lies in the network of these leading bits. An IPv4 address that is written as IPv6 counts as what
/// it is.
///
/// ```
/// use api::events::address::lies_in;
/// let yard = "192.168.7.0".parse().unwrap();
/// assert!(lies_in("192.168.7.20".parse().unwrap(), (yard, 24)));
/// assert!(lies_in("::ffff:192.168.7.20".parse().unwrap(), (yard, 24)));
/// assert!(!lies_in("192.168.8.20".parse().unwrap(), (yard, 24)));
/// ```
#[must_use]
pub fn lies_in(address: IpAddr, (network, bits): (IpAddr, u32)) -> bool {
    match (address.to_canonical(), network.to_canonical()) {
        (IpAddr::V4(address), IpAddr::V4(network)) => in_v4(address, (network, bits)),
        (IpAddr::V6(address), IpAddr::V6(network)) => in_v6(address, (network, bits)),
        _ => false,
    }
}

/// Whether an address lies on the public internet.
///
/// ```
/// use api::events::address::is_public;
/// assert!(is_public("93.184.215.14".parse().unwrap()));
/// assert!(!is_public("127.0.0.1".parse().unwrap()));
/// assert!(!is_public("::ffff:10.0.0.1".parse().unwrap()));
/// ```
#[must_use]
pub fn is_public(address: IpAddr) -> bool {
    match address.to_canonical() {
        IpAddr::V4(address) => !SPECIAL_V4.iter().any(|special| in_v4(address, *special)),
        IpAddr::V6(address) => {
            in_v6(address, GLOBAL_V6) && !SPECIAL_V6.iter().any(|special| in_v6(address, *special))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_public_addresses_are_public() {
        for private in [
            "0.0.0.0",
            "0.1.2.3",
            "10.0.0.1",
            "10.255.255.255",
            "100.64.0.1",
            "100.127.255.255",
            "127.0.0.1",
            "127.255.255.254",
            "169.254.169.254",
            "168.63.129.16",
            "172.16.0.1",
            "172.31.255.255",
            "192.0.0.1",
            "192.0.2.1",
            "192.88.99.1",
            "192.168.0.1",
            "198.18.0.1",
            "198.19.255.255",
            "198.51.100.1",
            "203.0.113.1",
            "224.0.0.1",
            "239.255.255.255",
            "240.0.0.1",
            "255.255.255.255",
            "::",
            "::1",
            "::ffff:127.0.0.1",
            "::ffff:169.254.169.254",
            "::10.0.0.1",
            "64:ff9b::10.0.0.1",
            "100::1",
            "2001::1",
            "2001:db8::1",
            "2002:a00:1::1",
            "3fff::1",
            "fc00::1",
            "fd00:ec2::254",
            "fe80::1",
            "fec0::1",
            "ff02::1",
        ] {
            assert!(!is_public(private.parse().unwrap()), "{private}");
        }
        for public in [
            "1.1.1.1",
            "9.255.255.255",
            "11.0.0.0",
            "100.63.255.255",
            "100.128.0.0",
            "126.255.255.255",
            "128.0.0.0",
            "169.253.255.255",
            "172.15.255.255",
            "172.32.0.0",
            "192.167.255.255",
            "223.255.255.255",
            "2606:2800:21f:cb07::1",
            "2a00::1",
            "::ffff:8.8.8.8",
        ] {
            assert!(is_public(public.parse().unwrap()), "{public}");
        }
    }

    #[test]
    fn a_network_of_no_bits_holds_everything() {
        let all = ("0.0.0.0".parse().unwrap(), 0);
        assert!(lies_in("203.0.113.9".parse().unwrap(), all));
        assert!(!lies_in("2a00::1".parse().unwrap(), all));
        let one = ("10.0.0.1".parse().unwrap(), 32);
        assert!(lies_in("10.0.0.1".parse().unwrap(), one) && !lies_in("10.0.0.2".parse().unwrap(), one));
    }
}
