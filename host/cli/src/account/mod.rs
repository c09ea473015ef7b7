//! `classwright user` and `classwright token`: who may log in, and what may be done in their name.

pub(crate) mod token;
pub(crate) mod user;
