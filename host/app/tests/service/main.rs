//! What people do with a gym whose data is kept, through the service, on data of its own for each test.

#![expect(clippy::unwrap_used, reason = "a test that fails here says where")]

mod exchange;
mod plans;
mod records;
mod shelf;
