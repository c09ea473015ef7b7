//! Past classes planned with another shelf, to see what it would change. Nothing is written.
//!
//! Each plan is computed from what it was made from, with the shelf that is tried in place of its own, and held against
//! itself: class by class, athlete by athlete. A class that was planned anew is taken as it was planned first, since
//! what happened on that day is no matter of the shelf.

use std::collections::{BTreeMap, BTreeSet};

use classwright_store::record::LimitsRecord;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::replay::Past;
use super::{Service, Who};
use crate::AppError;
use crate::document::{CardDoc, FaultDoc, ItemDoc, PlanDoc};
use crate::inputs::{Asked, Inputs, Question, ShelfInput, plan_from};

/// A policy of the shelf that is tried, with an installed component.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TriedPolicy {
    /// Its name on the shelf.
    pub policy: String,
    /// The component.
    pub digest: String,
    /// The owner's settings.
    pub settings: Map<String, Value>,
    /// What one call may use.
    pub limits: LimitsRecord,
}

/// What a shelf would change in past classes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct AttemptDoc {
    /// Classes that were planned with it.
    pub classes: Vec<TriedClassDoc>,
    /// Classes that could not be.
    pub left_out: Vec<LeftOutDoc>,
    /// Everything together.
    pub total: TotalDoc,
}

/// A class that could not be planned with it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct LeftOutDoc {
    /// The plan.
    pub plan: String,
    /// Why.
    pub why: String,
}

/// What would differ in a class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TriedClassDoc {
    /// The class.
    pub class: String,
    /// The plan that it is held against.
    pub plan: String,
    /// When the last bout ended by that plan, seconds.
    pub finish_s: u32,
    /// When it would end.
    pub finish_then_s: u32,
    /// How many heats there were.
    pub heats: u32,
    /// How many there would be.
    pub heats_then: u32,
    /// Athletes (ids) who would start something at another time.
    pub moved: Vec<String>,
    /// Those whose cards would differ.
    pub athletes: Vec<TriedAthleteDoc>,
    /// Faults that this shelf would have and the plan has not: every check that it trips among them.
    pub faults: Vec<FaultDoc>,
    /// Faults that the plan has and this shelf would have too.
    pub faults_still: Vec<FaultDoc>,
    /// Faults that the plan has and this shelf would not have.
    pub faults_gone: u32,
}

/// What would differ for an athlete.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TriedAthleteDoc {
    /// The athlete.
    pub athlete: String,
    /// Their items that would differ.
    pub items: Vec<TriedItemDoc>,
    /// Whether they would need the coach, where that would differ.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub needs_coach_then: Option<bool>,
}

/// What would differ in an item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TriedItemDoc {
    /// From 1 through the whole session.
    pub item: u32,
    /// `load-up`, `load-down`, `movement`, `amount`, `off`, `on` or `other`; several may hold.
    pub what: Vec<String>,
    /// The item in words by the plan.
    pub from: String,
    /// As it would be.
    pub to: String,
    /// The heaviest load by the plan, kilograms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_kg: Option<f64>,
    /// As it would be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_then_kg: Option<f64>,
}

/// How many of each.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TotalDoc {
    /// Classes that would differ in anything.
    pub classes: u32,
    /// Cards that would differ.
    pub cards: u32,
    /// Items with more load.
    pub loads_up: u32,
    /// Items with less.
    pub loads_down: u32,
    /// Items with another movement.
    pub movements: u32,
    /// Items with another amount.
    pub amounts: u32,
    /// Items that would be off the card.
    pub off: u32,
    /// Items that would be back on it.
    pub on: u32,
    /// People who would start something at another time.
    pub moved: u32,
    /// Faults that there were not.
    pub faults: u32,
}

impl AttemptDoc {
    /// Takes in what came of further classes.
    pub(super) fn add(&mut self, more: AttemptDoc) {
        self.classes.extend(more.classes);
        self.left_out.extend(more.left_out);
        self.total = total(&self.classes);
    }
}

