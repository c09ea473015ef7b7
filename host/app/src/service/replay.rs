//! A plan computed anew from what it was made from, and held against what it was.
//!
//! The same bytes, or the difference by name: what is not kept any more, another host, or the first places at which the
//! two documents differ. Nothing is written.

use std::collections::BTreeMap;

use classwright_store::db::{DbError, digest, plans};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::shelf::DifferenceDoc;
use super::{Service, Who, plans as kept};
use crate::AppError;
use crate::inputs::{HOST, Inputs, Question, plan_from};

/// So many differences are told.
const TOLD: usize = 20;

/// What came of computing a plan anew.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ReplayDoc {
    /// The plan.
    pub plan: String,
    /// Whether the document came out byte for byte as it was made.
    pub same: bool,
    /// Version of the host that made it; absent where what it was made from was erased.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub made_by_host: Option<String>,
    /// Version of this host.
    pub this_host: String,
    /// SHA-256 of the document as it was made.
    pub digest: String,
    /// SHA-256 of the document as it came out; absent where it could not be computed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub came_out: Option<String>,
    /// What it was made from and is not kept any more, a sentence each. Where there is any, nothing was computed.
    pub gone: Vec<String>,
    /// Why it could not be computed, though everything was at hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failed: Option<String>,
    /// The first places at which the kept document and the new one differ, with what stands there.
    pub differences: Vec<DifferenceDoc>,
    /// How many more there are.
    pub more_differences: u64,
}

/// A plan with what it was made from, as far as that is kept.
pub(super) struct Past {
    /// Its document as it is kept.
    pub(super) body: String,
    /// Digest of the document as it was made.
    pub(super) digest: String,
    /// What it was made from; none where that was erased.
    pub(super) inputs: Option<Inputs>,
    /// What is not kept any more.
    pub(super) gone: Vec<String>,
}

impl Service {
    /// Computes a plan anew and says whether it is the same.
    pub async fn replay(&self, who: &Who, plan: &str) -> Result<ReplayDoc, AppError> {
        let past = self.past(who, plan).await?;
        let Past { body, digest: made, inputs, mut gone } = past;
        let mut doc = ReplayDoc {
            plan: plan.to_owned(),
            same: false,
            made_by_host: inputs.as_ref().map(|inputs| inputs.question.host.clone()),
            this_host: HOST.into(),
            digest: made,
            came_out: None,
            gone: Vec::new(),
            failed: None,
            differences: Vec::new(),
            more_differences: 0,
        };
        let Some(inputs) = inputs else {
            doc.gone = gone;
            return Ok(doc);
        };
        let mut moment = self.db().snapshot().await?;
        let components = self.components().fetch(&mut moment, &who.gym, &inputs.question.shelf).await?;
        drop(moment);
        for digest in components.gone() {
            let shelf = inputs.question.shelf.iter().filter(|entry| entry.digest == digest);
            let names: Vec<&str> = shelf.map(|entry| entry.policy.as_str()).collect();
            gone.push(format!("the component {digest} of {} is gone: install it again", names.join(", ")));
        }
        if !gone.is_empty() {
            doc.gone = gone;
            return Ok(doc);
        }
        let work = move || {
            let answer = plan_from(&inputs, &|digest, limits| components.load(digest, limits))?;
            kept::text(&answer.document)
        };
        match self.in_pool(&who.gym, work).await? {
            Ok(text) => {
                let came_out = digest(&text);
                doc.same = came_out == doc.digest;
                doc.came_out = Some(came_out);
                if text != body {
                    (doc.differences, doc.more_differences) = differences(plan, &body, &text)?;
                }
            }
            Err(error) => doc.failed = Some(error.to_string()),
        }
        Ok(doc)
    }

