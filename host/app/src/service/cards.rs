//! Cards of the plan that stands, with what coaches set by hand beside it.
//!
//! A card is read much more often than it changes: it is kept as the bytes that are answered, and answered without a
//! look at the data for as long as nobody, here or on another host, has changed anything since. A change made here is
//! seen at once; one of another host as soon as this one hears of it ([`Db::changes`](classwright_store::db::Db)).

use std::sync::Arc;

use classwright_store::db::{DbError, overrides, plans};
use moka::sync::Cache;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use tokio::sync::watch;

use super::overrides::{OverrideDoc, doc};
use super::{Service, Who};
use crate::AppError;
use crate::document::{CardDoc, PlanDoc};

/// Cards that are kept as bytes.
const KEPT: u64 = 20_000;

/// One athlete's card of a class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ClassCardDoc {
    /// The class.
    pub class: String,
    /// The plan that stands.
    pub plan: String,
    /// The card as the plan has it.
    pub card: CardDoc,
    /// What a coach set by hand; it holds where it differs from the card.
    pub overrides: Vec<OverrideDoc>,
}

/// All cards of a class.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct CardsDoc {
    /// The class.
    pub class: String,
    /// The plan that stands.
    pub plan: String,
    /// In roster order.
    pub cards: Vec<ClassCardDoc>,
}

/// Cards as they were answered last, and how many changes this host had heard of before each was read.
pub(super) struct Cards {
    kept: Cache<(String, String, String), (u64, Arc<str>)>,
    changes: watch::Receiver<u64>,
}

impl Cards {
    pub(super) fn new(changes: watch::Receiver<u64>) -> Cards {
        Cards { kept: Cache::new(KEPT), changes }
    }
}

impl Service {
    /// One athlete's card of the plan of a class that stands, as JSON ([`ClassCardDoc`]).
    pub async fn card(&self, who: &Who, class: &str, athlete: &str) -> Result<Arc<str>, AppError> {
        who.must_see(athlete)?;
        let Cards { kept, changes } = self.cards();
        let heard = *changes.borrow();
        let key = (who.gym.clone(), class.to_owned(), athlete.to_owned());
        if let Some((then, text)) = kept.get(&key)
            && then == heard
        {
            return Ok(text);
        }
        let mut moment = self.db().snapshot().await?;
        let card = plans::standing_card(&mut moment, &who.gym, class, athlete).await?;
        let Some((plan, body)) = card else {
            // Which of the three is not there.
            let plan = plans::standing(&mut moment, &who.gym, class).await?;
            return Err(plan.map_or_else(|| no_plan(class), |_| AppError::missing("card of", athlete)));
        };
        let set = overrides::of_card(&mut moment, &who.gym, class, athlete).await?;
        drop(moment);
        let card: CardDoc = serde_json::from_str(&body)
            .map_err(|error| DbError::Damaged(format!("card of `{athlete}` in plan `{plan}`: {error}")))?;
        let overrides = set.into_iter().map(|own| doc(own, Some(&card))).collect();
        let text = serde_json::to_string(&ClassCardDoc { class: class.to_owned(), plan, card, overrides })
            .map_err(|error| AppError::Fault(format!("a card has no JSON form: {error}")))?;
        let text: Arc<str> = text.into();
        kept.insert(key, (heard, Arc::clone(&text)));
        Ok(text)
    }

    /// All cards of the plan of a class that stands.
    pub async fn class_cards(&self, who: &Who, class: &str) -> Result<CardsDoc, AppError> {
        let mut moment = self.db().snapshot().await?;
        let plan = plans::standing(&mut moment, &who.gym, class).await?.ok_or_else(|| no_plan(class))?;
        let body = plans::body(&mut moment, &who.gym, &plan).await?;
        let set = overrides::of_class(&mut moment, &who.gym, class).await?;
        drop(moment);
        let own = |card: CardDoc| {
            let set = set.iter().filter(|own| own.athlete == card.athlete).cloned();
            let overrides = set.map(|own| doc(own, Some(&card))).collect();
            ClassCardDoc { class: class.to_owned(), plan: plan.clone(), card, overrides }
        };
        let cards = read(&plan, &body)?.into_iter().map(own).collect();
        Ok(CardsDoc { class: class.to_owned(), plan, cards })
    }

    /// All cards of any plan, as it was made.
    pub async fn plan_cards(&self, who: &Who, plan: &str) -> Result<Vec<CardDoc>, AppError> {
        read(plan, &self.plan_text(who, plan).await?)
    }
}

fn read(plan: &str, body: &str) -> Result<Vec<CardDoc>, AppError> {
    let document: PlanDoc =
        serde_json::from_str(body).map_err(|error| DbError::Damaged(format!("plan `{plan}`: {error}")))?;
    Ok(document.cards)
}

pub(super) fn no_plan(class: &str) -> AppError {
    AppError::missing("plan of class", class)
}
