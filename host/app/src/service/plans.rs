//! Plans of the data's classes: made, made again, looked at.
//!
//! A plan is made from what the class is at one moment and kept only where the class is still that; it is tried once
//! more where somebody changed it meanwhile. It never changes afterwards, and becomes the plan that stands.

use classwright_store::db::plans::{Head, New};
use classwright_store::db::{DbError, Write, digest, plans};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::cards::no_plan;
use super::components::AtHand;
use super::question::{self, Facts};
use super::shelf::note_outcome;
use super::{Page, Service, Who};
use crate::document::{ChangeDoc, FaultDoc, PlanDoc};
use crate::inputs::{Answer, Asked, HOST, Inputs, PlanInput, Question, plan_from};
use crate::{Again, AppError};

/// A plan, told in short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PlanHead {
    /// Its id.
    pub plan: String,
    /// The class.
    pub class: String,
    /// The plan that was planned anew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parent: Option<String>,
    /// SHA-256 of the document as it was made, hexadecimal.
    pub digest: String,
    /// Who had it made: a user's id.
    pub made_by: String,
    /// When, in milliseconds since 1970.
    pub made_at: i64,
}

/// A plan that was just made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MadeDoc {
    /// The plan. It stands now.
    pub plan: PlanHead,
    /// When its last bout ends, seconds into the class; 0 where there is no floor plan.
    pub finish_s: u32,
    /// Whether it is done by the end of the class.
    pub fits: bool,
    /// Athletes (ids) whose cards need the coach.
    pub needs_coach: Vec<String>,
    /// What went wrong with a policy.
    pub faults: Vec<FaultDoc>,
    /// Where the class was planned anew: what is different.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<ChangeDoc>,
}

/// A plan that is to be kept.
struct Made {
    document: PlanDoc,
    body: String,
    inputs: Inputs,
}

impl Service {
    /// Plans a class with whoever comes to it, around the other classes whose plans stand, and lets the plan stand.
    pub async fn plan(&self, who: &Who, class: &str) -> Result<MadeDoc, AppError> {
        for last in [false, true] {
            let (facts, inputs, components) = self.question(who, class).await?;
            let made = self.make(who, inputs, components).await?;
            let mut change = self.change(who).await?;
            if question::facts(change.conn(), &who.gym, class).await? == facts {
                return keep(change, class, None, made).await;
            }
            drop(change);
            if last {
                break;
            }
        }
        Err(stale(self, who, class).await)
    }

    /// Plans a class again around what has happened since the plan that stands was made.
    pub async fn replan(&self, who: &Who, class: &str, happened: &Again) -> Result<MadeDoc, AppError> {
        happened.read()?;
        let mut moment = self.db().snapshot().await?;
        let parent = plans::standing(&mut moment, &who.gym, class).await?;
        let parent = parent.ok_or_else(|| not_planned(class))?;
        let body = plans::body(&mut moment, &who.gym, &parent).await?;
        let shelf = question::asked_policies(&mut moment, &who.gym).await?;
        let components = self.components().fetch(&mut moment, &who.gym, &shelf).await?;
        drop(moment);
        // As it is now, not as it was made: whoever was erased since is planned with as nobody.
        let parent = PlanInput { plan: parent, digest: digest(&body) };
        let texts = [(parent.digest.clone(), body)].into();
        let asked = Asked::Again { parent: parent.clone(), happened: happened.clone() };
        let inputs = Inputs { question: Question { host: HOST.into(), asked, shelf }, texts };
        let made = self.make(who, inputs, components).await?;
        let mut change = self.change(who).await?;
        if plans::standing(change.conn(), &who.gym, class).await?.as_ref() != Some(&parent.plan) {
            drop(change);
            return Err(stale(self, who, class).await);
        }
        keep(change, class, Some(&parent.plan), made).await
    }

    /// A plan's document, byte for byte.
    pub async fn plan_text(&self, who: &Who, plan: &str) -> Result<String, AppError> {
        let mut conn = self.db().read().await?;
        Ok(plans::body(&mut conn, &who.gym, plan).await?)
    }

    /// A plan in short.
    pub async fn plan_head(&self, who: &Who, plan: &str) -> Result<PlanHead, AppError> {
        let mut conn = self.db().read().await?;
        Ok(plans::head(&mut conn, &who.gym, plan).await?.into())
    }

    /// The plan of a class that stands.
    pub async fn standing_plan(&self, who: &Who, class: &str) -> Result<Option<String>, AppError> {
        let mut conn = self.db().read().await?;
        Ok(plans::standing(&mut conn, &who.gym, class).await?)
    }

    /// The document of the plan of a class that stands, byte for byte.
    pub async fn standing_plan_text(&self, who: &Who, class: &str) -> Result<String, AppError> {
        let mut moment = self.db().snapshot().await?;
        let plan = plans::standing(&mut moment, &who.gym, class).await?.ok_or_else(|| no_plan(class))?;
        Ok(plans::body(&mut moment, &who.gym, &plan).await?)
    }

