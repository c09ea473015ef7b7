//! Plans that nobody planned: any heats, bars, times and names.

use proptest::prelude::*;
use serde_json::{Value, json};

use crate::document::PlanDoc;

/// Names that are hard to draw: wide, combining, alike, long, right to left, and with signs that mean something in XML
/// or to a terminal.
const NAMES: [&str; 12] = [
    "Ama Tidewell",
    "Bram Oakhollow",
    "Ama Tidewell",
    "Asa Thornfield-Wintermere of the Long Quay",
    "山田 太郎",
    "Zoe\u{301} E\u{301}tang",
    "<b>&\"Quill'",
    "نور الدين",
    "O",
    "Dagny\u{1b}[31m Farrowlight\u{202e}",
    "👩‍👩‍👧 Wavecrest",
    "   ",
];

const KINDS: [&str; 6] = ["Preparation", "Skill", "Strength", "Conditioning", "Cool-down", "Strength"];

/// What a made-up plan holds.
#[derive(Clone, Debug)]
pub(super) struct Wanted {
    pub(super) heats: u32,
    pub(super) people: usize,
    pub(super) bars: usize,
    pub(super) parts: u32,
    pub(super) sets: u32,
    /// Numbers that lengths and gaps are taken from, round and round.
    pub(super) numbers: Vec<u32>,
    pub(super) length_s: u32,
    pub(super) starts: Option<String>,
}

impl Default for Wanted {
    fn default() -> Self {
        let (heats, people, bars, parts, sets) = (1, 1, 0, 3, 3);
        Wanted { heats, people, bars, parts, sets, numbers: vec![20, 90, 45], length_s: 3600, starts: None }
    }
}

pub(super) fn plans() -> impl Strategy<Value = PlanDoc> {
    let hour = prop_oneof![Just(None), Just(Some("23:30".to_owned()))];
    let numbers = proptest::collection::vec(prop_oneof![0_u32..30, 1_u32..400], 1..30);
    (1_u32..7, 1_usize..30, 0_usize..10, 1_u32..7, 1_u32..7, numbers, 300_u32..9000, hour).prop_map(
        |(heats, people, bars, parts, sets, numbers, length_s, starts)| {
            plan(&Wanted { heats, people, bars, parts, sets, numbers, length_s, starts })
        },
    )
}

/// The plan. Every athlete takes turns at the bars; a heat does all parts, some of which overlap.
pub(super) fn plan(wanted: &Wanted) -> PlanDoc {
    let mut numbers = wanted.numbers.iter().copied().cycle();
    let mut number = move || numbers.next().unwrap_or(1);
    let name = |at: usize| NAMES[at % NAMES.len()];
    let cards = (0..wanted.people).map(|at| {
        json!({"athlete": format!("a{at}"), "name": name(at), "place": "floor", "items": [], "trace": [],
               "needs_coach": []})
    });
    let cards: Vec<Value> = cards.collect();
    let mut heats: Vec<Value> = Vec::new();
    for heat in 0..wanted.heats {
        let (mut at_s, mut starts) = (number() * heat, Vec::new());
        for part in 1..=wanted.parts {
            for set in 1..=if part % 2 == 0 { wanted.sets } else { 1 } {
                let end_s = at_s + number();
                starts.push(json!({"part": part, "set": set, "start_s": at_s, "end_s": end_s}));
                at_s = end_s + number();
            }
            at_s = at_s.saturating_sub(number() / 2);
        }
        let who: Vec<String> =
            (0..wanted.people).filter(|at| *at as u32 % wanted.heats == heat).map(|at| format!("a{at}")).collect();
        heats.push(json!({"heat": heat + 1, "athletes": who, "starts": starts}));
    }
    let bars = (0..wanted.bars).map(|bar| {
        let (mut at_s, mut uses) = (number(), Vec::new());
        for used in 0..number() % 16 {
            let pairs = number() % 5;
            let start_s = at_s + pairs * 5;
            let end_s = start_s + number();
            uses.push(json!({"athlete": format!("a{}", (used as usize + bar) % wanted.people), "part": 1 + used % wanted.parts,
                "set": 1 + used % wanted.sets, "total_kg": 20.0 + f64::from(number() % 90) * 1.25, "side_kg": [10.0, 1.25],
                "pairs_moved": pairs, "setup_from_s": at_s, "start_s": start_s, "end_s": end_s}));
            at_s = end_s + number() % 60;
        }
        json!({"bar": format!("<{bar}>"), "kind": "20 kg bar", "bar_kg": 20.0, "uses": uses})
    });
    let bars: Vec<Value> = bars.collect();
    let ends = |list: &[Value], inner: &str| -> u64 {
        list.iter()
            .flat_map(|v| v[inner].as_array().into_iter().flatten())
            .filter_map(|v| v["end_s"].as_u64())
            .max()
            .unwrap_or(0)
    };
    let finish_s = ends(&heats, "starts").max(ends(&bars, "uses"));
    let parts = (1..=wanted.parts).map(|part| {
        let kind = KINDS[(part as usize - 1) % KINDS.len()];
        json!({"part": part, "kind": kind.to_lowercase(), "heading": format!("{kind}, & so on {part}: 3 rounds"),
               "start_s": 0, "end_s": 0, "notes": []})
    });
    let mut session = json!({"title": "Made up <&>", "gym": "Hall \"Ü\"", "length_s": wanted.length_s,
        "finish_s": finish_s, "fits": true, "parts": parts.collect::<Vec<_>>()});
    if let Some(starts) = &wanted.starts {
        session["starts"] = json!(starts);
    }
    // Half of the bars come from another class, and are free as their first use begins.
    let free = bars.iter().step_by(2).map(|bar| {
        let free_from_s = bar["uses"][0]["setup_from_s"].as_u64().unwrap_or(0);
        json!({"bar": bar["bar"], "kind": "20 kg bar", "free_from_s": free_from_s, "side_kg": []})
    });
    let asked_bars: Vec<Value> = free.collect();
    let asked = json!({"window_s": 0, "now_s": 0, "start_step_s": 1, "coach_span": 0, "max_heats": 0,
        "setup_fixed_s": 0, "setup_pair_s": 0, "effort": 0, "collar_kg": 0.0, "athletes": [], "bouts": [], "stock": [],
        "bar_kinds": [], "bars": asked_bars, "plates": [], "taken": [], "together": [], "apart": []});
    let floor = json!({"finish_s": finish_s, "optimal": false, "laid_out_by": "policy", "plate_pairs_moved": 0,
        "heats": heats, "bars": bars, "asked": asked});
    let document = json!({"session": session, "cards": cards, "floor": floor, "faults": [], "cautions": [],
        "components": []});
    serde_json::from_value(document).expect("a plan")
}
