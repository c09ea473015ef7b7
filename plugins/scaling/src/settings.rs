//! The rules as data: every number that the house policy decides by.
//!
//! An owner may set any of them; what is left out keeps its default. Percents are of what stands on the card, so 100
//! changes nothing and no setting can raise anything. Where a default has a source it is named; the others are common
//! practice, no source.

use classwright_sdk::{Declined, Severity};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Settings of the house scaling policy.
#[derive(Clone, Debug, Deserialize, Serialize, JsonSchema)]
#[serde(default, deny_unknown_fields, rename_all = "kebab-case")]
pub struct Settings {
    /// What a mild limitation allows.
    pub mild: Restriction,
    /// What a moderate limitation allows.
    pub moderate: Restriction,
    /// What a severe limitation allows.
    pub severe: Restriction,
    /// Load after a swap, by what carried it and what carries it then. A pair of load kinds that is not listed is not
    /// swapped under load; a swap to a movement without a mass always drops the load.
    pub load_ratios: Vec<LoadRatio>,
    /// Percent of the volume that stays where a movement asks for more skill than the athlete has and the library
    /// names no easier one that fits.
    #[schemars(range(min = 1, max = 100))]
    pub beyond_skill_volume_percent: u32,
    /// Percent cut from the volume of conditioning in week 1, 2 and so on after a break; nothing after the last.
    /// Default 50, 30, 20, 10: the published weekly cuts for conditioning after inactivity (Caterisano et al., CSCCa
    /// and NSCA joint consensus guidelines, Strength and Conditioning Journal 41(3):1-23, 2019).
    #[schemars(inner(range(min = 0, max = 99)))]
    pub return_conditioning_cut_percent: Vec<u32>,
    /// The same for strength and skill. The source above limits lifting by days and intensity, not by a weekly share;
    /// taking the same shares is common practice, no source.
    #[schemars(inner(range(min = 0, max = 99)))]
    pub return_lifting_cut_percent: Vec<u32>,
}

/// What a limitation of one severity allows. All four are to be named: one left out must not open what was closed.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Restriction {
    /// Highest demand on the region, 0 to 3. A movement above it is swapped or comes off.
    #[schemars(range(min = 0, max = 3))]
    pub highest_demand: u32,
    /// Percent of the load that stays where the demand is just at the highest.
    #[schemars(range(min = 1, max = 100))]
    pub load_percent: u32,
    /// Percent of the volume that stays there.
    #[schemars(range(min = 1, max = 100))]
    pub volume_percent: u32,
    /// Percent of the range of movement that stays there, for work counted in repetitions.
    #[schemars(range(min = 1, max = 100))]
    pub range_percent: u32,
}

/// Load after a swap between two kinds of load.
#[derive(Clone, Debug, Deserialize, Serialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct LoadRatio {
    /// What carried the load: `bar`, `pair`, `single`, `added`.
    pub from: String,
    /// What carries it then.
    pub to: String,
    /// Percent of the written load on each implement.
    #[schemars(range(min = 1, max = 100))]
    pub percent: u32,
}

impl Default for Settings {
    fn default() -> Self {
        let ratio = |from: &str, to: &str, percent| LoadRatio { from: from.into(), to: to.into(), percent };
        Settings {
            mild: Restriction { highest_demand: 2, load_percent: 100, volume_percent: 100, range_percent: 100 },
            moderate: Restriction { highest_demand: 1, load_percent: 80, volume_percent: 80, range_percent: 100 },
            severe: Restriction { highest_demand: 0, load_percent: 60, volume_percent: 60, range_percent: 75 },
            load_ratios: vec![
                ratio("bar", "bar", 80),
                ratio("bar", "pair", 35),
                ratio("bar", "single", 50),
                ratio("pair", "pair", 80),
                ratio("pair", "single", 100),
                ratio("single", "single", 80),
                ratio("single", "pair", 50),
                ratio("added", "added", 80),
            ],
            beyond_skill_volume_percent: 50,
            return_conditioning_cut_percent: vec![50, 30, 20, 10],
            return_lifting_cut_percent: vec![50, 30, 20, 10],
        }
    }
}

impl Settings {
    /// What a severity allows.
    pub fn restriction(&self, severity: Severity) -> &Restriction {
        match severity {
            Severity::Mild => &self.mild,
            Severity::Moderate => &self.moderate,
            Severity::Severe => &self.severe,
        }
    }

    /// Percent of the load on each implement after a swap, where the two kinds may stand for each other.
    pub fn load_ratio(&self, from: &str, to: &str) -> Option<u32> {
        self.load_ratios.iter().find(|ratio| ratio.from == from && ratio.to == to).map(|ratio| ratio.percent)
    }

    /// Settings that the schema lets through and that make no sense together are declined.
    pub fn check(&self) -> Result<(), Declined> {
        let (mild, moderate, severe) =
            (self.mild.highest_demand, self.moderate.highest_demand, self.severe.highest_demand);
        if mild < moderate || moderate < severe {
            return Err("Settings: a worse limitation may not allow a higher demand than a lesser one.".into());
        }
        let percents =
            [self.mild, self.moderate, self.severe].map(|r| [r.load_percent, r.volume_percent, r.range_percent]);
        let ratios = self.load_ratios.iter().map(|ratio| ratio.percent);
        let stays = percents.into_iter().flatten().chain(ratios).chain([self.beyond_skill_volume_percent]);
        if stays.into_iter().any(|percent| !(1..=100).contains(&percent)) {
            return Err("Settings: a percent that stays is between 1 and 100.".into());
        }
        if self.return_conditioning_cut_percent.iter().chain(&self.return_lifting_cut_percent).any(|cut| *cut > 99) {
            return Err("Settings: a cut after a break is between 0 and 99 percent.".into());
        }
        Ok(())
    }
}
