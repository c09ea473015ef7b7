use std::io::Write;

use super::*;

fn file(text: &str) -> tempfile::NamedTempFile {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(text.as_bytes()).unwrap();
    file
}

fn nothing(_: &str) -> Option<String> {
    None
}

#[test]
fn the_sample_sets_everything_to_its_default() {
    let sample = sample();
    let (settings, faults) = Settings::read(Some(file(&sample).path()), nothing);
    assert_eq!((settings, faults), (Settings::default(), Vec::new()));
    assert_eq!(Settings::default().check(), Vec::new());
    for setting in table() {
        assert!(sample.contains(&variable_of(setting.key)), "{}", setting.key);
    }
}

#[test]
fn the_environment_overrules_the_file() {
    let file = file("[host]\nlisten = \"127.0.0.1:1\"\ntrusted-proxies = [\"10.0.0.1\"]\n[logins]\nlock-min = 3\n");
    let variable = |name: &str| match name {
        "CLASSWRIGHT_HOST_LISTEN" => Some("127.0.0.1:2".to_owned()),
        "CLASSWRIGHT_LOGINS_LOCK_MIN" => Some("4".to_owned()),
        "CLASSWRIGHT_HOST_TRUSTED_PROXIES" => Some("10.0.0.2, 10.1.0.0/16".to_owned()),
        _ => None,
    };
    let (settings, faults) = Settings::read(Some(file.path()), variable);
    assert_eq!(faults, Vec::new());
    assert_eq!((settings.listen.as_str(), settings.lock_min), ("127.0.0.1:2", 4));
    assert_eq!(settings.trusted_proxies, ["10.0.0.2", "10.1.0.0/16"]);
}

#[test]
fn all_faults_are_told_at_once() {
    let file = file("[host]\nlisten = 8080\nlisen = \"x\"\n[logins]\nlock-min = \"soon\"\n[colour]\nwall = 1\n");
    let (_, faults) = Settings::read(Some(file.path()), nothing);
    let mut keys: Vec<&str> = faults.iter().map(|fault| fault.key.as_str()).collect();
    keys.sort_unstable();
    assert_eq!(keys, ["colour.wall", "host.lisen", "host.listen", "logins.lock-min"]);
    let shown: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert!(shown.iter().all(|line| line.starts_with(&file.path().display().to_string())), "{shown:?}");
    assert!(shown.iter().any(|line| line.contains("host.listen, host.data")), "{shown:?}");
}

#[test]
fn a_file_that_is_no_toml_or_not_there_is_told() {
    let (_, faults) = Settings::read(Some(file("[host\n").path()), nothing);
    assert!(faults.len() == 1 && faults[0].problem.starts_with("is no TOML"), "{faults:?}");
    let (_, faults) = Settings::read(Some(Path::new("/nowhere/at-all.toml")), nothing);
    assert!(faults.len() == 1 && faults[0].problem.starts_with("cannot be read"), "{faults:?}");
}

#[test]
fn what_makes_no_sense_is_told() {
    let settings = Settings {
        listen: "nowhere".into(),
        data: String::new(),
        public_url: "gym.example".into(),
        trusted_proxies: vec!["proxy".into()],
        certificate: "/nowhere/cert.pem".into(),
        body_limit_kib: 0,
        link_h: 10_000,
        log: "info,[".into(),
        ..Settings::default()
    };
    let keys: Vec<String> = settings.check().into_iter().map(|fault| fault.key).collect();
    let wanted = [
        "host.listen",
        "host.data",
        "host.public-url",
        "host.trusted-proxies",
        "tls.key",
        "tls.certificate",
        "host.body-limit-kib",
        "logins.link-h",
        "log.level",
    ];
    assert_eq!(keys, wanted);
}
