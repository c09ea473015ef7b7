//! Trying a policy on classes that were: what would have been different with it. Nothing is written.
//!
//! Each plan is made again with the shelf that it was made with, in which the policy is put in the place of its own name
//! or, where it was not asked then, at its place in the shelf of today. So only what the policy changes is told.

use std::time::{Duration, Instant};

use classwright_store::db::{AnyConnection, now_ms, plans, shelf};
use classwright_store::record::LimitsRecord;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::{Shelved, limits};
use crate::AppError;
use crate::inputs::{Asked, ShelfInput};
use crate::service::attempt::{AttemptDoc, TriedPolicy};
use crate::service::standing::{DAY_MS, first_day};
use crate::service::{Service, Who};

/// No gym has more classes in a year.
const MOST_CLASSES: i64 = 10_000;
/// After this a report is given with the classes that were planned so far: whoever waits for it has other patience than
/// a policy.
const LONG_ENOUGH: Duration = Duration::from_secs(30);

/// With what a policy is tried, and on which classes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TrialRequest {
    /// An installed component of the policy; the one that it stands with where it is left out.
    #[serde(default)]
    pub digest: Option<String>,
    /// Settings; those that are set where they are left out.
    #[serde(default)]
    pub settings: Option<Map<String, Value>>,
    /// Limits; those that are set where they are left out.
    #[serde(default)]
    pub limits: Option<LimitsRecord>,
    /// Classes of so many days up to today, 1 to 366; 30 where it is left out.
    #[serde(default)]
    pub days: Option<u32>,
    /// At most so many of these classes, the latest first; as many as there is time for where it is left out.
    #[serde(default)]
    pub classes: Option<u32>,
    /// Goes on behind this plan: what the report before gave as `next`.
    #[serde(default)]
    pub after: Option<String>,
}

/// What a policy would have changed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TrialDoc {
    /// The policy, as it was tried.
    pub tried: TriedPolicy,
    /// First day of the classes.
    pub from: String,
    /// Last day.
    pub until: String,
    /// What would differ.
    pub attempt: AttemptDoc,
    /// Every check that it would trip, and every other way in which it would fail; the most frequent first.
    pub trips: Vec<TripDoc>,
    /// Where there are more classes: what to ask for as `after` to go on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub next: Option<String>,
}

/// A way in which a policy would fail.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TripDoc {
    /// What would be called.
    pub call: String,
    /// Kind of failure.
    pub kind: String,
    /// The rule that would be broken, where one would.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// The classes.
    pub classes: Vec<String>,
}

impl Service {
    /// Tries a policy of the shelf, enabled or not, or another component of it, on the classes of the last days.
    pub async fn try_policy(&self, who: &Who, policy: &str, request: &TrialRequest) -> Result<TrialDoc, AppError> {
        let days = request.days.unwrap_or(30);
        if !(1..=366).contains(&days) {
            return Err(AppError::input("days", format!("is {days}; write 1 to 366")));
        }
        if request.classes == Some(0) {
            return Err(AppError::input("classes", "is 0; write 1 or more"));
        }
        // By the clock of UTC, today among them.
        let tomorrow = now_ms() + DAY_MS;
        let (from, until) = (first_day(tomorrow - i64::from(days) * DAY_MS), first_day(tomorrow));
        let mut conn = self.db().read().await?;
        let tried = tried(&mut conn, &who.gym, policy, request).await?;
        let found = plans::standing_of_days(&mut conn, &who.gym, (&from, &until), MOST_CLASSES).await?;
        drop(conn);
        let found: Vec<String> = found.into_iter().map(|head| head.plan).collect();
        let rest = behind(&found, request.after.as_deref())?;
        let wanted = request.classes.map_or(rest.len(), |classes| rest.len().min(classes as usize));
        let (attempt, done) = self.attempt_one(who, &tried, &rest[..wanted]).await?;
        let trips = trips(&attempt, &tried.digest);
        let next = rest[..done].last().filter(|_| done < rest.len()).cloned();
        Ok(TrialDoc { tried, from, until, attempt, trips, next })
    }

    /// Makes plans again with one policy in place of what it was, as many of them as there is time for.
    pub(super) async fn attempt_one(
        &self,
        who: &Who,
        tried: &TriedPolicy,
        plans: &[String],
    ) -> Result<(AttemptDoc, usize), AppError> {
        let begun = Instant::now();
        let order = shelf::whole(&mut *self.db().read().await?, &who.gym).await?;
        let order: Vec<String> = order.into_iter().map(|entry| entry.policy).collect();
        let (mut whole, mut done) = (AttemptDoc::default(), 0);
        for plan in plans {
            if done > 0 && begun.elapsed() > LONG_ENOUGH {
                break;
            }
            let shelf = with(self.shelf_of(who, plan).await?, tried, &order);
            whole.add(self.attempt(who, &shelf, std::slice::from_ref(plan)).await?);
            done += 1;
        }
        Ok((whole, done))
    }

    /// The shelf that a class was first planned with; empty where what it was made from was erased.
    async fn shelf_of(&self, who: &Who, plan: &str) -> Result<Vec<ShelfInput>, AppError> {
        let mut plan = plan.to_owned();
        loop {
            match self.past(who, &plan).await?.inputs.map(|inputs| inputs.question) {
                Some(question) => match question.asked {
                    Asked::Again { parent, .. } => plan = parent.plan,
                    Asked::Class { .. } => return Ok(question.shelf),
                },
                None => return Ok(Vec::new()),
            }
        }
    }
}

