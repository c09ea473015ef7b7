//! A host that is asked to end finishes what it has begun, and ends well.

use std::process::Command;
use std::time::Duration;

use serde_json::json;

use crate::client::Client;
use crate::host::Data;

#[test]
fn a_host_that_is_told_to_end_answers_what_was_asked_before() {
    let data = Data::demo();
    let mut host = data.serve();
    let client = Client::new(&host.url, &host.token);
    let asked = client.clone();
    let plan = std::thread::spawn(move || {
        asked.post("/v1/gyms/quayside/classes/monday/plans", &json!({})).expect("an answer")
    });
    // The call is on its way; planning takes some tenths of a second.
    std::thread::sleep(Duration::from_millis(60));
    let told = Command::new("kill").args(["-TERM", &host.child.id().to_string()]).status().expect("kill can be run");
    assert!(told.success());
    let (status, planned) = plan.join().expect("it is answered");
    assert_eq!(status, 201, "{planned}");
    assert_eq!(host.child.wait().expect("it ends").code(), Some(0));
    assert!(client.get("/healthz").is_err(), "nobody answers any more");
    assert!(data.well(&["class", "plans", "monday"]).contains("monday-1"));
}
