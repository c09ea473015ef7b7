//! What a coach sets by hand on a card: for one athlete and one item another movement, amount or load, or nothing at all.
//!
//! It stands beside the plan, which stays as it was made, and is carried on when the class is planned anew. The coach
//! is trusted to know their people; only slips of the pen are refused, and a load above what the card says needs the
//! word `raises`.

use classwright_planning::checks::measurable;
use classwright_store::db::{Write, athletes, overrides, plans};
use classwright_training::session::{Item, WrittenLoad};
use classwright_training::{Measure, Movement, MovementLibrary, notation};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::cards::no_plan;
use super::{Service, Who, standing};
use crate::AppError;
use crate::document::{CardDoc, ItemDoc};
use crate::plan_class::nearest;

/// The longest reason, in letters.
const REASON: usize = 300;

/// What is set.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OverrideRecord {
    /// Whose card (id).
    pub athlete: String,
    /// Which item, from 1 through the whole session.
    pub item: u32,
    /// Another movement: its id or name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub movement: Option<String>,
    /// Another amount, as in a session: `8`, `8-10`, `6/side`, `0:30`, `200 m`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<String>,
    /// Another load, such as `40 kg`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<String>,
    /// True where the item is not done at all.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub off: bool,
    /// Why, in a sentence; shown to the athlete.
    pub reason: String,
    /// Says that the load may be above what the card says.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub raises: bool,
}

/// What is kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct Set {
    #[serde(flatten)]
    record: OverrideRecord,
    /// The item in words as it stood on the card.
    was: String,
    /// The plan on which it stood.
    plan: String,
}

/// What a coach set by hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OverrideDoc {
    /// Its id within the class.
    pub id: String,
    /// What was set.
    pub set: OverrideRecord,
    /// The item in words as it stood on the card when this was set.
    pub was: String,
    /// False where the card of the plan that stands has another item in its place: look at it again.
    pub holds: bool,
    /// By whom: a user's id.
    pub made_by: String,
    /// When, in milliseconds since 1970.
    pub made_at: i64,
}

impl Service {
    /// Sets something by hand on a card of the plan that stands.
    pub async fn add_override(
        &self,
        who: &Who,
        class: &str,
        mut record: OverrideRecord,
    ) -> Result<OverrideDoc, AppError> {
        let mut change = self.change(who).await?;
        let card = plans::standing_card(change.conn(), &who.gym, class, &record.athlete).await?;
        let Some((plan, body)) = card else {
            plans::standing(change.conn(), &who.gym, class).await?.ok_or_else(|| no_plan(class))?;
            return Err(AppError::missing("card of", &record.athlete));
        };
        let card: CardDoc = serde_json::from_str(&body)
            .map_err(|error| AppError::Fault(format!("the card of {} cannot be read: {error}", record.athlete)))?;
        let item = card.items.iter().find(|own| own.item == record.item);
        let item = item.ok_or_else(|| no_item(&card, record.item))?;
        let gym = standing::gym(&mut change).await?;
        check(&mut record, item, &gym.library)?;
        let set = Set { was: item.text.clone(), plan, record };
        let id = overrides::insert(&mut change, class, &set.record.athlete, &set).await?;
        tell(&mut change, "override.set", "override", class, &id, &set.record).await?;
        let made = overrides::get(change.conn(), &who.gym, class, &id).await?;
        change.commit().await?;
        Ok(doc(made, Some(&card)))
    }

    /// All that was set by hand in a class, in order.
    pub async fn overrides(&self, who: &Who, class: &str) -> Result<Vec<OverrideDoc>, AppError> {
        let mut moment = self.db().snapshot().await?;
        plans::standing(&mut moment, &who.gym, class).await?;
        let mut all = Vec::new();
        for own in overrides::of_class::<Set>(&mut moment, &who.gym, class).await? {
            let card = plans::standing_card(&mut moment, &who.gym, class, &own.athlete).await?;
            let card = card.and_then(|(_, body)| serde_json::from_str(&body).ok());
            all.push(doc(own, card.as_ref()));
        }
        Ok(all)
    }