impl Service {
    /// The shelf of the gym as it is asked, to be changed and tried.
    pub async fn asked_shelf(&self, who: &Who) -> Result<Vec<TriedPolicy>, AppError> {
        let mut conn = self.db().read().await?;
        let asked = super::question::asked_policies(&mut conn, &who.gym).await?;
        let tried = |ShelfInput { policy, digest, settings, limits }: ShelfInput| {
            let Value::Object(settings) = settings else {
                return Err(AppError::Fault(format!("the settings of {policy} are no object")));
            };
            Ok(TriedPolicy { policy, digest, settings, limits })
        };
        asked.into_iter().map(tried).collect()
    }

    /// Plans past classes with a shelf and says what would differ from their plans.
    pub async fn attempt(&self, who: &Who, shelf: &[TriedPolicy], plans: &[String]) -> Result<AttemptDoc, AppError> {
        let shelf: Vec<ShelfInput> = shelf
            .iter()
            .map(|TriedPolicy { policy, digest, settings, limits }| ShelfInput {
                policy: policy.clone(),
                digest: digest.clone(),
                settings: Value::Object(settings.clone()),
                limits: *limits,
            })
            .collect();
        let mut doc = AttemptDoc::default();
        for plan in plans {
            match self.try_one(who, &shelf, plan).await? {
                Ok(class) => doc.classes.push(class),
                Err(why) => doc.left_out.push(LeftOutDoc { plan: plan.clone(), why }),
            }
        }
        doc.total = total(&doc.classes);
        Ok(doc)
    }

    async fn try_one(
        &self,
        who: &Who,
        shelf: &[ShelfInput],
        plan: &str,
    ) -> Result<Result<TriedClassDoc, String>, AppError> {
        let mut plan = plan.to_owned();
        let (body, inputs) = loop {
            let Past { body, inputs, gone, .. } = self.past(who, &plan).await?;
            let Some(Inputs { question: Question { asked, host, .. }, texts }) = inputs.filter(|_| gone.is_empty())
            else {
                return Ok(Err(gone.join("; ")));
            };
            if let Asked::Again { parent, .. } = asked {
                plan = parent.plan;
                continue;
            }
            break (body, Inputs { question: Question { host, asked, shelf: shelf.to_vec() }, texts });
        };
        let stood: PlanDoc = match serde_json::from_str(&body) {
            Ok(stood) => stood,
            Err(error) => return Ok(Err(format!("is a plan of another version ({error})"))),
        };
        let mut moment = self.db().snapshot().await?;
        let components = self.components().fetch(&mut moment, &who.gym, shelf).await?;
        drop(moment);
        if let Some(digest) = components.gone().first() {
            return Err(AppError::missing("component", digest));
        }
        let work = move || plan_from(&inputs, &|digest, limits| components.load(digest, limits));
        match self.in_pool(&who.gym, work).await? {
            Ok(answer) => Ok(Ok(class(&plan, &stood, &answer.document))),
            Err(error) => Ok(Err(error.to_string())),
        }
    }
}

fn class(plan: &str, stood: &PlanDoc, then: &PlanDoc) -> TriedClassDoc {
    let cards: BTreeMap<&str, &CardDoc> = then.cards.iter().map(|card| (card.athlete.as_str(), card)).collect();
    let both = stood.cards.iter().filter_map(|card| Some((card, *cards.get(card.athlete.as_str())?)));
    let same =
        |a: &FaultDoc, b: &FaultDoc| (&a.policy, &a.call, &a.kind, &a.rule) == (&b.policy, &b.call, &b.kind, &b.rule);
    let (still, new): (Vec<FaultDoc>, _) =
        then.faults.iter().cloned().partition(|fault| stood.faults.iter().any(|own| same(own, fault)));
    let gone = |fault: &&FaultDoc| !then.faults.iter().any(|own| same(own, fault));
    let (before, after) = (starts(stood), starts(then));
    let ids: BTreeSet<&str> = before.keys().chain(after.keys()).copied().collect();
    TriedClassDoc {
        class: stood.session.class.clone().unwrap_or_default(),
        plan: plan.to_owned(),
        finish_s: stood.session.finish_s,
        finish_then_s: then.session.finish_s,
        heats: stood.floor.heats.len() as u32,
        heats_then: then.floor.heats.len() as u32,
        moved: ids.into_iter().filter(|id| before.get(id) != after.get(id)).map(str::to_owned).collect(),
        athletes: both.filter_map(|(stood, then)| athlete(stood, then)).collect(),
        faults: new,
        faults_still: still,
        faults_gone: stood.faults.iter().filter(gone).count() as u32,
    }
}

