//! Whatever is asked, no answer raises anything: the bounds that the host refuses an answer beyond, on made-up
//! classes. The bounds are written out here from the contract's words, apart from the rules.

use classwright_scaling::House;
use classwright_sdk::{
    Answer, Athlete, BodySide, Change, ClassFacts, KitRow, Library, Limitation, ListedLibrary, ListedMovement, Measure,
    Part, Piece, Question, Severity, Sides, policy,
};

/// Numbers that are the same on every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: u32) -> u32 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        (((self.0 >> 33) * u64::from(end)) >> 31) as u32
    }

    fn one_of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len() as u32) as usize]
    }
}

const KIT: [&str; 4] = ["barbell", "dumbbell", "kettlebell", "rig-place"];
const REGIONS: [&str; 3] = ["shoulder", "lower-back", "knee"];

fn library(dice: &mut Dice) -> ListedLibrary {
    let movement = |at: u32, dice: &mut Dice| ListedMovement {
        id: format!("movement-{at:02}"),
        patterns: vec![format!("pattern-{}", dice.below(3)), format!("pattern-{}", dice.below(3))],
        demand: REGIONS.iter().map(|region| (region.to_string(), dice.below(4) as u8)).collect(),
        kit: (0..dice.below(2)).map(|_| (dice.one_of(&KIT).to_string(), 1 + dice.below(2))).collect(),
        load_kind: dice.one_of(&["none", "bar", "pair", "single", "machine", "band", "added"]).into(),
        skill: 1 + dice.below(5),
        sides: dice.below(3),
        rep_ms: dice.one_of(&[0, 1500, 2500, 4000]),
        metre_ms: dice.one_of(&[0, 0, 250, 600]),
        calorie_ms: dice.one_of(&[0, 0, 4000]),
        timed: dice.below(2) == 1,
        easier: (0..dice.below(3)).map(|_| format!("movement-{:02}", dice.below(24))).collect(),
    };
    ListedLibrary::new((0..24).map(|at| movement(at, dice)).collect(), &KIT.map(String::from))
        .expect("each movement is well formed")
}

fn question(dice: &mut Dice, library: &ListedLibrary) -> Question {
    let texts = ["strength", "conditioning", "sets", "for-time"].map(String::from).to_vec();
    let parts = [(0, 2), (1, 3)].map(|(kind, scheme)| Part { kind, scheme, rounds: 3, interval_s: 0, limit_s: 0 });
    let (mut athletes, mut limitations, mut pieces) = (Vec::new(), Vec::new(), Vec::new());
    for athlete in 0..6 {
        let first_piece = pieces.len() as u32;
        for item in 0..6 {
            pieces.push(piece(dice, library, athlete, item));
        }
        for _ in 0..dice.below(3) {
            let severity = dice.one_of(&[Severity::Mild, Severity::Moderate, Severity::Severe]);
            limitations.push(Limitation { athlete, region: dice.one_of(&[1, 5, 7]), side: BodySide::Left, severity });
        }
        athletes.push(Athlete {
            column: 0,
            skill: dice.below(6),
            place: dice.below(2),
            return_week: dice.below(6),
            age_years: 0,
            body_mass_g: 0,
            first_piece,
            piece_count: 6,
        });
    }
    let facts = ClassFacts { length_s: 3600, may_raise_load: 0, may_raise_volume: 0, may_raise_demand: 0 };
    let kit = (0..4).map(|kit| KitRow { place: kit % 2, kit, load_g: 10_000, count: 1 + dice.below(2) }).collect();
    let (bests, tags, parts, settings) = (Vec::new(), Vec::new(), parts.to_vec(), String::new());
    Question { texts, settings, facts, athletes, limitations, bests, tags, parts, pieces, kit }
}

