//! The `classwright` command as a process: exit code, standard output, standard error.

mod company;
mod day;
mod documents;
mod heats;
mod picture;
mod plan;
mod policy;
mod reckon;
mod replan;
mod service;
mod session;
mod support;
