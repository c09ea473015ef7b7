//! What an owner may set: which work stands in for which, how nearness is weighed, how loads carry over.
//!
//! Every rule is data with a default, so that a gym changes its mind without a new component. A list that is given
//! replaces the default list whole; unknown fields are refused. The schema that `describe` shows is made from here.

use schemars::JsonSchema;
use serde::Deserialize;

/// Settings of the house substitution policy. Everything has a default.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Settings {
    /// Named pairs: where `to` is possible it stands in for `from` before any other movement.
    pub pairs: Vec<NamedPair>,
    /// Patterns to look in, in this order, where no movement of the same pattern is possible.
    pub related: Vec<Related>,
    /// How a written load carries over from one kind of implement to another. Kinds that are not named here do not
    /// stand in for each other where there is a load.
    pub ratios: Vec<Ratio>,
    /// What counts how much in the search for the nearest movement.
    pub weights: Weights,
    /// The written count stays where the new movement is quicker than the written one by at most so many percent;
    /// beyond that the count is found by equal work time.
    #[schemars(range(min = 0, max = 400))]
    pub keep_count_within_percent: u32,
    /// Repetitions in place of repetitions are at most so many times the written ones, however quick the movement.
    #[schemars(range(min = 1, max = 100))]
    pub count_at_most_times: u32,
}

/// One movement that usually stands in for another, with a fixed addition.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct NamedPair {
    /// Id of the written movement.
    pub from: String,
    /// Id of the movement that stands in.
    pub to: String,
    /// Repetitions added to each written amount, as far as the work stays within what was written.
    #[serde(default)]
    #[schemars(range(min = 0, max = 100))]
    pub extra_reps: u32,
    /// Where the addition comes from; shown in the reason.
    #[serde(default = "common_practice")]
    #[schemars(length(max = 40))]
    pub source: String,
}

/// Patterns that do similar work.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Related {
    /// Id of the written movement's pattern.
    pub pattern: String,
    /// Ids of the patterns to try, nearest first.
    #[serde(rename = "try")]
    pub instead: Vec<String>,
}

/// How much of a written load one implement of another kind gets.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Ratio {
    /// Load kind written: `bar`, `pair`, `single`, `added`.
    pub from: String,
    /// Load kind that stands in; for a pair the result is the load of each.
    pub to: String,
    /// Thousandths of the written load, at most 1000: a load is never raised.
    #[schemars(range(min = 1, max = 1000))]
    pub permille: u32,
}

/// Weights of the distance between two movements.
#[derive(Clone, Debug, Deserialize, JsonSchema, PartialEq, Eq)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Weights {
    /// For patterns that the two do not share, as a share of all their patterns.
    #[schemars(range(min = 0, max = 10_000))]
    pub pattern: u32,
    /// For each step of demand on each region.
    #[schemars(range(min = 0, max = 10_000))]
    pub demand: u32,
    /// For each step of skill.
    #[schemars(range(min = 0, max = 10_000))]
    pub skill: u32,
    /// For each step away from the written kind of load: another implement, then a band, then none.
    #[schemars(range(min = 0, max = 10_000))]
    pub load_kind: u32,
    /// Where the sides are shared out otherwise.
    #[schemars(range(min = 0, max = 10_000))]
    pub sides: u32,
    /// Where the amount has to be counted in another measure.
    #[schemars(range(min = 0, max = 10_000))]
    pub measure: u32,
}

/// The house's own judgement, no source.
impl Default for Weights {
    fn default() -> Self {
        Weights { pattern: 60, demand: 20, skill: 10, load_kind: 15, sides: 5, measure: 10 }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Settings {
            pairs: default_pairs(),
            related: default_related(),
            ratios: default_ratios(),
            weights: Weights::default(),
            keep_count_within_percent: 25,
            count_at_most_times: 3,
        }
    }
}

fn common_practice() -> String {
    "common practice".into()
}

