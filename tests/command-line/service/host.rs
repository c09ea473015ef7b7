//! Data of a test's own, and a host that serves it.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};

use serde_json::Value;

use crate::support::{Ran, ran, top};

/// Data of a test's own: a SQLite file, or a PostgreSQL database.
pub(crate) struct Data {
    pub(crate) folder: tempfile::TempDir,
    /// The URL of a PostgreSQL database, where it is one.
    pub(crate) database: Option<String>,
}

/// A host that runs, with a token of its owner's.
pub(crate) struct Host {
    pub(crate) child: Child,
    pub(crate) url: String,
    pub(crate) token: String,
}

/// A command, with nothing of the service in its environment but what is said.
pub(crate) fn command(args: &[&str]) -> Command {
    let cache = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("cache");
    let mut command = Command::new(env!("CARGO_BIN_EXE_classwright"));
    command.args(args).current_dir(top()).env("XDG_CACHE_HOME", cache).env("TZ", "UTC");
    for (name, _) in std::env::vars().filter(|(name, _)| name.starts_with("CLASSWRIGHT_")) {
        command.env_remove(name);
    }
    // Loopback is not behind anybody's proxy.
    command.env("NO_PROXY", "127.0.0.1,localhost");
    command
}

/// Runs it.
pub(crate) fn classwright(args: &[&str]) -> Ran {
    ran(&command(args).output().expect("the command runs"))
}

impl Data {
    /// No gym yet.
    pub(crate) fn empty() -> Data {
        Data { folder: tempfile::tempdir().expect("a folder"), database: None }
    }

    /// The demo gym.
    pub(crate) fn demo() -> Data {
        Data::empty().with_demo()
    }

    /// The same data with the demo gym in it.
    pub(crate) fn with_demo(self) -> Data {
        let ran = self.run(&["gym", "import", "demo-gym", "--as", "quayside"]);
        assert_eq!(ran.code, 0, "{}", ran.err);
        self
    }

    /// Where it is.
    pub(crate) fn file(&self) -> String {
        let file = || self.folder.path().join("gym.db").display().to_string();
        self.database.clone().unwrap_or_else(file)
    }

    /// A file beside it.
    pub(crate) fn beside(&self, name: &str) -> String {
        self.folder.path().join(name).display().to_string()
    }

    /// Runs a command on it.
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        classwright(&[args, &["--data", &self.file()]].concat())
    }

    /// Runs it, expects success, and gives what it printed.
    pub(crate) fn well(&self, args: &[&str]) -> String {
        let ran = self.run(args);
        assert_eq!(ran.code, 0, "{args:?}: {}", ran.err);
        ran.out
    }

    /// Runs it with --json and reads that.
    pub(crate) fn json(&self, args: &[&str]) -> Value {
        let out = self.well(&[args, &["--json"]].concat());
        serde_json::from_str(&out).unwrap_or_else(|error| panic!("{args:?}: {error}\n{out}"))
    }

    /// Serves it on a port that is free, and makes an owner with a token for everything.
    pub(crate) fn serve(&self) -> Host {
        self.serve_with(&[])
    }

    /// The same with some settings in the environment.
    pub(crate) fn serve_with(&self, settings: &[(&str, &str)]) -> Host {
        let login = "olga@quayside.example";
        let invited = self.json(&["user", "add", "Olga Wherry", login, "--role", "owner"]);
        let link = invited["link"]["path"].as_str().expect("a link").to_owned();
        let mut host = self.start(&[], settings);
        host.choose_password(&link);
        let scopes = "read,write,plan,shelf,accounts,ledger,backup";
        host.token = host.token_of(login, &["everything", "--scope", scopes]);
        host
    }

    /// Serves it with more arguments, and without a token.
    pub(crate) fn serve_by(&self, args: &[&str]) -> Host {
        self.start(args, &[])
    }

    pub(crate) fn start(&self, args: &[&str], settings: &[(&str, &str)]) -> Host {
        let cache = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("cache/classwright");
        let mut child = command(&[&["serve", "--data", &self.file(), "--listen", "127.0.0.1:0"], args].concat())
            .env("CLASSWRIGHT_POLICIES_CACHE", cache)
            .env("CLASSWRIGHT_LOG_LEVEL", "error")
            .envs(settings.iter().copied())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the host starts");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("piped")).read_line(&mut line).expect("a line");
        let url = line.trim().strip_prefix("listening on ").unwrap_or_else(|| panic!("{line}")).to_owned();
        Host { child, url, token: String::new() }
    }
}

/// The password of whoever logs in here.
const PASSWORD: &str = "seven-lanterns-on-the-quay";

impl Host {
    /// Runs a command against it.
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        self.run_with(args, &self.token)
    }

    /// The same with another token.
    pub(crate) fn run_with(&self, args: &[&str], token: &str) -> Ran {
        let args = [args, &["--at", &self.url]].concat();
        ran(&command(&args).env("CLASSWRIGHT_TOKEN", token).output().expect("the command runs"))
    }

    /// A token of somebody who logs in with the password.
    pub(crate) fn token_of(&self, login: &str, what: &[&str]) -> String {
        let args = ["token", "make", "--gym", "quayside", "--at", &self.url, "--login", login, "--days", "1", "--json"];
        let output = command(&[&args[..2], what, &args[2..]].concat()).env("CLASSWRIGHT_PASSWORD", PASSWORD).output();
        let made = ran(&output.expect("the command runs"));
        assert_eq!(made.code, 0, "{}", made.err);
        let made: Value = serde_json::from_str(&made.out).expect("JSON");
        made["secret"].as_str().expect("a secret").to_owned()
    }

    /// Lets the user of a link choose the password.
    pub(crate) fn choose_password(&self, link: &str) {
        let chosen = self.plain("POST", link, &format!("password={PASSWORD}&again={PASSWORD}"));
        assert!(chosen.contains("Your password is set"), "{chosen}");
    }

    /// What it answers to a plain request as a page sends it, head and body.
    pub(crate) fn plain(&self, method: &str, path: &str, form: &str) -> String {
        let address = self.url.strip_prefix("http://").expect("plain HTTP");
        let mut stream = TcpStream::connect(address).expect("it listens");
        let length = form.len();
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: {address}\r\nOrigin: {}\r\nConnection: close\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n{form}",
            self.url
        )
        .expect("sent");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("an answer");
        answer
    }
}

impl Drop for Host {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
