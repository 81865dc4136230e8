//! Who may come in at a door: a browser that has the door's key, from the address that was printed, and no other
//! page in it. This machine has one door; with `--lan` each of its addresses in the network has another.
//!
//! A page of any site can make a browser send requests to this machine. It cannot read the key, the cookie
//! is not sent for it, its origin is another, and a name that it has pointed here is not one of ours.

use super::rights::Rights;
use axum::http::{HeaderMap, header};
use std::fmt::Write;
use std::net::Ipv4Addr;

/// Bytes of the key: 128 bit.
const KEY: usize = 16;

/// What the requests are held against.
#[derive(Clone, Debug)]
pub struct Guard {
    key: String,
    port: u16,
    /// The names under which this door may be called, the one that is printed first.
    hosts: Vec<String>,
    /// What who comes in by it may do.
    pub rights: Rights,
}

impl Guard {
    /// The door of this machine, with a fresh key.
    ///
    /// # Errors
    /// When the machine gives no random numbers.
    pub fn own(port: u16) -> Result<Self, String> {
        let hosts = ["127.0.0.1", "localhost", "[::1]"].map(|h| format!("{h}:{port}"));
        Ok(Self { key: fresh_key()?, port, hosts: hosts.into(), rights: Rights::Own })
    }

    /// A door in the network, at this address alone, with a fresh key.
    ///
    /// # Errors
    /// When the machine gives no random numbers.
    pub fn guests(address: Ipv4Addr, port: u16, rights: Rights) -> Result<Self, String> {
        Ok(Self { key: fresh_key()?, port, hosts: vec![format!("{address}:{port}")], rights })
    }

    /// The address that lets in.
    pub fn address(&self) -> String {
        format!("http://{}/?key={}", self.hosts[0], self.key)
    }

    /// The request is for one of our names.
    pub fn host_fits(&self, headers: &HeaderMap) -> bool {
        let host = headers.get(header::HOST).and_then(|h| h.to_str().ok());
        let mut all = headers.get_all(header::HOST).iter();
        all.next();
        all.next().is_none() && host.is_some_and(|h| self.hosts.iter().any(|own| own == h))
    }

    /// The request comes from our own page; one without an origin only where none is `needed`.
    pub fn origin_fits(&self, headers: &HeaderMap, needed: bool) -> bool {
        let Some(origin) = headers.get(header::ORIGIN) else { return !needed };
        let of = origin.to_str().ok().and_then(|o| o.strip_prefix("http://"));
        // The same name as the request itself: what another of our names serves is another page.
        let host = headers.get(header::HOST).and_then(|h| h.to_str().ok());
        of.is_some() && of == host && self.host_fits(headers)
    }

    /// This is the key.
    pub fn key_fits(&self, key: &str) -> bool {
        // The time it takes does not tell how much of it was right.
        let differ = self.key.bytes().zip(key.bytes()).fold(0, |d, (a, b)| d | (a ^ b));
        self.key.len() == key.len() && differ == 0
    }

    /// The name of the cookie: a browser keeps one set for all ports of a machine, so each desk has its own.
    fn cookie_name(&self) -> String {
        format!("desk-{}", self.port)
    }

    /// The cookie that remembers the key.
    pub fn cookie(&self) -> String {
        format!("{}={}; HttpOnly; SameSite=Strict; Path=/", self.cookie_name(), self.key)
    }

    /// The request has the cookie.
    pub fn cookie_fits(&self, headers: &HeaderMap) -> bool {
        let name = self.cookie_name();
        let all = headers.get_all(header::COOKIE).iter().filter_map(|c| c.to_str().ok());
        let mut pairs = all.flat_map(|c| c.split(';')).filter_map(|p| p.trim().split_once('='));
        pairs.any(|(n, key)| n == name && self.key_fits(key))
    }
}

fn fresh_key() -> Result<String, String> {
    let mut bytes = [0; KEY];
    getrandom::fill(&mut bytes)
        .map_err(|e| format!("The machine gives no random number for the key: {e}."))?;
    let mut key = String::new();
    for b in bytes {
        // Writing to a text does not fail.
        let _ = write!(key, "{b:02x}");
    }
    Ok(key)
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::{HeaderName, HeaderValue};

    fn headers(all: &[(HeaderName, &str)]) -> HeaderMap {
        let mut map = HeaderMap::new();
        for (name, value) in all {
            map.append(name.clone(), HeaderValue::from_str(value).unwrap());
        }
        map
    }

    #[test]
    fn only_our_own_names_are_served() {
        let guard = Guard::own(4000).unwrap();
        let fits = |h: &str| guard.host_fits(&headers(&[(header::HOST, h)]));
        assert!(fits("127.0.0.1:4000") && fits("localhost:4000") && fits("[::1]:4000"));
        for other in
            ["127.0.0.1", "127.0.0.1:4001", "evil.example:4000", "localhost.evil.example:4000", ""]
        {
            assert!(!fits(other), "{other}");
        }
        let two = headers(&[(header::HOST, "localhost:4000"), (header::HOST, "localhost:4000")]);
        assert!(!guard.host_fits(&two) && !guard.host_fits(&HeaderMap::new()));
    }

    #[test]
    fn a_door_in_the_network_has_one_name_and_a_key_of_its_own() {
        let own = Guard::own(4000).unwrap();
        let address = Ipv4Addr::new(192, 168, 1, 5);
        let door = Guard::guests(address, 4000, Rights::Guest { may_edit: false }).unwrap();
        assert!(door.address().starts_with("http://192.168.1.5:4000/?key="));
        let fits = |h: &str| door.host_fits(&headers(&[(header::HOST, h)]));
        assert!(fits("192.168.1.5:4000"));
        for other in
            ["127.0.0.1:4000", "localhost:4000", "192.168.1.6:4000", "192.168.1.5", "robot.local:4000"]
        {
            assert!(!fits(other), "{other}");
        }
        assert!(!own.key_fits(&door.key) && !door.key_fits(&own.key));
        assert!(!own.host_fits(&headers(&[(header::HOST, "192.168.1.5:4000")])));
    }

    #[test]
    fn only_our_own_pages_may_talk() {
        let guard = Guard::own(4000).unwrap();
        let host = (header::HOST, "localhost:4000");
        let fits = |o: &str| guard.origin_fits(&headers(&[host.clone(), (header::ORIGIN, o)]), true);
        assert!(fits("http://localhost:4000"));
        for other in ["http://127.0.0.1:4000", "https://localhost:4000", "http://evil.example", "null"] {
            assert!(!fits(other), "{other}");
        }
        let none = headers(&[host]);
        assert!(!guard.origin_fits(&none, true) && guard.origin_fits(&none, false));
    }

    #[test]
    fn the_key_opens_and_nothing_like_it() {
        let (guard, other) = (Guard::own(4000).unwrap(), Guard::own(4000).unwrap());
        assert_eq!(guard.key.len(), 32);
        assert!(guard.key_fits(&guard.key));
        let long = format!("{}0", guard.key);
        for key in [other.key.as_str(), "", &guard.key[..31], &long] {
            assert!(!guard.key_fits(key), "{key}");
        }
        let with = |cookie: String| headers(&[(header::COOKIE, &cookie)]);
        assert!(guard.cookie_fits(&with(format!("a=b; desk-4000={}", guard.key))));
        assert!(!guard.cookie_fits(&with(format!("desk-4001={}", guard.key))));
        assert!(!guard.cookie_fits(&with(format!("desk-4000={}", other.key))));
    }
}
