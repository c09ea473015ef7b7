//! Case files: a question in a coach's terms, and what a policy is expected to answer.
//!
//! One `.toml` file a case, in a plugin's `cases/` folder. The plugin's native tests and the kit, which runs the built
//! component in the host, read the same files. A case names movements, kit and athletes; numbers are worked out here.
//! Every change of an answer must be expected and every expected change must be there; of a change only the fields
//! that the case names are compared. Unknown keys, unknown names and an empty folder are errors.
//!
//! Formats: [`cards`] for scaling and substitution, [`floor`] for heats.

pub mod cards;
mod expect;
pub mod floor;
mod plan;

use std::fmt;
use std::path::{Path, PathBuf};

pub use cards::CardsCase;
pub use floor::FloorCase;
pub use plan::faults as plan_faults;

use crate::listed::ListedLibrary;
use crate::policy::{self, Heats, Scaling, Substitution};
use crate::{Answer, Declined, Question, heats};

/// A case file that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CaseError {
    /// Which file or folder.
    pub path: PathBuf,
    /// What is wrong with it.
    pub problem: String,
}

impl fmt::Display for CaseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.path.display(), self.problem)
    }
}

impl std::error::Error for CaseError {}

/// One case.
#[derive(Clone, Debug)]
pub struct Case {
    /// File name without its ending.
    pub name: String,
    /// What it is about.
    pub body: Body,
}

/// What a case asks.
#[derive(Clone, Debug)]
pub enum Body {
    /// Scaling or substitution.
    Cards(Box<CardsCase>),
    /// Heats.
    Floor(Box<FloorCase>),
}

/// What became of the cases of a folder.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// Each case with its differences; none where it was kept.
    pub outcomes: Vec<(String, Vec<String>)>,
}

impl Report {
    /// True where there were cases and all were kept.
    pub fn all_kept(&self) -> bool {
        !self.outcomes.is_empty() && self.outcomes.iter().all(|(_, differences)| differences.is_empty())
    }

    /// Stops the test with all differences, where there are any.
    pub fn assert_kept(&self) {
        assert!(self.all_kept(), "\n{self}");
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (name, differences) in &self.outcomes {
            writeln!(f, "{} {name}", if differences.is_empty() { "kept  " } else { "BROKEN" })?;
            for difference in differences {
                writeln!(f, "       {difference}")?;
            }
        }
        Ok(())
    }
}

/// Reads all cases of a folder, in the order of their names.
pub fn read_folder(folder: &Path) -> Result<Vec<Case>, CaseError> {
    let wrong = |error: std::io::Error| CaseError { path: folder.into(), problem: error.to_string() };
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(wrong)? {
        let path = entry.map_err(wrong)?.path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            files.push(path);
        }
    }
    if files.is_empty() {
        return Err(CaseError { path: folder.into(), problem: "holds no case".into() });
    }
    files.sort();
    files.iter().map(|file| read_file(file)).collect()
}

/// Reads one case. A case with a `[floor]` is a heats case.
pub fn read_file(file: &Path) -> Result<Case, CaseError> {
    let wrong = |problem: String| CaseError { path: file.into(), problem };
    let text = std::fs::read_to_string(file).map_err(|error| wrong(error.to_string()))?;
    let table: toml::Table = toml::from_str(&text).map_err(|error| wrong(error.to_string()))?;
    let body = if table.contains_key("floor") {
        Body::Floor(Box::new(FloorCase::parse(&text).map_err(wrong)?))
    } else {
        Body::Cards(Box::new(CardsCase::parse(&text).map_err(wrong)?))
    };
    let name = file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    Ok(Case { name, body })
}

/// Runs a folder of cases against a scaling policy, natively.
pub fn run_scaling<P: Scaling>(folder: &str) -> Result<Report, CaseError> {
    run_cards(folder, policy::scale::<P>)
}

/// Runs a folder of cases against a substitution policy, natively.
pub fn run_substitution<P: Substitution>(folder: &str) -> Result<Report, CaseError> {
    run_cards(folder, policy::substitute::<P>)
}

/// Runs a folder of cases against a heats policy, natively.
pub fn run_heats<P: Heats>(folder: &str) -> Result<Report, CaseError> {
    run(folder, |_| None, |question| Some(policy::plan_heats::<P>(question)))
}

fn run_cards(
    folder: &str,
    ask: impl Fn(&Question, &dyn crate::Library) -> Result<Answer, Declined>,
) -> Result<Report, CaseError> {
    run(folder, |case| Some(ask(&case.question, &case.library as &ListedLibrary)), |_| None)
}

fn run(
    folder: &str,
    cards: impl Fn(&CardsCase) -> Option<Result<Answer, Declined>>,
    floor: impl Fn(&heats::Question) -> Option<Result<heats::Answer, Declined>>,
) -> Result<Report, CaseError> {
    let mut report = Report::default();
    for case in read_folder(Path::new(folder))? {
        let differences = match &case.body {
            Body::Cards(body) => cards(body).map(|answer| body.check(&answer)),
            Body::Floor(body) => floor(&body.question).map(|answer| body.check(&answer)),
        };
        let differences = differences.unwrap_or_else(|| vec!["a case of another kind than the policy".into()]);
        report.outcomes.push((case.name, differences));
    }
    Ok(report)
}

/// Grams of so many kilograms.
fn grams(kg: f64) -> u32 {
    (kg * 1000.0).round() as u32
}
