//! Whose address a request comes from where a proxy stands in front. The word of a proxy that the owner named is taken, in the header that
//! the owner named, and nobody else's: anybody can write such a header.

use axum::http::HeaderMap;
use std::net::{IpAddr, SocketAddr};

/// The header in which a proxy says whom it asks for. One alone is read: what a proxy does not write itself it may hand on as it came.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AddressHeader {
    /// `X-Forwarded-For`, as most proxies write it.
    #[default]
    XForwardedFor,
    /// `Forwarded`, as of RFC 7239.
    Forwarded,
}

/// The proxies that may say whom they ask for; none unless the owner says so.
#[derive(Clone, Debug, Default)]
pub struct Proxies {
    at: Vec<IpAddr>,
    header: AddressHeader,
}

impl Proxies {
    /// Those at these addresses.
    pub fn new(at: &[IpAddr], header: AddressHeader) -> Self {
        Self { at: at.iter().map(IpAddr::to_canonical).collect(), header }
    }

    /// Whether one of them is at this address.
    pub fn hold(&self, address: IpAddr) -> bool {
        self.at.contains(&address.to_canonical())
    }

    /// Who asks. Each proxy adds at the end whom it heard from, so the end is read first, and no further than proxies vouch for.
    pub fn client(&self, peer: IpAddr, headers: &HeaderMap) -> IpAddr {
        let mut client = peer.to_canonical();
        let lines = headers.get_all(self.header.name()).into_iter().rev();
        let mut named = lines.flat_map(|line| self.header.named(line.to_str().unwrap_or_default()));
        while self.hold(client) {
            let Some(Some(address)) = named.next() else { break };
            client = address;
        }
        client
    }
}

impl AddressHeader {
    const fn name(self) -> &'static str {
        match self {
            Self::XForwardedFor => "x-forwarded-for",
            Self::Forwarded => "forwarded",
        }
    }

    /// The addresses of a line from its end; none in the place of what is no address.
    fn named(self, line: &str) -> Vec<Option<IpAddr>> {
        let mut named: Vec<Option<IpAddr>> = match self {
            Self::XForwardedFor => line.split(',').map(address).collect(),
            Self::Forwarded => {
                pieces(line, ',').map_or_else(|| vec![None], |all| all.into_iter().map(said_for).collect())
            }
        };
        named.reverse();
        named
    }
}

/// The address after `for=`.
fn said_for(element: &str) -> Option<IpAddr> {
    let pairs = pieces(element, ';')?;
    let mut pairs = pairs.into_iter().filter_map(|pair| pair.trim().split_once('='));
    let (_, value) = pairs.find(|(name, _)| name.eq_ignore_ascii_case("for"))?;
    address(value.strip_prefix('"').and_then(|v| v.strip_suffix('"')).unwrap_or(value))
}

/// Splits outside of quotes; nothing where a quote does not end.
fn pieces(text: &str, at: char) -> Option<Vec<&str>> {
    let (mut is_quoted, mut is_escaped) = (false, false);
    let pieces = text.split(|c| {
        if c == '"' && !is_escaped {
            is_quoted = !is_quoted;
        }
        is_escaped = is_quoted && c == '\\' && !is_escaped;
        c == at && !is_quoted
    });
    let pieces = pieces.collect();
    (!is_quoted).then_some(pieces)
}

/// An address, with a port or without, version 6 in brackets or bare.
fn address(text: &str) -> Option<IpAddr> {
    let text = text.trim();
    let bare = text.strip_prefix('[').and_then(|t| t.strip_suffix(']')).unwrap_or(text);
    let found = bare.parse().ok().or_else(|| Some(text.parse::<SocketAddr>().ok()?.ip()));
    found.map(|address: IpAddr| address.to_canonical())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderName;

    /// Asks with these headers through the proxies 10.0.0.1 and 10.0.0.2.
    fn check(header: AddressHeader, peer: &str, lines: &[(&'static str, &str)], wanted: &str) {
        let proxies = Proxies::new(&["10.0.0.1", "10.0.0.2"].map(|ip| ip.parse().unwrap()), header);
        let mut headers = HeaderMap::new();
        for (name, line) in lines {
            headers.append(HeaderName::from_static(name), line.parse().unwrap());
        }
        let found = proxies.client(peer.parse().unwrap(), &headers);
        assert_eq!(found.to_string(), wanted, "{peer} {lines:?}");
    }

    const XFF: &str = "x-forwarded-for";

    #[test]
    fn the_word_of_a_proxy_is_taken_and_nobody_elses() {
        let of = |peer: &str, lines: &[(&'static str, &str)], wanted: &str| {
            check(AddressHeader::XForwardedFor, peer, lines, wanted);
        };
        of("192.0.2.7", &[(XFF, "198.51.100.1")], "192.0.2.7");
        of("10.0.0.1", &[(XFF, "198.51.100.1")], "198.51.100.1");
        of("::ffff:10.0.0.1", &[(XFF, "198.51.100.1:4711")], "198.51.100.1");
        of("10.0.0.1", &[(XFF, "[2001:db8::1]:4711")], "2001:db8::1");
        of("10.0.0.1", &[(XFF, "2001:db8::1")], "2001:db8::1");
        of("10.0.0.1", &[("forwarded", "for=198.51.100.1")], "10.0.0.1");
        of("10.0.0.1", &[], "10.0.0.1");
    }

    #[test]
    fn what_was_there_before_the_proxy_wrote_is_not_believed() {
        let of = |lines: &[(&'static str, &str)], wanted: &str| {
            check(AddressHeader::XForwardedFor, "10.0.0.1", lines, wanted);
        };
        of(&[(XFF, "203.0.113.9, 198.51.100.1")], "198.51.100.1");
        of(&[(XFF, "203.0.113.9"), (XFF, "198.51.100.1")], "198.51.100.1");
        of(&[(XFF, "203.0.113.9, 198.51.100.1, 10.0.0.2")], "198.51.100.1");
        for unread in ["203.0.113.9, unknown", "203.0.113.9,", "é", "203.0.113.9, 198.51.100.256"] {
            of(&[(XFF, unread)], "10.0.0.1");
        }
    }

    #[test]
    fn the_header_of_the_standard_is_read_as_it_is_written() {
        let of = |line: &str, wanted: &str| {
            check(AddressHeader::Forwarded, "10.0.0.1", &[("forwarded", line), (XFF, "9.9.9.9")], wanted);
        };
        of("for=198.51.100.1;proto=https", "198.51.100.1");
        of("proto=https; For=\"[2001:db8::1]:4711\"", "2001:db8::1");
        of("for=203.0.113.9, for=198.51.100.1;host=\"a, for=203.0.113.9;x=\"", "198.51.100.1");
        for unread in ["for=\"203.0.113.9, for=198.51.100.1", "for=_hidden", "proto=https", "for=unknown"] {
            of(unread, "10.0.0.1");
        }
    }
}
