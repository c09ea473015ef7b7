//! A PostgreSQL server for tests: one for all test processes of a user on this machine, a database for each that asks.
//!
//! The server runs as a user without rights (PostgreSQL refuses root), on a free loopback port, in the folder for
//! temporary files. Every process that uses it holds a lock; `guard.sh` stops the server when the last lock is gone, so
//! that nothing is left behind, however a test ends.

use std::fs::{self, File};
use std::net::{TcpListener, TcpStream};
use std::os::unix::fs::{MetadataExt, chown};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use std::thread::sleep;
use std::time::{Duration, Instant};

const GUARD: &str = include_str!("guard.sh");

/// The URL of a new, empty database.
pub fn database() -> String {
    static SERVER: OnceLock<Server> = OnceLock::new();
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let server = SERVER.get_or_init(Server::join);
    let name = format!("t_{}_{}", std::process::id(), COUNT.fetch_add(1, Ordering::Relaxed));
    let url = format!("postgres://classwright@127.0.0.1:{}", server.port);
    query(&format!("{url}/postgres"), &format!("CREATE DATABASE {name}"));
    format!("{url}/{name}")
}

/// Runs statements on a database, past everything of ours, and answers with what `psql` prints.
pub fn query(url: &str, sql: &str) -> String {
    let run = Command::new(programs().join("psql"))
        .args(["-X", "-q", "-A", "-t", "-v", "ON_ERROR_STOP=1", "-d", url, "-c", sql])
        .output()
        .expect("psql can be run");
    assert!(run.status.success(), "{sql}: {}", String::from_utf8_lossy(&run.stderr));
    String::from_utf8_lossy(&run.stdout).trim().to_owned()
}

/// Where PostgreSQL's programs are.
pub fn programs() -> PathBuf {
    let told = Command::new("pg_config").arg("--bindir").output().ok();
    let told = told.map(|run| PathBuf::from(String::from_utf8_lossy(&run.stdout).trim()));
    let debian = fs::read_dir("/usr/lib/postgresql").into_iter().flatten().flatten().map(|entry| entry.path());
    told.into_iter()
        .chain(debian.map(|version| version.join("bin")))
        .chain([PathBuf::from("/usr/local/bin"), PathBuf::from("/usr/bin")])
        .find(|folder| folder.join("postgres").exists())
        .expect("PostgreSQL's server is needed for this test: apt-get install postgresql-15")
}

struct Server {
    port: u16,
    /// The lock on it says that this process uses the server.
    _used: File,
}

impl Server {
    fn join() -> Server {
        let me = fs::metadata("/proc/self").expect("Linux").uid();
        let root = std::env::temp_dir().join(format!("classwright-tests-postgres-{me}"));
        fs::create_dir_all(&root).expect("the folder for temporary files can be written to");
        let users = root.join("users");
        let starting = File::create(root.join("starting")).expect("a lock file");
        starting.lock().expect("a lock");
        let used = File::options().create(true).append(true).open(&users).expect("a lock file");
        used.lock_shared().expect("a lock");
        let folder = root.join("run");
        let port = running(&folder).or_else(|| (0..3).find_map(|_| start(&folder, &users, me == 0)));
        let port = port.unwrap_or_else(|| {
            let log = fs::read_to_string(folder.join("log")).unwrap_or_default();
            panic!("PostgreSQL does not start: {log}")
        });
        Server { port, _used: used }
    }
}

fn running(folder: &Path) -> Option<u16> {
    let port = fs::read_to_string(folder.join("port")).ok()?.trim().parse().ok()?;
    TcpStream::connect(("127.0.0.1", port)).ok().map(|_| port)
}

fn start(folder: &Path, users: &Path, as_root: bool) -> Option<u16> {
    let _ = fs::remove_dir_all(folder);
    fs::create_dir_all(folder).expect("a folder");
    let port = TcpListener::bind("127.0.0.1:0").and_then(|free| free.local_addr()).expect("a free port").port();
    let script = folder.join("guard.sh");
    fs::write(&script, GUARD).expect("a file");
    let mut command = if as_root {
        let (user, group) = nobody();
        chown(folder, Some(user), Some(group)).expect("root may");
        let mut command = Command::new("setpriv");
        command.args([&format!("--reuid={user}"), &format!("--regid={group}"), "--clear-groups", "--", "sh"]);
        command
    } else {
        Command::new("sh")
    };
    command.arg(script).arg(programs()).arg(folder).arg(users).arg(port.to_string());
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).current_dir("/").process_group(0);
    let guard = command.spawn().expect("setpriv and sh can be run");
    answers(guard, folder, port)
}

/// Waits until the server answers.
fn answers(mut guard: Child, folder: &Path, port: u16) -> Option<u16> {
    let begun = Instant::now();
    while begun.elapsed() < Duration::from_secs(60) {
        if folder.join("port").exists() {
            return Some(port);
        }
        if guard.try_wait().expect("it is ours").is_some() {
            return None;
        }
        sleep(Duration::from_millis(20));
    }
    let _ = guard.kill();
    None
}

/// The user without rights, and its group.
fn nobody() -> (u32, u32) {
    let users = fs::read_to_string("/etc/passwd").expect("a list of users");
    let line = users.lines().find(|line| line.starts_with("nobody:")).expect("a user `nobody`");
    let mut numbers = line.split(':').skip(2).map(|number| number.parse().expect("a number"));
    (numbers.next().expect("a user"), numbers.next().expect("a group"))
}
