//! A general API fuzzer against a host that runs: no call it makes up gets a server error, and every answer is as the
//! document says.
//!
//! The fuzzer is schemathesis from PyPI, which `tests/run` installs; CLASSWRIGHT_FUZZER names its command.
//! CLASSWRIGHT_FUZZ_EXAMPLES says how many calls it makes up for each route.

use std::process::Command;

use crate::host::Data;

/// Ids that there are, among those that it makes up, so that it gets past the first look-up.
const CONFIG: &str = r#"
[parameters]
"path.gym" = "quayside"
"path.class" = ["monday", "tuesday", "nothing"]
"path.athlete" = ["bram", "farah", "nobody"]
"path.session" = ["monday", "nothing"]
"path.policy" = ["house-scaling", "house-heats", "nothing"]
"path.plan" = ["monday-1", "nothing"]
"path.place" = ["floor", "abels-flat", "nowhere"]
"path.movement" = ["tyre-flip", "nothing"]
"path.n" = [1, 2, 99]
"path.revision" = [1, 2]
"#;

/// Components are bytes.
const HOOKS: &str =
    "import schemathesis\nschemathesis.serializer.alias('application/wasm', 'application/octet-stream')\n";

#[test]
fn no_call_that_is_made_up_gets_a_server_error() {
    let data = Data::demo();
    data.well(&["class", "plan", "monday"]);
    let host = data.serve_with(&[
        ("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_USER", "100000"),
        ("CLASSWRIGHT_LIMITS_CALLS_A_SECOND_ADDRESS", "100000"),
    ]);
    let fuzzer = std::env::var("CLASSWRIGHT_FUZZER").unwrap_or_else(|_| "schemathesis".into());
    let examples = std::env::var("CLASSWRIGHT_FUZZ_EXAMPLES").unwrap_or_else(|_| "6".into());
    let (config, hooks) = (data.beside("fuzz.toml"), data.beside("fuzz_hooks.py"));
    std::fs::write(&config, CONFIG).expect("written");
    std::fs::write(&hooks, HOOKS).expect("written");
    let run = Command::new(fuzzer)
        .env("SCHEMATHESIS_HOOKS", "fuzz_hooks")
        .env("PYTHONPATH", data.beside(""))
        .current_dir(data.beside(""))
        .args(["--config-file", &config, "run", &format!("{}/openapi.json", host.url), "--url", &host.url])
        .args(["--header", &format!("Authorization: Bearer {}", host.token)])
        .args([
            "--checks",
            "not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance",
        ])
        .args(["--phases", "examples,fuzzing", "--max-examples", &examples, "--seed", "11"])
        .args(["--generation-database", "none", "--no-color", "--warnings", "off"])
        .output()
        .expect("the fuzzer runs: tests/run installs it");
    let said = String::from_utf8_lossy(&run.stdout);
    assert!(run.status.success(), "{said}\n{}", String::from_utf8_lossy(&run.stderr));
    // The host has lived through it.
    assert!(host.plain("GET", "/healthz", "").starts_with("HTTP/1.1 200"), "{said}");
}
