//! Well-formed answers that break the trade's rules: each is refused whole, with the id of the rule, and its innocent
//! change with it. What the coach allows for a class goes through, and nothing else does.
//!
//! Each lie is a change to one piece of the fixture's cards, carried by a real component.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

use classwright_planning::{By, OnShelf, Plan, checks};
use classwright_policies::{FailureKind, Kind, Limits, NewPiece, Runtime};
use classwright_tests::{Answer, Change, FREE, Fixture, HOME, LIMITED, items, runtime, shelve, told, undone};
use classwright_training::session::{Allow, Line};
use classwright_training::{Amount, AthleteIx, Load, Mass, Measure, Sides};

const NOTHING: Allow = Allow { load: false, volume: false, demand: false };
const LOAD: Allow = Allow { load: true, ..NOTHING };
const VOLUME: Allow = Allow { volume: true, ..NOTHING };
const DEMAND: Allow = Allow { demand: true, ..NOTHING };
const ALL: Allow = Allow { load: true, volume: true, demand: true };

/// A lie about one piece: what it says, which rule it breaks, and what the coach may allow that lets it through.
struct Lie {
    says: &'static str,
    kind: Kind,
    athlete: usize,
    item: usize,
    tells: fn(&Fixture, Change) -> Change,
    rule: &'static str,
    passes_with: Option<Allow>,
}

const fn lie(says: &'static str, athlete: usize, item: usize, rule: &'static str) -> Lie {
    Lie { says, kind: Kind::Scaling, athlete, item, tells: |_, change| change, rule, passes_with: None }
}

