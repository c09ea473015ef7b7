//! Tokens: everybody makes their own; an owner sees all and takes any back.

use std::time::Duration;

use classwright_store::db::{DbError, digest, now_ms, tokens};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::tidy_name;
use crate::AppError;
use crate::service::auth::{Scope, secrets};
use crate::service::{Page, Role, Service, Who};

/// A token, without its secret.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct TokenDoc {
    /// Its id.
    pub id: String,
    /// Id of the user for whom it stands.
    pub user: String,
    /// What it is for, in their words.
    pub name: String,
    /// What it may be used for.
    pub scopes: Vec<String>,
    /// When it was made, in milliseconds since 1970.
    pub made_at: i64,
    /// Until when it works.
    pub expires_at: i64,
    /// When it was taken back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub revoked_at: Option<i64>,
}

/// A token that is to be made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct NewToken {
    /// What it is for, in one's own words.
    pub name: String,
    /// What it may be used for; one's role has to allow it.
    pub scopes: Vec<Scope>,
    /// For how many days it works.
    #[schemars(range(min = 1, max = 366))]
    pub days: u32,
}

/// A token that was made.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub struct MadeToken {
    /// What to send as `Authorization: Bearer …`; it is shown this once.
    pub secret: String,
    /// What is known of it.
    pub token: TokenDoc,
}

impl Service {
    /// One's own tokens, or for an owner those of everybody.
    pub async fn tokens(&self, who: &Who, after: Option<&str>, limit: usize) -> Result<Page<TokenDoc>, AppError> {
        let whose = if who.role == Role::Owner { "" } else { &who.id };
        let mut conn = self.db().read().await?;
        let found = tokens::list(&mut conn, &who.gym, whose, after.unwrap_or_default(), limit as i64 + 1).await?;
        Ok(Page::of(found.into_iter().map(doc).collect(), limit, |token: &TokenDoc| token.id.clone()))
    }

    /// Makes a token of one's own.
    pub async fn make_token(&self, who: &Who, new: &NewToken) -> Result<MadeToken, AppError> {
        let name = tidy_name("name", &new.name)?;
        if new.scopes.is_empty() {
            return Err(AppError::input("scopes", "names no scope: a token for nothing is of no use"));
        }
        if let Some(beyond) = new.scopes.iter().find(|scope| !scope.is_for(who.role)) {
            return Err(AppError::input("scopes", format!("`{}` is for nobody with your role", beyond.id())));
        }
        let works = Duration::from_secs(u64::from(new.days) * 24 * 3600);
        let longest = self.gate().rules.longest_token;
        if new.days == 0 || works > longest {
            let days = longest.as_secs() / (24 * 3600);
            return Err(AppError::input("days", format!("has to be 1 to {days}")));
        }
        let (id, secret) = (secrets::id('t')?, secrets::secret()?);
        let secret = format!("{}.{id}.{secret}", who.gym);
        let mut scopes: Vec<String> = new.scopes.iter().map(|scope| scope.id().to_owned()).collect();
        scopes.sort();
        scopes.dedup();
        let mut w = self.db().write(&who.gym, &who.id).await?;
        let new = tokens::NewToken {
            token: &id,
            digest: &digest(&secret),
            user: &who.id,
            name: &name,
            scopes: &scopes,
            expires_at: now_ms() + works.as_millis() as i64,
        };
        tokens::make(&mut w, &new).await?;
        let token = doc(tokens::get(w.conn(), &who.gym, &id).await?);
        w.commit().await?;
        Ok(MadeToken { secret, token })
    }

    /// Takes a token back: one's own, or as an owner anybody's.
    pub async fn revoke_token(&self, who: &Who, id: &str) -> Result<(), AppError> {
        let mut w = self.db().write(&who.gym, &who.id).await?;
        let token = tokens::get(w.conn(), &who.gym, id).await?;
        if who.role != Role::Owner && token.user != who.id {
            return Err(DbError::missing("token", id).into());
        }
        tokens::revoke(&mut w, id).await?;
        Ok(w.commit().await?)
    }
}

fn doc(token: tokens::Token) -> TokenDoc {
    TokenDoc {
        id: token.token,
        user: token.user,
        name: token.name,
        scopes: token.scopes,
        made_at: token.made_at,
        expires_at: token.expires_at,
        revoked_at: token.revoked_at,
    }
}