/// Ten repetitions more for lighter, one-armed work: common practice, no source.
fn default_pairs() -> Vec<NamedPair> {
    let families: [(&str, &[&str]); 3] = [
        (
            "alternating-dumbbell-snatch",
            &["snatch", "power-snatch", "hang-power-snatch", "hang-snatch", "high-hang-snatch"],
        ),
        ("alternating-dumbbell-clean", &["clean", "power-clean", "hang-power-clean", "hang-clean", "high-hang-clean"]),
        ("alternating-dumbbell-clean-and-jerk", &["clean-and-jerk"]),
    ];
    let pair = |to: &str, from: &str| NamedPair {
        from: from.into(),
        to: to.into(),
        extra_reps: 10,
        source: common_practice(),
    };
    families.iter().flat_map(|(to, family)| family.iter().map(move |from| pair(to, from))).collect()
}

/// The house's own judgement, no source.
fn default_related() -> Vec<Related> {
    [
        ("machine", "run rope whole-body"),
        ("run", "machine rope whole-body"),
        ("rope", "run jump machine whole-body"),
        ("jump", "squat lunge rope"),
        ("whole-body", "jump squat rope run trunk"),
        ("vertical-pull", "horizontal-pull arm"),
        ("horizontal-pull", "vertical-pull hinge arm"),
        ("vertical-press", "horizontal-press arm"),
        ("horizontal-press", "vertical-press arm"),
        ("front-squat", "squat lunge"),
        ("overhead-squat", "front-squat squat lunge"),
        ("squat", "lunge"),
        ("lunge", "squat"),
        ("hinge", "squat lunge trunk"),
        ("swing", "hinge jump"),
        ("snatch", "swing hinge whole-body"),
        ("clean", "hinge swing whole-body"),
        ("jerk", "vertical-press squat"),
        ("carry", "hinge trunk lunge run"),
        ("trunk", "rotation"),
        ("rotation", "trunk"),
        ("arm", "horizontal-pull horizontal-press"),
    ]
    .into_iter()
    .map(|(pattern, instead)| Related {
        pattern: pattern.into(),
        instead: instead.split(' ').map(String::from).collect(),
    })
    .collect()
}

/// A load that one hand or each hand gets out of a bar's: common practice, no source.
fn default_ratios() -> Vec<Ratio> {
    [
        ("bar", "bar", 1000),
        ("bar", "pair", 350),
        ("bar", "single", 400),
        ("pair", "pair", 1000),
        ("pair", "single", 1000),
        ("pair", "bar", 1000),
        ("single", "single", 1000),
        ("single", "pair", 500),
        ("single", "bar", 1000),
        ("added", "added", 1000),
    ]
    .into_iter()
    .map(|(from, to, permille)| Ratio { from: from.into(), to: to.into(), permille })
    .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn empty_settings_are_the_default_and_unknown_ones_are_refused() {
        assert_eq!(serde_json::from_str::<Settings>("{}").expect("every setting has a default"), Settings::default());
        assert!(serde_json::from_str::<Settings>(r#"{ "wieghts": {} }"#).is_err());
    }

    #[test]
    fn the_defaults_stay_within_their_own_schema() {
        let schema = schemars::schema_for!(Settings);
        let most = schema.pointer("/$defs/Ratio/properties/permille/maximum").and_then(serde_json::Value::as_u64);
        assert_eq!(most, Some(1000));
        assert!(default_ratios().iter().all(|ratio| (1..=1000).contains(&ratio.permille)));
        assert!(default_pairs().iter().all(|pair| pair.extra_reps <= 100 && pair.source.len() <= 40));
    }

    #[test]
    fn no_pattern_is_related_twice_or_to_itself() {
        let related = default_related();
        for (at, one) in related.iter().enumerate() {
            assert!(!one.instead.contains(&one.pattern), "{}", one.pattern);
            assert!(related[at + 1..].iter().all(|other| other.pattern != one.pattern), "{}", one.pattern);
        }
    }
}
