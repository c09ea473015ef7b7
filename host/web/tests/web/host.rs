//! A host as a whole: on a port of its own, with TLS or without, until it is told to stop.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::Command;
use std::sync::Arc;
use std::time::{Duration, Instant};

use classwright_app::{Db, Place};
use classwright_web::{Host, Settings};
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use tempfile::TempDir;
use tokio::sync::oneshot;

use crate::call::Call;
use crate::hall::Hall;

/// A host that runs, until it is told to stop.
struct Running {
    url: String,
    stop: oneshot::Sender<()>,
    ended: tokio::task::JoinHandle<Result<(), classwright_web::ServeError>>,
}

impl Running {
    async fn new(folder: &TempDir, settings: Settings) -> Running {
        let data = folder.path().join("hall.db").display().to_string();
        let host = Host::open(Settings { listen: "127.0.0.1:0".into(), data, ..settings }).await.unwrap();
        let (stop, stopped) = oneshot::channel();
        let url = host.url().to_owned();
        let ended = tokio::spawn(host.run(async move {
            let _ = stopped.await;
        }));
        Running { url, stop, ended }
    }

    fn address(&self) -> String {
        self.url.split("//").nth(1).unwrap().to_owned()
    }
}

fn connect(address: &str) -> TcpStream {
    let stream = TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(10))).unwrap();
    stream
}

/// Sends a request and gives back the head of the answer.
fn ask(mut stream: impl Read + Write, request: &str) -> String {
    stream.write_all(request.as_bytes()).unwrap();
    let mut head = String::new();
    let mut reader = BufReader::new(stream);
    while reader.read_line(&mut head).unwrap() > 2 {}
    head
}

const HEALTH: &str = "GET /healthz HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n";

/// A folder with the gym `hall` and the token of an owner.
async fn folder() -> (TempDir, String) {
    let hall = Hall::new().await;
    let owner = hall.somebody("owner").await;
    let token = hall.token(&owner, &["read", "write", "metrics", "backup"]).await;
    hall.app.service().db().close().await;
    (hall.folder, token)
}

fn certificate(folder: &Path) -> Settings {
    let (certificate, key) = (folder.join("cert.pem"), folder.join("key.pem"));
    let made = Command::new("openssl")
        .args(["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-days", "2"])
        .args(["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost"])
        .args(["-addext", "basicConstraints=critical,CA:FALSE"])
        .arg("-keyout")
        .arg(&key)
        .arg("-out")
        .arg(&certificate)
        .output()
        .expect("the openssl command is on this machine");
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    Settings { certificate: certificate.display().to_string(), key: key.display().to_string(), ..Settings::default() }
}

