//! Who may log in to a gym, with what, and what programs do for them.
//!
//! A password is only ever chosen by whoever it is for, by a link that works once; nobody makes one for others.

mod links;
mod tokens;
mod users;

pub(in crate::service) use links::gym_id;
pub use links::{FirstGym, FirstLink, FirstOwner, LinkFor};
pub use tokens::{MadeToken, NewToken, TokenDoc};
pub use users::{Invited, NewUser, OneTimeLink, UserChange, UserDoc};

use crate::AppError;

/// A name of somebody or something, as people write it.
pub(super) fn tidy_name(field: &str, name: &str) -> Result<String, AppError> {
    let tidy = name.trim();
    if tidy.is_empty() || tidy.chars().count() > 100 || tidy.chars().any(char::is_control) {
        return Err(AppError::input(field, "has to have 1 to 100 characters in one line"));
    }
    Ok(tidy.to_owned())
}
