//! Whose certificates are trusted: the system's, and those in a file that was named.

use std::path::Path;
use std::sync::Arc;

use classwright_app::AppError;
use ureq::tls::{Certificate, PemItem, RootCerts, TlsConfig, parse_pem};

use crate::error::CliError;

/// How a connection is made safe; the system's certificates are read only where they are needed.
pub(super) fn tls(secure: bool, file: Option<&Path>) -> Result<TlsConfig, CliError> {
    let mut trusted: Vec<Certificate<'static>> = Vec::new();
    if secure {
        let found = rustls_native_certs::load_native_certs();
        trusted.extend(found.certs.iter().map(|one| Certificate::from_der(one).to_owned()));
    }
    if let Some(file) = file {
        let unread = |problem: String| CliError::from(AppError::File { path: file.into(), problem });
        let text = std::fs::read(file).map_err(|error| unread(error.to_string()))?;
        let before = trusted.len();
        for item in parse_pem(&text) {
            match item {
                Ok(PemItem::Certificate(one)) => trusted.push(one),
                Ok(_) => {}
                Err(error) => return Err(unread(format!("is no PEM file: {error}"))),
            }
        }
        if trusted.len() == before {
            return Err(unread("holds no certificate: name the PEM file with the host's".into()));
        }
    }
    Ok(TlsConfig::builder()
        .unversioned_rustls_crypto_provider(Arc::new(rustls::crypto::ring::default_provider()))
        .root_certs(RootCerts::from(trusted))
        .build())
}
