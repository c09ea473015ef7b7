//! How a host hears of what others changed: notes of the PostgreSQL server, or a look at the SQLite file now and then.

use std::time::Duration;

use sqlx::any::AnyConnectOptions;
use sqlx::postgres::PgListener;
use sqlx::{AnyConnection, ConnectOptions, Connection, Row};
use tokio::sync::{Mutex, watch};
use tokio::task::JoinHandle;
use tokio::time::sleep;

use super::{DbError, Place};

/// How often a file is looked at while somebody waits for changes.
const LOOK_EVERY: Duration = Duration::from_millis(500);
/// How long until a lost server is asked for again.
const TRY_AGAIN: Duration = Duration::from_secs(1);

/// Hears until it is closed or dropped.
#[derive(Debug)]
pub(crate) struct Ears {
    stop: watch::Sender<bool>,
    task: Mutex<Option<JoinHandle<()>>>,
}

impl Ears {
    /// Begins to hear; once this returns, no change is missed.
    pub(crate) async fn open(
        place: &Place,
        options: AnyConnectOptions,
        changes: watch::Sender<u64>,
    ) -> Result<Ears, DbError> {
        let (stop, mut stopped) = watch::channel(false);
        let task = match place {
            Place::Server(url) => {
                let listener = listener(url).await.map_err(|error| DbError::opening(place, error))?;
                let url = url.clone();
                tokio::spawn(async move {
                    tokio::select! {
                        _ = stopped.wait_for(|stop| *stop) => {}
                        () = listen(listener, &url, &changes) => {}
                    }
                })
            }
            Place::File(_) => tokio::spawn(async move {
                let mut connection = None;
                tokio::select! {
                    _ = stopped.wait_for(|stop| *stop) => {}
                    () = look(&options, &mut connection, &changes) => {}
                }
                if let Some(connection) = connection {
                    let _ = connection.close().await;
                }
            }),
        };
        Ok(Ears { stop, task: Mutex::new(Some(task)) })
    }

    /// Ends hearing, and lets go of its connection.
    pub(crate) async fn close(&self) {
        self.stop.send_replace(true);
        if let Some(task) = self.task.lock().await.take() {
            let _ = task.await;
        }
    }
}

/// The channel that [`super::Backend::notify`] writes to.
async fn listener(url: &str) -> Result<PgListener, sqlx::Error> {
    let mut listener = PgListener::connect(url).await?;
    listener.listen("classwright").await?;
    Ok(listener)
}

/// Counts every note. Where the server was lost, something may have been missed, so that counts too.
async fn listen(mut listener: PgListener, url: &str, changes: &watch::Sender<u64>) {
    loop {
        while let Ok(Some(_)) = listener.try_recv().await {
            count(changes);
        }
        listener = loop {
            match self::listener(url).await {
                Ok(listener) => break listener,
                Err(_) => sleep(TRY_AGAIN).await,
            }
        };
        count(changes);
    }
}

/// Counts when another connection, of this process or another, has changed the file. What was before the first look is
/// not known, so that the first look counts as well.
async fn look(options: &AnyConnectOptions, connection: &mut Option<AnyConnection>, changes: &watch::Sender<u64>) {
    let mut seen = None;
    loop {
        sleep(LOOK_EVERY).await;
        if changes.receiver_count() == 0 {
            seen = None;
            continue;
        }
        match version(options, connection).await {
            Ok(version) => {
                if seen.replace(version) != Some(version) {
                    count(changes);
                }
            }
            Err(_) => (*connection, seen) = (None, None),
        }
    }
}

async fn version(options: &AnyConnectOptions, connection: &mut Option<AnyConnection>) -> Result<i64, sqlx::Error> {
    let connection = match connection {
        Some(connection) => connection,
        none => none.insert(options.connect().await?),
    };
    sqlx::query("PRAGMA data_version").fetch_one(connection).await?.try_get(0)
}

fn count(changes: &watch::Sender<u64>) {
    changes.send_modify(|count| *count += 1);
}
