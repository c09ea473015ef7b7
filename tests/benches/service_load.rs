//! A host under load on loopback: 200 clients that read cards, 20 that plan classes, beside a bare handler of the same
//! HTTP library that answers as many bytes, in the same run.
//!
//! Goals: no errors; on card reads at least half the bare handler's throughput, and 99 of 100 within 10 ms where the
//! bare one has them within 2. `cargo bench -p classwright --bench service_load -- 10` measures 10 seconds, not 60.

#[path = "../service/client.rs"]
mod client;
#[path = "../command-line/service/host.rs"]
#[expect(dead_code, reason = "the tests use more of it")]
mod host;
#[path = "../command-line/support.rs"]
#[expect(dead_code, reason = "the tests use more of it")]
mod support;

use std::net::SocketAddr;
use std::time::{Duration, Instant};

use serde_json::json;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinSet;

use client::Client;
use host::Data;

const READERS: usize = 200;
const PLANNERS: usize = 20;
const CARD: &str = "/v1/gyms/quayside/classes/monday/cards/bram";

fn main() {
    if std::env::args().any(|argument| argument == "--list") {
        return;
    }
    let seconds = std::env::args().find_map(|argument| argument.parse().ok()).unwrap_or(60);
    let time = Duration::from_secs(seconds);
    let data = Data::demo();
    let unlimited = "1000000";
    let host = data.serve_with(&[
        ("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER", unlimited),
        ("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_ADDRESS", unlimited),
    ]);
    let client = Client::new(&host.url, &host.token);
    let (status, planned) = client.post("/v1/gyms/quayside/classes/monday/plans", &json!({})).expect("an answer");
    assert_eq!(status, 201, "{planned}");
    let (status, card) = client.get(CARD).expect("an answer");
    assert_eq!(status, 200, "{card}");

    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().expect("a runtime");
    runtime.block_on(async {
        let address: SocketAddr = host.url.strip_prefix("http://").expect("plain").parse().expect("an address");
        let read = request("GET", CARD, address, &host.token, "");
        let plan = request("POST", "/v1/gyms/quayside/classes/tuesday/plans", address, &host.token, "{}");
        let bare = bare(card.to_string()).await;
        let bare_read = request("GET", "/", bare, &host.token, "");

        println!("{READERS} clients, {seconds} s each row\n");
        println!("| what | calls a second | errors | half within | 99 of 100 within |");
        println!("|---|---|---|---|---|");
        show("bare handler, reads", &load(bare, &bare_read, READERS, time).await, time);
        show("cards, reads alone", &load(address, &read, READERS, time).await, time);
        let (reads, plans) = tokio::join!(load(address, &read, READERS, time), load(address, &plan, PLANNERS, time));
        show("cards, while 20 plan", &reads, time);
        show("the 20 who plan", &plans, time);
        show("bare handler, reads again", &load(bare, &bare_read, READERS, time).await, time);
    });
}

/// How long each call took, and how many did not go well.
#[derive(Default)]
struct Took {
    micros: Vec<u32>,
    errors: usize,
}

fn show(what: &str, took: &Took, time: Duration) {
    let mut micros = took.micros.clone();
    micros.sort_unstable();
    let at = |share: usize| f64::from(micros.get(micros.len() * share / 100).copied().unwrap_or(0)) / 1000.0;
    let rate = micros.len() as f64 / time.as_secs_f64();
    println!("| {what} | {rate:.0} | {} | {:.2} ms | {:.2} ms |", took.errors, at(50), at(99));
}

/// So many clients, each with a connection of its own, that ask again as soon as they are answered.
async fn load(address: SocketAddr, request: &str, clients: usize, time: Duration) -> Took {
    let until = Instant::now() + time;
    let mut all = JoinSet::new();
    for _ in 0..clients {
        let request = request.to_owned();
        all.spawn(async move {
            let mut took = Took::default();
            let mut stream = TcpStream::connect(address).await.expect("it listens");
            stream.set_nodelay(true).expect("a socket");
            let mut buffer = Vec::new();
            while Instant::now() < until {
                let begun = Instant::now();
                stream.write_all(request.as_bytes()).await.expect("sent");
                let status = answer(&mut stream, &mut buffer).await;
                took.micros.push(begun.elapsed().as_micros() as u32);
                took.errors += usize::from(!(200..300).contains(&status));
            }
            took
        });
    }
    let mut whole = Took::default();
    while let Some(one) = all.join_next().await {
        let one = one.expect("a client ends");
        whole.micros.extend(one.micros);
        whole.errors += one.errors;
    }
    whole
}

/// Reads one answer whole and gives its status.
async fn answer(stream: &mut TcpStream, buffer: &mut Vec<u8>) -> u16 {
    buffer.clear();
    loop {
        if let Some(end) = buffer.windows(4).position(|bytes| bytes == b"\r\n\r\n") {
            let head = String::from_utf8_lossy(&buffer[..end]).to_ascii_lowercase();
            let length = head.lines().find_map(|line| line.strip_prefix("content-length:")?.trim().parse().ok());
            let length: usize = length.unwrap_or(0);
            while buffer.len() < end + 4 + length {
                assert!(stream.read_buf(buffer).await.expect("an answer") > 0, "the answer ends early");
            }
            return head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        }
        assert!(stream.read_buf(buffer).await.expect("an answer") > 0, "the answer ends early");
    }
}

fn request(method: &str, path: &str, address: SocketAddr, token: &str, body: &str) -> String {
    format!(
        "{method} {path} HTTP/1.1\r\nHost: {address}\r\nAuthorization: Bearer {token}\r\n\
         Content-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    )
}

/// A handler that answers these bytes, and nothing else.
async fn bare(body: String) -> SocketAddr {
    let listener = TcpListener::bind("127.0.0.1:0").await.expect("a free port");
    let address = listener.local_addr().expect("an address");
    let answer = move || std::future::ready(body.clone());
    let router = axum::Router::new().route("/", axum::routing::get(answer));
    tokio::spawn(async move { axum::serve(listener, router).await });
    address
}