fn piece(dice: &mut Dice, library: &ListedLibrary, athlete: u32, item: u32) -> Piece {
    let movement = dice.below(24);
    let fact = library.facts(&[movement])[0];
    let measure = match dice.below(3) {
        0 if fact.metre_ms > 0 => Measure::Metres,
        1 if fact.calorie_ms > 0 => Measure::Calories,
        _ if fact.rep_ms > 0 => Measure::Repetitions,
        _ => Measure::Seconds,
    };
    let high = dice.below(13);
    let loaded = matches!(fact.load_kind, 1 | 2 | 3 | 6) && dice.below(4) > 0;
    let top = if loaded { 1 + dice.below(100_000) } else { 0 };
    Piece {
        athlete,
        part: item / 3,
        item: item.min(4),
        step: u32::from(item == 5),
        movement,
        times: dice.below(6),
        measure,
        sides: dice.one_of(&[Sides::Both, Sides::Each, Sides::Alternating]),
        amount_low: high.saturating_sub(dice.below(3)),
        amount_high: high,
        load_first_g: top - top / 4,
        load_top_g: top,
        best_permille: 0,
        effort_tenths: 70,
        range_percent: dice.one_of(&[100, 60, 1]),
        rep_ms: 0,
    }
}

#[test]
fn no_answer_raises_anything() {
    let (mut kept, mut swapped, mut off) = (0, 0, 0);
    for seed in 0..400 {
        let mut dice = Dice(seed);
        let library = library(&mut dice);
        let question = question(&mut dice, &library);
        let answer: Answer = policy::scale::<House>(&question, &library).expect("the house policy answers");
        kept += question.pieces.len() - answer.changes.len();
        for change in &answer.changes {
            let from = &question.pieces[change.piece as usize];
            off += change.off;
            if change.off == 0 {
                swapped += u32::from(change.movement != from.movement);
                let broken = broken(&question, &library, from, change);
                assert!(broken.is_none(), "seed {seed}: {broken:?}\n{from:?}\n{change:?}");
            }
        }
    }
    // The made-up classes reach every kind of answer.
    assert!(kept > 100 && swapped > 100 && off > 100, "{kept} kept, {swapped} swapped, {off} off");
}

fn broken(question: &Question, library: &ListedLibrary, from: &Piece, to: &Change) -> Option<&'static str> {
    let facts = library.facts(&[from.movement, to.movement]);
    let demands = library.demands(&[from.movement, to.movement]);
    let (before, after) = demands.split_at(demands.len() / 2);
    let swapped = from.movement != to.movement;
    let pace = |at: usize, measure: Measure| match measure {
        Measure::Repetitions => facts[at].rep_ms,
        Measure::Seconds => 1000,
        Measure::Metres => facts[at].metre_ms,
        Measure::Calories => facts[at].calorie_ms,
    };
    let in_all = |times: u32, high: u32, sides: Sides| {
        u64::from(times.max(1)) * u64::from(high) * if sides == Sides::Each { 2 } else { 1 }
    };
    let (was, is) = (in_all(from.times, from.amount_high, from.sides), in_all(to.times, to.amount_high, to.sides));
    let hands = |at: usize| if facts[at].load_kind == 2 { 2 } else { 1 };
    let place = question.athletes[from.athlete as usize].place;
    let there =
        |kit: u32| question.kit.iter().filter(|r| (r.place, r.kit) == (place, kit)).map(|r| r.count).sum::<u32>();
    let lighter = to.load_top_g > 0 && to.load_top_g < from.load_top_g;
    let written = was * u64::from(pace(0, from.measure));
    let in_proportion = written * u64::from(from.load_top_g) / u64::from(to.load_top_g.max(1));
    let longest = if lighter { in_proportion.min(written * 2) } else { written };
    let rules = [
        ("load", to.load_top_g > from.load_top_g || to.load_first_g > from.load_first_g),
        ("first load", to.load_first_g > to.load_top_g),
        ("demand", before.iter().zip(after).any(|(before, after)| after > before)),
        ("range", to.range_percent > from.range_percent || to.range_percent == 0),
        ("ends", to.amount_low > to.amount_high),
        ("nothing left", from.amount_high > 0 && to.amount_high == 0),
        ("clock", (to.times == 0) != (from.times == 0) || to.times > from.times),
        ("measure", pace(1, to.measure) == 0 || to.measure != from.measure),
        ("volume", !swapped && is > was),
        ("skill", swapped && facts[1].skill > facts[0].skill),
        ("kit", swapped && library.needs(&[to.movement]).iter().any(|need| there(need.kit) < need.count)),
        (
            "moved in all",
            from.load_top_g > 0
                && is * u64::from(to.load_top_g) * hands(1) > was * u64::from(from.load_top_g) * hands(0),
        ),
        ("seconds", swapped && is * u64::from(pace(1, to.measure)) > longest),
    ];
    rules.into_iter().find(|(_, broken)| *broken).map(|(rule, _)| rule)
}
