//! The same class and the same components give the same bytes: twice, on one and on four threads, with a cold and a
//! warm cache of compiled policies.

use std::path::{Path, PathBuf};

use classwright_app::{PlanRequest, plan_class};

const DAYS: [&str; 6] = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday"];

fn plan(day: &str, cache_dir: Option<PathBuf>) -> String {
    let gym = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-gym");
    let request =
        PlanRequest { gym: &gym, session: None, class: Some(day), present: &[], absent: &[], beside: &[], cache_dir };
    let planned = plan_class(&request).unwrap_or_else(|error| panic!("{day}: {error}"));
    assert!(planned.failure.is_none(), "{day}: {:?}", planned.failure);
    serde_json::to_string(&planned.document).expect("a plan is JSON")
}

#[test]
fn a_cold_and_a_warm_cache_give_the_same_bytes() {
    let cache = tempfile::tempdir().expect("a folder");
    for day in DAYS {
        let without = plan(day, None);
        let cold = plan(day, Some(cache.path().into()));
        let warm = plan(day, Some(cache.path().into()));
        assert_eq!(without, cold, "{day}");
        assert_eq!(cold, warm, "{day}");
    }
    let kept = walk(cache.path());
    assert!(kept.iter().any(|file| file.extension().is_some_and(|ending| ending == "cwasm")), "{kept:?}");
}

#[test]
fn one_and_four_threads_give_the_same_bytes() {
    let cache = tempfile::tempdir().expect("a folder");
    for day in DAYS {
        let alone = plan(day, Some(cache.path().into()));
        let together: Vec<String> = std::thread::scope(|scope| {
            let threads: Vec<_> = (0..4).map(|_| scope.spawn(|| plan(day, Some(cache.path().into())))).collect();
            threads.into_iter().map(|thread| thread.join().expect("no panic")).collect()
        });
        assert!(together.iter().all(|plan| *plan == alone), "{day}");
    }
}

#[test]
fn a_spoilt_cache_is_not_used() {
    let cache = tempfile::tempdir().expect("a folder");
    let before = plan("monday", Some(cache.path().into()));
    for file in walk(cache.path()) {
        let mut bytes = std::fs::read(&file).expect("a readable file");
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        std::fs::write(&file, bytes).expect("a writable file");
    }
    assert_eq!(plan("monday", Some(cache.path().into())), before);
}

fn walk(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a readable folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() { files.extend(walk(&path)) } else { files.push(path) }
    }
    files
}