    /// Plans of a class, the newest first.
    pub async fn plans(
        &self,
        who: &Who,
        class: &str,
        after: Option<&str>,
        limit: usize,
    ) -> Result<Page<PlanHead>, AppError> {
        let mut moment = self.db().snapshot().await?;
        plans::standing(&mut moment, &who.gym, class).await?;
        let after = after.unwrap_or_default();
        let found = plans::of_class(&mut moment, &who.gym, class, after, limit as i64 + 1).await?;
        Ok(Page::of(found, limit, |head| head.plan.clone()).map(PlanHead::from))
    }

    /// What a class is to be planned from, at this moment.
    async fn question(&self, who: &Who, class: &str) -> Result<(Facts, Inputs, AtHand), AppError> {
        let mut moment = self.db().snapshot().await?;
        let facts = question::facts(&mut moment, &who.gym, class).await?;
        let gym = question::world(self.worlds(), &mut moment, &who.gym, facts.world).await?;
        let standing = question::standing(&mut moment, &who.gym, &facts).await?;
        let shelf = question::asked_policies(&mut moment, &who.gym).await?;
        let components = self.components().fetch(&mut moment, &who.gym, &shelf).await?;
        drop(moment);
        let inputs = question::of_class(&gym, &facts, standing, shelf);
        Ok((facts, inputs, components))
    }

    /// Answers a question in the pool.
    async fn make(&self, who: &Who, inputs: Inputs, components: AtHand) -> Result<Made, AppError> {
        self.in_pool(&who.gym, move || {
            let Answer { document } = plan_from(&inputs, &|digest, limits| components.load(digest, limits))?;
            let body = text(&document)?;
            Ok(Made { document, body, inputs })
        })
        .await?
        .inspect(|made: &Made| self.count_calls(&made.document))
    }

    fn count_calls(&self, document: &PlanDoc) {
        for fault in &document.faults {
            self.count_guest_call(&fault.digest, &fault.call, &fault.kind);
        }
        for asked in &document.components {
            let fails = |fault: &FaultDoc| (&fault.digest, &fault.call) == (&asked.digest, &asked.call);
            if !document.faults.iter().any(fails) {
                self.count_guest_call(&asked.digest, &asked.call, "answered");
            }
        }
    }
}

/// A plan's document as it is kept, and as `classwright plan --json` prints it.
pub(super) fn text(document: &PlanDoc) -> Result<String, AppError> {
    let text = serde_json::to_string_pretty(document);
    text.map(|text| text + "\n").map_err(|error| AppError::Fault(format!("a plan has no JSON form: {error}")))
}

/// Keeps a plan, counts what it says of the policies, and tells of it.
async fn keep(mut change: Write, class: &str, parent: Option<&str>, made: Made) -> Result<MadeDoc, AppError> {
    let Made { document, body, inputs } = made;
    let mut cards = Vec::new();
    for card in &document.cards {
        let text = serde_json::to_string(card);
        let text = text.map_err(|error| AppError::Fault(format!("a card has no JSON form: {error}")))?;
        cards.push((card.athlete.clone(), text));
    }
    let mut components: Vec<String> = inputs.question.shelf.iter().map(|entry| entry.digest.clone()).collect();
    components.sort();
    components.dedup();
    let question = inputs.question.text()?;
    let texts = question::own_texts(&inputs);
    let new =
        New { class, parent, body: &body, inputs: &question, texts: &texts, components: &components, cards: &cards };
    let plan = plans::insert(&mut change, &new).await?;
    note_outcome(&mut change, &plan, &document).await?;
    let gym = change.gym().to_owned();
    let head: PlanHead = plans::head(change.conn(), &gym, &plan).await?.into();
    let what = if parent.is_some() { "class.replanned" } else { "class.planned" };
    let told = json!({ "plan": plan, "parent": parent, "finish-s": document.session.finish_s });
    change.tell(class, "planned", &told).await?;
    let detail = json!({ "plan": plan, "parent": parent, "digest": head.digest });
    change.note(what, &format!("class:{class}"), detail).await?;
    change.commit().await?;
    let needs_coach = document.cards.iter().filter(|card| !card.needs_coach.is_empty());
    Ok(MadeDoc {
        plan: head,
        finish_s: document.session.finish_s,
        fits: document.session.fits,
        needs_coach: needs_coach.map(|card| card.athlete.clone()).collect(),
        faults: document.faults,
        changes: document.changes,
    })
}

/// Somebody was sooner, twice.
async fn stale(service: &Service, who: &Who, class: &str) -> AppError {
    match service.class(who, class).await {
        Ok(kept) => DbError::Stale { what: "class", id: class.to_owned(), now: kept.revision }.into(),
        Err(error) => error,
    }
}

fn not_planned(class: &str) -> AppError {
    AppError::input("", format!("class `{class}` has no plan yet: plan it first"))
}

impl From<Head> for PlanHead {
    fn from(head: Head) -> Self {
        let Head { plan, class, parent, digest, made_by, made_at } = head;
        PlanHead { plan, class, parent, digest, made_by, made_at }
    }
}
