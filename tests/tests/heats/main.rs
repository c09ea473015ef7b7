//! The heat policy from outside: the component as it ships, through the runtime and the host's checks, against an
//! independent checker, published instances with known optima, and properties that hold whatever it answers.
//!
//! Sources of floors, instances and known values: `tests/data/heats/README.md`.

mod asked;
mod checker;
mod damage;
mod floors;
mod job_shops;
mod known;
mod metamorphic;
mod project_floor;
mod projects;
mod random;
mod shop_floor;
mod two_checkers;
