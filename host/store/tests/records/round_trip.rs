//! Records to files and back, for the demo gym, for a gym that says everything, and for random ones.

use std::path::{Path, PathBuf};

use classwright_store::record::{ClassRecord, GymRecords};
use classwright_store::{FileError, Files, Gym, open, read_files};
use proptest::prelude::*;

use crate::full::full;
use crate::made_up::gym;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-gym")
}

pub(crate) fn told(errors: &[FileError]) -> String {
    errors.iter().map(|error| format!("{error}\n")).collect()
}

/// Everything that a gym says, its paths as they stand in its files.
pub(crate) fn said(mut gym: Gym) -> String {
    let folder = std::mem::take(&mut gym.folder);
    let within = |path: &mut PathBuf| *path = path.strip_prefix(&folder).expect("it is in the folder").to_owned();
    gym.sessions.iter_mut().for_each(within);
    gym.classes.iter_mut().for_each(|class| within(&mut class.session));
    gym.shelf.iter_mut().for_each(|entry| within(&mut entry.file));
    format!("{gym:#?}")
}

#[test]
fn the_demo_gym_comes_back_as_it_was() {
    let records = GymRecords::of_folder(&demo()).unwrap_or_else(|errors| panic!("{}", told(&errors)));
    assert_eq!((records.athletes.len(), records.classes.len(), records.sessions.len()), (29, 9, 9));
    assert_eq!(records.rules.plate_change.as_ref().and_then(|change| change.fixed.as_deref()), Some("10 s"));
    assert_eq!(records.athletes[2].record.tags, ["strong", "first heat"]);
    assert_eq!(records.shelf[1].settings["keep-count-within-percent"], 25);
    let files = records.files();
    let again = GymRecords::of_files(&files).unwrap_or_else(|errors| panic!("{}\n{files:#?}", told(&errors)));
    assert_eq!(again, records);
    assert_eq!(again.files(), files);
    let gym = read_files(&files).unwrap_or_else(|errors| panic!("{}", told(&errors)));
    assert_eq!(said(gym), said(open(&demo()).expect("it is right")));
}

#[test]
fn a_gym_that_says_everything_comes_back_as_it_was() {
    let records = full();
    let files = records.files();
    let again = GymRecords::of_files(&files).unwrap_or_else(|errors| panic!("{}\n{files:#?}", told(&errors)));
    assert_eq!(again, records);
    let json = serde_json::to_string(&records).expect("records are JSON");
    assert_eq!(serde_json::from_str::<GymRecords>(&json).expect("it was made of records"), records);
    let gym = read_files(&files).expect("it is right");
    assert_eq!((gym.library.named("crate lift").is_some(), gym.floor_kit.bars.len()), (true, 2));
    assert_eq!(gym.shelf[1].settings, r#"{"large":18446744073709551615,"nothing":null}"#);
}

#[test]
fn a_class_read_by_itself_is_the_class_read_with_all_others() {
    let records = full();
    let whole = read_files(&records.files()).expect("it is right");
    let world = read_files(&records.world_files()).expect("it is right without classes");
    assert!(world.classes.is_empty() && world.sessions.is_empty() && world.shelf.is_empty());
    for (class, sheet) in records.classes.iter().zip(&whole.classes) {
        let session = classwright_store::session_file_name(&class.session);
        let files = Files::from([(class.file_name(), class.file()), (session, String::new())]);
        assert_eq!(world.read_class(&class.id, &files).as_ref(), Ok(sheet));
    }
    let class = ClassRecord { coach: " ".into(), session: "two".into(), ..records.classes[0].clone() };
    let errors = world.read_class("early", &Files::from([(class.file_name(), class.file())])).expect_err("two faults");
    let fields: Vec<_> = errors.iter().map(|error| (error.file.to_str(), error.field.as_deref())).collect();
    assert_eq!(fields, [(Some("classes/early.toml"), Some("session")), (Some("classes/early.toml"), Some("coach"))]);
    let errors = world.read_class("noon", &Files::new()).expect_err("it is not there");
    assert_eq!(errors[0].to_string(), "classes/noon.toml: there is no such file; a gym folder needs it");
}

#[test]
fn faults_of_records_are_told_with_file_line_and_field() {
    let mut records = full();
    records.athletes[1].record.age = Some(200);
    records.athletes[0].bests[1].movement = "back squit".into();
    records.floor_kit.kit[1].out_of_service = 7;
    records.classes[1].absent = Some(vec!["dan".into()]);
    let errors = GymRecords::of_files(&records.files()).expect_err("there are four faults");
    let at = |error: &FileError| {
        (
            error.file.to_str().map(str::to_owned).unwrap_or_default(),
            error.line,
            error.field.clone().unwrap_or_default(),
        )
    };
    let places: Vec<_> = errors.iter().map(at).collect();
    let wanted = [
        ("bests.csv", Some(3), "movement"),
        ("classes/late.toml", Some(6), "absent"),
        ("kit.toml", Some(27), "kit[2].out-of-service"),
        ("roster.csv", Some(3), "age"),
    ];
    assert_eq!(places, wanted.map(|(file, line, field)| (file.to_owned(), line, field.to_owned())));
}

#[test]
fn an_id_that_cannot_name_a_file_is_refused() {
    for id in ["../out", "a/b", "", ".", "..", ".hidden", "a\\b", "c:", "end.", "a\u{0}b"] {
        let mut records = full();
        records.classes[0].id = id.into();
        let errors = GymRecords::of_files(&records.files()).expect_err(id);
        assert!(errors.iter().any(|error| error.problem.contains("can name a file")), "{id}: {}", told(&errors));
        let mut records = full();
        records.sessions.insert(id.into(), "# Two\n".into());
        assert!(read_files(&records.files()).is_err(), "{id}");
    }
}

#[test]
fn texts_lose_the_blanks_around_them_and_a_tag_holds_no_semicolon() {
    let mut value = serde_json::to_value(full()).expect("records are JSON");
    value["athletes"][1]["record"]["id"] = " bo ".into();
    value["athletes"][1]["record"]["bar"] = " ".into();
    let records: GymRecords = serde_json::from_value(value.clone()).expect("blanks are no fault");
    assert_eq!(records, full());
    value["athletes"][1]["record"]["tags"] = serde_json::json!(["new;strong"]);
    assert!(serde_json::from_value::<GymRecords>(value).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn any_gym_comes_back_as_it_was(records in gym()) {
        let files = records.files();
        match GymRecords::of_files(&files) {
            Ok(again) => {
                prop_assert_eq!(again.files(), files);
                prop_assert_eq!(&again, &records);
            }
            Err(errors) => prop_assert!(false, "{}\n{:#?}", told(&errors), files),
        }
        let json = serde_json::to_value(&records).expect("records are JSON");
        prop_assert_eq!(serde_json::from_value::<GymRecords>(json).expect("it was made of records"), records);
    }
}
