//! Hosts as processes: killed, told to end, doubled, and called with whatever can be made up.

mod client;
mod dice;
mod fuzz;
#[path = "../command-line/service/host.rs"]
#[expect(dead_code, reason = "each of the two test binaries uses its part")]
mod host;
mod hosts;
mod kill;
#[path = "../../host/store/tests/support/postgres.rs"]
#[expect(unreachable_pub, reason = "it is a module of other crates' tests too")]
mod postgres;
mod stop;
#[path = "../command-line/support.rs"]
#[expect(dead_code, reason = "each of the two test binaries uses its part")]
mod support;

/// The demo gym in a PostgreSQL database of its own.
fn on_a_server() -> host::Data {
    host::Data { database: Some(postgres::database()), ..host::Data::empty() }.with_demo()
}
