//! `gym.toml`: what the gym is called and how it runs its floor.

use classwright_training::floor::FloorRules;

use crate::error::Report;
use crate::file::Text;
use crate::file::toml::{Table, seconds, small, text, whole};

/// What holds where `gym.toml` says nothing: common practice, no source.
const USUAL: FloorRules = FloorRules {
    coach_span: 12,
    max_heats: 4,
    start_step_s: 30,
    setup_fixed_s: 15,
    setup_pair_s: 10,
    between_parts_s: 120,
    effort: 0,
};

pub(super) fn read(file: &Text, report: &Report) -> Option<(String, FloorRules)> {
    let mut whole_file = Table::parse(file, report)?;
    let name = whole_file.need("name", text);
    let rules = whole_file.table("floor").map_or(USUAL, |table| floor(table, USUAL));
    whole_file.finish();
    Some((name?, rules))
}

/// The rules of one class: what its own table says, the gym's for the rest.
pub(super) fn of_class(table: Option<Table<'_>>, gym: Option<&FloorRules>) -> FloorRules {
    let gym = gym.cloned().unwrap_or(USUAL);
    match table {
        Some(table) => floor(table, gym),
        None => gym,
    }
}

fn floor(mut table: Table<'_>, mut rules: FloorRules) -> FloorRules {
    rules.coach_span = table.maybe("coach-span", small(1, 200)).unwrap_or(rules.coach_span);
    rules.max_heats = table.maybe("max-heats", small(1, 50)).unwrap_or(rules.max_heats);
    let step_spot = table.spot("heats-start-every");
    rules.start_step_s = table.maybe("heats-start-every", seconds).unwrap_or(rules.start_step_s);
    if !(1..=600).contains(&rules.start_step_s) {
        step_spot.wrong(format!("is {} seconds; write 1 to 600 seconds, such as 0:30", rules.start_step_s));
    }
    if let Some(mut change) = table.table("plate-change") {
        rules.setup_fixed_s = change.maybe("fixed", seconds).unwrap_or(rules.setup_fixed_s);
        rules.setup_pair_s = change.maybe("a-pair", seconds).unwrap_or(rules.setup_pair_s);
        change.finish();
    }
    rules.between_parts_s = table.maybe("between-parts", seconds).unwrap_or(rules.between_parts_s);
    rules.effort = table.maybe("effort", whole(0, 1_000_000_000)).unwrap_or(rules.effort);
    table.finish();
    rules
}
