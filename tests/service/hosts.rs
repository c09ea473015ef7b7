//! Two hosts on one PostgreSQL: neither keeps what the other lacks, and events cross.

use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;
use std::sync::mpsc;
use std::time::{Duration, Instant};

use serde_json::json;

use crate::client::Client;
use crate::on_a_server;

#[test]
fn what_one_host_writes_the_other_reads_at_once_and_tells_its_watchers() {
    let data = on_a_server();
    let one = data.serve();
    let other = data.start(&[], &[]);
    let (here, there) = (Client::new(&one.url, &one.token), Client::new(&other.url, &one.token));

    // Somebody watches at the other host.
    let watched = watch(&other.url, &one.token, "/v1/gyms/quayside/classes/monday/events");
    let (status, planned) = here.post("/v1/gyms/quayside/classes/monday/plans", &json!({})).expect("an answer");
    assert_eq!(status, 201, "{planned}");
    let told = watched.recv_timeout(Duration::from_secs(10)).expect("the event crosses");
    assert!(told.contains("planned"), "{told}");

    // The plan of one is the plan of the other, byte for byte, and what was cached there is not stale.
    let card = "/v1/gyms/quayside/classes/monday/cards/bram";
    let (_, first) = there.get(card).expect("an answer");
    let (_, same) = here.get(card).expect("an answer");
    assert_eq!(first, same);
    let (status, _) =
        here.post("/v1/gyms/quayside/classes/monday/check-out", &json!({ "athletes": ["bram"] })).expect("an answer");
    assert_eq!(status / 100, 2);
    let (status, again) = there.post("/v1/gyms/quayside/classes/monday/plans", &json!({})).expect("an answer");
    assert_eq!(status, 201, "{again}");
    assert_eq!(here.get(card).expect("an answer").0, 404, "the other host planned without him");

    // A token that is taken back here is taken back there, a second later at most.
    let (_, tokens) = here.get("/v1/gyms/quayside/tokens").expect("an answer");
    let id = tokens["items"][0]["id"].as_str().expect("a token").to_owned();
    let revoked = one.run(&["token", "revoke", &id, "--gym", "quayside"]);
    assert_eq!(revoked.code, 0, "{}", revoked.err);
    let begun = Instant::now();
    while there.get("/v1/gyms/quayside/me").expect("an answer").0 != 401 {
        assert!(begun.elapsed() < Duration::from_secs(3), "the token still works at the other host");
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// Lines of data that a watcher gets, as they come.
fn watch(url: &str, token: &str, path: &str) -> mpsc::Receiver<String> {
    let address = url.strip_prefix("http://").expect("plain HTTP").to_owned();
    let mut stream = TcpStream::connect(&address).expect("it listens");
    write!(stream, "GET {path} HTTP/1.1\r\nHost: {address}\r\nAuthorization: Bearer {token}\r\n\r\n").expect("sent");
    let (send, receive) = mpsc::channel();
    std::thread::spawn(move || {
        for line in BufReader::new(stream).lines().map_while(Result::ok) {
            if line.starts_with("event:") && !line.ends_with("ready") && send.send(line).is_err() {
                return;
            }
        }
    });
    receive
}
