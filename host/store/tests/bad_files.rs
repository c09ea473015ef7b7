//! What is wrong in a gym folder is told with file, line and field: a table of one slip each, and a folder of many.

use std::fs;
use std::path::Path;

use classwright_store::{FileError, Gym, open};
use tempfile::TempDir;

const GYM: &str = "name = \"Test Hall\"\n";
const KIT: &str = "\
[[bar]]
type = \"bar-20\"
name = \"20 kg bar\"
mass = \"20 kg\"
count = 2

[[plate]]
mass = \"10 kg\"
pairs = 2

[[kit]]
kind = \"row-machine\"
count = 2
";
const ROSTER: &str = "id,name,column,skill,place\nann,Ann,1,3,floor\nbo,Bo,2,2,flat\n";
const HOMES: &str = "[[home]]\nid = \"flat\"\nkit = [{ kind = \"band\", count = 1 }]\n";
const BESTS: &str = "athlete,movement,load,how\nann,back squat,100 kg,tested\n";
const LIMITATIONS: &str = "athlete,region,side,severity\nbo,knee,left,mild\n";
const SHELF: &str = "[[policy]]\nfile = \"a.wasm\"\n";
const CLASS: &str = "\
date = 2026-12-07
time = \"18:00\"
zone = \"Europe/London\"
session = \"sessions/one.md\"
coach = \"Cas\"
";
const MOVEMENT: &str = "\
[[movement]]
id = \"crate-lift\"
name = \"crate lift\"
patterns = [\"hinge\"]
demand = { knee = 2 }
kit = { sandbag = 1 }
load = \"single\"
sides = \"both\"
seconds = { rep = [3.0, 2.0, 5.0] }
skill = 2
regressed-to = [\"bodyweight-squat\"]
";
const KIND: &str = "[[kit]]\nid = \"crate\"\nname = \"crate\"\n";

const SOUND: [(&str, &str); 11] = [
    ("gym.toml", GYM),
    ("kit.toml", KIT),
    ("roster.csv", ROSTER),
    ("homes.toml", HOMES),
    ("bests.csv", BESTS),
    ("limitations.csv", LIMITATIONS),
    ("shelf.toml", SHELF),
    ("classes/one.toml", CLASS),
    ("sessions/one.md", "# One\n"),
    ("movements/own.toml", MOVEMENT),
    ("kit-kinds.toml", KIND),
];

/// A sound gym folder with some files written anew.
fn folder(changed: &[(&str, &[u8])]) -> TempDir {
    let folder = TempDir::new().expect("a folder can be made");
    for (name, text) in SOUND {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().expect("it is in the folder")).expect("a folder can be made");
        fs::write(path, text).expect("a file can be written");
    }
    for (name, bytes) in changed {
        fs::write(folder.path().join(name), bytes).expect("a file can be written");
    }
    folder
}

fn open_with(changed: &[(&str, &[u8])]) -> Result<Gym, Vec<FileError>> {
    open(folder(changed).path())
}

/// File in the folder, line and field of a fault.
fn place(error: &FileError, folder: &Path) -> (String, Option<u32>, String) {
    let file = error.file.strip_prefix(folder).expect("it is in the folder").to_string_lossy().into_owned();
    (file, error.line, error.field.clone().unwrap_or_default())
}

#[test]
fn the_sound_folder_opens() {
    let gym = open_with(&[]).expect("it is sound");
    assert_eq!((gym.name.as_str(), gym.athletes.len(), gym.floor_kit.bars.len()), ("Test Hall", 2, 2));
    assert!(gym.library.named("crate lift").is_some());
    assert_eq!(gym.shelf[0].settings, "{}");
}

/// One slip a line: file, what stands there, what is written instead, then the line, field and words that are told.
const SLIPS: &str = include_str!("slips.txt");

#[test]
fn every_slip_is_told_with_its_place() {
    let mut slips = 0;
    for slip in SLIPS.lines().filter(|line| !line.starts_with('#')) {
        let parts: Vec<String> = slip.split(" | ").map(|part| part.replace("\\n", "\n")).collect();
        let [file, from, to, line, field, words] = &parts[..] else { panic!("not six parts: {slip}") };
        let (_, sound) = SOUND.iter().find(|(name, _)| name == file).expect("a file of the sound folder");
        assert!(sound.contains(from.as_str()), "{file} has no {from}");
        let folder = folder(&[(file, sound.replacen(from.as_str(), to, 1).as_bytes())]);
        let errors = open(folder.path()).expect_err(slip);
        let wanted = (file.clone(), line.parse().ok(), field.clone());
        let found = errors.iter().find(|error| place(error, folder.path()) == wanted);
        let found = found.unwrap_or_else(|| panic!("{slip}\nis told as {errors:#?}"));
        assert!(found.problem.contains(words.as_str()), "{slip}\nis told as {found}");
        assert!(!found.to_string().contains('\n'), "{found}");
        slips += 1;
    }
    assert!(slips >= 50, "{slips}");
}

#[test]
fn all_slips_of_all_files_are_told_at_once() {
    let folder = folder(&[
        ("gym.toml", b"nmae = \"x\"\n"),
        ("roster.csv", b"id,name,column,skill,place\nann,Ann,9,9,floor\n"),
        ("limitations.csv", b"athlete,region,severity\nnobody,nose,bad\n"),
    ]);
    let errors = open(folder.path()).expect_err("the folder is not sound");
    let places: Vec<_> = errors.iter().map(|error| place(error, folder.path())).collect();
    let at = |file: &str, line, field: &str| (file.to_owned(), Some(line), field.to_owned());
    for wanted in [
        at("gym.toml", 1, "name"),
        at("gym.toml", 1, "nmae"),
        at("roster.csv", 2, "column"),
        at("roster.csv", 2, "skill"),
        at("limitations.csv", 2, "athlete"),
        at("limitations.csv", 2, "region"),
        at("limitations.csv", 2, "severity"),
    ] {
        assert!(places.contains(&wanted), "{wanted:?} is not in {places:?}");
    }
}

#[test]
fn a_file_that_is_not_utf8_is_told_with_its_line() {
    let folder = folder(&[("roster.csv", b"id,name,column,skill,place\nann,Ann,1,3,floor\nbo,B\xf6,2,2,flat\n")]);
    let errors = open(folder.path()).expect_err("the folder is not sound");
    let found = errors.iter().find(|error| error.problem.contains("UTF-8")).expect("it is told");
    assert_eq!(place(found, folder.path()), ("roster.csv".to_owned(), Some(3), String::new()));
}

#[test]
fn missing_files_are_told_by_name() {
    let folder = TempDir::new().expect("a folder can be made");
    let errors = open(folder.path()).expect_err("the folder is not sound");
    let files: Vec<String> = errors.iter().map(|error| place(error, folder.path()).0).collect();
    assert_eq!(files, ["gym.toml", "kit.toml", "roster.csv"]);
    let nowhere = open(&folder.path().join("nowhere")).expect_err("the folder is not sound");
    assert!(nowhere[0].problem.contains("no folder"));
}

#[test]
fn a_fault_is_one_line_with_file_line_and_field() {
    let error = FileError {
        file: "demo-gym/kit.toml".into(),
        line: Some(12),
        field: Some("bar[2].type".into()),
        problem: "is empty; write a text".into(),
    };
    assert_eq!(error.to_string(), "demo-gym/kit.toml:12: bar[2].type: is empty; write a text");
}
