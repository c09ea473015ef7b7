//! Links that work once: the first gym, the first owner of a gym that has none, a password.
//!
//! Whoever starts a host on data without an owner is shown such a link; only its digest is kept, and there is no
//! password that was not chosen by somebody.

use classwright_store::db::links::{self, Link, Purpose};
use classwright_store::db::{DbError, Write, digest, gyms, kits, now_ms, users};
use classwright_store::record::KitRecord;
use serde_json::json;

use super::tidy_name;
use crate::AppError;
use crate::service::Service;
use crate::service::auth::{passwords, secrets, tidy_login};

/// A link for whoever starts the host.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstLink {
    /// The gym that has no owner; `None` where there is no gym.
    pub gym: Option<String>,
    /// What follows the host's name.
    pub path: String,
    /// Until when it works, in milliseconds since 1970.
    pub expires_at: i64,
}

/// What a link that works is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LinkFor {
    /// To make the first gym and its owner.
    FirstGym,
    /// To make the first owner of a gym.
    FirstOwner,
    /// For a user to choose a password.
    Password {
        /// What they log in with.
        login: String,
    },
}

/// The first gym.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstGym {
    /// Its id: small letters, digits and hyphens.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Its owner.
    pub owner: FirstOwner,
}

/// The first owner of a gym.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstOwner {
    /// What they are called.
    pub name: String,
    /// What they log in with.
    pub login: String,
    /// Their password.
    pub password: String,
}

impl Service {
    /// Links for what lacks an owner: the data as a whole, or gyms. Earlier ones work no longer.
    pub async fn first_links(&self) -> Result<Vec<FirstLink>, AppError> {
        let mut lacking = Vec::new();
        {
            let mut conn = self.db().read().await?;
            let ids = gyms::ids(&mut conn).await?;
            if ids.is_empty() {
                lacking.push(None);
            }
            for gym in ids {
                if users::owners(&mut conn, &gym).await? == 0 {
                    lacking.push(Some(gym));
                }
            }
        }
        let mut made = Vec::new();
        for gym in lacking {
            let secret = secrets::secret()?;
            let purpose = if gym.is_some() { Purpose::FirstOwner } else { Purpose::FirstGym };
            let mut w = self.db().write(gym.as_deref().unwrap_or_default(), "console").await?;
            let expires_at = w.at() + self.gate().rules.link_works.as_millis() as i64;
            links::sweep(&mut w).await?;
            links::make(&mut w, &digest(&secret), &Link { purpose, user: None, expires_at }).await?;
            w.commit().await?;
            let path = match &gym {
                Some(gym) => format!("/gyms/{gym}/link/{secret}"),
                None => format!("/start/{secret}"),
            };
            made.push(FirstLink { gym, path, expires_at });
        }
        Ok(made)
    }

    /// What a link is for; `None` where it does not work, or no longer. The gym of the link for a first gym is empty.
    pub async fn link(&self, gym: &str, secret: &str) -> Result<Option<LinkFor>, AppError> {
        let mut conn = self.db().read().await?;
        let Some(link) = links::find(&mut conn, gym, &digest(secret), now_ms()).await? else { return Ok(None) };
        Ok(match (link.purpose, link.user) {
            (Purpose::FirstGym, _) => Some(LinkFor::FirstGym),
            (Purpose::FirstOwner, _) => Some(LinkFor::FirstOwner),
            (Purpose::Password, Some(user)) => {
                Some(LinkFor::Password { login: users::get(&mut conn, gym, &user).await?.login })
            }
            (Purpose::Password, None) => None,
        })
    }

    /// Makes the first gym and its owner by a link.
    pub async fn use_first_gym(&self, secret: &str, new: &FirstGym) -> Result<(), AppError> {
        let id = gym_id(&new.id)?;
        let name = tidy_name("gym-name", &new.name)?;
        let kept = self.password_of(&new.owner).await?;
        let mut w = self.db().write(&id, "console").await?;
        if !gyms::ids(w.conn()).await?.is_empty() {
            return Err(AppError::NotAllowed("there is a gym already: ask its owner for a login".into()));
        }
        gyms::make(&mut w, &name, &json!({}), &json!([])).await?;
        // The ledger, in which that stands, is the new gym's.
        works(links::use_up(&mut w, "", &digest(secret)).await, Purpose::FirstGym)?;
        kits::insert(&mut w, "floor", &KitRecord::default()).await?;
        owner(&mut w, &new.owner, &kept).await?;
        Ok(w.commit().await?)
    }

    /// Makes the first owner of a gym by a link.
    pub async fn use_first_owner(&self, gym: &str, secret: &str, new: &FirstOwner) -> Result<(), AppError> {
        let kept = self.password_of(new).await?;
        let mut w = self.db().write(gym, "console").await?;
        works(links::use_up(&mut w, gym, &digest(secret)).await, Purpose::FirstOwner)?;
        if users::owners(w.conn(), gym).await? > 0 {
            return Err(AppError::NotAllowed("the gym has an owner already: ask them for a login".into()));
        }
        owner(&mut w, new, &kept).await?;
        Ok(w.commit().await?)
    }

    /// Sets a user's password by a link. All their logins end.
    pub async fn use_password_link(&self, gym: &str, secret: &str, password: &str) -> Result<(), AppError> {
        let Some(LinkFor::Password { login }) = self.link(gym, secret).await? else { return Err(gone()) };
        passwords::check(password, &login)?;
        let kept = self.gate().passwords.keep(password).await?;
        let mut w = self.db().write(gym, "console").await?;
        let link = works(links::use_up(&mut w, gym, &digest(secret)).await, Purpose::Password)?;
        let user = link.user.ok_or_else(gone)?;
        users::set_password(&mut w, &user, &kept).await?;
        Ok(w.commit().await?)
    }

    async fn password_of(&self, owner: &FirstOwner) -> Result<String, AppError> {
        tidy_name("name", &owner.name)?;
        tidy_name("login", &owner.login)?;
        passwords::check(&owner.password, &owner.login)?;
        self.gate().passwords.keep(&owner.password).await
    }
}

async fn owner(w: &mut Write, new: &FirstOwner, kept: &str) -> Result<(), AppError> {
    let (name, login) = (tidy_name("name", &new.name)?, tidy_name("login", &tidy_login(&new.login))?);
    let id = secrets::id('u')?;
    let user = users::NewUser { user: &id, name: &name, login: &login, role: "owner", athlete: None };
    users::make(w, &user).await?;
    Ok(users::set_password(w, &id, kept).await?)
}

fn works(link: Result<Link, DbError>, purpose: Purpose) -> Result<Link, AppError> {
    match link {
        Ok(link) if link.purpose == purpose => Ok(link),
        Ok(_) | Err(DbError::Missing { .. }) => Err(gone()),
        Err(error) => Err(error.into()),
    }
}

fn gone() -> AppError {
    AppError::NotAllowed("this link does not work, or no longer: ask for a new one".into())
}

pub(in crate::service) fn gym_id(id: &str) -> Result<String, AppError> {
    let fits = !id.is_empty()
        && id.len() <= 40
        && id.starts_with(|c: char| c.is_ascii_lowercase())
        && id.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-');
    if fits {
        Ok(id.to_owned())
    } else {
        Err(AppError::input("gym-id", "has to be 1 to 40 small letters, digits and hyphens, a letter first"))
    }
}
