//! Where a call comes from, as far as a browser says so.

use axum::http::HeaderMap;
use axum::http::header::{HOST, ORIGIN};
use axum::http::request::Parts;

use crate::problem::{Kind, Problem};
use crate::settings::host_of;
use crate::state::App;

/// An error where a browser says that a call comes from a page of somebody else.
pub(crate) fn from_here(app: &App, parts: &Parts) -> Result<(), Problem> {
    let named = parts.uri.authority().map(|authority| authority.as_str());
    let host = text(&parts.headers, HOST.as_str()).or(named);
    let own = [host, host_of(&app.settings().public_url)];
    let site = text(&parts.headers, "sec-fetch-site");
    let origin = text(&parts.headers, ORIGIN.as_str());
    if is_here(site, origin, &own) {
        return Ok(());
    }
    Err(Kind::ForeignPage.with("this call comes from a page of somebody else, and was not carried out"))
}

fn is_here(site: Option<&str>, origin: Option<&str>, own: &[Option<&str>]) -> bool {
    let site = site.is_none_or(|site| site == "same-origin" || site == "none");
    let origin = origin.is_none_or(|origin| host_of(origin).is_some_and(|host| own.contains(&Some(host))));
    site && origin
}

fn text<'h>(headers: &'h HeaderMap, name: &str) -> Option<&'h str> {
    headers.get(name).map(|value| value.to_str().unwrap_or("?"))
}

#[cfg(test)]
mod tests {
    use super::is_here;

    #[test]
    fn only_the_own_page_and_programs_are_here() {
        let own = [Some("gym.example"), None];
        assert!(is_here(None, None, &own), "a program says neither");
        assert!(is_here(Some("same-origin"), Some("https://gym.example"), &own));
        assert!(!is_here(Some("cross-site"), None, &own));
        assert!(!is_here(Some("same-site"), Some("https://gym.example"), &own), "a neighbour's page is not ours");
        assert!(!is_here(None, Some("https://other.example"), &own));
        assert!(!is_here(None, Some("null"), &own));
    }
}
