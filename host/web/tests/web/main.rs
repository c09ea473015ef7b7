//! The border from outside: who gets in, what is answered when something is not as asked, what a host does as a whole.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

mod accounts;
mod call;
mod events;
mod first_links;
mod getting_in;
mod hall;
mod host;
mod log;
mod once;
mod openapi;
mod policies;
mod problems;
mod records;
mod revisions;
mod roles;
mod scopes;