/// The plans behind one; all of them where none is named.
fn behind<'a>(plans: &'a [String], after: Option<&str>) -> Result<&'a [String], AppError> {
    let Some(after) = after else { return Ok(plans) };
    match plans.iter().position(|plan| plan == after) {
        Some(at) => Ok(&plans[at + 1..]),
        None => Err(AppError::input(
            "after",
            format!("names `{after}`, which is not among these classes any more: begin anew"),
        )),
    }
}

/// The policy as it is to be tried: what is asked for has to hold.
async fn tried(
    conn: &mut AnyConnection,
    gym: &str,
    policy: &str,
    request: &TrialRequest,
) -> Result<TriedPolicy, AppError> {
    let Shelved { entry, mut about } = super::entry(conn, gym, policy).await?;
    if let Some(digest) = request.digest.as_ref().filter(|digest| **digest != entry.digest) {
        about = super::about(conn, gym, digest).await?;
        if about.policy.name != policy {
            let problem = format!("is a component of `{}`, and the policy is `{policy}`", about.policy.name);
            return Err(AppError::input("digest", problem));
        }
    }
    let digest = about.policy.digest.clone();
    let schema = about.policy.settings_schema.clone();
    let stands = Shelved { entry, about }.doc()?.value;
    let settings = request.settings.clone().unwrap_or(stands.settings);
    super::must_hold(&Value::Object(settings.clone()).to_string(), &schema)?;
    let own = request.limits.unwrap_or(stands.limits);
    limits::in_range(&own)?;
    Ok(TriedPolicy { policy: policy.to_owned(), digest, settings, limits: own })
}

/// A shelf with a policy in place of its own name, or behind those that stand before it today.
fn with(shelf: Vec<ShelfInput>, tried: &TriedPolicy, order: &[String]) -> Vec<TriedPolicy> {
    let was = |ShelfInput { policy, digest, settings, limits }: ShelfInput| TriedPolicy {
        policy,
        digest,
        settings: settings.as_object().cloned().unwrap_or_default(),
        limits,
    };
    let mut shelf: Vec<TriedPolicy> = shelf.into_iter().map(was).collect();
    if let Some(own) = shelf.iter_mut().find(|own| own.policy == tried.policy) {
        own.clone_from(tried);
        return shelf;
    }
    let place = |policy: &str| order.iter().position(|own| own == policy);
    let before = |own: &TriedPolicy| place(&own.policy).is_some_and(|own| Some(own) < place(&tried.policy));
    let at = shelf.iter().rposition(before).map_or(0, |last| last + 1);
    shelf.insert(at, tried.clone());
    shelf
}

fn trips(attempt: &AttemptDoc, digest: &str) -> Vec<TripDoc> {
    let mut trips: Vec<TripDoc> = Vec::new();
    for class in &attempt.classes {
        for fault in class.faults.iter().chain(&class.faults_still).filter(|fault| fault.digest == digest) {
            let same =
                |trip: &&mut TripDoc| (&trip.call, &trip.kind, &trip.rule) == (&fault.call, &fault.kind, &fault.rule);
            match trips.iter_mut().find(same) {
                Some(trip) if trip.classes.contains(&class.class) => {}
                Some(trip) => trip.classes.push(class.class.clone()),
                None => trips.push(TripDoc {
                    call: fault.call.clone(),
                    kind: fault.kind.clone(),
                    rule: fault.rule.clone(),
                    classes: vec![class.class.clone()],
                }),
            }
        }
    }
    trips.sort_by_key(|trip| std::cmp::Reverse(trip.classes.len()));
    trips
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn on_shelf(names: &[&str]) -> Vec<ShelfInput> {
        let own = |name: &&str| ShelfInput {
            policy: (*name).into(),
            digest: "old".into(),
            settings: json!({}),
            limits: LimitsRecord::default(),
        };
        names.iter().map(own).collect()
    }

    fn names(shelf: &[TriedPolicy]) -> Vec<&str> {
        shelf.iter().map(|own| own.policy.as_str()).collect()
    }

    #[test]
    fn a_policy_takes_its_own_place_or_the_one_it_has_today() {
        let order: Vec<String> = ["a", "b", "c", "d"].map(str::to_owned).into();
        let limits = LimitsRecord::default();
        let tried =
            |policy: &str| TriedPolicy { policy: policy.into(), digest: "new".into(), settings: Map::new(), limits };
        let replaced = with(on_shelf(&["a", "b", "c"]), &tried("b"), &order);
        assert_eq!(names(&replaced), ["a", "b", "c"]);
        assert_eq!(replaced.iter().map(|own| own.digest.as_str()).collect::<Vec<_>>(), ["old", "new", "old"]);
        assert_eq!(names(&with(on_shelf(&["a", "c", "d"]), &tried("b"), &order)), ["a", "b", "c", "d"]);
        assert_eq!(names(&with(on_shelf(&["c"]), &tried("a"), &order)), ["a", "c"]);
        // One that is off the shelf today stays where it was.
        assert_eq!(names(&with(on_shelf(&["gone", "a"]), &tried("d"), &order)), ["gone", "a", "d"]);
    }
}