    /// Takes one back: what the plan says holds again.
    pub async fn remove_override(&self, who: &Who, class: &str, id: &str) -> Result<(), AppError> {
        let mut change = self.change(who).await?;
        let own = overrides::get::<Set>(change.conn(), &who.gym, class, id).await?;
        overrides::remove(&mut change, class, id).await?;
        tell(&mut change, "override.removed", "override-removed", class, id, &own.value.record).await?;
        Ok(change.commit().await?)
    }
}

/// What is told of one, beside the card of the plan that stands.
pub(super) fn doc(own: overrides::Override<Set>, card: Option<&CardDoc>) -> OverrideDoc {
    let Set { record, was, .. } = own.value;
    let item = card.and_then(|card| card.items.iter().find(|item| item.item == record.item));
    let holds = item.is_some_and(|item| item.text == was);
    OverrideDoc { id: own.id, set: record, was, holds, made_by: own.made_by, made_at: own.made_at }
}

/// The ledger learns that something was set, not what it was: a reason may speak of a limitation.
async fn tell(
    change: &mut Write,
    what: &str,
    kind: &str,
    class: &str,
    id: &str,
    record: &OverrideRecord,
) -> Result<(), AppError> {
    let gym = change.gym().to_owned();
    let name = athletes::ledger_name(change.conn(), &gym, &record.athlete).await?;
    let told = json!({ "override": id, "athlete": record.athlete, "item": record.item });
    change.tell(class, kind, &told).await?;
    let detail = json!({ "override": id, "athlete": name, "item": record.item, "raises": record.raises });
    Ok(change.note(what, &format!("class:{class}"), detail).await?)
}

/// Refuses what makes no sense; a movement is written down by its id.
fn check(record: &mut OverrideRecord, item: &ItemDoc, library: &MovementLibrary) -> Result<(), AppError> {
    let wrong = |field: &str, problem: String| Err(AppError::input(field, problem));
    record.reason = record.reason.trim().to_owned();
    let letters = record.reason.chars().count();
    if letters == 0 || letters > REASON || record.reason.chars().any(char::is_control) {
        return wrong("reason", format!("is to be one line of 1 to {REASON} letters: say why"));
    }
    let other = record.movement.is_some() || record.amount.is_some() || record.load.is_some();
    match (record.off, other) {
        (true, true) => return wrong("off", "stands beside something to do: keep one of the two".into()),
        (false, false) => return wrong("", "nothing is set: write movement, amount, load or off".into()),
        (true, false) => return Ok(()),
        (false, true) => {}
    }
    if item.movements.len() > 1 && record.movement.is_none() && record.amount.is_some() {
        return wrong(
            "movement",
            "is missing: the item is a complex, so say which movement that is the amount of".into(),
        );
    }
    let Some(movement) = movement(record, item, library)? else {
        return wrong("movement", "is missing: the item is off the card, so say what is done instead".into());
    };
    record.movement = record.movement.as_ref().map(|_| movement.id.clone());
    let amount = record.amount.as_deref().map(|text| amount(text, movement, library)).transpose()?;
    let now = item.movements.first().map(|own| own.measure.as_str());
    let measures = [Measure::Repetitions, Measure::Seconds, Measure::Metres, Measure::Calories];
    let measure = amount.or_else(|| measures.into_iter().find(|measure| Some(measure.id()) == now));
    match measure {
        Some(measure) if !measurable(movement, measure) => {
            return wrong(
                "amount",
                format!("{} is not counted in {}: write another amount", movement.name, measure.id()),
            );
        }
        _ => {}
    }
    let Some(text) = &record.load else { return Ok(()) };
    let (kg, stands) = (load(text, movement, library)?, item.load.as_ref().map_or(0.0, |load| load.total_kg));
    if kg > stands && !record.raises {
        let above = if stands > 0.0 { format!("above the {stands} kg") } else { "where no load stands".into() };
        return wrong("load", format!("is {above} on the card: say `raises` if that is meant"));
    }
    Ok(())
}

