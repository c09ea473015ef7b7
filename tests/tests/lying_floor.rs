//! Floor plans that break a rule of the floor: each is refused under the rule's id, and the host's plain plan takes
//! over and passes the host's own check.
//!
//! Each lie starts from a plan that keeps every rule and changes one thing in it, so that nothing else can be the
//! reason for the refusal.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

use classwright_planning::{By, Plan, floor};
use classwright_policies::{FailureKind, Limits, Runtime};
use classwright_tests::{Answer, FREE, Fixture, LIMITED, runtime, shelve};
use classwright_training::floor::{Floor, HeatsAnswer};
use classwright_training::{BarType, Mass, PlateStock};

/// What is changed in an honest answer, and under which rule (or as what) it is refused.
struct Lie {
    says: &'static str,
    class: fn(&mut Fixture),
    tells: fn(&Floor, &mut HeatsAnswer),
    rule: &'static str,
}

/// Both athletes on the floor do their strength sets at stages 0 to 2, push-ups at 3 and the part for time at 4.
const LIES: &[Lie] = &[
    Lie {
        says: "two on one bar at once",
        class: |_| {},
        tells: |floor, answer| {
            together(floor, answer);
            let (one, other) = (bout(floor, 0, 0), bout(floor, 1, 0));
            answer.plan.bar_of[other] = answer.plan.bar_of[one];
        },
        rule: "bar-too-soon",
    },
    Lie {
        says: "no time to change the plates",
        class: |fixture| fixture.floor_kit.bars.truncate(1),
        // The plain plan starts the second heat as soon as the only bar is changed for it.
        tells: |_, answer| answer.plan.starts[1].iter_mut().flatten().for_each(|start| *start -= 5),
        rule: "bar-too-soon",
    },
    Lie {
        says: "plates that both need, at once",
        class: |fixture| {
            // Both squat 60 kg or more, and there is one pair of 20 kg plates.
            fixture.athletes[LIMITED].column = 0;
            let pairs = |kg: u32, pairs| PlateStock { mass: Mass::from_grams(kg * 1000), pairs };
            fixture.floor_kit.plates = vec![pairs(20, 1), pairs(5, 4)];
        },
        tells: together,
        rule: "plates-over-claimed",
    },
    Lie {
        says: "more at once than the coach can watch",
        class: |fixture| fixture.rules.coach_span = 1,
        tells: together,
        rule: "coach-span",
    },
    Lie {
        says: "two on one rowing machine",
        class: |fixture| {
            let row = fixture.library.find_kit("rowing-machine").unwrap();
            fixture.floor_kit.stock.iter_mut().filter(|stock| stock.kit == row).for_each(|stock| stock.count = 1);
        },
        tells: together,
        rule: "kit-over-claimed",
    },
    Lie {
        says: "a rest that is too short",
        class: |_| {},
        tells: |_, answer| *answer.plan.starts[0][1].as_mut().unwrap() -= 20,
        rule: "short-rest",
    },
    Lie {
        says: "a set before the one it follows",
        class: |_| {},
        tells: |_, answer| answer.plan.starts[0].swap(1, 2),
        rule: "short-rest",
    },
    Lie {
        says: "a rest that is too long",
        class: |_| {},
        tells: |_, answer| {
            let last = answer.plan.starts.len() - 1;
            answer.plan.starts[last].iter_mut().skip(1).flatten().for_each(|start| *start += 600);
        },
        rule: "long-rest",
    },
    Lie {
        says: "a start off the step",
        class: |_| {},
        tells: |_, answer| {
            let last = answer.plan.starts.len() - 1;
            answer.plan.starts[last].iter_mut().flatten().for_each(|start| *start += 1);
        },
        rule: "off-step",
    },
    Lie {
        says: "no bar for who needs one",
        class: |_| {},
        tells: |floor, answer| answer.plan.bar_of[bout(floor, 0, 0)] = None,
        rule: "no-bar",
    },
    Lie {
        says: "a bar for push-ups",
        class: |_| {},
        tells: |floor, answer| answer.plan.bar_of[bout(floor, 0, 3)] = Some(0),
        rule: "needless-bar",
    },
    Lie {
        says: "a bar of another type",
        class: |fixture| {
            let bar = BarType { id: "bar-10".into(), name: "10 kg bar".into(), mass: Mass::from_grams(10_000) };
            fixture.floor_kit.bar_types.push(bar);
            fixture.floor_kit.bars[2].bar_type = 2;
        },
        tells: |floor, answer| answer.plan.bar_of[bout(floor, 0, 0)] = Some(2),
        rule: "wrong-bar",
    },
    Lie {
        says: "a heat more than the gym has",
        class: |fixture| fixture.rules.max_heats = 1,
        tells: |_, _| {},
        rule: "too-many-heats",
    },
    Lie {
        says: "a bound above its own plan",
        class: |_| {},
        tells: |floor, answer| answer.lower_bound_s = floor.finish_s(&answer.plan) + 1,
        rule: "bound-above-plan",
    },
    Lie {
        says: "the best, without proof",
        class: |_| {},
        tells: |floor, answer| {
            answer.lower_bound_s = floor.finish_s(&answer.plan) - 1;
            answer.optimal = true;
        },
        rule: "optimal-without-proof",
    },
    // What has no shape at all is refused at the contract's border, before any rule is asked.
    Lie {
        says: "a start that is missing",
        class: |_| {},
        tells: |_, answer| answer.plan.starts[0][2] = None,
        rule: "answer-malformed: bout 2 has no start",
    },
    Lie {
        says: "heat numbers with a gap",
        class: |_| {},
        tells: |_, answer| answer.plan.heat_of = vec![1, 1],
        rule: "answer-malformed: nobody is in heat 0",
    },
    Lie {
        says: "a bar that is not on the floor",
        class: |_| {},
        tells: |floor, answer| answer.plan.bar_of[bout(floor, 0, 0)] = Some(3),
        rule: "answer-malformed: bout 0 has bar 3",
    },
    Lie {
        says: "nobody at all",
        class: |_| {},
        tells: |_, answer| answer.plan = Default::default(),
        rule: "answer-malformed: `heat-of` has 0 entries",
    },
];

