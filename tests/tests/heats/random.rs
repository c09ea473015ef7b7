//! Small floors at random, as JSON in the form of the statement: scarce plates, late comers, rests with an end.

use proptest::collection::vec;
use proptest::prelude::*;
use serde_json::{Map, Value, json};

/// Ways to load a bar, inner plates first.
const CONFIGS: [&[f64]; 6] = [&[], &[20.0], &[20.0, 5.0], &[20.0, 2.5], &[5.0, 2.5], &[20.0, 20.0]];

/// What a bout may be: its seconds, its rests, and what it needs.
type Drawn = (u64, u64, Option<u64>, usize, usize, u64);

fn bout() -> impl Strategy<Value = Drawn> {
    let rest_more = prop_oneof![2 => Just(None), 1 => (0..6u64).prop_map(|tens| Some(10 * tens))];
    // Seconds, least rest, how much longer it may be, a bar (0 none, 1 and 2 types), its loading, machines.
    (1..13u64, 0..7u64, rest_more, 0..4usize, 0..CONFIGS.len(), 0..3u64)
        .prop_map(|(tens, rest, more, bar, config, kit)| (5 * tens, 10 * rest, more, bar, config, kit))
}

prop_compose! {
    /// A floor of up to so many athletes with up to three bouts each.
    pub(crate) fn floor(most_athletes: usize)(
        athletes in vec((prop_oneof![Just(0u64), Just(0), Just(45)], vec(bout(), 1..4)), 1..=most_athletes),
        coach in 1..4u64,
        spare_heats in 0..2usize,
        setup in (0..8u64, 0..8u64),
        machines in 1..3u64,
        bars in vec(prop_oneof![2 => Just(20u64), 1 => Just(15)], 1..4),
        pairs in [2..4u64, 1..3, 1..3],
        // One floor in eight may ask for what is not there.
        careless in prop::bool::weighted(0.125),
    ) -> Value {
        let there = There { machines, types: bars.clone(), careless };
        let heats = athletes.len().saturating_sub(spare_heats).max(1);
        let plates: Map<String, Value> =
            ["20", "5", "2.5"].iter().zip(pairs).map(|(size, pairs)| ((*size).to_owned(), json!(pairs))).collect();
        let bars: Vec<Value> =
            bars.iter().enumerate().map(|(at, kind)| json!({ "id": format!("b{at}"), "type": kind })).collect();
        let athletes: Vec<Value> = athletes.iter().enumerate().map(|(at, (ready, bouts))| {
            json!({ "id": format!("a{at}"), "ready": ready, "bouts": bouts.iter().map(|bout| there.written(bout)).collect::<Vec<_>>() })
        }).collect();
        json!({
            "format": "heats-1",
            "name": "drawn",
            "coach_limit": coach,
            "max_heats": heats,
            "setup_fixed_s": setup.0,
            "setup_pair_s": setup.1,
            "resources": { "rower": machines },
            "bars": bars,
            "plates": plates,
            "athletes": athletes,
        })
    }
}

/// What a floor has.
struct There {
    machines: u64,
    types: Vec<u64>,
    careless: bool,
}

impl There {
    fn written(&self, &(seconds, rest, more, bar, config, kit): &Drawn) -> Value {
        let wanted = if bar == 1 { 20 } else { 15 };
        let kind = if self.careless || self.types.contains(&wanted) { wanted } else { self.types[0] };
        let bar = match bar {
            1 | 2 => json!({ "type": kind, "config": CONFIGS[config] }),
            _ => Value::Null,
        };
        let most = if self.careless { 2 } else { self.machines };
        let kit = if bar.is_null() { kit.min(most) } else { 0 };
        json!({
            "dur": seconds,
            "rest_min": rest,
            "rest_max": more.map(|more| rest + more),
            "bar": bar,
            "use": if kit > 0 { json!({ "rower": kit }) } else { json!({}) },
        })
    }
}
