//! What a token may be used for.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::service::Role;

/// What a token may be used for. A token never may more than its user.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Scope {
    /// To look at people, kit, sessions, classes, plans and cards.
    Read,
    /// To change people, kit, movements, sessions and classes.
    Write,
    /// To plan classes, check people in and set things by hand on cards.
    Plan,
    /// To look at the policies and to change them.
    Shelf,
    /// To look at users and tokens and to change them.
    Accounts,
    /// To read the ledger.
    Ledger,
    /// To take a backup.
    Backup,
    /// To read the host's metrics.
    Metrics,
}

impl Scope {
    /// Every scope.
    pub const ALL: [Scope; 8] = [
        Scope::Read,
        Scope::Write,
        Scope::Plan,
        Scope::Shelf,
        Scope::Accounts,
        Scope::Ledger,
        Scope::Backup,
        Scope::Metrics,
    ];

    /// As it is written.
    pub const fn id(self) -> &'static str {
        match self {
            Scope::Read => "read",
            Scope::Write => "write",
            Scope::Plan => "plan",
            Scope::Shelf => "shelf",
            Scope::Accounts => "accounts",
            Scope::Ledger => "ledger",
            Scope::Backup => "backup",
            Scope::Metrics => "metrics",
        }
    }

    /// From [`Scope::id`].
    pub fn read(id: &str) -> Option<Scope> {
        Scope::ALL.into_iter().find(|scope| scope.id() == id)
    }

    /// Whether somebody with this role has any use of it.
    pub fn is_for(self, role: Role) -> bool {
        match self {
            Scope::Read => true,
            Scope::Write | Scope::Plan => role >= Role::Coach,
            Scope::Shelf | Scope::Accounts | Scope::Ledger | Scope::Backup | Scope::Metrics => role == Role::Owner,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scopes_are_read_as_they_are_written() {
        for scope in Scope::ALL {
            assert_eq!(Scope::read(scope.id()), Some(scope));
            assert_eq!(serde_json::to_value(scope).unwrap(), scope.id());
        }
        assert!(Scope::Read.is_for(Role::Athlete) && !Scope::Plan.is_for(Role::Athlete));
        assert!(!Scope::Metrics.is_for(Role::Coach) && Scope::Metrics.is_for(Role::Owner));
    }
}
