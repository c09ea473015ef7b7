//! The session notation: what each construct means, what each mistake is called, and that writing and reading agree.

mod constructs;
mod items;
mod library;
mod mistakes;
mod round_trip;