#[tokio::test(flavor = "multi_thread")]
async fn it_answers_over_tls_with_its_own_certificate() {
    let (folder, token) = folder().await;
    let settings = certificate(folder.path());
    let cert = settings.certificate.clone();
    let running = Running::new(&folder, settings).await;
    assert!(running.url.starts_with("https://127.0.0.1:"), "{}", running.url);
    let address = running.address();
    let request = format!(
        "GET /v1/gyms/hall HTTP/1.1\r\nhost: localhost\r\nauthorization: Bearer {token}\r\nconnection: close\r\n\r\n"
    );
    tokio::task::spawn_blocking(move || {
        let mut roots = RootCertStore::empty();
        roots.add(CertificateDer::from_pem_file(cert).unwrap()).unwrap();
        let config = ClientConfig::builder().with_root_certificates(roots).with_no_client_auth();
        let name = ServerName::try_from("localhost").unwrap();
        let client = ClientConnection::new(Arc::new(config), name).unwrap();
        let head = ask(StreamOwned::new(client, connect(&address)), &request);
        assert!(head.starts_with("HTTP/1.1 200"), "{head}");
        assert!(head.to_lowercase().contains("strict-transport-security"), "{head}");
        let plain = connect(&address).write_all(HEALTH.as_bytes());
        assert!(plain.is_ok());
        let mut answer = Vec::new();
        let mut stream = connect(&address);
        stream.write_all(HEALTH.as_bytes()).unwrap();
        let _ = stream.read_to_end(&mut answer);
        assert!(!answer.starts_with(b"HTTP/1.1 200"), "it speaks TLS only");
    })
    .await
    .unwrap();
    running.stop.send(()).unwrap();
    running.ended.await.unwrap().unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn told_to_stop_it_finishes_what_runs_and_takes_nothing_new() {
    let (folder, token) = folder().await;
    let running = Running::new(&folder, Settings::default()).await;
    let address = running.address();
    let watching = format!(
        "GET /v1/gyms/hall/classes/evening/events HTTP/1.1\r\nhost: x\r\nauthorization: Bearer {token}\r\n\r\n"
    );
    let body = r#"{"id":"chidi","name":"Chidi Marlowen","column":1,"skill":3,"place":"floor","bar":"bar-20"}"#;
    let head = format!(
        "POST /v1/gyms/hall/athletes HTTP/1.1\r\nhost: x\r\nauthorization: Bearer {token}\r\n\
         content-type: application/json\r\ncontent-length: {}\r\nconnection: close\r\n\r\n",
        body.len()
    );
    let (begun, half) = oneshot::channel();
    let (goes_on, on) = std::sync::mpsc::channel::<()>();
    let at = address.clone();
    let running_call = tokio::task::spawn_blocking(move || {
        let mut watcher = connect(&at);
        watcher.write_all(watching.as_bytes()).unwrap();
        let mut piece = [0; 16];
        assert!(watcher.read(&mut piece).unwrap() > 0);
        // Half of a call is sent; the rest comes once the host has been told to stop.
        let mut stream = connect(&at);
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(&body.as_bytes()[..20]).unwrap();
        std::thread::sleep(Duration::from_millis(200));
        begun.send(()).unwrap();
        on.recv().unwrap();
        let answer = ask(stream, &body[20..]);
        assert!(answer.starts_with("HTTP/1.1 201"), "{answer}");
        let mut rest = Vec::new();
        watcher.read_to_end(&mut rest).expect("a watched class ends cleanly");
    });
    half.await.unwrap();
    let began = Instant::now();
    running.stop.send(()).unwrap();
    tokio::time::sleep(Duration::from_millis(300)).await;
    assert!(TcpStream::connect(&address).is_err(), "nothing new is taken");
    goes_on.send(()).unwrap();
    running_call.await.unwrap();
    running.ended.await.unwrap().unwrap();
    assert!(began.elapsed() < Duration::from_secs(10), "it ends when its last call ends");
    let db = Db::open(&Place::File(folder.path().join("hall.db"))).await.unwrap();
    let hall = Hall::on(db, Settings::default(), folder);
    Call::get("/v1/gyms/hall/athletes/chidi").of(&hall.inside).await.is(200);
}

#[tokio::test(flavor = "multi_thread")]
async fn whoever_never_ends_is_left_after_the_bounded_time() {
    let (folder, _) = folder().await;
    let running = Running::new(&folder, Settings { stop_within_s: 1, ..Settings::default() }).await;
    let mut stream = connect(&running.address());
    stream.write_all(b"POST /v1/gyms/hall/login HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ncontent-length: 90\r\n\r\n{").unwrap();
    tokio::time::sleep(Duration::from_millis(200)).await;
    let began = Instant::now();
    running.stop.send(()).unwrap();
    running.ended.await.unwrap().unwrap();
    assert!((Duration::from_millis(800)..Duration::from_secs(5)).contains(&began.elapsed()), "{:?}", began.elapsed());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_call_that_takes_too_long_is_given_up() {
    let (folder, _) = folder().await;
    let running = Running::new(&folder, Settings { answer_within_s: 1, ..Settings::default() }).await;
    let address = running.address();
    let head = tokio::task::spawn_blocking(move || {
        let head = "POST /v1/gyms/hall/login HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n\
                    content-length: 90\r\n\r\n{";
        ask(connect(&address), head)
    });
    let head = head.await.unwrap();
    assert!(head.starts_with("HTTP/1.1 503") && head.to_lowercase().contains("retry-after"), "{head}");
    drop(running);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_port_that_is_taken_and_a_certificate_that_is_none_are_told() {
    let (folder, _) = folder().await;
    let running = Running::new(&folder, Settings::default()).await;
    let taken = Settings { listen: running.address(), ..Settings::default() };
    let error = Host::open(taken).await.err().unwrap();
    assert!(error.to_string().contains(&running.address()) && error.exit_code() == 3, "{error}");
    let file = folder.path().join("no.pem");
    std::fs::write(&file, "nothing").unwrap();
    let file = file.display().to_string();
    let none = Settings { listen: "127.0.0.1:0".into(), certificate: file.clone(), key: file, ..Settings::default() };
    let error = Host::open(none).await.err().unwrap();
    assert!(error.to_string().contains("no.pem") && error.exit_code() == 3, "{error}");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_metrics_count_calls_by_route_and_name_nobody() {
    let hall = Hall::new().await;
    for _ in 0..3 {
        Call::get("/v1/gyms/hall/athletes/ama").of(&hall.inside).await.is(200);
    }
    Call::get("/v1/secret-path").of(&hall.outside).await.is(401);
    let owner = hall.somebody("owner").await;
    let coach = hall.somebody("coach").await;
    coach.get("/metrics").of(&hall.outside).await.is(403);
    let reply = owner.get("/metrics").of(&hall.outside).await.is(200);
    let text = reply.text();
    let line =
        "classwright_calls_seconds_count{method=\"GET\",route=\"/v1/gyms/{gym}/athletes/{athlete}\",status=\"200\"} 3";
    assert!(text.contains(line), "{text}");
    assert!(text.contains("status=\"401\"") && text.contains("classwright_db_connections "), "{text}");
    for name in ["ama", "hall", "secret-path"] {
        assert!(!text.contains(&format!("\"{name}")) && !text.contains(&format!("/{name}")), "{name}: {text}");
    }
}

#[tokio::test]
async fn an_owner_gets_a_backup_where_the_gym_is_alone() {
    let hall = Hall::new().await;
    let owner = hall.somebody("owner").await;
    let backup = owner.get("/v1/gyms/hall/backup").of(&hall.outside).await.is(200);
    assert!(backup.body.starts_with(b"SQLite format 3\0"));
    let file = hall.folder.path().join("restored.db");
    std::fs::write(&file, &backup.body).unwrap();
    let db = Db::open(&Place::File(file)).await.unwrap();
    let folder = tempfile::tempdir().unwrap();
    let restored = Hall::on(db, Settings::default(), folder);
    let of = |router| Call::get("/v1/gyms/hall/athletes").of(router);
    assert_eq!(of(&restored.inside).await.is(200).json(), of(&hall.inside).await.is(200).json());

    hall.import("yard").await;
    let refused = owner.get("/v1/gyms/hall/backup").of(&hall.outside).await.is(403);
    assert!(refused.text().contains("classwright backup"), "{}", refused.text());
    Call::get("/v1/gyms/hall/backup").of(&hall.inside).await.is(200);
}

#[tokio::test]
async fn a_host_without_its_data_is_not_ready_and_lives() {
    let hall = Hall::new().await;
    hall.app.service().db().close().await;
    Call::get("/healthz").of(&hall.outside).await.is(200);
    let reply = Call::get("/readyz").of(&hall.outside).await.is(503);
    assert_eq!(reply.problem(), "no-data");
    assert!(reply.header("retry-after").is_some());
    let reply = Call::get("/v1/gyms/hall").bearer("hall.t-1.x").of(&hall.outside).await.is(503);
    assert!(!reply.text().to_lowercase().contains("sql"), "{}", reply.text());
}

#[tokio::test]
async fn the_ledger_is_whole_until_somebody_changes_it() {
    let hall = Hall::new().await;
    let owner = hall.somebody("owner").await;
    let state = || owner.get("/v1/gyms/hall/ledger/state");
    let whole = state().of(&hall.outside).await.is(200).json();
    assert!(whole["whole"] == true && whole["entries"].as_i64().unwrap() >= 4, "{whole}");
    let list = owner.get("/v1/gyms/hall/ledger?limit=2").of(&hall.outside).await.is(200).json();
    assert_eq!((list["items"].as_array().unwrap().len(), list["next"].as_str()), (2, Some("2")));
    for trigger in hall.triggers("ledger").await {
        hall.meddle(&format!("DROP TRIGGER {trigger}")).await;
    }
    hall.meddle("UPDATE ledger SET who = 'u-nobody' WHERE n = 3").await;
    let broken = state().of(&hall.outside).await.is(200).json();
    assert_eq!((&broken["whole"], &broken["broken-at"]), (&false.into(), &3.into()), "{broken}");
}
