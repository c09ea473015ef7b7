//! What the files about editable records share.

use classwright_store::db::Kept;

use super::{Page, Stored};
use crate::AppError;

impl<T> From<Kept<T>> for Stored<T> {
    fn from(kept: Kept<T>) -> Self {
        Stored { revision: kept.revision, value: kept.value }
    }
}

impl<T> Page<T> {
    /// The same page of something else.
    pub(crate) fn map<U>(self, with: impl FnMut(T) -> U) -> Page<U> {
        Page { items: self.items.into_iter().map(with).collect(), next: self.next }
    }
}

/// An error where what was sent calls itself otherwise than what is changed.
pub(crate) fn same_id(changed: &str, sent: &str) -> Result<(), AppError> {
    if changed == sent {
        return Ok(());
    }
    let problem = format!("is `{sent}`, but `{changed}` is changed; an id stays, so write it as it is");
    Err(AppError::input("id", problem))
}