    /// A plan with what it was made from.
    pub(super) async fn past(&self, who: &Who, plan: &str) -> Result<Past, AppError> {
        let mut moment = self.db().snapshot().await?;
        let head = plans::head(&mut moment, &who.gym, plan).await?;
        let body = plans::body(&mut moment, &who.gym, plan).await?;
        let question = plans::inputs(&mut moment, &who.gym, plan).await?;
        let question: Option<Question> = serde_json::from_str(&question)
            .map_err(|error| DbError::Damaged(format!("what plan `{plan}` was made from: {error}")))?;
        let Some(question) = question else {
            let gone = "what it was made from was erased with somebody who was in it".to_owned();
            return Ok(Past { body, digest: head.digest, inputs: None, gone: vec![gone] });
        };
        let (mut texts, mut gone) = (BTreeMap::new(), Vec::new());
        for (name, digest) in question.files() {
            match plans::text(&mut moment, &who.gym, digest).await? {
                Some(text) if self::digest(&text) == digest => {
                    texts.insert(digest.to_owned(), text);
                }
                Some(_) => gone.push(format!("{name} is not what it was when the plan was made")),
                None => gone.push(format!("{name} was erased")),
            }
        }
        for other in question.plans() {
            match plans::body(&mut moment, &who.gym, &other.plan).await {
                Ok(text) if digest(&text) == other.digest => {
                    texts.insert(other.digest.clone(), text);
                }
                Ok(_) => gone.push(format!("plan {} is not what it was: somebody in it was erased since", other.plan)),
                Err(DbError::Missing { .. }) => gone.push(format!("plan {} is gone", other.plan)),
                Err(error) => return Err(error.into()),
            }
        }
        Ok(Past { body, digest: head.digest, inputs: Some(Inputs { question, texts }), gone })
    }
}

fn differences(plan: &str, kept: &str, new: &str) -> Result<(Vec<DifferenceDoc>, u64), AppError> {
    let read = |text: &str| -> Result<Value, DbError> {
        serde_json::from_str(text).map_err(|error| DbError::Damaged(format!("plan `{plan}`: {error}")))
    };
    let mut found = Vec::new();
    let mut count = 0;
    compare("", Some(&read(kept)?), Some(&read(new)?), &mut |place, from, to| {
        count += 1;
        if found.len() < TOLD {
            found.push(DifferenceDoc { place: place.to_owned(), from: from.cloned(), to: to.cloned() });
        }
    });
    if found.is_empty() {
        found.push(DifferenceDoc { place: "the bytes, and nothing that they say".into(), from: None, to: None });
        count = 1;
    }
    let more = count - found.len() as u64;
    Ok((found, more))
}

/// Learns of a place and of what stands there on either side.
type Found<'a> = dyn FnMut(&str, Option<&Value>, Option<&Value>) + 'a;

/// Tells every place at which two values differ, in order: `cards[3].items[0].load.total_kg`.
fn compare(place: &str, from: Option<&Value>, to: Option<&Value>, found: &mut Found<'_>) {
    match (from, to) {
        (Some(Value::Object(from)), Some(Value::Object(to))) => {
            let mut keys: Vec<&String> = from.keys().chain(to.keys()).collect();
            keys.sort();
            keys.dedup();
            for key in keys {
                let place = if place.is_empty() { key.clone() } else { format!("{place}.{key}") };
                compare(&place, from.get(key), to.get(key), found);
            }
        }
        (Some(Value::Array(from)), Some(Value::Array(to))) => {
            for at in 0..from.len().max(to.len()) {
                compare(&format!("{place}[{at}]"), from.get(at), to.get(at), found);
            }
        }
        (from, to) if from == to => {}
        (from, to) => found(place, from, to),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn differences_are_found_by_their_place_and_counted() {
        let kept = r#"{"cards":[{"load":40,"text":"a"},{"load":30}],"n":1}"#;
        let new = r#"{"cards":[{"load":42.5,"text":"a"},{"load":30},{"load":20}],"n":1}"#;
        let (found, more) = differences("p", kept, new).expect("both are JSON");
        let places: Vec<&str> = found.iter().map(|one| one.place.as_str()).collect();
        assert_eq!((places, more), (vec!["cards[0].load", "cards[2]"], 0));
        assert_eq!((&found[0].from, &found[0].to), (&Some(40.into()), &Some(42.5.into())));
        let list = |to: u32| Value::from((0..to).collect::<Vec<u32>>()).to_string();
        let (found, more) = differences("p", &list(0), &list(50)).expect("both are JSON");
        assert_eq!((found.len(), more), (TOLD, 30));
        let (spaced, _) = differences("p", "[1]", "[ 1 ]").expect("both are JSON");
        assert!(spaced[0].place.contains("bytes"));
    }
}
