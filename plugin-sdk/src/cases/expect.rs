//! What a card case expects, and how an answer differs from it.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::cards::{LoadKg, Range, Side, known};
use crate::listed::ListedLibrary;
use crate::wire::common::classwright::policy::cards::{Change, Measure, Piece};
use crate::{Answer, Declined, Question};

/// Expected changes; none of them means that the cards stay as they are.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct Expect {
    /// The policy declines, and its sentence holds this text.
    declines: Option<String>,
    /// Must be said where nothing is to change, so that a forgotten list is not taken for it.
    #[serde(default)]
    nothing: bool,
    #[serde(default)]
    changes: Vec<ExpectedChange>,
}

/// A change of which only the named fields are compared.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct ExpectedChange {
    #[serde(default)]
    athlete: u32,
    /// The written movement; `name 2` is the second with that movement.
    piece: String,
    #[serde(default)]
    off: bool,
    /// The movement it becomes.
    to: Option<String>,
    times: Option<u32>,
    reps: Option<Range>,
    seconds: Option<Range>,
    metres: Option<Range>,
    calories: Option<Range>,
    sides: Option<Side>,
    load_kg: Option<LoadKg>,
    effort_tenths: Option<u32>,
    range_percent: Option<u32>,
    rule: Option<String>,
    /// The reason holds this text.
    says: Option<String>,
}

impl Expect {
    /// Refuses an expectation that says nothing or names what is not there.
    pub(super) fn look_up(&self, question: &Question, library: &ListedLibrary) -> Result<(), String> {
        let said = [self.declines.is_some(), self.nothing, !self.changes.is_empty()];
        if said.iter().filter(|said| **said).count() != 1 {
            return Err("expect one of: declines, nothing, changes".into());
        }
        self.by_piece(question, library).map(drop)
    }

    pub(super) fn check(
        &self,
        question: &Question,
        library: &ListedLibrary,
        answer: &Result<Answer, Declined>,
    ) -> Vec<String> {
        let answer = match (answer, &self.declines) {
            (Err(declined), Some(text)) if declined.0.contains(text) => return Vec::new(),
            (Err(declined), Some(text)) => return vec![format!("declines with `{declined}`, without `{text}`")],
            (Err(declined), None) => return vec![format!("declines: {declined}")],
            (Ok(_), Some(text)) => return vec![format!("answers, and should decline with `{text}`")],
            (Ok(answer), None) => answer,
        };
        let mut expected = match self.by_piece(question, library) {
            Ok(expected) => expected,
            Err(problem) => return vec![problem],
        };
        let mut differences = Vec::new();
        for change in &answer.changes {
            let Some(piece) = question.pieces.get(change.piece as usize) else {
                differences.push(format!("a change points at piece {}, which is not there", change.piece));
                continue;
            };
            let name = format!("athlete {}, {}", piece.athlete, id(library, piece.movement));
            let Some(reason) = answer.reasons.get(change.reason as usize) else {
                differences.push(format!("{name}: the change has no reason"));
                continue;
            };
            match expected.remove(&change.piece) {
                Some(wanted) => {
                    let found = wanted.differences(piece, change, library, &reason.rule, &reason.text);
                    differences.extend(found.into_iter().map(|difference| format!("{name}: {difference}")));
                }
                None => differences.push(format!(
                    "{name}: changed, though it should stay: {} ({}: {})",
                    shown(change, library),
                    reason.rule,
                    reason.text
                )),
            }
        }
        for wanted in expected.into_values() {
            differences.push(format!("athlete {}, {}: stays, though it should change", wanted.athlete, wanted.piece));
        }
        differences
    }

    fn by_piece(&self, question: &Question, library: &ListedLibrary) -> Result<BTreeMap<u32, &ExpectedChange>, String> {
        let mut by_piece = BTreeMap::new();
        for change in &self.changes {
            change.to.as_ref().map(|id| known(library, id)).transpose()?;
            if by_piece.insert(change.find(question, library)?, change).is_some() {
                return Err(format!("`{}` of athlete {} is expected twice", change.piece, change.athlete));
            }
        }
        Ok(by_piece)
    }
}

