//! A host: opens the data, listens, answers, and stops when it is told to.
//!
//! It says where it listens in one line on standard output, and everything else on standard error. Told to stop
//! (SIGTERM, or SIGINT as from Ctrl-C), it takes no new calls, ends what only watches, lets running calls finish for a
//! bounded time, and lets go of the data. Told twice, it stops at once.

use std::fmt;
use std::net::{SocketAddr, TcpListener};
use std::time::Duration;

use axum::extract::connect_info::IntoMakeServiceWithConnectInfo;
use axum_server::Handle;
use axum_server::tls_rustls::{RustlsAcceptor, RustlsConfig};
use classwright_app::service::Service;
use classwright_app::{AppError, Db, Place};

use crate::settings::{SettingFault, Settings};
use crate::state::App;
use crate::{log, router};

/// How long whoever has connected may take to send the head of their first call.
const FIRST_CALL: Duration = Duration::from_secs(20);

/// How often what nobody needs any more is put away.
const TIDY_EVERY: Duration = Duration::from_secs(60);

/// Why a host does not run.
#[derive(Debug)]
pub enum ServeError {
    /// Settings make no sense.
    Settings(Vec<SettingFault>),
    /// The data or the policy runtime cannot be had.
    App(AppError),
    /// The host cannot listen there.
    Listen {
        /// Where.
        at: String,
        /// Why.
        problem: String,
    },
    /// The certificate or its key cannot be used.
    Tls(String),
}

impl fmt::Display for ServeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ServeError::Settings(faults) => {
                let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
                write!(f, "{}", lines.join("\n"))
            }
            ServeError::App(error) => write!(f, "{error}"),
            ServeError::Listen { at, problem } => {
                write!(f, "cannot listen at {at}: {problem}; choose another with --listen or host.listen")
            }
            ServeError::Tls(problem) => write!(f, "{problem}"),
        }
    }
}

impl std::error::Error for ServeError {}

impl ServeError {
    /// Exit code of the command line.
    pub fn exit_code(&self) -> u8 {
        match self {
            ServeError::Settings(_) => 2,
            ServeError::App(error) => error.exit_code(),
            ServeError::Listen { .. } | ServeError::Tls(_) => 3,
        }
    }
}

impl From<AppError> for ServeError {
    fn from(error: AppError) -> Self {
        ServeError::App(error)
    }
}

/// Runs a host until the process is told to stop.
pub async fn serve(settings: Settings) -> Result<(), ServeError> {
    let faults = settings.check();
    if !faults.is_empty() {
        return Err(ServeError::Settings(faults));
    }
    log::begin(&settings).map_err(|fault| ServeError::Settings(vec![fault]))?;
    let host = Host::open(settings).await?;
    host.first_links().await?;
    println!("listening on {}", host.url());
    host.run(told_to_stop()).await
}

/// A host that listens.
pub struct Host {
    app: App,
    db: Db,
    listener: TcpListener,
    tls: Option<RustlsConfig>,
    url: String,
}

impl Host {
    /// Opens the data and listens; nobody is answered yet.
    pub async fn open(settings: Settings) -> Result<Host, ServeError> {
        let tls = tls(&settings).await?;
        let refused = |error: std::io::Error| refused(&settings, &error);
        let listener = TcpListener::bind(&settings.listen).map_err(refused)?;
        listener.set_nonblocking(true).map_err(refused)?;
        let scheme = if tls.is_some() { "https" } else { "http" };
        let url = format!("{scheme}://{}", listener.local_addr().map_err(refused)?);
        let db = Db::open(&Place::read(&settings.data)).await.map_err(AppError::from)?;
        let service = Service::new(db.clone(), settings.service())?;
        Ok(Host { app: App::new(service, settings), db, listener, tls, url })
    }

    /// Where it listens.
    pub fn url(&self) -> &str {
        &self.url
    }

