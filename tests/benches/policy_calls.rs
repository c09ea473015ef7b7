//! What a call of a policy costs beside the same rules called natively in the same run.
//!
//! Every call through the host has an instance of its own. The `nothing` rows are a policy that answers at once without
//! a change: what the border itself costs. Before anything is timed, both ways must give the same answer.
//!
//! Goals, for scaling: at 30 athletes of 10 items at most 20 µs above native, at 1,000 at most 0.3 µs an athlete above.

#[path = "support/class.rs"]
mod class;
#[path = "support/native.rs"]
mod native;

use class::{Sized, ample, house, loaded};
use classwright_planning::Class;
use classwright_policies::{CardAnswer, CardQuestion, Kind, PartFacts, Policy};
use classwright_sdk::{self as sdk, policy};
use classwright_tests::Answer;
use classwright_training::{AthleteIx, Card, Part};
use divan::Bencher;

fn main() {
    divan::main();
}

/// A class with its question in both forms.
struct Asked {
    class: Sized,
    parts: Vec<PartFacts>,
    cards: Vec<Card>,
    listed: sdk::ListedLibrary,
    question: sdk::Question,
}

impl Asked {
    fn new(athletes: usize) -> Self {
        let class = Sized::new(athletes);
        let (parts, cards) = (parts(&class), cards(&class));
        let listed = native::library(&class.library);
        let question = native::question(&host_question(&class, &parts, &cards), &class.library, &listed);
        assert_eq!(question.pieces.len(), athletes * 10, "ten items for each");
        Asked { class, parts, cards, listed, question }
    }

    fn call(&self, policy: &Policy, kind: Kind) -> CardAnswer {
        let question = host_question(&self.class, &self.parts, &self.cards);
        let answer = match kind {
            Kind::Scaling => policy.scale(&question, &self.class.library, &ample()),
            _ => policy.substitute(&question, &self.class.library, &ample()),
        };
        answer.expect("the policy answers").0
    }

    fn native(&self, kind: Kind) -> sdk::Answer {
        let answer = match kind {
            Kind::Scaling => policy::scale::<classwright_scaling::House>(&self.question, &self.listed),
            _ => policy::substitute::<classwright_substitution::House>(&self.question, &self.listed),
        };
        answer.expect("the rules answer")
    }

    /// The host's answer, after a look that the native one says the same.
    fn same(&self, policy: &Policy, kind: Kind) {
        let (host, native) = (self.call(policy, kind), self.native(kind));
        let host_says = host.changes.iter().map(|change| {
            let piece = self.question.athletes[change.athlete as usize].first_piece + change.piece;
            let becomes = change.becomes.map(|new| (new.movement.0, new.times, new.amount.high, new.top.grams()));
            (piece, becomes, host.reasons[change.reason as usize].text.as_str())
        });
        let native_says = native.changes.iter().map(|change| {
            let becomes = (change.movement, change.times, change.amount_high, change.load_top_g);
            let becomes = (change.off == 0).then_some(becomes);
            (change.piece, becomes, native.reasons[change.reason as usize].text.as_str())
        });
        assert!(host_says.eq(native_says), "{kind:?}: the component and the native rules differ");
        assert!(!host.changes.is_empty(), "{kind:?}: nobody's card changes");
    }
}

/// A card for each athlete, as the host makes it before any policy is asked.
fn cards(class: &Sized) -> Vec<Card> {
    let once = &class.athletes[..class.athletes.len().min(class.gym.athletes.len())];
    let planned = classwright_planning::plan(&Class { athletes: once, ..class.class(&[]) }).cards;
    let cards = planned.iter().map(|planned| &planned.card).cycle().take(class.athletes.len());
    cards.zip(0..).map(|(card, number)| Card { athlete: AthleteIx(number), ..card.clone() }).collect()
}

