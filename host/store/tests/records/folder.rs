//! A gym written to a folder: new or empty, whole or not at all, the same bytes each time.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use classwright_store::record::GymRecords;
use classwright_store::{open, read_files, write_folder};
use tempfile::TempDir;

use crate::full::full;
use crate::round_trip::{said, told};

fn bytes(records: &GymRecords) -> BTreeMap<String, Vec<u8>> {
    records.files().into_iter().map(|(name, text)| (name, text.into_bytes())).collect()
}

/// Every file under a folder, by name from it.
fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in fs::read_dir(next).expect("it is a folder") {
            let path = entry.expect("it can be read").path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).expect("it is in it").to_string_lossy().into_owned();
                found.insert(name, fs::read(&path).expect("it can be read"));
            }
        }
    }
    found
}

#[test]
fn a_folder_written_and_read_again_says_the_same_and_gives_the_same_bytes() {
    let place = TempDir::new().expect("a folder can be made");
    let (first, second) = (place.path().join("first"), place.path().join("deep/second"));
    fs::create_dir_all(place.path().join("deep/second")).expect("a folder can be made");
    let records = full();
    write_folder(&first, &bytes(&records)).expect("it is new");
    let again = GymRecords::of_folder(&first).unwrap_or_else(|errors| panic!("{}", told(&errors)));
    assert_eq!(again, records);
    assert_eq!(said(open(&first).expect("it is right")), said(read_files(&records.files()).expect("it is right")));
    write_folder(&second, &bytes(&again)).expect("it is empty");
    assert_eq!(tree(&second), tree(&first));
    let left: Vec<_> = tree(place.path()).into_keys().filter(|name| name.contains(".new-")).collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_folder_with_files_in_it_stays_as_it_is() {
    let place = TempDir::new().expect("a folder can be made");
    fs::write(place.path().join("mine.txt"), "mine").expect("a file can be written");
    let error = write_folder(place.path(), &bytes(&full())).expect_err("it is not empty");
    assert!(error.problem.contains("name a new folder or an empty one"), "{error}");
    assert_eq!(tree(place.path()).into_keys().collect::<Vec<_>>(), ["mine.txt"]);
}

#[test]
fn what_cannot_be_written_whole_leaves_nothing() {
    let place = TempDir::new().expect("a folder can be made");
    let to = place.path().join("gym");
    // A file cannot be where a folder has to be.
    let files = BTreeMap::from([("a".to_owned(), b"text".to_vec()), ("a/b".to_owned(), b"text".to_vec())]);
    let error = write_folder(&to, &files).expect_err("the second cannot be written");
    assert!(error.problem.starts_with("cannot be written"), "{error}");
    assert_eq!(fs::read_dir(place.path()).expect("it is a folder").count(), 0);
    for outside in ["../out", "/out", "a/../../out", ""] {
        let files = BTreeMap::from([(outside.to_owned(), Vec::new())]);
        assert!(write_folder(&to, &files).is_err(), "{outside}");
    }
    assert_eq!(fs::read_dir(place.path()).expect("it is a folder").count(), 0);
}

#[test]
fn a_session_that_stands_elsewhere_gets_an_id_of_its_own() {
    let place = TempDir::new().expect("a folder can be made");
    let to = place.path().join("gym");
    let mut files = bytes(&full());
    files.insert("other/one.md".into(), b"# Other\n".to_vec());
    let sheet = |session: &str| {
        format!("date = 2026-12-07\ntime = 18:00\nzone = \"UTC\"\nsession = \"{session}\"\ncoach = \"Dee\"\n")
            .into_bytes()
    };
    files.insert("classes/a.toml".into(), sheet("other/one.md"));
    files.insert("classes/b.toml".into(), sheet("./other/one.md"));
    files.insert("classes/c.toml".into(), sheet("sessions/one.md"));
    write_folder(&to, &files).expect("it is new");
    let records = GymRecords::of_folder(&to).unwrap_or_else(|errors| panic!("{}", told(&errors)));
    let sessions: Vec<&str> = records.classes.iter().take(3).map(|class| class.session.as_str()).collect();
    assert_eq!(sessions, ["one-2", "one-2", "one"]);
    assert_eq!(records.sessions["one-2"], "# Other\n");
    assert_eq!((records.classes[0].date.as_str(), records.classes[0].time.as_str()), ("2026-12-07", "18:00"));
}

#[test]
fn a_session_that_is_no_text_is_told() {
    let place = TempDir::new().expect("a folder can be made");
    let to = place.path().join("gym");
    let mut files = bytes(&full());
    files.insert("sessions/one.md".into(), b"# One\nB\xf6\n".to_vec());
    write_folder(&to, &files).expect("it is new");
    let errors = GymRecords::of_folder(&to).expect_err("a session is not UTF-8");
    let errors: Vec<String> =
        errors.iter().map(|error| error.to_string().replace(&to.display().to_string(), "")).collect();
    assert_eq!(errors, ["/sessions/one.md:2: is not UTF-8 text; save it as UTF-8 and try again"]);
}