    /// Answers until `stop` comes; then as the settings say. Once more after that, and it ends at once.
    pub async fn run(self, stop: impl Future<Output = ()> + Send + 'static) -> Result<(), ServeError> {
        let Host { app, db, listener, tls, .. } = self;
        let settings = app.settings().clone();
        let refused = |error: std::io::Error| refused(&settings, &error);
        let made: IntoMakeServiceWithConnectInfo<_, SocketAddr> =
            router(app.clone()).into_make_service_with_connect_info::<SocketAddr>();
        let handle = Handle::new();
        let server = axum_server::from_tcp(listener).map_err(refused)?.handle(handle.clone());
        let server = server.first_request_timeout(FIRST_CALL);
        let tidy = tokio::spawn(tidy(app.clone()));
        let stop = tokio::spawn(stop_when(stop, app, handle));
        let ended = match tls {
            Some(tls) => server.acceptor(RustlsAcceptor::new(tls)).serve(made).await,
            None => server.serve(made).await,
        };
        stop.abort();
        tidy.abort();
        db.close().await;
        ended.map_err(refused)
    }

    /// Whoever starts the host on data without an owner is shown a link that makes one.
    async fn first_links(&self) -> Result<(), ServeError> {
        let settings = self.app.settings();
        let base = if settings.public_url.is_empty() { &self.url } else { settings.public_url.trim_end_matches('/') };
        for link in self.app.service().first_links().await? {
            let what = match &link.gym {
                None => "there is no gym yet: make one, and yourself its owner".to_owned(),
                Some(gym) => format!("the gym {gym} has no owner yet: make yourself its owner"),
            };
            let path = &link.path;
            eprintln!("{what}, within {} h, at\n  {base}{path}", settings.link_h);
        }
        Ok(())
    }
}

fn refused(settings: &Settings, error: &std::io::Error) -> ServeError {
    ServeError::Listen { at: settings.listen.clone(), problem: error.to_string() }
}

async fn stop_when(stop: impl Future<Output = ()>, app: App, handle: Handle<SocketAddr>) {
    stop.await;
    let patience = Duration::from_secs(u64::from(app.settings().stop_within_s));
    tracing::info!(within_s = patience.as_secs(), "stopping");
    app.stop();
    handle.graceful_shutdown(Some(patience));
    told_to_stop().await;
    handle.shutdown();
}

#[cfg(unix)]
async fn told_to_stop() {
    use tokio::signal::unix::{SignalKind, signal};
    match signal(SignalKind::terminate()) {
        Ok(mut terminate) => {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = terminate.recv() => {}
            }
        }
        Err(error) => {
            tracing::warn!(%error, "SIGTERM cannot be waited for; Ctrl-C stops the host");
            let _ = tokio::signal::ctrl_c().await;
        }
    }
}

#[cfg(not(unix))]
async fn told_to_stop() {
    let _ = tokio::signal::ctrl_c().await;
}

async fn tidy(app: App) {
    let mut minutes = 0_u64;
    loop {
        tokio::time::sleep(TIDY_EVERY).await;
        app.measures().tidy();
        minutes += 1;
        if minutes.is_multiple_of(60)
            && let Err(error) = app.service().tidy().await
        {
            tracing::warn!(%error, "old answers were not put away");
        }
    }
}

async fn tls(settings: &Settings) -> Result<Option<RustlsConfig>, ServeError> {
    if settings.certificate.is_empty() {
        return Ok(None);
    }
    // Whoever embeds the host may have chosen already; then that holds.
    let _ = rustls::crypto::ring::default_provider().install_default();
    let config = RustlsConfig::from_pem_file(&settings.certificate, &settings.key).await;
    let wrong = |error: std::io::Error| {
        ServeError::Tls(format!(
            "the certificate {} with the key {} cannot be used: {error}",
            settings.certificate, settings.key
        ))
    };
    config.map(Some).map_err(wrong)
}
