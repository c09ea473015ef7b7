//! Users: owners see and change them; everybody sees themselves.

use classwright_store::db::users::{self, User};
use classwright_store::db::{DbError, athletes, digest, links};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::tidy_name;
use crate::AppError;
use crate::service::auth::{LoggedIn, passwords, secrets, tidy_login};
use crate::service::{Page, Role, Service, Stored, Who};

/// Somebody who may log in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct UserDoc {
    /// Their id, which never changes.
    pub id: String,
    /// What they are called.
    pub name: String,
    /// What they log in with.
    pub login: String,
    /// What they are in the gym.
    pub role: Role,
    /// Who they are on the roster.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub athlete: Option<String>,
    /// Whether they are kept out.
    pub disabled: bool,
    /// Whether they have chosen a password.
    pub has_password: bool,
    /// Until when no password of theirs is looked at, in milliseconds since 1970.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub locked_until: Option<i64>,
    /// When they were made, in milliseconds since 1970.
    pub made_at: i64,
}

/// Somebody who is to log in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct NewUser {
    /// What they are called.
    pub name: String,
    /// What they log in with, such as an address of mail; nobody else in the gym has it.
    pub login: String,
    /// What they are in the gym.
    pub role: Role,
    /// Who they are on the roster; an athlete who is nobody there sees nobody's card.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub athlete: Option<String>,
}

/// What changes about a user; what is left out stays.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct UserChange {
    /// What they are called.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What they log in with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub login: Option<String>,
    /// What they are in the gym.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<Role>,
    /// Who they are on the roster; empty for nobody.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub athlete: Option<String>,
    /// Whether they are kept out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub disabled: Option<bool>,
}

/// Somebody new, and the link by which they choose a password.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct Invited {
    /// Who.
    pub user: Stored<UserDoc>,
    /// Give it to them: it is shown this once.
    pub link: OneTimeLink,
}

/// A link that works once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct OneTimeLink {
    /// What follows the host's name.
    pub path: String,
    /// Until when it works, in milliseconds since 1970.
    pub expires_at: i64,
}

impl Service {
    /// Users in the order of their ids.
    pub async fn users(&self, who: &Who, after: Option<&str>, limit: usize) -> Result<Page<Stored<UserDoc>>, AppError> {
        let mut conn = self.db().read().await?;
        let users = users::list(&mut conn, &who.gym, after.unwrap_or_default(), limit as i64 + 1).await?;
        let docs = users.into_iter().map(doc).collect::<Result<_, _>>()?;
        Ok(Page::of(docs, limit, |user: &Stored<UserDoc>| user.value.id.clone()))
    }

    /// A user.
    pub async fn user(&self, who: &Who, id: &str) -> Result<Stored<UserDoc>, AppError> {
        let mut conn = self.db().read().await?;
        doc(users::get(&mut conn, &who.gym, id).await?)
    }

    /// Makes a user, and the link by which they choose a password.
    pub async fn make_user(&self, who: &Who, new: &NewUser) -> Result<Invited, AppError> {
        let (name, login) = (tidy_name("name", &new.name)?, tidy_name("login", &tidy_login(&new.login))?);
        let id = secrets::id('u')?;
        let athlete = new.athlete.as_deref();
        let mut w = self.db().write(&who.gym, &who.id).await?;
        if let Some(athlete) = athlete {
            on_roster(&mut w, athlete).await?;
        }
        let role = new.role.id();
        users::make(&mut w, &users::NewUser { user: &id, name: &name, login: &login, role, athlete }).await?;
        let link = self.password_link(&mut w, &id).await?;
        let user = doc(users::get(w.conn(), &who.gym, &id).await?)?;
        w.commit().await?;
        Ok(Invited { user, link })
    }

