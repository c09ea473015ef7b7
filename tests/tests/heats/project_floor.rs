//! A published project instance, with least and most lags between starts, as a floor of the contract.
//!
//! All activities are stages of one heat. What an activity takes of the resources is claimed by an athlete with one
//! bout at its stage; each lag is an athlete with a bout at either stage and the lag as rest. The JSON form of the
//! statement cannot carry this, since there nobody skips a stage; the contract can.
//!
//! An athlete's stages rise, so a most lag goes from the earlier stage to the later one. Where an instance says that A
//! starts at most x after B and nothing says that B starts first, B gets a shadow: a stage exactly `apart`
//! seconds later, after all others. Then A's stage comes first, and the shadow at least `apart - x` after it.
//! The floor's last bout lasts `apart` seconds longer, so that shadows never count: so much is taken off the finish.

use classwright_training::floor::{Bout, Floor, FloorAthlete, FloorStock};
use serde_json::Value;

/// The window: later than any plan.
const NO_END_S: u32 = 1_000_000_000;

/// An instance as a floor.
pub(crate) struct Project {
    pub(crate) floor: Floor,
    /// What the floor's finish is later than the project's.
    pub(crate) apart: u32,
    /// Activities by stage.
    pub(crate) order: Vec<usize>,
}

impl Project {
    pub(crate) fn new(instance: &Value) -> Self {
        let numbers = |value: &Value| -> Vec<i64> {
            value.as_array().expect("a list").iter().map(|number| number.as_i64().expect("a number")).collect()
        };
        let rows = |value: &Value| value.as_array().map_or(Vec::new(), |rows| rows.iter().map(numbers).collect());
        let durations = numbers(&instance["durations"]);
        let mut lags: Vec<(usize, usize, i64)> = Vec::new();
        for arc in rows(&instance["precedence"]) {
            lags.push((arc[0] as usize, arc[1] as usize, durations[arc[0] as usize]));
        }
        lags.extend(rows(&instance["lags_start_start"]).iter().map(|a| (a[0] as usize, a[1] as usize, a[2])));
        let implied = implied(durations.len(), &lags);
        let last = durations.len() - 1;
        for (activity, duration) in durations.iter().enumerate() {
            let after = implied[activity][last].unwrap_or(i64::MIN);
            assert!(activity == last || after >= *duration, "the last activity is the end of activity {activity}");
        }
        let is_before = |a: usize, b: usize| implied[a][b].is_some_and(|lag| lag >= 0);
        let mut order: Vec<usize> = (0..durations.len()).collect();
        order.sort_by_key(|b| (0..durations.len()).filter(|a| is_before(*a, *b)).count());
        let mut building = Building::new(&order, &durations);
        for (stock, capacity) in numbers(&instance["capacities"]).into_iter().enumerate() {
            building.floor.stock.push(FloorStock { name: format!("resource {stock}"), count: capacity as u32 });
        }
        for (activity, demand) in rows(&instance["demands"]).iter().enumerate() {
            let claims = (0..).zip(demand).filter(|(_, count)| **count > 0).map(|(kit, count)| (kit, *count as u32));
            building.work(building.stage_of[activity], durations[activity], claims.collect());
        }
        let widest = lags.iter().map(|lag| lag.2.abs()).max().unwrap_or(0);
        for (from, to, lag) in lags {
            let (stage, next) = (building.stage_of[from], building.stage_of[to]);
            if lag >= 0 && stage < next {
                building.rest(stage, next, lag, None);
            } else if lag < 0 && is_before(to, from) && next < stage {
                let least = implied[to][from].unwrap_or(0);
                building.rest(next, stage, least, Some(-lag));
            } else if lag >= 0 || !is_before(from, to) {
                let shadow = building.shadow(to, widest);
                building.rest(stage, shadow, widest + lag, None);
            }
        }
        let apart = building.end(widest);
        Project { floor: building.floor, apart, order }
    }
}

/// What all lags together say of each two starts; none where nothing is said. A floor for an instance whose lags
/// contradict each other is made all the same.
fn implied(activities: usize, lags: &[(usize, usize, i64)]) -> Vec<Vec<Option<i64>>> {
    let mut implied = vec![vec![None; activities]; activities];
    for &(from, to, lag) in lags {
        implied[from][to] = implied[from][to].max(Some(lag));
    }
    for by in 0..activities {
        for from in 0..activities {
            for to in 0..activities {
                if let (Some(first), Some(second)) = (implied[from][by], implied[by][to]) {
                    implied[from][to] = implied[from][to].max(Some(first + second));
                }
            }
        }
    }
    implied
}

struct Building {
    floor: Floor,
    stage_of: Vec<u32>,
    durations: Vec<i64>,
    /// Activities with a shadow, and its stage.
    shadows: Vec<(usize, u32)>,
}

impl Building {
    fn new(order: &[usize], durations: &[i64]) -> Self {
        let mut stage_of = vec![0; order.len()];
        for (stage, activity) in (0..).zip(order) {
            stage_of[*activity] = stage;
        }
        let floor = Floor {
            window_s: NO_END_S,
            start_step_s: 1,
            coach_span: 1,
            max_heats: 1,
            stage_count: order.len() as u32,
            loadings: vec![Vec::new()],
            ..Floor::default()
        };
        Building { floor, stage_of, durations: durations.to_vec(), shadows: Vec::new() }
    }

    fn work(&mut self, stage: u32, duration: i64, claims: Vec<(u32, u32)>) {
        self.athlete(&[(stage, duration, 0, None)], claims);
    }

    /// At least, and at most, so many seconds from the start of a stage to the start of a later one.
    fn rest(&mut self, stage: u32, later: u32, least: i64, most: Option<i64>) {
        self.athlete(&[(stage, 0, least, most), (later, 0, 0, None)], Vec::new());
    }

    fn shadow(&mut self, of: usize, apart: i64) -> u32 {
        if let Some((_, stage)) = self.shadows.iter().find(|(own, _)| *own == of) {
            return *stage;
        }
        let stage = self.floor.stage_count;
        self.floor.stage_count += 1;
        self.shadows.push((of, stage));
        self.rest(self.stage_of[of], stage, apart, Some(apart));
        stage
    }

    /// Where there are shadows, a bout at the end that is longer than they are late.
    fn end(&mut self, apart: i64) -> u32 {
        if self.shadows.is_empty() {
            return 0;
        }
        let end = self.floor.stage_count;
        self.floor.stage_count += 1;
        for activity in 0..self.durations.len() {
            self.rest(self.stage_of[activity], end, self.durations[activity], None);
        }
        self.work(end, apart, Vec::new());
        apart as u32
    }

    fn athlete(&mut self, bouts: &[(u32, i64, i64, Option<i64>)], claims: Vec<(u32, u32)>) {
        let athlete = self.floor.athletes.len() as u32;
        let first_bout = self.floor.bouts.len() as u32;
        for &(stage, duration, least, most) in bouts {
            self.floor.bouts.push(Bout {
                athlete,
                stage,
                duration_s: duration as u32,
                shortest_s: duration as u32,
                longest_s: duration as u32,
                rest_least_s: least as u32,
                rest_most_s: most.map(|most| most as u32),
                watch: 0,
                bar: None,
                claims: claims.clone(),
            });
        }
        self.floor.athletes.push(FloorAthlete { ready_s: 0, first_bout, bout_count: bouts.len() as u32 });
    }
}
