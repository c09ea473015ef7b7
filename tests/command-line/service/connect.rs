//! How the data is named: in hand, at a host, by which gym; and what is said where that does not hold.

use super::host::{Data, classwright};

#[test]
fn without_data_both_ways_are_told() {
    let ran = classwright(&["athlete", "list"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("--data") && ran.err.contains("--at"), "{}", ran.err);
}

#[test]
fn data_and_a_host_exclude_each_other() {
    let ran = classwright(&["athlete", "list", "--data", "x.db", "--at", "http://127.0.0.1:1"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("cannot be used with"), "{}", ran.err);
}

#[test]
fn a_file_that_is_not_there_is_not_made_by_looking() {
    let data = Data::empty();
    let ran = data.run(&["athlete", "list"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("gym.db: there is no such file"), "{}", ran.err);
    assert!(!std::path::Path::new(&data.file()).exists());
}

#[test]
fn a_file_that_is_no_data_is_told_so() {
    let data = Data::empty();
    std::fs::write(data.file(), "no database at all, and longer than a header of one would be").expect("written");
    let ran = data.run(&["athlete", "list"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("gym.db"), "{}", ran.err);
}

#[test]
fn a_host_that_is_not_there_is_told_with_what_to_do() {
    // Port 1 on loopback: nobody listens there.
    let ran = classwright(&["athlete", "list", "--at", "http://127.0.0.1:1", "--token", "a.b.c", "--gym", "x"]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("http://127.0.0.1:1") && ran.err.contains("does the host run"), "{}", ran.err);
}

#[test]
fn what_is_no_address_is_refused_before_anything_is_sent() {
    for address in ["hall.example", "ftp://hall.example", "https://", "http://a b"] {
        let ran = classwright(&["athlete", "list", "--at", address]);
        assert_eq!(ran.code, 2, "{address}: {}", ran.err);
        assert!(ran.err.contains("such as https://"), "{address}: {}", ran.err);
    }
}

#[test]
fn a_certificate_file_without_a_certificate_is_told() {
    let data = Data::empty();
    let file = data.beside("none.pem");
    std::fs::write(&file, "nothing here\n").expect("written");
    let ran = classwright(&["athlete", "list", "--at", "https://127.0.0.1:1", "--trust", &file]);
    assert_eq!(ran.code, 3);
    assert!(ran.err.contains("holds no certificate"), "{}", ran.err);
}
