//! The `classwright` command as a process: exit code, standard output, standard error.

mod documents;
mod plan;
mod policy;
mod reckon;
mod session;
mod support;