/// The fixture's squat is 3 x 5 at 60, 50 and 70 kg, its press 3 x 10 at 30 kg (20 kg for the limited athlete).
const LIES: &[Lie] = &[
    Lie {
        tells: |_, change| Change { load_g: [60_000, 75_000], ..change },
        passes_with: Some(LOAD),
        ..lie("a higher top load", FREE, items::SQUAT, "load-raised")
    },
    Lie {
        tells: |_, change| Change { load_g: [65_000, 70_000], ..change },
        passes_with: Some(LOAD),
        ..lie("a higher first load under the same top", FREE, items::SQUAT, "load-raised")
    },
    Lie {
        tells: |_, change| Change { load_g: [5_000, 5_000], ..change },
        ..lie("a load where there was none", FREE, items::PUSH_UP, "load-raised")
    },
    Lie {
        kind: Kind::Substitution,
        tells: |_, change| Change { load_g: [35_000, 35_000], ..change },
        passes_with: Some(LOAD),
        ..lie("a higher load in a substitution", FREE, items::PRESS, "load-raised")
    },
    Lie {
        tells: |_, change| Change { times: 4, ..change },
        passes_with: Some(VOLUME),
        ..lie("a set more", FREE, items::SQUAT, "volume-raised")
    },
    Lie {
        tells: |_, change| Change { amount: [11, 11], ..change },
        passes_with: Some(VOLUME),
        ..lie("a repetition more", LIMITED, items::PUSH_UP, "volume-raised")
    },
    Lie {
        tells: |_, change| Change { amount: [5, 11], ..change },
        passes_with: Some(VOLUME),
        ..lie("a range that ends above", FREE, items::PUSH_UP, "volume-raised")
    },
    Lie {
        tells: |_, change| Change { amount: [6, 6], sides: Sides::Each, ..change },
        passes_with: Some(VOLUME),
        ..lie("six on each side for ten in all", FREE, items::PUSH_UP, "volume-raised")
    },
    Lie {
        tells: |_, change| Change { amount: [250, 250], ..change },
        passes_with: Some(VOLUME),
        ..lie("fifty metres more", FREE, items::ROW, "volume-raised")
    },
    Lie {
        tells: |fixture, change| {
            let movement = fixture.movement("dumbbell-press");
            Change { movement, load_g: [10_000, 10_000], amount: [16, 16], ..change }
        },
        passes_with: Some(VOLUME),
        ..lie("320 kg moved with two implements for 300 kg with a bar", FREE, items::PRESS, "volume-raised")
    },
    Lie {
        tells: |fixture, change| Change { movement: fixture.movement("incline-push-up"), amount: [11, 11], ..change },
        passes_with: Some(VOLUME),
        ..lie("an easier movement for longer", FREE, items::PUSH_UP, "volume-raised")
    },
    Lie {
        tells: |_, change| Change { measure: Measure::Calories, amount: [20, 20], ..change },
        passes_with: Some(VOLUME),
        ..lie("60 s of rowing by the calorie for 50 s by the metre", FREE, items::ROW, "volume-raised")
    },
    Lie {
        tells: |fixture, change| Change { movement: fixture.movement("bodyweight-squat"), amount: [5, 5], ..change },
        passes_with: Some(DEMAND),
        ..lie("demand on the knees, which nothing limits", FREE, items::PUSH_UP, "demand-raised")
    },
    Lie {
        kind: Kind::Substitution,
        tells: |fixture, change| Change { movement: fixture.movement("bodyweight-squat"), amount: [5, 5], ..change },
        passes_with: Some(DEMAND),
        ..lie("the same in a substitution, for an athlete limited elsewhere", LIMITED, items::PUSH_UP, "demand-raised")
    },
    Lie {
        tells: |fixture, change| Change { movement: fixture.movement("overhead-press"), amount: [5, 5], ..change },
        ..lie("more demand on the limited shoulder", LIMITED, items::PUSH_UP, "demand-raised")
    },
    Lie {
        kind: Kind::Substitution,
        tells: |fixture, change| Change { movement: fixture.movement("overhead-press"), amount: [5, 5], ..change },
        ..lie("the same in a substitution", LIMITED, items::PUSH_UP, "demand-brought-back")
    },
    Lie {
        tells: |fixture, change| Change { movement: fixture.movement("incline-push-up"), ..change },
        ..lie("a bench where there is none", HOME, items::PUSH_UP, "kit-not-there")
    },
    Lie {
        kind: Kind::Substitution,
        tells: |fixture, change| Change { movement: fixture.movement("incline-push-up"), ..change },
        ..lie("the same in a substitution", HOME, items::PUSH_UP, "kit-not-there")
    },
    Lie {
        tells: |_, change| Change { measure: Measure::Calories, amount: [1, 1], ..change },
        ..lie("push-ups by the calorie", FREE, items::PUSH_UP, "measure-unknown")
    },
    Lie {
        tells: |fixture, change| Change { movement: fixture.movement("plank"), ..change },
        ..lie("ten repetitions of a hold", FREE, items::PUSH_UP, "measure-unknown")
    },
    Lie {
        tells: |fixture, change| Change { movement: fixture.movement("dumbbell-press"), amount: [5, 5], ..change },
        passes_with: Some(LOAD),
        ..lie("two implements of 30 kg for a bar of 30 kg, half as often", FREE, items::PRESS, "load-raised")
    },
    Lie {
        tells: |_, change| Change { load_g: [30_000, 30_000], ..change },
        ..lie("a higher load, on a limited shoulder", LIMITED, items::PRESS, "load-raised")
    },
    Lie {
        tells: |_, change| Change { times: 1, amount: [15, 15], ..change },
        passes_with: Some(VOLUME),
        ..lie("three sets of five in one", FREE, items::SQUAT, "volume-raised")
    },
    Lie {
        tells: |_, change| Change { measure: Measure::Seconds, amount: [50, 50], load_g: [29_999; 2], ..change },
        passes_with: Some(VOLUME),
        ..lie("twice as long for a gram less", FREE, items::PRESS, "volume-raised")
    },
    Lie {
        tells: |fixture, change| Change { movement: fixture.movement("push-up"), ..change },
        ..lie("a load on push-ups", FREE, items::PRESS, "out-of-range")
    },
    Lie {
        tells: |_, change| Change { amount: [0, 0], ..change },
        ..lie("an amount of nothing", FREE, items::PUSH_UP, "out-of-range")
    },
    Lie {
        tells: |_, change| Change { times: 0, ..change },
        ..lie("no times at all where there were three", FREE, items::PUSH_UP, "out-of-range")
    },
];

