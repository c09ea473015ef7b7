//! Who may do what from the terminal, and what a host says that has too much to do.

use std::process::Command;

use super::host::{Data, classwright, command};
use crate::support::ran;

#[test]
fn without_a_token_nothing_is_told_and_with_a_small_one_little() {
    let data = Data::demo();
    let host = data.serve();
    let stranger = classwright(&["athlete", "list", "--gym", "quayside", "--at", &host.url]);
    assert_eq!((stranger.code, stranger.out.as_str()), (8, ""), "{}", stranger.err);
    assert!(stranger.err.contains("CLASSWRIGHT_TOKEN"), "{}", stranger.err);
    let wrong = host.run_with(&["athlete", "list"], "quayside.t1.nothing");
    assert_eq!(wrong.code, 8, "{}", wrong.err);

    let login = "quill@quayside.example";
    let link = data.json(&["user", "add", "Coach Quill", login, "--role", "coach"])["link"]["path"].clone();
    host.choose_password(link.as_str().expect("a link"));
    let coach = host.token_of(login, &["reading", "--scope", "read"]);
    assert_eq!(host.run_with(&["athlete", "list"], &coach).code, 0);
    let planned = host.run_with(&["class", "plan", "monday"], &coach);
    assert_eq!((planned.code, planned.err.contains("`plan`")), (8, true), "the scope is missing: {}", planned.err);
    let shelf = host.run_with(&["policy", "list"], &coach);
    assert_eq!(shelf.code, 8, "not for coaches: {}", shelf.err);

    let tokens = host.run(&["token", "list", "--json"]);
    let tokens: serde_json::Value = serde_json::from_str(&tokens.out).expect("JSON");
    let reading = tokens["items"].as_array().expect("a list").iter().find(|token| token["name"] == "reading");
    let id = reading.and_then(|token| token["id"].as_str()).expect("the coach's token").to_owned();
    assert_eq!(host.run(&["token", "revoke", &id]).code, 0);
    assert_eq!(host.run_with(&["athlete", "list"], &coach).code, 8, "it was taken back");
}

#[test]
fn too_many_calls_are_told_to_come_back() {
    let data = Data::demo();
    let host = data.serve_with(&[("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER", "1")]);
    let told = (0..40).map(|_| host.run(&["kit", "list"])).find(|ran| ran.code != 0).expect("the limit is reached");
    assert_eq!(told.code, 9, "{}", told.err);
    assert!(told.err.contains("try again in"), "{}", told.err);
}

#[test]
fn a_login_for_one_command_asks_for_the_password() {
    let data = Data::demo();
    let host = data.serve();
    let login = |password: &str| {
        let args = ["token", "list", "--gym", "quayside", "--at", &host.url, "--login", "olga@quayside.example"];
        ran(&command(&args).env("CLASSWRIGHT_PASSWORD", password).output().expect("it runs"))
    };
    let wrong = login("not the password");
    assert_eq!(wrong.code, 8, "{}", wrong.err);
    let nameless = classwright(&["token", "list", "--at", &host.url, "--login", "olga@quayside.example"]);
    assert_eq!((nameless.code, nameless.err.contains("--gym")), (2, true), "{}", nameless.err);
}

/// The certificate is made on the spot by openssl, which every machine that builds this has for git and curl.
#[test]
fn a_certificate_of_its_own_is_trusted_once_it_is_named() {
    let data = Data::demo();
    let (certificate, key) = (data.beside("hall.pem"), data.beside("hall.key"));
    let made = Command::new("openssl")
        .args(["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2"])
        .args(["-subj", "/CN=hall.example", "-addext", "subjectAltName=IP:127.0.0.1"])
        .args(["-addext", "basicConstraints=critical,CA:FALSE", "-keyout", &key, "-out", &certificate])
        .output()
        .expect("openssl runs");
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let settings = data.beside("host.toml");
    std::fs::write(&settings, format!("[tls]\ncertificate = \"{certificate}\"\nkey = \"{key}\"\n")).expect("written");
    let host = data.serve_by(&["--settings", &settings]);
    assert!(host.url.starts_with("https://"), "{}", host.url);
    let list = ["gym", "list", "--at", &host.url, "--token", "quayside.t1.nothing"];
    let untrusted = classwright(&list);
    assert_eq!((untrusted.code, untrusted.err.contains("--trust")), (3, true), "{}", untrusted.err);
    let trusted = classwright(&[&list[..], &["--trust", &certificate]].concat());
    assert_eq!(trusted.code, 8, "the line is safe, the token is none: {}", trusted.err);
}
