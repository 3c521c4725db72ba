//! The book of the day: who is aboard, which pots are out, and what became of each crab.
//!
//! It is the person's own memory and the check beside the official record; it is no record itself. [`rows`] says what
//! it holds, [`book`] changes it and takes steps back, [`counts`] gives what limits ask, [`record`] double-checks a
//! day before it goes on the official record, [`effort`] tells what fished best, [`line`] how long a pot's line must be, [`table`] and [`backup`] take it out
//! of the page.

pub mod backup;
pub mod book;
pub mod counts;
pub mod effort;
pub mod line;
pub mod record;
pub mod rows;
pub mod shelves;
pub mod table;

pub use book::Book;
pub use rows::{CrabEntry, End, Id, Moment, Person, Pot, Pull, Row, StepName, What, Why};