/// The movement that is meant: the one that is set, or else the one on the card.
fn movement<'a>(
    record: &OverrideRecord,
    item: &ItemDoc,
    library: &'a MovementLibrary,
) -> Result<Option<&'a Movement>, AppError> {
    let Some(name) = &record.movement else {
        let first = item.movements.first().and_then(|own| library.find(&own.movement));
        return Ok(first.map(|ix| library.movement(ix)));
    };
    let found = library.find(name).or_else(|| library.named(name));
    found.map(|ix| Some(library.movement(ix))).ok_or_else(|| AppError::NoSuch {
        what: "movement",
        id: name.clone(),
        nearest: nearest(name, library.movements().iter().map(|movement| movement.id.as_str())),
    })
}

/// What an amount counts.
fn amount(text: &str, movement: &Movement, library: &MovementLibrary) -> Result<Measure, AppError> {
    let item = line(text, &format!("{text} {}", movement.name), library);
    let amount = item.filter(|item| item.load.is_none()).and_then(|item| item.pieces[0].amount);
    amount.map(|amount| amount.measure).ok_or_else(|| {
        let how = "write it as in a session, such as `8`, `8-10`, `6/side`, `0:30` or `200 m`";
        AppError::input("amount", format!("`{text}` is no amount of {}; {how}", movement.name))
    })
}

/// A load in kilograms.
fn load(text: &str, movement: &Movement, library: &MovementLibrary) -> Result<f64, AppError> {
    let item = line(text, &format!("1 {} @ {text}", movement.name), library);
    match item.and_then(|item| item.load) {
        Some(WrittenLoad::Masses { steps, unit }) if steps.len() == 1 && steps[0].len() == 1 => {
            Ok(unit.to_mass(steps[0][0]).kg())
        }
        _ => Err(AppError::input("load", format!("`{text}` is no load by itself; write one such as `40 kg`"))),
    }
}

/// A line of work as the notation reads it, where it says one movement and nothing else.
fn line(text: &str, line: &str, library: &MovementLibrary) -> Option<Item> {
    if text.chars().any(char::is_control) || text.chars().count() > 40 {
        return None;
    }
    let session =
        notation::parse(&format!("# Set by hand\n- length: 60 min\n## Strength: 1 round\n- {line}\n"), library).ok()?;
    let items: Vec<&Item> = session.items().map(|(_, _, item)| item).collect();
    let [item] = items[..] else { return None };
    let plain =
        item.pieces.len() == 1 && item.effort_tenths.is_none() && item.choices.is_empty() && item.cues.is_empty();
    (plain && item.fallbacks.is_empty() && item.rep_ms.is_none()).then(|| item.clone())
}

fn no_item(card: &CardDoc, item: u32) -> AppError {
    AppError::input("item", format!("is {item}, and the card has the items 1 to {}", card.items.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_and_loads_are_read_as_in_a_session() {
        let library = classwright_store::library();
        let of = |name: &str| library.movement(library.find(name).expect("it is built in"));
        let squat = of("back-squat");
        for text in ["8", "5-8", "6/side"] {
            assert_eq!(amount(text, squat, &library).ok(), Some(Measure::Repetitions), "{text}");
        }
        assert_eq!(amount("0:30", of("plank"), &library).ok(), Some(Measure::Seconds));
        assert_eq!(load("62.5 kg", squat, &library).ok(), Some(62.5));
        for text in
            ["", "0", "1001", "0:30", "200 m", "8 @ 20 kg", "8 deadlift + 3", "8\n- 3 deadlift", "max effort; go", "-3"]
        {
            assert!(amount(text, squat, &library).is_err(), "{text}");
        }
        for text in
            ["", "20", "0.1 kg", "501 kg", "40/30 kg", "20, 30 kg", "70%", "bodyweight", "20 kg, RPE 8", "RPE 8"]
        {
            assert!(load(text, squat, &library).is_err(), "{text}");
        }
    }
}
