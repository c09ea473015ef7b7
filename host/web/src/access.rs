//! Who may call what: said once for each route, here in words that the route table uses.

pub use classwright_app::service::auth::Scope;

use classwright_app::service::Role;
use serde::Serialize;

/// Who may call a route, and what a token needs for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Access {
    /// Who may call it.
    pub may: May,
    /// The scope that a token needs.
    pub scope: Scope,
}

/// Who may call a route.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum May {
    /// Whoever reaches the host.
    Everybody,
    /// Whoever belongs to the gym, and an athlete sees the same as a coach.
    Members,
    /// Whoever belongs to the gym, and an athlete has what is their own only.
    Own,
    /// Coaches and owners.
    Coaches,
    /// Owners.
    Owners,
}

impl May {
    /// As it is written.
    pub const fn id(self) -> &'static str {
        match self {
            May::Everybody => "everybody",
            May::Members => "members",
            May::Own => "own",
            May::Coaches => "coaches",
            May::Owners => "owners",
        }
    }

    /// Whether somebody with this role may.
    pub fn allows(self, role: Role) -> bool {
        match self {
            May::Everybody | May::Members | May::Own => true,
            May::Coaches => role >= Role::Coach,
            May::Owners => role == Role::Owner,
        }
    }

    /// Who may, in a sentence.
    pub const fn sentence(self) -> &'static str {
        match self {
            May::Everybody => "Needs no login.",
            May::Members => "For everybody in the gym.",
            May::Own => "For coaches and owners; for athletes as far as it is their own.",
            May::Coaches => "For coaches and owners.",
            May::Owners => "For owners.",
        }
    }
}

/// For whoever reaches the host.
pub const EVERYBODY: Access = Access { may: May::Everybody, scope: Scope::Read };

/// For everybody in the gym alike.
pub const fn members(scope: Scope) -> Access {
    Access { may: May::Members, scope }
}

/// For everybody in the gym; the handler holds athletes to what is their own.
pub const fn own(scope: Scope) -> Access {
    Access { may: May::Own, scope }
}

/// For coaches and owners.
pub const fn coaches(scope: Scope) -> Access {
    Access { may: May::Coaches, scope }
}

/// For owners.
pub const fn owners(scope: Scope) -> Access {
    Access { may: May::Owners, scope }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roles_reach_as_far_as_the_word_says() {
        assert!(May::Own.allows(Role::Athlete) && !May::Coaches.allows(Role::Athlete));
        assert!(May::Coaches.allows(Role::Coach) && !May::Owners.allows(Role::Coach));
        assert!(May::Owners.allows(Role::Owner) && May::Coaches.allows(Role::Owner));
    }
}
