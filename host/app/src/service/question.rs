//! What a class of the data is planned from, read at one moment, and made a question.
//!
//! [`Facts`] are read before planning and again in the change that keeps the plan: where they differ, the class was
//! changed in between and the plan is one of yesterday. Cost: a few rows of the class, its day and its neighbours' plans;
//! what all classes share is read once for each state of the gym.

use std::collections::BTreeMap;
use std::sync::Arc;

use classwright_store::db::plans::Neighbour;
use classwright_store::db::{AnyConnection, DbError, attendance, gyms, plans, records, shelf};
use classwright_store::record::{ClassRecord, GymRecords};
use moka::sync::Cache;
use serde::Deserialize;

use crate::AppError;
use crate::document::iso;
use crate::hour::{Hour, day_after, day_before, read_date};
use crate::inputs::{Asked, HOST, Inputs, PlanInput, Question, ShelfInput, by_digest, class_files};

/// Gyms of which the records are kept in memory.
const GYMS: u64 = 64;
/// How long before a class another may start that is still on.
const LONGEST_S: i64 = 8 * 3600;
/// How long after a class's start another may start that it could run into.
const LATEST_S: i64 = 4 * 3600;

/// What all classes of a gym share, for each state that it was in of late.
pub(super) type Worlds = Cache<(String, i64), Arc<GymRecords>>;

pub(super) fn worlds() -> Worlds {
    Cache::new(GYMS)
}

/// What a plan of a class hangs on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Facts {
    /// The state of everything that all classes share, the shelf among it.
    pub(super) world: i64,
    /// The class with whoever was checked in or out.
    pub(super) class: ClassRecord,
    /// Text of its session.
    pub(super) session: String,
    /// Other classes whose plans stand and that may be on at the same time.
    pub(super) beside: Vec<Neighbour>,
}

/// Reads them.
pub(super) async fn facts(conn: &mut AnyConnection, gym: &str, class: &str) -> Result<Facts, AppError> {
    let world = gyms::world(conn, gym).await?;
    let (kept, text) = records::class(conn, gym, class).await?;
    let seen = attendance::list(conn, gym, class).await?;
    let class = attendance::as_checked(&kept.value.record, &seen);
    let beside = near(conn, gym, &class).await?;
    Ok(Facts { world, class, session: text.text, beside })
}

/// The gym's policies that are asked, in order.
pub(super) async fn asked_policies(conn: &mut AnyConnection, gym: &str) -> Result<Vec<ShelfInput>, AppError> {
    let entries = shelf::whole(conn, gym).await?.into_iter().filter(shelf::Entry::is_asked);
    entries.map(policy).collect()
}

/// A policy of the shelf as plans name it.
pub(super) fn policy(entry: shelf::Entry) -> Result<ShelfInput, AppError> {
    let damaged = |error| DbError::Damaged(format!("policy {}: {error}", entry.policy));
    Ok(ShelfInput {
        settings: serde_json::from_str(&entry.settings).map_err(damaged)?,
        limits: serde_json::from_value(entry.limits.clone()).map_err(damaged)?,
        digest: entry.digest,
        policy: entry.policy.clone(),
    })
}

/// What all classes of a gym share, at the state that is seen through the connection.
pub(super) async fn world(
    worlds: &Worlds,
    conn: &mut AnyConnection,
    gym: &str,
    world: i64,
) -> Result<Arc<GymRecords>, AppError> {
    let key = (gym.to_owned(), world);
    if let Some(known) = worlds.get(&key) {
        return Ok(known);
    }
    let records = Arc::new(records::gym(conn, gym).await?);
    worlds.insert(key, Arc::clone(&records));
    Ok(records)
}

/// Documents of the neighbours that are still on when the class starts, or that start before it must be over.
pub(super) async fn standing(
    conn: &mut AnyConnection,
    gym: &str,
    facts: &Facts,
) -> Result<Vec<(PlanInput, String)>, AppError> {
    let hour = hour(&facts.class.date, &facts.class.time, &facts.class.zone)?;
    let mut standing = Vec::new();
    for Neighbour { plan, digest, day, starts, zone, .. } in &facts.beside {
        let body = plans::body(conn, gym, plan).await?;
        let later = self::hour(day, starts, zone)?.later_than(&hour);
        if later + i64::from(length_s(plan, &body)?) > 0 {
            standing.push((PlanInput { plan: plan.clone(), digest: digest.clone() }, body));
        }
    }
    Ok(standing)
}

/// The question that a class is.
pub(super) fn of_class(
    gym: &GymRecords,
    facts: &Facts,
    standing: Vec<(PlanInput, String)>,
    shelf: Vec<ShelfInput>,
) -> Inputs {
    let (files, mut texts) = by_digest(class_files(gym, &facts.class, &facts.session));
    let mut beside = Vec::new();
    for (plan, body) in standing {
        texts.insert(plan.digest.clone(), body);
        beside.push(plan);
    }
    let asked = Asked::Class { class: facts.class.id.clone(), files, beside };
    Inputs { question: Question { host: HOST.into(), asked, shelf }, texts }
}

/// Texts of a question that are kept for it alone: plans are kept by themselves.
pub(super) fn own_texts(inputs: &Inputs) -> BTreeMap<String, String> {
    let own = inputs.question.files().filter_map(|(_, digest)| inputs.texts.get_key_value(digest));
    own.map(|(digest, text)| (digest.clone(), text.clone())).collect()
}

/// Classes of its day and those around it that may be on while it is.
async fn near(conn: &mut AnyConnection, gym: &str, class: &ClassRecord) -> Result<Vec<Neighbour>, AppError> {
    let hour = hour(&class.date, &class.time, &class.zone)?;
    let days = (iso(day_before(hour.date)), iso(day_after(hour.date)));
    let all = plans::neighbours(conn, gym, &class.id, (&days.0, &days.1)).await?;
    let near = |other: &Neighbour| {
        self::hour(&other.day, &other.starts, &other.zone)
            .map(|other| (-LONGEST_S..LATEST_S).contains(&other.later_than(&hour)))
    };
    let mut found = Vec::new();
    for other in all {
        if near(&other)? {
            found.push(other);
        }
    }
    Ok(found)
}

fn hour(day: &str, starts: &str, zone: &str) -> Result<Hour, AppError> {
    let date = read_date(day);
    let hour = date.and_then(|date| Hour::read(&iso(date), starts, zone));
    hour.ok_or_else(|| DbError::Damaged(format!("a class starts at `{starts}` on `{day}`")).into())
}

/// How long a class goes on, by its plan.
fn length_s(plan: &str, body: &str) -> Result<u32, AppError> {
    #[derive(Deserialize)]
    struct Doc {
        session: Session,
    }
    #[derive(Deserialize)]
    struct Session {
        length_s: u32,
        finish_s: u32,
    }
    let doc: Doc = serde_json::from_str(body).map_err(|error| DbError::Damaged(format!("plan `{plan}`: {error}")))?;
    Ok(doc.session.length_s.max(doc.session.finish_s))
}