/// When each athlete starts what, in order.
fn starts(document: &PlanDoc) -> BTreeMap<&str, Vec<u32>> {
    let mut starts: BTreeMap<&str, Vec<u32>> = BTreeMap::new();
    for heat in &document.floor.heats {
        for athlete in &heat.athletes {
            starts.entry(athlete).or_default().extend(heat.starts.iter().map(|start| start.start_s));
        }
    }
    starts.values_mut().for_each(|own| own.sort_unstable());
    starts
}

fn athlete(stood: &CardDoc, then: &CardDoc) -> Option<TriedAthleteDoc> {
    let items: Vec<TriedItemDoc> = stood.items.iter().zip(&then.items).filter_map(|(a, b)| item(a, b)).collect();
    let needs = !then.needs_coach.is_empty();
    let needs_coach_then = (needs == stood.needs_coach.is_empty()).then_some(needs);
    let differs = !items.is_empty() || needs_coach_then.is_some();
    differs.then(|| TriedAthleteDoc { athlete: stood.athlete.clone(), items, needs_coach_then })
}

fn item(stood: &ItemDoc, then: &ItemDoc) -> Option<TriedItemDoc> {
    let load = |item: &ItemDoc| item.load.as_ref().map(|load| load.total_kg);
    let (load_kg, load_then_kg) = (load(stood), load(then));
    let movements = |item: &ItemDoc| -> Vec<String> { item.movements.iter().map(|m| m.movement.clone()).collect() };
    let amounts = |item: &ItemDoc| -> Vec<(Option<u32>, u32, u32)> {
        item.movements.iter().map(|own| (own.times, own.least, own.most)).collect()
    };
    let mut what = Vec::new();
    match (stood.movements.is_empty(), then.movements.is_empty()) {
        (false, true) => what.push("off"),
        (true, false) => what.push("on"),
        (true, true) => {}
        (false, false) => {
            if movements(stood) != movements(then) {
                what.push("movement");
            } else if amounts(stood) != amounts(then) {
                what.push("amount");
            }
            match (load_kg.unwrap_or(0.0), load_then_kg.unwrap_or(0.0)) {
                (a, b) if b > a => what.push("load-up"),
                (a, b) if b < a => what.push("load-down"),
                _ => {}
            }
        }
    }
    let work = |item: &ItemDoc| (item.text.clone(), item.loads.clone(), item.up_to_kg, item.movements.clone());
    if what.is_empty() && work(stood) != work(then) {
        what.push("other");
    }
    (!what.is_empty()).then(|| TriedItemDoc {
        item: stood.item,
        what: what.into_iter().map(str::to_owned).collect(),
        from: stood.text.clone(),
        to: then.text.clone(),
        load_kg,
        load_then_kg,
    })
}

fn total(classes: &[TriedClassDoc]) -> TotalDoc {
    let items = || classes.iter().flat_map(|class| &class.athletes).flat_map(|athlete| &athlete.items);
    let count = |what: &str| items().filter(|item| item.what.iter().any(|own| own == what)).count() as u32;
    let differs = |class: &&TriedClassDoc| {
        !(class.athletes.is_empty() && class.moved.is_empty() && class.faults.is_empty() && class.faults_gone == 0)
            || class.finish_s != class.finish_then_s
            || class.heats != class.heats_then
    };
    TotalDoc {
        classes: classes.iter().filter(differs).count() as u32,
        cards: classes.iter().map(|class| class.athletes.len() as u32).sum(),
        loads_up: count("load-up"),
        loads_down: count("load-down"),
        movements: count("movement"),
        amounts: count("amount"),
        off: count("off"),
        on: count("on"),
        moved: classes.iter().map(|class| class.moved.len() as u32).sum(),
        faults: classes.iter().map(|class| class.faults.len() as u32).sum(),
    }
}