/// What a policy is told of the parts.
fn parts(class: &Sized) -> Vec<PartFacts> {
    let clocks = [(2, 0, 0), (5, 150, 750), (0, 0, 540), (1, 0, 0)];
    let facts = |(part, (rounds, interval_s, limit_s)): (&Part, _)| {
        let (kind, scheme) = (part.kind, part.scheme.id());
        PartFacts { kind, scheme, rounds, interval_s, limit_s }
    };
    class.session.parts.iter().zip(clocks).map(facts).collect()
}

fn host_question<'a>(class: &'a Sized, parts: &'a [PartFacts], cards: &'a [Card]) -> CardQuestion<'a> {
    CardQuestion {
        settings: "{}",
        length_s: class.session.length_s,
        allow: class.session.allow,
        athletes: &class.athletes,
        parts,
        cards,
        floor_kit: &class.gym.floor_kit,
        home_kits: &class.gym.home_kits,
    }
}

const SIZES: [usize; 2] = [30, 1000];

fn host(bencher: Bencher<'_, '_>, athletes: usize, kind: Kind) {
    let asked = Asked::new(athletes);
    let policy = loaded(&house(kind.id()));
    asked.same(&policy, kind);
    bencher.bench_local(|| asked.call(&policy, kind));
}

fn native(bencher: Bencher<'_, '_>, athletes: usize, kind: Kind) {
    let asked = Asked::new(athletes);
    bencher.bench_local(|| asked.native(kind));
}

fn nothing(bencher: Bencher<'_, '_>, athletes: usize, kind: Kind) {
    let asked = Asked::new(athletes);
    let policy = loaded(&Answer::cards(kind, &[], &[]).policy("nothing"));
    bencher.bench_local(|| asked.call(&policy, kind));
}

mod scaling {
    use super::*;

    #[divan::bench(args = SIZES)]
    fn component(bencher: Bencher<'_, '_>, athletes: usize) {
        super::host(bencher, athletes, Kind::Scaling);
    }

    #[divan::bench(args = SIZES)]
    fn native(bencher: Bencher<'_, '_>, athletes: usize) {
        super::native(bencher, athletes, Kind::Scaling);
    }

    /// With one athlete, hardly more than the start of an instance.
    #[divan::bench(args = [1, 30, 1000])]
    fn nothing(bencher: Bencher<'_, '_>, athletes: usize) {
        super::nothing(bencher, athletes, Kind::Scaling);
    }
}

mod substitution {
    use super::*;

    #[divan::bench(args = SIZES)]
    fn component(bencher: Bencher<'_, '_>, athletes: usize) {
        super::host(bencher, athletes, Kind::Substitution);
    }

    #[divan::bench(args = SIZES)]
    fn native(bencher: Bencher<'_, '_>, athletes: usize) {
        super::native(bencher, athletes, Kind::Substitution);
    }
}

/// 24 athletes on the floor, the same number of steps of the search both ways.
mod heats {
    use super::*;
    use classwright_training::floor::Floor;

    const EFFORT: u64 = 20_000;

    fn floor() -> Floor {
        let mut class = Sized::new(0);
        let on_floor = |athlete: &&classwright_training::Athlete| athlete.place == classwright_training::Place::Floor;
        class.athletes = class.gym.athletes.iter().filter(on_floor).take(24).cloned().collect();
        assert_eq!(class.athletes.len(), 24);
        classwright_planning::plan(&class.class(&[])).floor.floor
    }

    #[divan::bench(sample_count = 20)]
    fn component(bencher: Bencher<'_, '_>) {
        let (policy, floor) = (loaded(&house("heats")), floor());
        let call = || policy.plan_heats(&floor, "{}", EFFORT, &ample()).expect("there is a plan").0;
        let native = policy::plan_heats::<classwright_heats::HouseHeats>(&native::heats(&floor, EFFORT));
        let native = native.expect("there is a plan");
        assert_eq!(call().plan.heat_of, native.plan.heat_of, "the component and the native search differ");
        bencher.bench_local(call);
    }

    #[divan::bench(sample_count = 20)]
    fn native(bencher: Bencher<'_, '_>) {
        let question = native::heats(&floor(), EFFORT);
        bencher.bench_local(|| policy::plan_heats::<classwright_heats::HouseHeats>(&question));
    }
}
