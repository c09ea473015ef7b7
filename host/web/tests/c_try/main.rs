//! Scratch.
#![allow(dead_code)]
#[path = "../web/call.rs"]
mod call;
#[path = "hall.rs"]
mod hall;
#[path = "../web/records/mod.rs"]
mod records;
