//! Scratch.
#![allow(dead_code)]
#[path = "../web/call.rs"]
mod call;
#[path = "../web/hall.rs"]
mod hall;
#[path = "../web/records/mod.rs"]
mod records;
