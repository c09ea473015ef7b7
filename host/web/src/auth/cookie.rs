//! The cookie of a login: which gym, and the secret. Pages cannot read it, and no other site's page sends it.

use axum::http::HeaderMap;
use axum_extra::extract::CookieJar;
use classwright_app::service::auth::LoggedIn;

use crate::state::App;

/// Gym and secret of the login that a call has.
pub(crate) fn read(app: &App, headers: &HeaderMap) -> Option<(String, String)> {
    let jar = CookieJar::from_headers(headers);
    let (gym, secret) = jar.get(name(app.settings().over_tls()))?.value().split_once('.')?;
    Some((gym.to_owned(), secret.to_owned()))
}

/// What sets the cookie of a login.
pub(crate) fn set(app: &App, login: &LoggedIn) -> String {
    let value = format!("{}.{}", login.known.who.gym, login.secret);
    written(app.settings().over_tls(), &value, u64::from(app.settings().login_h) * 3600)
}

/// What takes it away.
pub(crate) fn clear(app: &App) -> String {
    written(app.settings().over_tls(), "", 0)
}

/// With TLS the name binds it to this host and to TLS.
fn name(over_tls: bool) -> &'static str {
    if over_tls { "__Host-classwright" } else { "classwright" }
}

fn written(over_tls: bool, value: &str, seconds: u64) -> String {
    let secure = if over_tls { "; Secure" } else { "" };
    format!("{}={value}; Path=/; Max-Age={seconds}; HttpOnly; SameSite=Strict{secure}", name(over_tls))
}

#[cfg(test)]
mod tests {
    use super::written;

    #[test]
    fn a_cookie_is_kept_from_pages_and_other_sites() {
        let plain = "classwright=hall.s; Path=/; Max-Age=60; HttpOnly; SameSite=Strict";
        assert_eq!(written(false, "hall.s", 60), plain);
        assert_eq!(written(true, "hall.s", 60), format!("__Host-{plain}; Secure"));
    }
}
