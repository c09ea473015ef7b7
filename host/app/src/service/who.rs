//! Who does something.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::AppError;

/// What somebody is in a gym.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Trains there: sees their own cards and limitations.
    Athlete,
    /// Coaches: sees and plans all classes of the gym.
    Coach,
    /// Also decides about people, policies and settings.
    Owner,
}

impl Role {
    /// As it stands in the data.
    pub fn id(self) -> &'static str {
        match self {
            Role::Athlete => "athlete",
            Role::Coach => "coach",
            Role::Owner => "owner",
        }
    }

    /// From [`Role::id`].
    pub fn read(id: &str) -> Option<Role> {
        [Role::Athlete, Role::Coach, Role::Owner].into_iter().find(|role| role.id() == id)
    }
}

/// Somebody in one gym.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Who {
    /// The gym.
    pub gym: String,
    /// The user's id; `console` for whoever has the data's file in hand.
    pub id: String,
    /// What they are there.
    pub role: Role,
    /// Who they are on the roster, where they are.
    pub athlete: Option<String>,
}

impl Who {
    /// Whoever has the data's file in hand: may do all that an owner may.
    pub fn console(gym: &str) -> Who {
        Who { gym: gym.to_owned(), id: "console".into(), role: Role::Owner, athlete: None }
    }

    /// Whether they see what belongs to an athlete.
    pub fn sees_athlete(&self, athlete: &str) -> bool {
        self.role != Role::Athlete || self.athlete.as_deref() == Some(athlete)
    }

    /// An error unless they see what belongs to an athlete. It is the same whether or not there is such an athlete.
    pub fn must_see(&self, athlete: &str) -> Result<(), AppError> {
        if self.sees_athlete(athlete) {
            return Ok(());
        }
        Err(AppError::NotAllowed("an athlete sees their own cards and record only: ask a coach".into()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_athlete_sees_themselves_and_a_coach_everybody() {
        let mut who = Who { gym: "hall".into(), id: "u1".into(), role: Role::Athlete, athlete: Some("ama".into()) };
        assert!(who.sees_athlete("ama") && !who.sees_athlete("bram"));
        who.athlete = None;
        assert!(!who.sees_athlete("ama"), "a user who is nobody on the roster sees nobody");
        who.role = Role::Coach;
        assert!(who.sees_athlete("bram"));
        assert_eq!(Role::read(Role::Owner.id()), Some(Role::Owner));
    }
}
