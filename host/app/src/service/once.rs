//! Calls that make something once, however often they are sent.

use classwright_store::db::answers::{self, Answer, Call};

use super::Service;
use crate::AppError;

/// A call that is made once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnceKey {
    /// The gym.
    pub gym: String,
    /// Who calls.
    pub who: String,
    /// What they chose to know the call by.
    pub key: String,
    /// The digest of what is asked.
    pub request: String,
}

/// A call that was made before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Before {
    /// It was answered.
    Answered {
        /// The status.
        status: u16,
        /// What was kept of the answer.
        answer: String,
    },
    /// It was done, and its answer is not there.
    Done {
        /// What it was about.
        about: String,
    },
}

impl Service {
    /// Whether a call was made before.
    ///
    /// # Errors
    ///
    /// `DbError::OtherCall` where the key was used for something else.
    pub async fn made_before(&self, call: &OnceKey) -> Result<Option<Before>, AppError> {
        let mut conn = self.db().read().await?;
        Ok(answers::find(&mut conn, &stored(call)).await?.map(|answer| match answer {
            Answer::Kept { status, body } => {
                Before::Answered { status: u16::try_from(status).unwrap_or_default(), answer: body }
            }
            Answer::Done { about } => Before::Done { about },
        }))
    }

    /// Makes a call: its first change claims the key.
    pub async fn make_once<T>(&self, call: OnceKey, doing: impl Future<Output = T>) -> T {
        answers::asked(stored(&call), doing).await
    }

    /// Keeps what a call was answered.
    pub async fn keep_answer(&self, call: &OnceKey, status: u16, answer: &str) -> Result<(), AppError> {
        Ok(answers::keep(self.db(), &stored(call), i64::from(status), answer).await?)
    }
}

fn stored(call: &OnceKey) -> Call {
    let OnceKey { gym, who, key, request } = call.clone();
    Call { gym, who, key, request }
}
