//! Bests and limitations have a history, and a class is planned with what holds on its day.

use classwright_store::record::{BestRecord, GymRecords, LimitationRecord};
use classwright_store::{FileError, Gym, read_files};
use classwright_training::session::Date;
use classwright_training::{Athlete, Severity};

use crate::full::full;

fn best(load: &str, since: Option<&str>) -> BestRecord {
    let since = since.map(str::to_owned);
    BestRecord { movement: "back squat".into(), load: load.into(), how: "tested".into(), since }
}

fn limitation(severity: &str, since: Option<&str>, until: Option<&str>) -> LimitationRecord {
    let [since, until] = [since, until].map(|day| day.map(str::to_owned));
    LimitationRecord { region: "knee".into(), side: None, severity: severity.into(), since, until }
}

fn with(bests: Vec<BestRecord>, limitations: Vec<LimitationRecord>) -> GymRecords {
    let mut records = full();
    records.athletes[0].bests = bests;
    records.athletes[0].limitations = limitations;
    records
}

fn gym(bests: Vec<BestRecord>, limitations: Vec<LimitationRecord>) -> Gym {
    read_files(&with(bests, limitations).files()).expect("it is right")
}

fn ann(gym: &Gym, day: (u16, u8, u8)) -> Athlete {
    let day = Date { year: day.0, month: day.1, day: day.2 };
    gym.athletes_on(Some(day)).swap_remove(0)
}

fn kg(athlete: &Athlete) -> Vec<f64> {
    athlete.bests.iter().map(|best| best.load.kg()).collect()
}

#[test]
fn the_newest_best_on_or_before_the_day_counts() {
    let rows = vec![
        best("90 kg", Some("2026-06-01")),
        best("80 kg", None),
        best("85 kg", Some("2026-03-01")),
        BestRecord { movement: "deadlift".into(), ..best("120 kg", Some("2026-05-01")) },
    ];
    let gym = gym(rows, Vec::new());
    assert_eq!(kg(&ann(&gym, (2026, 2, 28))), [80.0]);
    assert_eq!(kg(&ann(&gym, (2026, 3, 1))), [85.0]);
    assert_eq!(kg(&ann(&gym, (2026, 5, 31))), [85.0, 120.0]);
    assert_eq!(kg(&ann(&gym, (2026, 6, 1))), [90.0, 120.0]);
    assert_eq!(kg(&gym.athletes[0]), [90.0, 120.0], "without a day the newest counts");
    assert_eq!(gym.athletes_on(None), gym.athletes);
}

#[test]
fn a_best_that_is_still_to_come_is_none() {
    let gym = gym(vec![best("90 kg", Some("2026-06-01"))], Vec::new());
    assert!(kg(&ann(&gym, (2026, 5, 31))).is_empty());
}

#[test]
fn a_limitation_holds_from_its_first_day_to_its_last() {
    let rows = vec![
        limitation("mild", None, Some("2026-01-31")),
        limitation("moderate", Some("2026-02-01"), Some("2026-02-10")),
        limitation("severe", Some("2026-02-10"), None),
    ];
    let gym = gym(Vec::new(), rows);
    let on = |day| ann(&gym, day).limitations.iter().map(|one| one.severity).collect::<Vec<_>>();
    assert_eq!(on((2026, 1, 31)), [Severity::Mild]);
    assert_eq!(on((2026, 2, 1)), [Severity::Moderate]);
    assert_eq!(on((2026, 2, 10)), [Severity::Moderate, Severity::Severe]);
    assert_eq!(on((2026, 2, 11)), [Severity::Severe]);
    assert_eq!(gym.athletes[0].limitations.len(), 3, "without a day nobody can say that one is over");
}

#[test]
fn days_that_make_no_sense_are_told_with_their_place() {
    let rows = vec![best("90 kg", Some("2026-06-01")), best("91 kg", Some("2026-06-01")), best("92 kg", Some("soon"))];
    let limitations = vec![limitation("mild", Some("2026-02-02"), Some("2026-02-01"))];
    let errors = read_files(&with(rows, limitations).files()).expect_err("there are three faults");
    let place = |error: &FileError| format!("{}:{:?}:{:?}", error.file.display(), error.line, error.field);
    let places: Vec<String> = errors.iter().map(place).collect();
    let wanted = [
        "bests.csv:Some(3):Some(\"movement\")",
        "bests.csv:Some(4):Some(\"since\")",
        "limitations.csv:Some(2):Some(\"until\")",
    ];
    assert_eq!(places, wanted);
    assert!(errors[0].problem.contains("of that day"), "{}", errors[0]);
}
