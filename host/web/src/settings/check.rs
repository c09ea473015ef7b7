//! Whether settings make sense, each by itself and together.

use std::net::{IpAddr, ToSocketAddrs};
use std::path::Path;

use tracing_subscriber::EnvFilter;

use super::{SettingFault, Settings};

impl Settings {
    /// Everything about them that makes no sense.
    pub fn check(&self) -> Vec<SettingFault> {
        let mut faults = Vec::new();
        let mut fault = |key: &str, problem: String| {
            faults.push(SettingFault { key: key.into(), from: String::new(), problem });
        };
        if let Err(error) = self.listen.to_socket_addrs() {
            fault(
                "host.listen",
                format!("`{}` is no address with a port, such as 127.0.0.1:8080: {error}", self.listen),
            );
        }
        if self.data.is_empty() {
            fault("host.data", "is empty: name a file or postgres://…".into());
        }
        if !self.public_url.is_empty() && host_of(&self.public_url).is_none() {
            let words = "is no http:// or https:// URL without a path, such as https://gym.example";
            fault("host.public-url", format!("`{}` {words}", self.public_url));
        }
        for proxy in &self.trusted_proxies {
            if Network::read(proxy).is_none() {
                fault("host.trusted-proxies", format!("`{proxy}` is no address and no network such as 10.0.0.0/8"));
            }
        }
        match (self.certificate.is_empty(), self.key.is_empty()) {
            (false, true) => fault("tls.key", "is missing: a certificate is of no use without its key".into()),
            (true, false) => fault("tls.certificate", "is missing: a key is of no use without its certificate".into()),
            _ => {}
        }
        for (key, file) in [("tls.certificate", &self.certificate), ("tls.key", &self.key)] {
            if !file.is_empty() && !Path::new(file).is_file() {
                fault(key, format!("there is no file `{file}`"));
            }
        }
        for (key, number) in [
            ("host.body-limit-kib", self.body_limit_kib),
            ("host.answer-within-s", self.answer_within_s),
            ("policies.at-once", self.plans_at_once),
            ("logins.wrong-passwords", self.wrong_passwords),
            ("logins.hold-h", self.login_h),
            ("logins.link-h", self.link_h),
            ("logins.token-days", self.token_days),
            ("logins.looks-at-once", self.hashes_at_once),
        ] {
            if number == 0 {
                fault(key, "has to be 1 at least".into());
            }
        }
        // Beyond these, times in milliseconds and bytes would leave their range, or nobody means them.
        for (key, number, most) in [
            ("host.body-limit-kib", self.body_limit_kib, 1 << 20),
            ("logins.lock-min", self.lock_min, 1 << 20),
            ("logins.hold-h", self.login_h, 1 << 20),
            ("logins.link-h", self.link_h, 24 * 30),
            ("logins.token-days", self.token_days, 3660),
            ("logins.looks-at-once", self.hashes_at_once, 64),
            ("policies.at-once", self.plans_at_once, 1024),
        ] {
            if number > most {
                fault(key, format!("has to be {most} at most"));
            }
        }
        if let Err(error) = EnvFilter::try_new(&self.log) {
            fault("log.level", format!("`{}` is no level: {error}", self.log));
        }
        faults
    }
}

/// Host and port in a URL that has nothing behind them.
pub(crate) fn host_of(url: &str) -> Option<&str> {
    let rest = url.strip_prefix("https://").or_else(|| url.strip_prefix("http://"))?;
    let host = rest.strip_suffix('/').unwrap_or(rest);
    (!host.is_empty() && !host.contains(['/', '?', '#', '@', ' '])).then_some(host)
}

/// Addresses that begin alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Network {
    address: IpAddr,
    bits: u32,
}

impl Network {
    /// An address, or one with the number of bits that count.
    pub(crate) fn read(text: &str) -> Option<Network> {
        let (address, bits) = text.split_once('/').map_or((text, None), |(address, bits)| (address, Some(bits)));
        let address: IpAddr = address.parse().ok()?;
        let all = if address.is_ipv4() { 32 } else { 128 };
        let bits = bits.map_or(Some(all), |bits| bits.parse().ok())?;
        (bits <= all).then_some(Network { address, bits })
    }

    /// Whether an address is one of them.
    pub(crate) fn holds(&self, address: IpAddr) -> bool {
        match (self.address, address.to_canonical()) {
            (IpAddr::V4(own), IpAddr::V4(other)) => {
                (own.to_bits() ^ other.to_bits()).checked_shr(32 - self.bits).unwrap_or(0) == 0
            }
            (IpAddr::V6(own), IpAddr::V6(other)) => {
                (own.to_bits() ^ other.to_bits()).checked_shr(128 - self.bits).unwrap_or(0) == 0
            }
            _ => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_network_holds_what_begins_alike() {
        let holds = |network: &str, address: &str| Network::read(network).unwrap().holds(address.parse().unwrap());
        assert!(holds("10.0.0.0/8", "10.200.3.4") && !holds("10.0.0.0/8", "11.0.0.1"));
        assert!(holds("127.0.0.1", "127.0.0.1") && !holds("127.0.0.1", "127.0.0.2"));
        assert!(holds("0.0.0.0/0", "9.9.9.9") && holds("::/0", "fe80::1") && !holds("::/0", "9.9.9.9"));
        assert!(holds("10.0.0.0/8", "::ffff:10.1.1.1"));
        assert_eq!(Network::read("10.0.0.0/33"), None);
        assert_eq!(Network::read("host"), None);
    }

    #[test]
    fn a_url_has_a_host_and_nothing_more() {
        assert_eq!(host_of("https://gym.example"), Some("gym.example"));
        assert_eq!(host_of("http://gym.example:8080/"), Some("gym.example:8080"));
        for url in ["gym.example", "https://", "https://gym.example/plans", "https://a@b"] {
            assert_eq!(host_of(url), None, "{url}");
        }
    }
}
