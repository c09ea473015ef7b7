//! The gym's service from the terminal: every use case on data in hand and against a host that runs.

mod allowed;
mod athlete;
mod class;
mod connect;
mod gym;
mod host;
mod parity;
mod policy;
mod setup;