    /// Changes a user. The last owner stays one, and is not kept out.
    pub async fn change_user(
        &self,
        who: &Who,
        id: &str,
        change: &UserChange,
        expected: Option<i64>,
    ) -> Result<Stored<UserDoc>, AppError> {
        let name = change.name.as_deref().map(|name| tidy_name("name", name)).transpose()?;
        let login = change.login.as_deref().map(|login| tidy_name("login", &tidy_login(login))).transpose()?;
        let mut w = self.db().write(&who.gym, &who.id).await?;
        if let Some(athlete) = change.athlete.as_deref().filter(|athlete| !athlete.is_empty()) {
            on_roster(&mut w, athlete).await?;
        }
        let change = users::UserChange {
            name: name.as_deref(),
            login: login.as_deref(),
            role: change.role.map(Role::id),
            athlete: change.athlete.as_deref().map(|athlete| Some(athlete).filter(|athlete| !athlete.is_empty())),
            disabled: change.disabled,
        };
        users::change(&mut w, id, &change, expected).await?;
        let user = doc(users::get(w.conn(), &who.gym, id).await?)?;
        w.commit().await?;
        Ok(user)
    }

    /// Makes a link by which a user chooses a new password; one made earlier works no longer.
    pub async fn new_password_link(&self, who: &Who, id: &str) -> Result<OneTimeLink, AppError> {
        let mut w = self.db().write(&who.gym, &who.id).await?;
        users::get(w.conn(), &who.gym, id).await?;
        let link = self.password_link(&mut w, id).await?;
        w.commit().await?;
        Ok(link)
    }

    /// Sets one's own password: the present one has to be right. All logins end, and a new one begins.
    pub async fn change_password(&self, who: &Who, now: &str, new: &str) -> Result<LoggedIn, AppError> {
        let user = {
            let mut conn = self.db().read().await?;
            users::get(&mut conn, &who.gym, &who.id).await?
        };
        passwords::check(new, &user.login)?;
        if self.password_fits(&who.gym, &user.login, now).await?.is_none() {
            return Err(AppError::input("now", "is not the present password, or too many wrong ones were tried: wait"));
        }
        let kept = self.gate().passwords.keep(new).await?;
        let mut w = self.db().write(&who.gym, &who.id).await?;
        users::set_password(&mut w, &who.id, &kept).await?;
        w.commit().await?;
        let user = User { password: Some(kept), ..user };
        let again = self.make_login(&who.gym, &user).await?;
        again.ok_or_else(|| AppError::NotAllowed("the password is set; log in with it".into()))
    }

    pub(super) async fn password_link(
        &self,
        w: &mut classwright_store::db::Write,
        user: &str,
    ) -> Result<OneTimeLink, AppError> {
        let secret = secrets::secret()?;
        let expires_at = w.at() + self.gate().rules.link_works.as_millis() as i64;
        let link = links::Link { purpose: links::Purpose::Password, user: Some(user.to_owned()), expires_at };
        links::make(w, &digest(&secret), &link).await?;
        Ok(OneTimeLink { path: format!("/gyms/{}/link/{secret}", w.gym()), expires_at })
    }
}

async fn on_roster(w: &mut classwright_store::db::Write, athlete: &str) -> Result<(), AppError> {
    let gym = w.gym().to_owned();
    match athletes::get(w.conn(), &gym, athlete).await {
        Ok(_) => Ok(()),
        Err(DbError::Missing { .. }) => {
            Err(AppError::input("athlete", format!("nobody on the roster has the id `{athlete}`")))
        }
        Err(error) => Err(error.into()),
    }
}

fn doc(user: User) -> Result<Stored<UserDoc>, AppError> {
    let role = Role::read(&user.role)
        .ok_or_else(|| AppError::Fault(format!("user `{}` has the role `{}`", user.user, user.role)))?;
    let value = UserDoc {
        id: user.user,
        name: user.name,
        login: user.login,
        role,
        athlete: user.athlete,
        disabled: user.disabled,
        has_password: user.password.is_some(),
        locked_until: user.locked_until.filter(|until| *until > classwright_store::db::now_ms()),
        made_at: user.made_at,
    };
    Ok(Stored { revision: user.revision, value })
}
