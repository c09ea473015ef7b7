//! A host that is killed at any moment: what it acknowledged is there, and nothing is there by half.
//!
//! `CLASSWRIGHT_KILLS` says how often each database is tried (200 in a usual run; 1,000 by hand).

use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::client::Client;
use crate::dice::Dice;
use crate::host::{Data, Host};
use crate::on_a_server;

#[test]
fn a_killed_host_on_a_file_has_kept_every_class_it_acknowledged() {
    let data = Data::demo();
    kill_and_look(&data);
    assert_eq!(data.run(&["verify"]).code, 0, "the data is whole");
}

#[test]
fn a_killed_host_on_a_server_has_kept_every_class_it_acknowledged() {
    let data = on_a_server();
    kill_and_look(&data);
    assert_eq!(data.run(&["verify"]).code, 0, "the data is whole");
}

fn kill_and_look(data: &Data) {
    let kills: u32 = std::env::var("CLASSWRIGHT_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(200);
    let owner = data.serve();
    let token = owner.token.clone();
    drop(owner);
    let acknowledged: Arc<Mutex<Vec<String>>> = Arc::default();
    let mut dice = Dice(17);
    let mut looked_at = 0;
    for round in 0..kills {
        let mut host: Host = data.start(&[], &[("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER", "10000")]);
        let client = Client::new(&host.url, &token);
        // What the last round acknowledged is looked at by the host that comes after.
        let kept: Vec<String> = acknowledged.lock().expect("whole").clone();
        for id in &kept[looked_at..] {
            assert_whole(&client, id);
        }
        looked_at = kept.len();
        let writers: Vec<_> = (0..2)
            .map(|writer| {
                let (client, acknowledged) = (client.clone(), Arc::clone(&acknowledged));
                std::thread::spawn(move || {
                    for number in 0.. {
                        let id = format!("k{round}-{writer}-{number}");
                        match client.post("/v1/gyms/quayside/classes", &class(&id)) {
                            Ok((201, _)) => acknowledged.lock().expect("whole").push(id),
                            Ok((status, body)) => panic!("{id}: {status} {body}"),
                            // The host is gone in the middle of a call: that class may be there, whole, or not.
                            Err(_) => return,
                        }
                    }
                })
            })
            .collect();
        let begun = Instant::now();
        while acknowledged.lock().expect("whole").len() == kept.len() && begun.elapsed() < Duration::from_secs(20) {
            std::thread::sleep(Duration::from_millis(1));
        }
        std::thread::sleep(Duration::from_micros(u64::from(dice.below(100_000))));
        host.child.kill().expect("it runs");
        host.child.wait().expect("it ends");
        writers.into_iter().for_each(|writer| writer.join().expect("it writes"));
    }
    let host = data.start(&[], &[("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER", "10000")]);
    let client = Client::new(&host.url, &token);
    let all = every_class(&client);
    let acknowledged = acknowledged.lock().expect("whole");
    for id in acknowledged.iter() {
        assert!(all.contains(id), "{id} was acknowledged and is gone");
    }
    for id in all.iter().filter(|id| id.starts_with('k')) {
        assert_whole(&client, id);
    }
    println!("{kills} kills, {} classes acknowledged", acknowledged.len());
    assert!(acknowledged.len() as u32 >= kills, "it was killed while it wrote");
}

fn class(id: &str) -> Value {
    json!({
        "id": id, "date": "2027-01-04", "time": "06:00", "zone": "Europe/London", "session": "monday",
        "coach": "Rowan Marlfield", "present": ["ama", "bram", "chidi", "dagny", "emre"],
        "together": [["ama", "bram"]], "floor": { "max-heats": 3 },
    })
}

/// The class has everything that was sent with it, or the list of people would be short.
fn assert_whole(client: &Client, id: &str) {
    let (status, found) = client.get(&format!("/v1/gyms/quayside/classes/{id}")).expect("the host answers");
    assert_eq!(status, 200, "{id}: {found}");
    let value = found.get("value").unwrap_or(&found);
    for (key, sent) in class(id).as_object().expect("an object") {
        assert_eq!(&value[key], sent, "{id}: {key}");
    }
}

fn every_class(client: &Client) -> Vec<String> {
    let (mut all, mut after) = (Vec::new(), String::new());
    loop {
        let (status, page) =
            client.get(&format!("/v1/gyms/quayside/classes?limit=100{after}")).expect("the host answers");
        assert_eq!(status, 200, "{page}");
        let id = |item: &Value| item["value"]["id"].as_str().or(item["id"].as_str()).expect("an id").to_owned();
        all.extend(page["items"].as_array().expect("a list").iter().map(id));
        match page["next"].as_str() {
            Some(next) => after = format!("&after={next}"),
            None => return all,
        }
    }
}