/// The athlete and item of the innocent change that travels with each lie: one press repetition less, at home, where
/// no lie is told about the press.
fn innocent(fixture: &Fixture) -> Change {
    Change { amount: [9, 9], ..fixture.change(HOME, items::PRESS) }
}

fn answered(runtime: &Runtime, kind: Kind, changes: &[Change]) -> OnShelf {
    let answer = Answer::cards(kind, changes, &[("for-today", "Because it suits today.")]);
    shelve(runtime, &answer.policy("liar"), Limits::default()).unwrap()
}

/// The rule that the plan's only fault names, with its detail.
fn rule(plan: &Plan, says: &str) -> (String, String) {
    let [fault] = &plan.faults[..] else { panic!("{says}: {:?}", plan.faults) };
    match &fault.failure.kind {
        FailureKind::RuleBroken { rule, detail } => (rule.clone(), detail.clone()),
        other => panic!("{says}: {other:?}"),
    }
}

#[test]
fn each_lie_is_refused_whole_under_its_rule() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let without = fixture.plan(&[]);
    for lie in LIES {
        let changes = [innocent(&fixture), (lie.tells)(&fixture, fixture.change(lie.athlete, lie.item))];
        let policy = answered(&runtime, lie.kind, &changes);
        let plan = fixture.plan(std::slice::from_ref(&policy));
        let (rule, detail) = rule(&plan, lie.says);
        assert_eq!(rule, lie.rule, "{}: {detail}", lie.says);
        let who = format!("{}, item {}:", fixture.athletes[lie.athlete].name, lie.item + 1);
        assert!(detail.starts_with(&who), "{}: {detail}", lie.says);
        assert_eq!(told(&plan), told(&without), "{}", lie.says);
        for (card, athlete) in plan.cards.iter().zip(&fixture.athletes) {
            let why = card.needs_coach.iter().find(|why| why.contains("liar 1.0.0")).expect(lie.says);
            assert!(why.contains(lie.rule), "{}: {why}", lie.says);
            // What is wrong with one athlete's card is nothing for another's.
            assert!(fixture.athletes.iter().all(|other| !why.contains(&other.name)), "{}: {why}", athlete.name);
        }
    }
}

#[test]
fn the_innocent_change_alone_is_applied() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    for kind in [Kind::Scaling, Kind::Substitution] {
        let plan = fixture.plan(&[answered(&runtime, kind, &[innocent(&fixture)])]);
        assert!(plan.faults.is_empty(), "{:?}", plan.faults);
        assert_eq!(plan.cards[HOME].card.pieces[items::PRESS].amount.high, 9);
    }
}

#[test]
fn the_coach_lets_exactly_that_through() {
    let runtime = runtime();
    for lie in LIES {
        for (name, allow) in [("load", LOAD), ("volume", VOLUME), ("demand", DEMAND), ("all", ALL)] {
            let fixture = Fixture::default().allowing(allow);
            let change = (lie.tells)(&fixture, fixture.change(lie.athlete, lie.item));
            let plan = fixture.plan(&[answered(&runtime, lie.kind, &[change])]);
            let passes = lie.passes_with.is_some_and(|with| with == allow || allow == ALL);
            if !passes {
                assert_eq!(rule(&plan, lie.says).0, lie.rule, "{} with {name} allowed", lie.says);
                continue;
            }
            assert!(plan.faults.is_empty(), "{} with {name} allowed: {:?}", lie.says, plan.faults);
            let piece = &plan.cards[lie.athlete].card.pieces[lie.item];
            let arrived = (piece.movement, piece.times, piece.amount.high);
            assert_eq!(arrived, (change.movement, change.times, change.amount[1]), "{}", lie.says);
            assert_eq!(plan.cards[lie.athlete].trace[0].rule, "for-today", "{}", lie.says);
        }
    }
}