impl ExpectedChange {
    fn find(&self, question: &Question, library: &ListedLibrary) -> Result<u32, String> {
        let (name, nth) = match self.piece.rsplit_once(' ') {
            Some((name, nth)) => (name, nth.parse::<usize>().map_err(|_| format!("`{}` is no piece", self.piece))?),
            None => (self.piece.as_str(), 1),
        };
        let movement = known(library, name)?;
        let theirs = question.pieces.iter().zip(0..).filter(|(p, _)| p.athlete == self.athlete);
        let mut these = theirs.filter(|(p, _)| p.movement == movement).map(|(_, at)| at);
        let found = nth.checked_sub(1).and_then(|before| these.nth(before));
        found.ok_or_else(|| format!("athlete {} has no piece `{}`", self.athlete, self.piece))
    }

    fn differences(
        &self,
        from: &Piece,
        change: &Change,
        library: &ListedLibrary,
        rule: &str,
        text: &str,
    ) -> Vec<String> {
        let mut differences = Vec::new();
        let mut compare = |what: &str, wanted: Option<String>, got: String| {
            if let Some(wanted) = wanted.filter(|wanted| *wanted != got) {
                differences.push(format!("{what} is {got}, expected {wanted} ({rule}: {text})"));
            }
        };
        compare("off", Some(self.off.to_string()), (change.off == 1).to_string());
        compare("rule", self.rule.clone(), rule.into());
        if let Some(part) = self.says.as_ref().filter(|part| !text.contains(part.as_str())) {
            differences.push(format!("the reason `{text}` does not say `{part}`"));
        }
        if change.off == 1 || self.off {
            return differences;
        }
        let mut compare = |what: &str, wanted: Option<String>, got: String| {
            if let Some(wanted) = wanted.filter(|wanted| *wanted != got) {
                differences.push(format!("{what} is {got}, expected {wanted} ({rule}: {text})"));
            }
        };
        let stays = id(library, from.movement);
        compare("movement", Some(self.to.clone().unwrap_or(stays)), id(library, change.movement));
        compare("times", self.times.map(|n| n.to_string()), change.times.to_string());
        let amounts = [
            (Measure::Repetitions, self.reps),
            (Measure::Seconds, self.seconds),
            (Measure::Metres, self.metres),
            (Measure::Calories, self.calories),
        ];
        for (measure, Range(low, high)) in amounts.into_iter().filter_map(|(m, amount)| Some((m, amount?))) {
            let got = amount(change.measure, change.amount_low, change.amount_high);
            compare("amount", Some(amount(measure, low, high)), got);
        }
        compare("sides", self.sides.map(|s| format!("{:?}", s.wire())), format!("{:?}", change.sides));
        let load = |first: u32, top: u32| format!("{first} to {top} g");
        compare(
            "load",
            self.load_kg.map(|LoadKg(first, top)| load(first, top)),
            load(change.load_first_g, change.load_top_g),
        );
        compare("effort", self.effort_tenths.map(|n| n.to_string()), change.effort_tenths.to_string());
        compare("range", self.range_percent.map(|n| n.to_string()), change.range_percent.to_string());
        differences
    }
}

fn amount(measure: Measure, low: u32, high: u32) -> String {
    format!("{low}-{high} {measure:?}").to_lowercase()
}

fn id(library: &ListedLibrary, movement: u32) -> String {
    library.movements().get(movement as usize).map_or_else(|| format!("movement {movement}"), |known| known.id.clone())
}

fn shown(change: &Change, library: &ListedLibrary) -> String {
    if change.off == 1 {
        return "off".into();
    }
    format!(
        "{} x {} {}, {} to {} g, range {} %",
        change.times,
        amount(change.measure, change.amount_low, change.amount_high),
        id(library, change.movement),
        change.load_first_g,
        change.load_top_g,
        change.range_percent
    )
}
