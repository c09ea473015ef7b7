//! A general API fuzzer against a host that runs: no call it makes up gets a server error, and every answer is as the
//! document says.
//!
//! The fuzzer is schemathesis from PyPI, in an environment that `tests/run` makes; CLASSWRIGHT_FUZZER names its command.

use std::process::Command;

use crate::host::Data;

#[test]
fn no_call_that_is_made_up_gets_a_server_error() {
    let data = Data::demo();
    let host = data.serve_with(&[("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER", "10000")]);
    let fuzzer = std::env::var("CLASSWRIGHT_FUZZER").unwrap_or_else(|_| "schemathesis".into());
    let examples = std::env::var("CLASSWRIGHT_FUZZ_EXAMPLES").unwrap_or_else(|_| "8".into());
    let run = Command::new(fuzzer)
        .args(["run", &format!("{}/openapi.json", host.url), "--url", &host.url])
        .args(["--header", &format!("Authorization: Bearer {}", host.token)])
        .args(["--checks", "not_a_server_error,status_code_conformance,content_type_conformance"])
        .args(["--phases", "examples,fuzzing", "--max-examples", &examples, "--seed", "11"])
        .args(["--generation-database", "none", "--no-color"])
        .output()
        .expect("the fuzzer runs: tests/run installs it");
    let said = String::from_utf8_lossy(&run.stdout);
    assert!(run.status.success(), "{said}\n{}", String::from_utf8_lossy(&run.stderr));
    // The host has lived through it.
    assert!(host.plain("GET", "/healthz", "").starts_with("HTTP/1.1 200"), "{said}");
}
