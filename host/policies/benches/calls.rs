//! What a call costs beside the policy's own work: the guest answers at once, without a change.
//!
//! Goals: at most 20 µs a call at 30 athletes of 10 pieces, 0.3 µs an athlete at 1,000.
//! `cargo bench -p classwright-policies --profile dev` uses what the tests have compiled; dependencies are optimised there too.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

#[path = "../tests/class/mod.rs"]
mod class;
#[path = "../tests/guest/mod.rs"]
mod guest;

use class::{Class, floor, library};
use classwright_policies::{Limits, Runtime, RuntimeOptions};
use guest::{Guest, NONE};

fn main() {
    divan::main();
}

#[divan::bench(args = [1, 30, 1000])]
fn scale(bencher: divan::Bencher<'_, '_>, athletes: u32) {
    let policy =
        Runtime::new(RuntimeOptions::default()).unwrap().load(&Guest::scaling().answers(&[], &[]).bytes()).unwrap();
    let (class, library, limits) = (Class::new(athletes, 10), library(), Limits::default());
    bencher.bench_local(|| policy.scale(&class.question(), &library, &limits).unwrap());
}

#[divan::bench]
fn plan_heats(bencher: divan::Bencher<'_, '_>) {
    let guest = Guest::heats().plans(2, &[0, 1], &[0, 300], &[NONE, NONE], 600, 1);
    let policy = Runtime::new(RuntimeOptions::default()).unwrap().load(&guest.bytes()).unwrap();
    let (floor, limits) = (floor(), Limits::default());
    bencher.bench_local(|| policy.plan_heats(&floor, "{}", 100, &limits).unwrap());
}

/// What a process pays before its first call, with the compiled policy at hand.
#[divan::bench]
fn start_and_load(bencher: divan::Bencher<'_, '_>) {
    let dir = tempfile::tempdir().unwrap();
    let options = RuntimeOptions { cache_dir: Some(dir.path().into()), ..RuntimeOptions::default() };
    let bytes = Guest::scaling().answers(&[], &[]).bytes();
    bencher.bench_local(|| Runtime::new(options.clone()).unwrap().load(&bytes).unwrap());
}