/// Scaling takes the shoulder's load away; the substitution wants what was written, no more. It is refused: it is more
/// than scaling left.
#[test]
fn a_substitution_does_not_bring_back_what_scaling_took_away() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let written = fixture.change(LIMITED, items::PRESS);
    let eased = Change { movement: fixture.movement("curl"), ..written };
    let shelf = [answered(&runtime, Kind::Scaling, &[eased]), answered(&runtime, Kind::Substitution, &[written])];
    let plan = fixture.plan(&shelf);
    assert_eq!(rule(&plan, "the written press").0, "demand-brought-back");
    assert_eq!(plan.cards[LIMITED].card.pieces[items::PRESS].movement, fixture.movement("curl"));
    // Not even where the coach allows more demand: that is said of the class, not of a sore shoulder.
    let fixture = fixture.allowing(ALL);
    assert_eq!(rule(&fixture.plan(&shelf), "the written press").0, "demand-brought-back");
}

#[test]
fn a_truthful_answer_is_applied_and_traced() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let change =
        Change { load_g: [50_000, 60_000], amount: [3, 5], effort_tenths: 70, ..fixture.change(FREE, items::SQUAT) };
    let plan = fixture.plan(&[answered(&runtime, Kind::Scaling, &[change])]);
    assert!(plan.faults.is_empty(), "{:?}", plan.faults);
    let change = &plan.cards[FREE].trace[0];
    assert_eq!((change.rule.as_str(), change.why.as_str()), ("for-today", "Because it suits today."));
    let By::Policy(at) = change.by else { panic!("{:?}", change.by) };
    let component = &plan.components[at];
    assert_eq!((component.name.as_str(), component.version.as_str(), component.call), ("liar", "1.0.0", "scale"));
    assert_eq!(change.from, undone(&plan, FREE)[items::SQUAT]);
    let loads: Vec<u32> = plan.cards[FREE].made[items::SQUAT].iter().map(|made| made.total.grams()).collect();
    assert_eq!(loads, [50_000, 40_000, 60_000]);
    assert!(plan.cards[FREE].needs_coach.is_empty(), "{:?}", plan.cards[FREE].needs_coach);
}

/// Numbers that no card can carry do not get past the contract's border; the rule behind it refuses them as well.
#[test]
fn numbers_out_of_range_are_refused_twice() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    type Wrong = fn(Change) -> Change;
    let cases: [(&str, Wrong); 6] = [
        ("amount-low 11 is above amount-high 10", |change| Change { amount: [11, 10], ..change }),
        ("load-first-g 70000 is above load-top-g 60000", |change| Change { load_g: [70_000, 60_000], ..change }),
        ("effort-tenths is 101", |change| Change { effort_tenths: 101, ..change }),
        ("range-percent is 0", |change| Change { range_percent: 0, ..change }),
        ("range-percent is 101", |change| Change { range_percent: 101, ..change }),
        ("times is 4294967295", |change| Change { times: u32::MAX, ..change }),
    ];
    let class = fixture.class(&[], &[]);
    let written = &undone(&fixture.plan(&[]), FREE)[items::SQUAT];
    for (says, wrong) in cases {
        let change = wrong(fixture.change(FREE, items::SQUAT));
        let plan = fixture.plan(&[answered(&runtime, Kind::Scaling, &[innocent(&fixture), change])]);
        let kind = &plan.faults[0].failure.kind;
        assert_eq!(kind.id(), "answer-malformed", "{says}: {kind:?}");
        assert!(kind.for_author().contains(says), "{says}: {}", kind.for_author());
        let broken = checks::broken(&class, Kind::Scaling, AthleteIx(FREE as u32), written, &new_piece(change));
        let rule = broken.map(|broken| broken.rule.id());
        let expected = if change.times > written.times { "volume-raised" } else { "out-of-range" };
        assert_eq!(rule, Some(expected), "{says}");
    }
}

