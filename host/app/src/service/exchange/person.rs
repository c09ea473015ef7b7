//! One athlete's whole record, to be handed to them: everything that the gym keeps about them.

use classwright_store::db::{AnyConnection, DbError, athletes, one_athlete};
use classwright_store::record::AthleteRecords;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::AppError;
use crate::service::{Service, Who};

/// Everything that is kept about an athlete.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct PersonDoc {
    /// The gym.
    pub gym: String,
    /// Their row of the roster, their bests and limitations with their history.
    pub athlete: AthleteRecords,
    /// Classes whose list names them, or to which they were checked in or out, by day.
    pub classes: Vec<ClassOfDoc>,
    /// Their cards of all plans, the oldest first.
    pub cards: Vec<CardOfDoc>,
    /// What coaches set by hand on their cards, the oldest first.
    pub overrides: Vec<OverrideOfDoc>,
    /// Users who are them.
    pub users: Vec<UserOfDoc>,
    /// Entries of the ledger about them and their users, and of what these did.
    pub ledger: Vec<EntryOfDoc>,
}

/// A class that speaks of them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ClassOfDoc {
    /// The class.
    pub class: String,
    /// Its day.
    pub date: String,
    /// When it starts.
    pub time: String,
    /// `present` or `absent`, where the class's list names them so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub listed: Option<String>,
    /// `in` or `out`, where they were checked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checked: Option<String>,
    /// When, in milliseconds since 1970.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checked_at: Option<i64>,
}

/// A card of theirs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct CardOfDoc {
    /// The class.
    pub class: String,
    /// The plan that it is of.
    pub plan: String,
    /// Whether that plan stands.
    pub stands: bool,
    /// When it was made, in milliseconds since 1970.
    pub made_at: i64,
    /// The card, as it stands in the plan.
    pub card: Value,
}

/// What a coach set by hand on their card.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct OverrideOfDoc {
    /// The class.
    pub class: String,
    /// Its id.
    pub id: String,
    /// What was set.
    pub value: Value,
    /// By whom: a user's id.
    pub made_by: String,
    /// When, in milliseconds since 1970.
    pub made_at: i64,
}

/// A user who is them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct UserOfDoc {
    /// The user's id.
    pub id: String,
    /// What they are called.
    pub name: String,
    /// What they log in with.
    pub login: String,
    /// `owner`, `coach` or `athlete`.
    pub role: String,
    /// When they were made, in milliseconds since 1970.
    pub made_at: i64,
}

/// An entry of the ledger.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct EntryOfDoc {
    /// Its number.
    pub n: i64,
    /// When, in milliseconds since 1970.
    pub at: i64,
    /// Who did it: a user's id.
    pub who: String,
    /// What was done.
    pub what: String,
    /// To what.
    pub about: String,
    /// More of it.
    pub detail: Value,
}

impl Service {
    /// Everything that is kept about an athlete, at one moment.
    pub async fn person(&self, who: &Who, athlete: &str) -> Result<PersonDoc, AppError> {
        who.must_see(athlete)?;
        let mut moment = self.db().snapshot().await?;
        let conn: &mut AnyConnection = &mut moment;
        let (gym, whole) = (&who.gym, athletes::whole(conn, &who.gym, athlete).await?);
        let classes = one_athlete::classes(conn, gym, athlete).await?.into_iter().map(ClassOfDoc::from).collect();
        let cards = one_athlete::cards(conn, gym, athlete).await?.into_iter().map(card);
        let cards = cards.collect::<Result<_, _>>()?;
        let overrides = one_athlete::overrides(conn, gym, athlete).await?.into_iter().map(set_by_hand);
        let overrides = overrides.collect::<Result<_, _>>()?;
        let users = one_athlete::users(conn, gym, athlete).await?.into_iter().map(UserOfDoc::from).collect();
        let ledger = one_athlete::entries(conn, gym, athlete).await?.into_iter().map(entry);
        let ledger = ledger.collect::<Result<_, _>>()?;
        Ok(PersonDoc { gym: gym.clone(), athlete: whole.value, classes, cards, overrides, users, ledger })
    }
}

impl From<one_athlete::ClassOf> for ClassOfDoc {
    fn from(of: one_athlete::ClassOf) -> Self {
        ClassOfDoc {
            class: of.class,
            date: of.day,
            time: of.starts,
            listed: of.named.then_some(of.listed),
            checked: of.checked,
            checked_at: of.checked_at,
        }
    }
}

impl From<one_athlete::UserOf> for UserOfDoc {
    fn from(of: one_athlete::UserOf) -> Self {
        UserOfDoc { id: of.user, name: of.name, login: of.login, role: of.role, made_at: of.made_at }
    }
}

fn card(of: one_athlete::CardOf) -> Result<CardOfDoc, AppError> {
    let card = read("card of plan", &of.plan, &of.body)?;
    Ok(CardOfDoc { class: of.class, plan: of.plan, stands: of.stands, made_at: of.made_at, card })
}

fn set_by_hand(of: one_athlete::OverrideOf) -> Result<OverrideOfDoc, AppError> {
    let value = read("override", &of.id, &of.body)?;
    Ok(OverrideOfDoc { class: of.class, id: of.id, value, made_by: of.made_by, made_at: of.made_at })
}

fn entry(of: one_athlete::EntryOf) -> Result<EntryOfDoc, AppError> {
    let detail = read("entry of the ledger", &of.n.to_string(), &of.detail)?;
    Ok(EntryOfDoc { n: of.n, at: of.at, who: of.who, what: of.what, about: of.about, detail })
}

fn read(what: &str, id: &str, text: &str) -> Result<Value, DbError> {
    serde_json::from_str(text).map_err(|error| DbError::Damaged(format!("{what} `{id}`: {error}")))
}