/// Starts both heats at the same seconds, each with a bar of its own.
fn together(floor: &Floor, answer: &mut HeatsAnswer) {
    answer.plan.starts[1] = answer.plan.starts[0].clone();
    for (bout, bar) in floor.bouts.iter().zip(&mut answer.plan.bar_of) {
        *bar = bar.map(|_| answer.plan.heat_of[bout.athlete as usize]);
    }
}

/// Position of an athlete's bout at a stage.
fn bout(floor: &Floor, athlete: u32, stage: usize) -> usize {
    floor.bouts.iter().position(|bout| bout.athlete == athlete && bout.stage == stage as u32).unwrap()
}

/// A class where people go in two heats, and the honest answer for it.
fn honest(class: fn(&mut Fixture)) -> (Fixture, Plan, HeatsAnswer) {
    let mut fixture = Fixture::default();
    class(&mut fixture);
    // One at a time under the coach's eye: the plain plan then has two heats to lie about.
    let mut one_by_one = fixture.clone();
    one_by_one.rules.coach_span = 1;
    let plan = one_by_one.plan(&[]);
    let answer = HeatsAnswer { plan: plan.floor.layout.clone(), lower_bound_s: 0, optimal: false };
    (fixture, plan, answer)
}

fn asked(runtime: &Runtime, fixture: &Fixture, answer: &HeatsAnswer) -> Plan {
    let policy = shelve(runtime, &Answer::heats(answer).policy("floor-liar"), Limits::default()).unwrap();
    fixture.plan(&[policy])
}

#[test]
fn an_honest_plan_is_taken() {
    let runtime = runtime();
    let (fixture, plan, mut answer) = honest(|_| {});
    assert_eq!(answer.plan.starts.len(), 2, "{answer:?}");
    answer.lower_bound_s = plan.floor.floor.finish_s(&answer.plan);
    answer.optimal = true;
    let plan = asked(&runtime, &fixture, &answer);
    assert!(plan.faults.is_empty(), "{:?}", plan.faults);
    assert_eq!(plan.floor.layout, answer.plan);
    assert!(matches!(plan.floor.by, By::Policy(0)) && plan.floor.optimal);
}

#[test]
fn each_lie_is_refused_under_its_rule_and_people_go_in_turn() {
    let runtime = runtime();
    for lie in LIES {
        let (fixture, plan, mut answer) = honest(lie.class);
        (lie.tells)(&plan.floor.floor, &mut answer);
        let without = fixture.plan(&[]);
        let plan = asked(&runtime, &fixture, &answer);
        let [fault] = &plan.faults[..] else { panic!("{}: {:?}", lie.says, plan.faults) };
        assert_eq!(fault.failure.call, "plan-heats", "{}", lie.says);
        match (&fault.failure.kind, lie.rule.split_once(": ")) {
            (FailureKind::RuleBroken { rule, detail }, None) => assert_eq!(rule, lie.rule, "{}: {detail}", lie.says),
            (kind, Some((id, what))) => {
                assert_eq!(kind.id(), id, "{}", lie.says);
                assert!(kind.for_author().contains(what), "{}: {}", lie.says, kind.for_author());
            }
            (other, None) => panic!("{}: {other:?}", lie.says),
        }
        taken_over(&plan, &without, lie);
    }
}

/// The host's plan is the one that it lays out without any policy, keeps every rule, and says so.
fn taken_over(plan: &Plan, without: &Plan, lie: &Lie) {
    assert_eq!(plan.floor.by, By::Host, "{}", lie.says);
    assert_eq!((plan.floor.lower_bound_s, plan.floor.optimal), (None, false), "{}", lie.says);
    assert_eq!(plan.floor.layout, without.floor.layout, "{}", lie.says);
    assert_eq!(floor::check(&plan.floor.floor, &plan.floor.layout), [], "{}", lie.says);
    let told = |part: &str| plan.notices.iter().any(|notice| notice.contains(part));
    assert!(told("floor-liar 1.0.0") && told("in turn"), "{}: {:?}", lie.says, plan.notices);
    assert!(plan.cards[FREE].needs_coach.is_empty(), "{}: {:?}", lie.says, plan.cards[FREE].needs_coach);
}