fn new_piece(change: Change) -> NewPiece {
    let [low, high] = change.amount;
    NewPiece {
        movement: change.movement,
        times: change.times,
        amount: Amount { low, high, measure: change.measure, sides: change.sides },
        first: Mass::from_grams(change.load_g[0]),
        top: Mass::from_grams(change.load_g[1]),
        effort_tenths: change.effort_tenths,
        range_percent: change.range_percent,
    }
}

/// The fixture's sets are 60, 50 and 70 kg: the lighter one between stays as light when the last comes down.
#[test]
fn a_lighter_top_raises_no_set_between() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let change = Change { load_g: [60_000, 60_000], ..fixture.change(FREE, items::SQUAT) };
    let plan = fixture.plan(&[answered(&runtime, Kind::Scaling, &[change])]);
    let loads: Vec<u32> = plan.cards[FREE].made[items::SQUAT].iter().map(|made| made.total.grams()).collect();
    assert_eq!(loads, [60_000, 50_000, 60_000]);
}

/// An effort that was written is as much a bound as a load.
#[test]
fn effort_and_the_low_end_of_a_range_do_not_go_up() {
    let runtime = runtime();
    let mut fixture = Fixture::default();
    let Line::Work(item) = &mut fixture.session.parts[1].groups[0].lines[0] else { panic!("push-ups are work") };
    item.effort_tenths = Some(70);
    item.pieces[0].amount.as_mut().unwrap().low = 5;
    let written = fixture.change(FREE, items::PUSH_UP);
    let harder = Change { effort_tenths: 100, ..written };
    let more = Change { amount: [10, 10], ..written };
    for (change, expected) in [(harder, "load-raised"), (more, "volume-raised")] {
        let plan = fixture.plan(&[answered(&runtime, Kind::Scaling, &[change])]);
        assert_eq!(rule(&plan, expected).0, expected);
    }
}

/// A rule without a lie would be a rule that nobody has seen refuse anything.
#[test]
fn every_rule_has_a_lie() {
    for rule in checks::Rule::ALL {
        assert!(LIES.iter().any(|lie| lie.rule == rule.id()), "{rule:?}");
    }
}

/// A loaded movement that is answered without a load is asked about, not done without.
#[test]
fn a_load_that_nobody_names_is_asked_for() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let change = Change { load_g: [0, 0], ..fixture.change(FREE, items::PRESS) };
    let plan = fixture.plan(&[answered(&runtime, Kind::Scaling, &[change])]);
    assert!(plan.faults.is_empty(), "{:?}", plan.faults);
    assert!(matches!(plan.cards[FREE].card.pieces[items::PRESS].load, Load::Ask(_)));
}

/// Where the clock decides how many, no policy writes a number.
#[test]
fn as_many_as_they_can_does_not_become_a_number() {
    let runtime = runtime();
    let mut fixture = Fixture::default();
    let Line::Work(item) = &mut fixture.session.parts[1].groups[0].lines[0] else { panic!("push-ups are work") };
    let amount = item.pieces[0].amount.as_mut().unwrap();
    (amount.low, amount.high) = (0, 0);
    let change = Change { amount: [1000, 1000], ..fixture.change(FREE, items::PUSH_UP) };
    let plan = fixture.plan(&[answered(&runtime, Kind::Scaling, &[change])]);
    assert_eq!(rule(&plan, "1000 push-ups").0, "volume-raised");
}

/// Sets that a policy takes away are gone from the card's loads and from the floor.
#[test]
fn fewer_sets_are_fewer_everywhere() {
    let (runtime, fixture) = (runtime(), Fixture::default());
    let change = Change { times: 2, ..fixture.change(FREE, items::SQUAT) };
    let plan = fixture.plan(&[answered(&runtime, Kind::Scaling, &[change])]);
    assert_eq!(plan.cards[FREE].made[items::SQUAT].len(), 2, "the first two of three");
    let bars = |plan: &Plan| {
        let own = plan.floor.floor.bouts.iter().filter(|bout| bout.athlete == FREE as u32 && bout.bar.is_some());
        own.count()
    };
    assert_eq!(bars(&plan) + 1, bars(&fixture.plan(&[])));
}
