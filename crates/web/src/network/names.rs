//! The names and addresses under which other devices reach this machine.

use crate::head::is_host;
use std::net::{IpAddr, SocketAddr};

/// What the machine is called and where it is reached.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Names {
    /// Names, in small letters.
    pub(crate) names: Vec<String>,
    /// Addresses, those of the local network first.
    pub(crate) addresses: Vec<IpAddr>,
    /// The port.
    pub(crate) port: u16,
}

impl Names {
    /// What a listener at an address answers to: with names that were given, else under the machine's own.
    pub(crate) fn of(listener: SocketAddr, given: &[String]) -> Self {
        let mut addresses =
            if listener.ip().is_unspecified() { own_addresses() } else { vec![listener.ip()] };
        addresses.sort_by_key(|address| (!is_of_a_local_network(*address), address.is_ipv6()));
        let own = if listener.ip().is_loopback() { Vec::new() } else { own_names() };
        let names = given.iter().map(|name| name.to_lowercase()).chain(own).collect();
        Self { names, addresses, port: listener.port() }
    }

    /// Tells whether a request's host is one of them, with the port.
    pub(crate) fn answers_to(&self, host: &str) -> bool {
        let host = host.to_lowercase();
        let is = |name: &str| is_host(&host, name, self.port, 443);
        self.names.iter().any(|name| is(name)) || self.addresses.iter().any(|address| is(&in_a_url(*address)))
    }

    /// The address a device is told to open.
    pub(crate) fn url(&self) -> String {
        let place = self.addresses.first().map(|address| in_a_url(*address));
        let place = place.or_else(|| self.names.first().cloned()).unwrap_or_default();
        format!("https://{place}:{}", self.port)
    }
}

fn in_a_url(address: IpAddr) -> String {
    match address {
        IpAddr::V4(address) => address.to_string(),
        IpAddr::V6(address) => format!("[{address}]"),
    }
}

/// The addresses of this machine that another can reach.
fn own_addresses() -> Vec<IpAddr> {
    let interfaces = if_addrs::get_if_addrs().unwrap_or_default();
    let reached =
        interfaces.iter().filter(|one| !one.is_loopback() && !one.is_link_local() && one.is_oper_up());
    reached.map(if_addrs::Interface::ip).collect()
}

/// The machine's name, and the same as devices of a local network find it (RFC 6762).
fn own_names() -> Vec<String> {
    let name = host_name().to_lowercase();
    let is_name =
        !name.is_empty() && name.chars().all(|sign| sign.is_ascii_alphanumeric() || "-.".contains(sign));
    if !is_name {
        return Vec::new();
    }
    let short = name.split('.').next().unwrap_or_default().to_owned();
    let local = format!("{short}.local");
    let mut names = vec![name, local];
    names.dedup();
    names
}

#[cfg(unix)]
fn host_name() -> String {
    rustix::system::uname().nodename().to_string_lossy().into_owned()
}

#[cfg(not(unix))]
fn host_name() -> String {
    std::env::var("COMPUTERNAME").unwrap_or_default()
}

/// Addresses that are no one's on the wide network: RFC 1918 and RFC 4193, and link-local ones.
pub(crate) fn is_of_a_local_network(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(address) => address.is_private() || address.is_link_local() || address.is_loopback(),
        IpAddr::V6(address) => {
            address.is_unique_local() || address.is_unicast_link_local() || address.is_loopback()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Names;

    #[test]
    fn only_given_names_and_addresses_with_the_port_are_answered() {
        let names = Names {
            names: vec!["bench.local".to_owned()],
            addresses: vec![[192, 168, 1, 5].into(), std::net::IpAddr::from([0xfd00, 0, 0, 0, 0, 0, 0, 2])],
            port: 7743,
        };
        for host in ["bench.local:7743", "BENCH.local:7743", "192.168.1.5:7743", "[fd00::2]:7743"] {
            assert!(names.answers_to(host), "{host}");
        }
        for host in [
            "bench.local",
            "192.168.1.5:7700",
            "192.168.1.50:7743",
            "127.0.0.1:7743",
            "evil.example:7743",
            "",
        ] {
            assert!(!names.answers_to(host), "{host}");
        }
        assert_eq!(names.url(), "https://192.168.1.5:7743");
    }
}
