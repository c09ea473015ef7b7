//! From which address a call comes.

use std::net::{IpAddr, SocketAddr};

use axum::extract::ConnectInfo;
use axum::http::request::Parts;

use crate::state::App;

/// The address of whoever calls: the peer's, or where that is a proxy that is believed, the one that it names.
pub(crate) fn address(app: &App, parts: &Parts) -> Option<IpAddr> {
    let peer = parts.extensions.get::<ConnectInfo<SocketAddr>>()?.0.ip().to_canonical();
    let named: Vec<&str> = parts
        .headers
        .get_all("x-forwarded-for")
        .iter()
        .filter_map(|value| value.to_str().ok())
        .flat_map(|value| value.split(','))
        .map(str::trim)
        .collect();
    Some(behind(peer, &named, |address| app.is_proxy(address)))
}

/// Walks back through proxies that are believed, to the first address that is none. Whatever stands before that could
/// have been written by anybody.
fn behind(peer: IpAddr, named: &[&str], is_proxy: impl Fn(IpAddr) -> bool) -> IpAddr {
    let mut address = peer;
    for named in named.iter().rev() {
        if !is_proxy(address) {
            break;
        }
        match named.parse::<IpAddr>() {
            Ok(before) => address = before.to_canonical(),
            Err(_) => break,
        }
    }
    address
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_believed_proxy_names_others() {
        let ip = |text: &str| text.parse::<IpAddr>().unwrap();
        let proxy = |address: IpAddr| address == ip("10.0.0.1") || address == ip("10.0.0.2");
        assert_eq!(behind(ip("9.9.9.9"), &["1.1.1.1"], proxy), ip("9.9.9.9"));
        assert_eq!(behind(ip("10.0.0.1"), &["1.1.1.1"], proxy), ip("1.1.1.1"));
        assert_eq!(behind(ip("10.0.0.1"), &["6.6.6.6", "1.1.1.1", "10.0.0.2"], proxy), ip("1.1.1.1"));
        assert_eq!(behind(ip("10.0.0.1"), &["rubbish"], proxy), ip("10.0.0.1"));
    }
}
