//! What people do with a gym whose data is kept, through the service, on data of its own for each test.

mod plans;
mod exchange;
mod records;
mod shelf;
