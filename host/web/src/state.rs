//! What every call has at hand.

use std::net::IpAddr;
use std::sync::Arc;

use axum::extract::FromRef;
use classwright_app::service::Service;
use tokio::sync::watch;

use crate::auth::limits::Limits;
use crate::measures::Measures;
use crate::settings::{Network, Settings};

/// The service and how it is set up. Cheap to clone.
#[derive(Clone)]
pub struct App {
    inner: Arc<Inner>,
}

struct Inner {
    service: Service,
    settings: Settings,
    limits: Limits,
    measures: Measures,
    proxies: Vec<Network>,
    stopping: watch::Sender<bool>,
}

impl App {
    /// A border around a service.
    pub fn new(service: Service, settings: Settings) -> App {
        let limits = Limits::new(&settings);
        let proxies = settings.trusted_proxies.iter().filter_map(|proxy| Network::read(proxy)).collect();
        let measures = Measures::new();
        App {
            inner: Arc::new(Inner {
                service,
                settings,
                limits,
                measures,
                proxies,
                stopping: watch::Sender::new(false),
            }),
        }
    }

    /// What people do with the gym.
    pub fn service(&self) -> &Service {
        &self.inner.service
    }

    /// How the host is set up.
    pub fn settings(&self) -> &Settings {
        &self.inner.settings
    }

    pub(crate) fn limits(&self) -> &Limits {
        &self.inner.limits
    }

    /// Tells whoever waits that the host stops.
    pub(crate) fn stop(&self) {
        self.inner.stopping.send_replace(true);
    }

    /// Whether the host stops.
    pub(crate) fn stopping(&self) -> watch::Receiver<bool> {
        self.inner.stopping.subscribe()
    }

    pub(crate) fn measures(&self) -> &Measures {
        &self.inner.measures
    }

    /// Whether an address is that of a proxy whose word is taken.
    pub(crate) fn is_proxy(&self, address: IpAddr) -> bool {
        self.inner.proxies.iter().any(|proxies| proxies.holds(address))
    }
}

impl FromRef<App> for Service {
    fn from_ref(app: &App) -> Service {
        app.service().clone()
    }
}
